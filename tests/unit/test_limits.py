"""Limits at their edge: what is just allowed makes no message, and the next beyond it is refused where it is written.

Source: the handbook, which names each of these limits; how many notes a value has is counted in the value itself.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.diagnostics import Severity
from cavata.evaluate.plan import Value
from cavata.music.event import Motif, Rhythm, Texture
from cavata.names.program import Identity
from cavata.pipeline import Compiled, compile_script
from cavata.place import bars, movement
from cavata.transforms import selection, voicing

LINES = (
    "motif tune = notes(1/4 C4 D4 E4)\nmotif long = notes(1/4 C4 D4 E4 F4 G4)\nmotif pause = notes(1/4 rest)\n"
    "motif triads = notes(1/4 chord(C4 E4 G4) chord(D4 F4))\nrhythm gait = (1/8 1/8 rest 1/4)\n"
    "figure hands = (1/16 bass, 1/16 upper)\n"
)


def compiled(script: str) -> Compiled:
    return compile_script(Path("s.cavata"), "s.cavata", text="language 2\n" + script)


def told(script: str) -> list[tuple[str, str, str]]:
    """The codes of all messages but that something is not used, `?` before those of warnings, with the words marked,
    and what is said."""
    found = [d for d in compiled(script).bag.ordered() if d.code != "N301"]
    codes = ["?" * (d.severity is Severity.WARNING) + d.code for d in found]
    return [(code, d.span.text if d.span else "", d.message) for code, d in zip(codes, found, strict=True)]


# ---------------------------------------------------------------- how large a value grows


def size(value: Value) -> int:
    match value:
        case Motif(events):
            return len(events)
        case Rhythm(beats):
            return len(beats)
        case Texture(lines):
            return sum(len(line.events) for line in lines)
    raise AssertionError(value)


VALUES = {
    "tune x 4": (12, 12),
    "gait x 3": (9, 9),
    "together(tune, long) x 3": (24, 27),
    "tune for 5/2": (12, 10),
    "gait for 9/4": (15, 14),
    "tune -> sequence 4 by m2 up": (12, 12),
    "weave(tune, long, tune)": (15, 11),
    "weave(tune, long, cycle)": (10, 10),
    "canon(tune, after 1/4, voices 4)": (12, 15),
    "stretto(tune, after 1/4, voices 3)": (9, 11),
    "dialogue(tune, by 1/4, voices 4)": (12, 8),
    "hocket(tune, long)": (16, 14),
    "hocket(tune, voices 3)": (9, 7),
    "long -> in (1/8 1/8 rest 1/4)": (7, 7),
    "long -> in (1/8 1/8 rest 1/4) cycle": (15, 15),
    "long -> neighbors in C major": (15, 15),
    "long -> passing in C major": (10, 5),
    "triads -> broken ascending": (5, 5),
    "triads + pause -> broken ascending": (6, 6),
    "ostinato(long, tune)": (6, 10),
    "triads -> in hands": (8, 8),
    "triads -> voiced across a b c": (6, 6),
}
"""How many notes and rests are counted before a value is made, and how many it has then: rests in lines that sound
together come to it, and what is cut or comes to nothing goes from it."""
FORCES = "forces\n    a = violin\n    b = viola\n    c = cello\n"


def made(words: str) -> tuple[int, list[tuple[str, str]]]:
    """How many notes a value has, none if it was refused, and what is said."""
    kind = "rhythm" if words.startswith("gait") else "motif"
    found = compiled(f"{LINES}{kind} made = {words}\n{FORCES}")
    assert found.plan is not None
    said = [(d.code, d.message) for d in found.bag.ordered() if d.code != "N301"]
    return (0 if said else size(found.plan.values[Identity(found.plan.main, "made")])), said


@pytest.mark.parametrize("words", VALUES)
def test_value_may_have_so_many_notes_and_no_more(words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    counted, count = VALUES[words]
    monkeypatch.setattr(selection, "MOST_EVENTS", counted)
    assert made(words) == (count, [])
    monkeypatch.setattr(selection, "MOST_EVENTS", counted - 1)
    assert made(words) == (0, [("V301", f"this would make {counted} notes and rests")])


@pytest.mark.parametrize(
    ("items", "most"),
    [
        ("tune x 4", 12), ("gait x 4", 12), ("together(tune, long) x 2", 18), ("tune for 9/4", 9),
        ("tune until end", 15), ("gait for 3/2", 9), ("tune, long, tune", 11), ("tune x 2, 1/4 rest, long", 11),
        ("together(tune, long) for 15/4", 27),
    ],
)  # fmt: skip
def test_line_may_have_so_many_notes_and_no_more(items: str, most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    player = "drum" if items.startswith("gait") else "violin"
    script = (
        f"{LINES}forces\n    violin = violin\n    drum = snare drum\nmovement first\n    meter 15/4\n"
        f"    section one 1 bar\n        {player}: {items}\n"
    )
    monkeypatch.setattr(selection, "MOST_EVENTS", most)
    assert told(script) == []
    monkeypatch.setattr(selection, "MOST_EVENTS", most - 1)
    assert [(code, message) for code, _, message in told(script)] == [
        ("V301", f"this would make {most} notes and rests")
    ]


# ---------------------------------------------------------------- transforms and combinations


GRACES = " ".join(["D4"] * 17)
EDGES = [
    (f"tune -> graced by notes(1/8 {GRACES[:-3]})", f"tune -> graced by notes(1/8 ‹{GRACES}›)", "V501"),
    ("tune -> trill to P4", "tune -> trill to ‹P5›", "V504"),
    ("tune -> trill to aug4", "tune -> trill to ‹dim5›", "V504"),
    ("tune -> trill to m2", "tune -> trill to ‹dim2›", "V504"),
    ("tune -> trill to m2", "tune -> trill to ‹aug1›", "V504"),
    ("tune -> tremolo 1/8", "tune -> tremolo ‹1/4›", "V502"),
    ("tune -> tremolo 1/128", "tune -> tremolo ‹1/256›", "V502"),
    ("tune -> tremolo 1/32", "tune -> tremolo ‹3/32›", "V502"),
    ("tune -> expanded 1", "tune -> expanded ‹0›", "V206"),
    ("tune -> expanded 12", "tune -> expanded ‹13›", "V206"),
    ("tune -> within C4..B4", "tune -> within ‹C4..Bb4›", "V205"),
    ("tune -> within C9..B9", "tune -> within ‹C#9..B9›", "V205"),
    ("tune -> augmentation 64", "tune -> augmentation ‹65›", "V206"),
    ("tune -> augmentation 1:64", "tune -> augmentation ‹1:65›", "V206"),
    ("tune -> diminution 64", "tune -> diminution ‹65›", "V206"),
    ("notes(125/8 D4) -> augmentation 64", "notes(126/8 D4) -> augmentation ‹64›", "V219"),
    ("notes(1/64 D4) -> diminution 64 -> diminution 24", "notes(1/64 D4) -> diminution 64 -> diminution ‹25›", "V219"),
    ("tune -> augmentation 64 -> diminution 64", "tune -> diminution 64 -> diminution 64 -> diminution ‹64›", "V219"),
    ("tune -> sequence 1 by m2 up", "tune -> sequence ‹0› by m2 up", "V206"),
    ("tune -> first 3", "tune -> first ‹4›", "V203"),
    ("tune -> last 3", "tune -> last ‹4›", "V203"),
    ("tune -> last 1", "tune -> last ‹0›", "V203"),
    ("tune -> slurred 1..2", "tune -> slurred ‹2..2›", "V810"),
    ("tune -> slurred 2..3", "tune -> slurred 1..2 ‹3›", "V810"),
    ("tune -> crescendo mp mf", "tune -> crescendo mf ‹mf›", "V214"),
    ("tune -> crescendo pppp ffff", "tune -> crescendo ffff ‹pppp›", "V214"),
    ("tune -> diminuendo mf mp", "tune -> diminuendo mp ‹mf›", "V214"),
    ("tune -> harmonic touching m3", "tune -> harmonic touching ‹M2›", "V860"),
    ('tune -> sung verse 99 "la"', 'tune -> sung verse ‹100› "la"', "V850"),
    ('tune -> sung verse 98 "la" -> sung "lo"', 'tune -> sung verse 99 "la" -> sung ‹"lo"›', "V850"),
    ('tune -> sung "la la la"', 'tune -> sung ‹"la la la la"›', "V606"),
    ('tune -> sung 1..2 "la la"', 'tune -> sung 1..2 ‹"la la la"›', "V606"),
    ('tune -> labeled "a b c"', 'tune -> labeled ‹"a b c d"›', "V843"),
    ('tune -> labeled 2..3 "a b"', 'tune -> labeled 2..3 ‹"a b c"›', "V843"),
    ('tune -> figured "99+ ##1 #/n"', 'tune -> figured ‹"100"›', "V844"),
    ("triads -> voice 3", "triads -> voice ‹4›", "V870"),
    ("triads -> voice 1", "triads -> voice ‹0›", "V870"),
    ("canon(tune, after 1/4, voices 32)", "canon(tune, after 1/4, ‹voices 33›)", "V405"),
    ("stretto(tune, after 1/2, voices 2)", "stretto(tune, after 1/2, ‹voices 1›)", "V405"),
    ("stretto(tune, after 2/4)", "‹stretto(tune, after 3/4›)", "V406"),
    ("hocket(tune)", "‹hocket›(voices 2)", "N209"),
    ("weave(tune, long)", "‹weave›(tune)", "N209"),
    ("pedal_point(tune, D3)", "pedal_point(tune, long, ‹tune›)", "N209"),
    ("hocket(tune, voices 32)", "hocket(tune, ‹voices 33›)", "V405"),
    ("hocket(tune, long, voices 2)", "hocket(tune, long, ‹voices 3›)", "V405"),
    ("dialogue(tune, by 1/4, voices 2)", "dialogue(tune, by 1/4, ‹voices 1›)", "V405"),
    ("pedal_point(tune, chord(C3 G3))", "pedal_point(tune, ‹tune›)", "V404"),
    ("notes(1/4 C4 C4 D4) -> tied 1", "notes(1/4 C4 C4 D4) -> ‹tied 2›", "V835"),
    ("notes(1/4 C4 C4) -> tied", "notes(1/4 C4 rest C4) -> ‹tied›", "V835"),
    ("notes(1/4 D9) -> up M6", "notes(1/4 D9) -> ‹up m7›", "V211"),
    ("notes(1/4 C1) -> down P8", "notes(1/4 C1) -> ‹down m9›", "V211"),
]  # fmt: skip


@pytest.mark.parametrize(("within", "beyond", "code"), EDGES, ids=[beyond for _, beyond, _ in EDGES])
def test_edge_is_allowed_and_what_lies_beyond_it_is_not(within: str, beyond: str, code: str) -> None:
    assert told(f"{LINES}motif made = {within}\n") == []
    plain = beyond.replace("‹", "").replace("›", "")
    marked = beyond[beyond.index("‹") + 1 : beyond.index("›")]
    assert [(found, words) for found, words, _ in told(f"{LINES}motif made = {plain}\n")] == [(code, marked)]


PARTS = [f"p{number}" for number in range(1, 14)]


@pytest.mark.parametrize(
    ("parts", "chord", "code"),
    [
        (12, "C4 E4 G4", ""), (13, "C4 E4 G4", "V407"), (3, "C4 E4 G4 C5", ""), (2, "C4 E4 G4", "V409"),
    ],
)  # fmt: skip
def test_chord_is_spread_over_so_many_parts_and_has_so_many_notes(parts: int, chord: str, code: str) -> None:
    forces = "forces\n" + "".join(f"    {name} = violin\n" for name in PARTS[:parts])
    script = f"motif made = chord({chord}) -> voiced across {' '.join(PARTS[:parts])}\n{forces}"
    assert [found for found, _, _ in told(script)] == [code] * bool(code)


@pytest.mark.parametrize(("most", "codes"), [(3, []), (2, ["V409"])])
def test_chord_that_is_spread_has_so_many_notes(most: int, codes: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(voicing, "MOST_TONES", most)
    script = f"motif made = chord(C4 E4 G4 C5) -> voiced across a b c\n{FORCES}"
    assert [(code, message) for code, _, message in told(script)] == [
        (code, "a chord of 3 different notes") for code in codes
    ]


@pytest.mark.parametrize(("count", "code"), [(200, ""), (201, "V410")])
def test_so_many_chords_are_spread_at_once(count: int, code: str) -> None:
    script = f"motif made = notes(1/4 D4) x {count} -> voiced across p\nforces\n    p = violin\n"
    assert [found for found, _, _ in told(script)] == [code] * bool(code)


# ---------------------------------------------------------------- rows and lines of a section


ROWS = [
    ("a at bar 2 beat 4 + 7/32: notes(1/32 D5)", "a at bar ‹2 beat 4 + 1/4›: notes(1/32 D5)", "P112"),
    ("a at bar 2 beat 4: notes(1/4 D5)", "a at bar ‹2 beat 5›: notes(1/4 D5)", "P112"),
    ("b bars 1 to 2: marked p", "b bars ‹1 to 3›: marked p", "P117"),
    ("tempo at bar 2: broadening to 1/4 at 50 over 1/1", "tempo at bar 2: broadening to ‹1/4 at 50 over 9/8›", "P403"),
    ("tempo at bar 2 beat 4: 1/4 at 50", "tempo at bar ‹3›: 1/4 at 50", "P117"),
    ("tempo after 15/8: 1/4 at 50", "tempo ‹after 2/1›: 1/4 at 50", "P117"),
    ("a: notes(2/1 D5)", "a: notes(9/4 ‹D5›)", "P101"),
    ("a: notes(1/15 D5) -> diminution 15", "a: notes(1/21 ‹D5) -> diminution 11›", "P118"),
    ("a: notes(1/64 D5) -> diminution 16", "a: notes(1/64 ‹D5) -> diminution 64 -> diminution 2›", "P118"),
    ("a: 1 bar rest, rest to bar 2, notes(1/4 D5)", "a: notes(5/4 D5), rest to bar ‹2›, notes(1/4 D5)", "P106"),
    ("a: notes(7/4 D5), notes(1/4 D5) until end", "a: notes(2/1 D5), notes(1/4 ‹D5) until› end", "P107"),
    ("b doubles a", "‹b doubles a bars 2 to 3›", "P117"),
]  # fmt: skip


@pytest.mark.parametrize(("within", "beyond", "code"), ROWS, ids=[beyond for _, beyond, _ in ROWS])
def test_edge_of_a_row_is_allowed_and_what_lies_beyond_it_is_not(within: str, beyond: str, code: str) -> None:
    frame = (
        "forces\n    a = flute\n    b = flute\nmovement first\n    section one 2 bars\n        {}\n"
        "        b: notes(1/1 D5 E5)\n"
    )
    if "doubles" in within:
        frame = frame.replace("b: notes", "a: notes")
    assert told(frame.format(within)) == []
    plain = beyond.replace("‹", "").replace("›", "")
    marked = beyond[beyond.index("‹") + 1 : beyond.index("›")]
    assert [(found, words) for found, words, _ in told(frame.format(plain))] == [(code, marked)]


# ---------------------------------------------------------------- how large a movement grows


PLAYERS = "forces\n    a = flute\n    b = flute\nmovement first\n    section one 2 bars\n"
SECTIONS = "forces\n    a = flute\nmovement first\n    section one{}\n        a: notes(1/1 D5) x 4{}\n"


def test_movement_may_have_so_many_notes_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = "        a: notes(1/4 D5) x 5, 1/4 rest\n        b: notes(1/4 D5) x 5\n"
    monkeypatch.setattr(movement, "MOST_NOTES", 10)
    assert told(PLAYERS + rows) == []
    more = rows.replace("rest\n", "rest, notes(1/4 E5), notes(1/4 F5)\n")
    assert told(PLAYERS + more) == [("P116", "D5) x 5", "a movement holds 10 notes at most")]


def test_piece_may_have_so_many_notes_and_rests_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = "        a: notes(1/4 D5 rest) x 2, 1/4 rest\n        b: notes(1/4 D5) x 6\n"
    later = "movement second\n    a: notes(1/4 D5 rest)\n    b: notes(1/4 D5)\n"
    monkeypatch.setattr(movement, "MOST_IN_PIECE", 13)
    assert told(PLAYERS + rows + later) == []
    monkeypatch.setattr(movement, "MOST_IN_PIECE", 11)
    message = "a piece holds 11 notes and rests at most"
    assert [(code, said) for code, _, said in told(PLAYERS + rows + later)] == [("P116", message)]


@pytest.mark.parametrize(("most", "is_told"), [(12, False), (11, True)])
def test_repeats_are_counted_as_they_are_played(most: int, is_told: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    script = SECTIONS.format("", "") + "        repeated 3 times\n"
    monkeypatch.setattr(movement, "MOST_IN_PIECE", most)
    message = f"with its repeats a movement plays {most} notes at most"
    assert [said for _, _, said in told(script)] == [message] * is_told


@pytest.mark.parametrize(
    ("rows", "marked"),
    [
        (" 4 bars\n        a: notes(4/1 D5)", []), (" 5 bars\n        a: notes(4/1 D5)", ["one"]),
        ("\n        a: notes(4/1 D5)", []), ("\n        a: notes(17/4 D5)", ["one"]),
        (" 4 bars\n        a: notes(3/1 D5), rest to bar 4, 1 bar rest", []),
        (" 4 bars\n        a: notes(4/1 D5), 5 bars rest", ["5"]),
        (" 4 bars\n        a: notes(4/1 D5), rest to bar 6", ["6"]),
        (" 4 bars\n        a at bar 4 beat 4: notes(1/4 D5)", []),
        (" 4 bars\n        a at bar 6: notes(1/4 D5)", ["6"]),
    ],
)  # fmt: skip
def test_section_has_so_many_bars_and_no_more(
    rows: str, marked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bars, "MOST_BARS", 4)
    found = told(f"forces\n    a = flute\nmovement first\n    section one{rows}\n")
    message = "a section has 4 bars at most"
    assert [(words, said) for code, words, said in found if code == "P108"] == [(words, message) for words in marked]


# ---------------------------------------------------------------- what is worth a word


def many(high: int, usual: int, instrument: str = "oboe", above: str = "E6", easy: str = "D5") -> str:
    rest = f", notes(1/4 {easy}) x {usual}" if usual else ""
    return f"forces\n    a = {instrument}\nmovement first\n    a: notes(1/4 {above}) x {high}{rest}\n"


@pytest.mark.parametrize(
    ("high", "usual", "is_told"), [(12, 24, True), (12, 25, False), (11, 0, False), (13, 26, True), (40, 81, False)]
)
def test_twelve_notes_and_a_third_of_all_beyond_the_comfortable_range_are_told(
    high: int, usual: int, is_told: bool
) -> None:
    """As the handbook says of ranges; the comfortable range of an oboe ends with D6."""
    assert [code for code, _, _ in told(many(high, usual))] == ["?I104"] * is_told


@pytest.mark.parametrize(
    ("key", "notes", "is_told"),
    [
        ("D major", "F5 C5 F5 C5 F5 C5", True), ("D major", "F5 C5 F5 C5 F5", False),
        ("D major", "F5 C5 F5 C5 F5 C#5", False), ("G major", " ".join(["F5"] * 24), True),
        ("G major", " ".join(["F5"] * 23), False), ("F major", " ".join(["B4"] * 24), True),
        ("C major", " ".join(["F#5"] * 24), False),
    ],
)  # fmt: skip
def test_key_is_contradicted_by_six_notes_or_twenty_four_of_one_letter(key: str, notes: str, is_told: bool) -> None:
    script = f"forces\n    a = flute\nmovement first\n    key {key}\n    a: notes(1/4 {notes})\n"
    assert [code for code, _, _ in told(script)] == ["?P144"] * is_told


@pytest.mark.parametrize(
    ("before", "is_told"),
    [("notes(1/2 D5), 1/2 rest", False), ("notes(9/16 D5), 7/16 rest", True), ("notes(1/1 D5)", True)],
)
def test_two_seconds_are_enough_to_take_up_another_instrument(before: str, is_told: bool) -> None:
    """How long it takes is this project's own, and told as a guide."""
    script = (
        "forces\n    a = flute, doubling piccolo\nmovement first\n    tempo 1/4 at 60\n"
        f"    a: {before}, notes(1/4 D6)\n    a bars 2 to 2: on piccolo\n"
    )
    assert [code for code, _, _ in told(script)] == ["?P136"] * is_told
