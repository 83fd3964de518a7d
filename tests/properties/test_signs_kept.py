"""No transform and no combination loses a sign in silence: what stands at the notes before stands at them after, or is
known to have given way to the step.

The line has every kind of sign. Arguments are chosen so that no note is taken away; what stands at a note that is taken
away goes with it.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from written_transforms import example_of

from cavata.music.event import Event, Motif, Texture
from cavata.music.said import SIGNS, said_signs
from cavata.names.program import Identity
from cavata.pipeline import compile_script
from cavata.transforms.table import COMBINATIONS, LENGTHS, TRANSFORMS

LINE = (
    'notes(1/4 D4 E4, 1/2 F4, 1/4 A4 chord(D4 G4) B4) -> marked p "calm" pizzicato -> marked staccato '
    "-> crescendo 1..3 p f -> slurred 1..3 5..6 -> trill 2 to M2 -> tremolo 3 1/16 -> glissando 4 "
    "-> graced 4 by notes(1/8 C5) -> fermata last by 1/4 -> sustain_pedal -> sung \"a-b c d e f\" "
    "-> harmonic 6 touching P4 -> sul 4 G -> division 4 half -> figured 1 \"6\" -> labeled 2 \"R\""
)
OTHER = "notes(1/4 D5 E5 F5, 1/2 G5, 1/2 A5) -> marked f accent -> slurred 2..4 -> diminuendo 4..5 f pp"
SAMPLES = {"first": "first 6", "last": "last 6", "notes": "notes 1..last"}
"""Where the usual example of the word would take notes away."""
TIMES = {"sequence": ("sequence 2 by m2 up", 2), "x": ("x 3", 3), "for": ("for 7/2", 2)}
"""Those that play the line several times, and how often."""
TAKEN = frozenset(("without", "held", "upper", "inner", "tied"))
"""They take notes away, or need others than the line has."""
COMBINED = {
    "weave": ("weave(a, b)", 1, 1), "together": ("together(a, b)", 1, 1), "hocket": ("hocket(a, b)", 1, 1),
    "canon": ("canon(a, at P5 below, after 1/2)", 2, 0), "stretto": ("stretto(a, after 1/4)", 2, 0),
    "pedal_point": ("pedal_point(a, D3)", 1, 0), "ostinato": ("ostinato(a, b)", 1, 1),
    "dialogue": ("dialogue(a, by 7/4)", 1, 0),
}  # fmt: skip
"""For each combination how often it has the signs of either line."""

Count = Counter[str]


def events_of(expression: str) -> tuple[Event, ...]:
    text = f"language 2\nmotif a = {LINE}\nmotif b = {OTHER}\nmotif c = {expression}\n"
    compiled = compile_script(Path("x.cavata"), "x.cavata", text=text)
    assert not compiled.bag.has_errors and compiled.plan is not None, compiled.bag.ordered()
    value = compiled.plan.values[Identity(compiled.plan.main, "c")]
    assert isinstance(value, Motif | Texture)
    return tuple(event for line in (value.lines if isinstance(value, Texture) else (value,)) for event in line.events)


def counted(events: tuple[Event, ...]) -> Count:
    """Every sign by its kind; a syllable that is only held on is none."""
    return Counter(k for event in events for k, what in said_signs(event.marks) if (k, what) != ("syllable", "_"))


def given_way(events: tuple[Event, ...]) -> Count:
    return Counter(said.kind for event in events for said in event.marks.said if said.by is not None)


def test_the_line_has_every_kind_of_sign() -> None:
    """But chord symbols, which changes of pitch take away on purpose, and what a note in two has at both: the head of
    one that is spoken, the stem that one of chant has not, the size of one that may be left out.
    """
    assert set(SIGNS) - set(counted(events_of("a"))) == {"chord symbol", "note head", "stem", "optional note"}


@pytest.mark.parametrize("word", sorted(set(TRANSFORMS) - TAKEN))
def test_a_transform_keeps_every_sign_or_takes_its_place(word: str) -> None:
    if all(step.family == "dress" for step in TRANSFORMS[word]):
        return
    before = events_of("a")
    step, times = TIMES.get(word) or (SAMPLES.get(word) or example_of(word), 1)
    after = events_of(f"a -> {step}")
    expected = Counter({kind: count * times for kind, count in (counted(before) + given_way(before)).items()})
    assert counted(after) + given_way(after) == expected, f"`{step}`; see TIMES, SAMPLES and TAKEN"


@pytest.mark.parametrize("word", sorted(set(LENGTHS) - TAKEN))
def test_what_is_played_again_has_its_signs_again(word: str) -> None:
    step, times = TIMES[word]
    before, after = events_of("a"), events_of(f"a {step}")
    assert counted(after) == Counter({kind: count * times for kind, count in counted(before).items()})


@pytest.mark.parametrize("word", sorted(COMBINATIONS))
def test_a_combination_keeps_every_sign(word: str) -> None:
    assert word in COMBINED, "say there how often it has the signs of its lines"
    use, ours, theirs = COMBINED[word]
    expected: Count = Counter()
    for line, times in (("a", ours), ("b", theirs)):
        expected += Counter({kind: count * times for kind, count in counted(events_of(line)).items()})
    assert counted(events_of(use)) == expected


def test_a_chord_has_what_a_chord_can_have() -> None:
    """A slur over the notes of the chord is none; the rest of what they were marked with stays."""
    (event,) = events_of(
        "notes(1/4 D4 F4 A4) -> marked staccato -> marked 2 accent -> crescendo p f -> slurred -> fermata last by 1/4 "
        "-> sustain_pedal -> as chord"
    )
    marks = event.marks
    assert (marks.dynamic, marks.hairpin, marks.hairpin_ends, marks.goal) == ("p", "crescendo", True, "f")
    assert marks.articulations == ("staccato", "fermata") and marks.held
    assert marks.pedal_begins and marks.pedal_ends
    assert not marks.slur_begins and not marks.slur_ends
    assert {said.kind for said in marks.said if said.by is not None} == {"slur", "end of slur", "articulation"}


def test_a_broken_chord_begins_and_ends_as_the_chord_did() -> None:
    first, _, last = events_of(
        "chord(1/4 D4 F4 A4) -> marked p -> fermata 1 by 1/4 -> sustain_pedal -> broken ascending"
    )
    assert first.marks.dynamic == "p" and first.marks.pedal_begins and not first.marks.held
    assert last.marks.held and last.marks.articulations == ("fermata",) and last.marks.pedal_ends
