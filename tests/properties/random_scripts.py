"""Random scripts: names, chains of steps, sums, weaves and own transforms, one definition a line."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hypothesis import strategies as st
from random_pieces import linked

from cavata.evaluate.plan import Value
from cavata.music.event import Event, Letter, Motif, Texture
from cavata.names.program import Identity
from cavata.pipeline import Compiled, compile_script

HEAD = "language 2\nuse french, german, vowels from ciphers\n"
NAMES = (
    'name tamsin = "TAMSIN" by french', 'name corwen = "Corwen" by french', 'name hedda = "HEDDA" by german',
    'name island = "ÉÆß" by vowels_and_more',
)  # fmt: skip
OWN = (
    "cipher vowels_and_more = vowels\n    \"S\" = Eb",
    "transform echo(m, gap) = m + (m -> up gap -> marked pp)",
    "transform laced(m, n) = weave(m -> retrograde, n -> first 1 -> doubled at P5 above)",
    "rhythm knock = (1/8 rest 1/4 1/12 1/6 1/16 rest)",
    "mode gallery = D E F G A Bb C#",
    "figure pulse = (1/8 2, 1/16 upper, 1/16 rest, 1/12 bass)",
    'rhythm taps = morse "Hedda" unit 1/16',
)
KEEPING = (
    "up m3", "up aug1", "down P4", "down M2", "step up 2 in D minor", "step down 1 in A major", "inverted about A3",
    "inverted in D dorian about D4", "within C3..C5", "closest", "ascending", "descending", "expanded 2", "sharp 1",
    "flat last", "natural 1", "raised last", "lowered 1", "respelled simply", "respelled simply in D minor",
    "retrograde", "rotated 1", "rotated -2", "x 2", "sequence 2 by m2 up",
    "diminution 2", "augmentation 3:2", "in knock", "in knock cycle", "lengthened last to 3/8", "for 7/1",
    "as chord", "broken ascending", "broken descending",
    "voiced close", "voiced open", "doubled at M3 below",
    "marked f staccato \"calm\"", "crescendo p f", "slurred", "echo m2",
    "step up 1 in gallery", "step down 2 in D octatonic_tone", "inverted in C whole_tone about E4", "in taps",
    'sung "o-_"',
)  # fmt: skip
"""Steps after which every letter is still there."""
DROPPING = (
    "first 2", "last 1", "notes 1..2", "without 1", "for 1/4", "bass", "top", "upper", "inner", "voice 1", "in pulse",
)  # fmt: skip
"""Steps that leave out notes, of a line or of a chord."""
STEPS = (*KEEPING, *DROPPING)


@dataclass(frozen=True, slots=True)
class Line:
    """One definition: the motifs it uses, and whether it keeps all their letters."""

    name: str
    text: str
    uses: tuple[str, ...]
    keeps: bool
    step: str = ""


@st.composite
def lines(draw: st.DrawFn, longest: int = 9) -> tuple[Line, ...]:
    """Definitions `m1`, `m2` ..., each made from names and earlier ones."""
    known = ["tamsin", "corwen", "hedda", "island"]
    found: list[Line] = []
    for number in range(draw(st.integers(1, longest))):
        # The newest are used most, so that long chains come about.
        one = known[draw(st.integers(max(0, len(known) - 3), len(known) - 1))]
        other = draw(st.sampled_from(known))
        name = f"line{number}"
        match draw(st.integers(0, 9)):
            case 0:
                line = Line(name, f"{one} + {other}", (one, other), True)
            case 1:
                line = Line(name, f"weave({one}, {other})", (one, other), True)
            case 2:
                line = Line(name, f"weave({one}, {other}, cycle)", (one, other), True)
            case 3:
                line = Line(name, f"{one} -> laced {other}", (one, other), False, f"laced {other}")
            case _:
                step = draw(st.sampled_from(STEPS))
                line = Line(name, f"{one}{linked(step)}", (one,), step in KEEPING, step)
        found.append(line)
        known.append(name)
    return tuple(found)


def declarations(made: tuple[Line, ...]) -> list[str]:
    """All declarations of a script with these lines."""
    return [*NAMES, *OWN, *(f"motif {line.name} = {line.text}" for line in made)]


def script(parts: list[str]) -> str:
    """The declarations as one script."""
    return HEAD + "\n".join(parts) + "\n"


def compiled(text: str) -> Compiled:
    """Through all passes as far as they go."""
    return compile_script(Path("watch.cavata"), "watch.cavata", text=text)


def value(result: Compiled, name: str) -> Value | None:
    """What a definition came to, if it could be had."""
    assert result.plan is not None
    return result.plan.values.get(Identity(result.plan.main, name))


def events_of(found: Value | None) -> tuple[Event, ...]:
    """The events of a motif or texture."""
    match found:
        case Motif(events):
            return events
        case Texture(voices):
            return tuple(event for voice in voices for event in voice.events)
        case _:
            raise AssertionError(found)


def letters_of(events: tuple[Event, ...]) -> set[Letter]:
    """Every letter that sounds in them; fails where a pitch has none."""
    found = set()
    for event in events:
        for head in event.heads:
            assert head.origins, event
            for origin in head.origins:
                assert origin.letter is not None, event
                found.add(origin.letter)
    return found
