"""Reading the suites: scripts in fences, what is expected beside their lines, and the score below them.

The convention is told in `README.md` of this folder.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from dressed import dress

from cavata.ciphers.cipher import Cipher
from cavata.evaluate.plan import Value
from cavata.music.event import Event, Marks, Motif, Rhythm, Texture
from cavata.score.score import Movement, Score, ScoreEvent, with_ossias

FOLDER = Path(__file__).parent
PRELUDE = "language 2\nuse french, german from ciphers\n"
_FENCE = re.compile(r"^```(cavata|score)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_HEADING = re.compile(r"^#+ (.*)$", re.MULTILINE)
_VALUE = re.compile(r"-- = (.*)$")
_MESSAGE = re.compile(r"-- ([!?]) ([A-Z]\d{3})(?: (.*))?$")


@dataclass(frozen=True, slots=True)
class Case:
    """One script of a suite with all that is expected of it."""

    suite: str
    heading: str
    number: int
    script: str
    score: str

    @property
    def name(self) -> str:
        """How a failing test names it."""
        return f"{self.suite}-{self.number}-{re.sub(r'[^a-z0-9]+', '-', self.heading.lower()).strip('-')}"

    def values(self) -> Iterator[tuple[str, str]]:
        """Defined names with the text of their expected values."""
        for line in self.script.splitlines():
            found = _VALUE.search(line)
            if found:
                yield line.split()[1], found[1].strip()

    def messages(self) -> list[tuple[int, str, str, str]]:
        """Line, `!` or `?`, code, and a phrase that the message holds, for each expected message."""
        return [
            (number, found[1], found[2], (found[3] or "").strip())
            for number, line in enumerate(self.script.splitlines(), 1)
            if (found := _MESSAGE.search(line))
        ]


def cases() -> list[Case]:
    """Every script of every suite, in order."""
    return [case for path in sorted(FOLDER.glob("*.md")) if path.stem != "README" for case in _cases_of(path)]


def _cases_of(path: Path) -> Iterator[Case]:
    text = path.read_text(encoding="utf-8")
    fences = list(_FENCE.finditer(text))
    for index, fence in enumerate(fences):
        if fence[1] == "score":
            continue
        headings = [m[1] for m in _HEADING.finditer(text[: fence.start()])]
        after = fences[index + 1] if index + 1 < len(fences) else None
        script = fence[2] if fence[2].startswith("language") else PRELUDE + fence[2]
        score = after[2] if after is not None and after[1] == "score" else ""
        yield Case(path.stem, headings[-1], text.count("\n", 0, fence.start()) + 2, script, score)


# ---------------------------------------------------------------- values


def shows_letters(expected: str) -> bool:
    """Whether a value shows the letters of its notes, as `F4_T`; names of signs have such a line too."""
    return re.search(r"\d_", expected) is not None


def value_text(value: Value, expected: str) -> str:
    """A value as the suites write it; letters are written where the expected text has them."""
    with_letters = shows_letters(expected)
    match value:
        case Motif(events):
            return _line(events, with_letters)
        case Texture(lines):
            return " | ".join(_line(line.events, with_letters) for line in lines)
        case Rhythm(beats):
            return " ".join(str(b.duration) + (" rest" if b.is_rest else "") for b in beats)
        case Cipher():
            raise AssertionError("a cipher has no notes; check a name")


def _line(events: tuple[Event, ...], with_letters: bool) -> str:
    held = Fraction(1, 4)
    words = []
    for event in events:
        words.append(event_text(event, with_letters, held))
        held = event.duration
    return " ".join(words)


def event_text(event: Event, with_letters: bool, held: Fraction) -> str:
    """`F#4_T:3/8/p`: pitches, letters, the duration where it differs from the one before, marks."""
    heads = "+".join(
        str(h.pitch) + ("_" + "".join(o.letter.text for o in h.origins if o.letter) if with_letters else "")
        for h in event.heads
    )
    duration = f":{event.duration}" if event.duration != held else ""
    return (heads or "r") + duration + "".join("/" + word for word in _marks(event.marks))


def _marks(marks: Marks) -> Iterator[str]:
    yield from marks.loud
    yield from marks.articulations
    yield from (f'"{word}"' for word in marks.words)
    nothing = "-nothing" * marks.hairpin.endswith("nothing")
    yield from ([marks.hairpin[:5] + nothing] if marks.hairpin else [])
    yield from ["end"] * marks.hairpin_ends + ["("] * marks.slur_begins + [")"] * marks.slur_ends
    yield from dress(marks)
    yield from ("~" * s.verse + s.text + "-" * s.goes_on for s in marks.sung)
    yield from ([f"={marks.symbol}"] if marks.symbol else [])


# ---------------------------------------------------------------- scores


def score_line(score: Score, wanted: str, expected: str) -> str:
    """What the score has for `bars`, `keys`, `tempi`, `playing`, `sections`, or a part or staff, in a movement."""
    name, _, what = wanted.rpartition("/")
    movement = next(m for m in score.movements if not name or m.name == name)
    match what:
        case "bars":
            return " ".join(_bars(movement))
        case "keys":
            return " ".join(f"{bar.key or 'none'}".replace(" ", "-") for bar in movement.bars)
        case "tempi":
            return ", ".join(_tempi(movement))
        case "playing":
            return " ".join(f"{begin}..{end}" for begin, end in movement.playing) or "straight through"
        case "sections":
            return " ".join(f"{s.name}@{s.onset}" for s in movement.sections)
        case _:
            return _voices(score, movement, what, shows_letters(expected))


def _bars(movement: Movement) -> Iterator[str]:
    for bar in movement.bars:
        shown = str(bar.meter or f"free:{bar.duration}")
        yield f"({bar.duration})" if bar.meter and bar.duration != bar.meter.duration else shown


def _tempi(movement: Movement) -> Iterator[str]:
    for tempo in movement.tempi:
        words = f" {tempo.words}" if tempo.words else ""
        words += f" until {tempo.until}" if tempo.until is not None else ""
        yield f"@{tempo.onset} {tempo.beat}={tempo.per_minute}{words}" + ("" if tempo.printed else " unprinted")


def _voices(score: Score, movement: Movement, what: str, with_letters: bool) -> str:
    part, _, staff_name = what.partition(".")
    index = [p.name for p in score.parts].index(part)
    everywhere = movement.staves[index]
    staves = [s for s in with_ossias(everywhere) if s.name == staff_name] if staff_name else everywhere
    assert len(staves) == 1, f"say which staff of {part}"
    return " // ".join(_sounding(voice, movement.duration, with_letters) for voice in staves[0].voices)


def _sounding(voice: tuple[ScoreEvent, ...], end: Fraction, with_letters: bool) -> str:
    """A voice with rests in its gaps and after its last event."""
    events: list[Event] = []
    at = Fraction(0)
    for event in voice:
        if event.onset > at:
            events.append(Event(event.onset - at))
        events.append(event.event)
        at = event.end
    if at < end:
        events.append(Event(end - at))
    return _line(tuple(events), with_letters)
