"""What notation makes of many small lines, as tables that are compared whole with kept ones.

Source of what is right: common practice, but for the thresholds of clefs and octave signs, which are choices.
`pytest --update` writes the tables anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction as F
from itertools import groupby
from pathlib import Path

import pytest
from compiling import score_from
from notate_scores import (
    SPAN,
    all_leaves,
    bars_for,
    events,
    free,
    free_bar,
    instrument,
    key,
    marked,
    meter,
    movement,
    score,
    shown,
)
from notate_scores import written as written_of

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import instruments
from cavata.music.event import Event, Marks
from cavata.music.pitch import parse_pitch
from cavata.notate.frames import sounding_tempi, written_spans
from cavata.notate.notate import notate
from cavata.notate.text import bar_text
from cavata.notate.transposition import reading, written_interval
from cavata.notate.written import Leaf, WrittenScore, leaves
from cavata.pipeline import written
from cavata.score.score import ScoreEvent, Staff, Tempo

FOLDER = Path(__file__).parent / "test_notate_tables"
KEYS = ("Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#")


def players() -> list[Instrument]:
    """One instrument for each transposition."""
    found: dict[tuple[int, int], Instrument] = {}
    for one in instruments().values():
        found.setdefault((one.transposition.steps, one.transposition.semitones), one)
    return sorted(found.values(), key=lambda one: one.key)


def transposition() -> Iterator[str]:
    """In each key the signature, the tonic as read, and what becomes of a double sharp and a double flat."""
    for player in players():
        for concert in (False, True):
            told = []
            for tonic in KEYS:
                at = reading(player, concert, key(f"{tonic} major"))
                line = " ".join(str(at.written(parse_pitch(pitch))) for pitch in (f"{tonic}4", "B##4", "Fbb4"))
                told.append(f"{tonic} {at.signature:+d} {line}")
            yield f"{player.key}{' in C' if concert else ''}: {', '.join(told)}"


CIRCLE = ["Fb", "Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#"]


def test_tonic_is_read_in_its_own_signature_and_sounds_as_it_did() -> None:
    """The signature is that of the tonic as written, on the circle of fifths, with six signs at most where the player
    transposes; and what is read sounds what was said."""
    for player in players():
        for tonic in KEYS:
            at = reading(player, False, key(f"{tonic} major"))
            pitch = parse_pitch(f"{tonic}4")
            read = at.written(pitch)
            assert CIRCLE.index(str(read)[:-1]) - CIRCLE.index("C") == at.signature
            assert read.midi - pitch.midi == written_interval(player, False).semitones
            assert abs(at.signature) <= (7 if written_interval(player, False).semitones % 12 == 0 else 6)


ACCIDENTALS = (
    ("", "F#4:4 F4:4 F#4:4 F#4:4"), ("", "F#4:2 F#5:2 F5:2 F4:2"), ("", "F#4:1 F4:2 F4:2"), ("", "F#4:1 F#4:1 F4:1"),
    ("", "F#4:1 C4:1 F4:1"), ("", "F#4:2/1 F4:1 F4:1"), ("", "F#4:5/4 F#4:4 F4:2 F4:1"), ("",
    "F#4:4 C4:4 F5:2 F6:2 F4:2"),
    ("D major", "F#4:2 F4:2 F#4:1 F#4:1"), ("D major", "F4:1 F#4:1"), ("D major", "F4:1 F4:1 F#5:1"),
    ("F major", "B4:4 Bb4:4 B5:4 Bb5:4"), ("F major", "Bb4:4 B4:4 B3:2 Bb3:1"), ("", "F##4:4 F#4:4 F4:4 Fb4:4"),
    ("", "C#4+E4+G#4:2 C4+E4+G4:2"), ("", "F4+F#4:2 F4:2 F#4:1"), ("", "F#4+F#5:2 F4+F#5:2 F4+F5:1"),
    ("", "C#4:4 Db4:4 C4:4 D4:4"), ("C major, G major", "F#4:1 F4:1 F#4:1"), ("G major, C major", "F#4:1 F4:1 F#4:1"),
    ("G major, C major", "F#4:2/1 F#4:1"), ("", "Bb4:4 r:4 B5:4 B4:4 B4:1"), ("", "C#4:4 C#5:4 C5:4 C4:4 C6:1"),
    ("", "C#4+C#4:2 C#4:2"), ("", "C#4+D#4:1 C4+D4:2/1"),
)  # fmt: skip
VOICES = (
    ("F#5:4 G5:4 F5:2", "A4:2 F#5:2"),
    ("F5:2 G5:2", "F#5:2 E5:2"),
    ("F5:2 F5:2", "F#5:2 F#5:2"),
    ("F#5:1 F5:1", "A4:1 F#4:1"),
    ("C#5+E5:2 C5:2", "C#5:1"),
    ("r:2 F5:2", "F#5:1"),
    ("F#5:5/4 F5:3/4", "D4:2/1"),
    ("F#5:5/4 r:3/4", "D4:1 F5:1"),
)
IN_FREE_TIME = (
    "F#4:4 F#4:4 F4:4 F4:4 F#4:4", "F#4:4 G4:4 F#4:4 G4:4 F4:4 F4:4", "F#4:2/1 F4:1 F#4:1 F4:1", "F4+F#4:4 F4:4",
    "C#4+E4:4 C#4+E4:4 C4+E4:4", "Bb4:1 C4:1 B4:1 C4:1 B4:1",
)  # fmt: skip


def accidentals() -> Iterator[str]:
    for keys, line in ACCIDENTALS:
        yield f"{keys or 'no key'}: {line} = {' | '.join(shown(written_of(line, keys=keys)))}"
    for upper, lower in VOICES:
        yield f"{upper} // {lower} = {' | '.join(shown(written_of(upper, lower)))}"
    for line in IN_FREE_TIME:
        yield f"free: {line} = {' | '.join(shown(free(line)))}"


def runs(*notes: tuple[str, int], value: str = "4") -> str:
    """So many times each note."""
    return " ".join(f"{pitch}:{value}" for pitch, count in notes for _ in range(count))


def compact(line: str) -> str:
    """Equal notes that follow one another as one with their number."""
    return " ".join(f"{word} x{len(list(same))}" for word, same in groupby(line.split()))


def signs(result: WrittenScore) -> str:
    """The first clef, and each clef and octave sign at its bar and note."""
    staff = result.movements[0].parts[0].staves[0]
    told = [staff.clef]
    for number, bar in enumerate(staff.bars, 1):
        for voice, items in enumerate(bar.voices, 1):
            for place, leaf in enumerate(leaves(items), 1):
                at = f"{number}.{place}" + (f" of voice {voice}" if voice > 1 else "")
                told += [f"{leaf.clef} at {at}"] if leaf.clef else []
                told += [f"ottava {leaf.ottava} at {at}"] if leaf.ottava is not None else []
    return ", ".join(told)


def clefs() -> Iterator[str]:
    for player, low, high in (("bassoon", "C3", "A4"), ("cello", "D3", "B4"), ("cello", "D3", "E5"), ("viola", "D4",
        "E6"),
                              ("trombone", "C3", "B4"), ("double bass", "C2", "A3"), ("cello", "C3", "G4"),
                              ("viola", "E4", "C6")):  # fmt: skip
        for before, count, after in ((8, 3, 8), (8, 4, 8), (8, 5, 8), (8, 6, 8), (8, 8, 8), (8, 16, 4), (4, 7, 1), (0,
            4, 8),
                                     (0, 8, 16), (8, 12, 0), (3, 9, 4)):  # fmt: skip
            line = runs((low, before), (high, count), (low, after))
            yield f"{player} {low}x{before} {high}x{count} {low}x{after}: {signs(written_of(line, player=player))}"
    for line in (
        f"{runs(('C3', 6))} r:2 {runs(('C5', 9), ('C3', 7))}",
        f"{runs(('C3', 5))} r:4 {runs(('C5', 10))} r:4 {runs(('C3', 7))}",
        f"r:1 {runs(('C5', 12), ('C3', 8))}", f"{runs(('C3', 7))} C5:5/4 {runs(('C5', 12), ('C3', 8))}",
        f"{runs(('C3', 4))} {runs(('C3+C5', 12), ('C3', 8))}", f"{runs(('C3', 4))} {runs(('A4+C5', 12), ('C3', 8))}",
    ):  # fmt: skip
        yield f"bassoon {compact(line)}: {signs(written_of(line, player='bassoon'))}"
    for upper, lower in (
        (runs(("C3", 8), ("C5", 16), ("C3", 8)), runs(("C3", 8), ("A4", 16), ("C3", 8))),
        (runs(("C3", 8), ("C5", 16), ("C3", 8)), runs(("C3", 32))),
        (runs(("C3", 6)) + " r:2 " + runs(("C5", 16)), runs(("C3", 8)) + " r:1 " + runs(("C5", 12))),
    ):
        yield f"bassoon {compact(upper)} // {compact(lower)}: {signs(written_of(upper, lower, player='bassoon'))}"


def ottavas() -> Iterator[str]:
    lines = [
        runs(("C5", 4), (high, count), ("C5", 4)) for high in ("C6", "D6", "E6", "G6", "B6", "D7") for count in (3, 4,
            5, 6, 10, 11)
    ]  # fmt: skip
    lines += [runs(("C5", 2), ("B6", 3), ("C5", 2), ("B6", 1), ("C5", 2), ("B6", 4), ("C5", 2)),
              runs(("B6", 2), ("C6", 1), ("B6", 2), ("C6", 1), ("C5", 1)), runs(("B6", 4)),
              runs(("C5", 3), ("B6", 4)), "B6:4 B6:4 r:2 B6:4 B6:4 r:2 C5:1",
              f"{runs(('B6', 4))} r:1 {runs(('B6', 4))}",
              f"{runs(('B6', 2))} r:2 r:1 {runs(('B6', 2))} C5:2", "C6+C7:4 E6+E7:4 G6+G7:4 E6+E7:4 C5:1",
              "B6:1/12 B6:1/12 B6:1/12 B6:1/6 C5:1/12 B6:1/12 B6:1/12 B6:1/12 B6:1/4 C5:1"]  # fmt: skip
    for player in ("violin", "flute"):
        for line in lines if player != "flute" else lines[-9:]:
            yield f"{player} {compact(line)}: {signs(written_of(line, player=player))}"
    low = [
        runs(("C3", 4), (pitch, count), ("C3", 4)) for pitch in ("D2", "C2", "B1", "G1", "E1") for count in (4, 5, 10)
    ]
    harp = instrument("piano")
    for line in low:
        staves = [Staff("right", (events("C5:1"),)), Staff("left", (events(line),))]
        bars = bars_for(events(line)[-1].end, [meter("4/4")], [None])
        left = notate(score([movement([staves], bars)], [harp])).movements[0].parts[0].staves[1]
        told = [f"{leaf.ottava} at {n}.{place}" for n, bar in enumerate(left.bars, 1) for voice in bar.voices
                for place, leaf in enumerate(leaves(voice), 1) if leaf.ottava is not None]  # fmt: skip
        yield f"piano's left hand {compact(line)}: {', '.join(told)}"


def waits(line: str, *rests: tuple[str, str]) -> list[ScoreEvent]:
    """A line, with silences that have a fermata: onset and length."""
    silent = [
        ScoreEvent(F(onset), Event(F(length), (), Marks(articulations=("fermata",))), SPAN) for onset, length in rests
    ]
    return sorted([*events(line), *silent], key=lambda event: event.onset)


FERMATAS = (
    ("4/4", "C4:4 r:2. C4:1", ("1/4", "1/4")), ("4/4", "C4:4 r:2. C4:1", ("1/4", "1/2")),
    ("4/4", "C4:4 r:2. C4:1", ("1/4", "3/4")), ("4/4", "C4:4 r:2. C4:1", ("1/4", "1/4"), ("1/2", "1/2")),
    ("4/4", "C4:1 r:1 C4:1", ("1", "1")), ("4/4", "C4:1 r:1 C4:1", ("1", "1/4")), ("4/4", "C4:1 r:1 C4:1", ("1",
    "1/2")),
    ("4/4", "C4:1 r:1 C4:1", ("1", "1/4"), ("5/4", "3/4")), ("4/4", "C4:2 r:5/4 C4:4", ("1/2", "3/4")),
    ("4/4", "C4:2 r:5/4 C4:4", ("1/2", "5/4")), ("6/8", "C4:4. r:4. C4:2.", ("3/8", "1/8")),
    ("6/8", "C4:4. r:4. C4:2.", ("3/8", "1/4")), ("4/4", "C4:1/12 r:1/6 C4:2.", ("1/12", "1/12")),
    ("4/4", "C4:1/12 r:1/6 C4:2.", ("1/12", "1/6")), ("4/4", "C4:2 r:2", ("1/2", "1/16")),
    ("4/4", "C4:2 r:2", ("1/2", "1/32")), ("4/4", "C4:2 r:2", ("1/2", "3/32")), ("3/4", "C4:2. r:2.", ("3/4", "1/4")),
    ("4/4 after 1/4", "r:4 C4:1", ("0", "1/4")), ("4/4 after 1/2", "r:2 C4:1", ("0", "1/4")),
    ("4/4 after 1/4", "C4:8 r:8 C4:1", ("1/8", "1/8")), ("4/4 after 1/4", "C4:8 r:8 C4:1", ("1/8", "1/16")),
    ("4/4 after 1/3", "C4:1/12 r:1/4 C4:1", ("1/12", "1/4")), ("4/4 after 1/3", "r:1/12 C4:1/4 C4:1", ("0", "1/12")),
    ("4/4 after 7/12", "C4:1/12 r:1/2 C4:1", ("1/12", "1/4")),
    ("4/4 after 5/12", "r:1/6 C4:1/4 C4:1", ("0", "1/6")),
)  # fmt: skip


def fermatas() -> Iterator[str]:
    for text, line, *rests in FERMATAS:
        pickup = F(text.partition(" after ")[2] or 0)
        result = written_of(waits(line, *rests), meters=text.partition(" after ")[0], pickup=pickup)
        bars = shown(result)
        for number, bar in enumerate(result.movements[0].parts[0].staves[0].bars):
            whole = [leaf for leaf in leaves(bar.voices[0]) if leaf.whole_bar]
            bars[number] += "/fermata" * any(leaf.marks.articulations for leaf in whole)
        told = " and ".join(f"{length} from {onset}" for onset, length in rests)
        yield f"{text} {line}, waiting {told}: {' | '.join(bars)}"


def free_time() -> Iterator[str]:
    """Where long free time is cut."""
    for line in (
        "C4:1 " * 6, "C4:2/1 " * 3, "C4:1 C4:3/4 C4:3/4 C4:1 C4:1 C4:1", "C4:3/1 C4:1/4 C4:1 C4:1",
        "C4:5/2 C4:1 C4:1/2",
        "C4:5/2 C4:1/2 C4:1/2", "C4:1/12 " * 40, "C4:2/1 C4:1/12 C4:1/12 C4:2/1 C4:1/12 C4:2/1",
        "r:2/1 C4:1 r:2/1 C4:1",
        "C4:7/3", "C4:1/12 C4:1/12", "C4:2/1 C4:15/16", "C4:2/1 C4:17/16",
    ):  # fmt: skip
        voice = events(line)
        made = movement([[Staff("", (voice,))]], free_bar(voice[-1].end))
        spans = written_spans(made)
        told = [f"{span.onset}..{span.end}+{span.tail}{' on' if span.continues else ''}" for span in spans]
        result = free(voice)
        lengths = " ".join(str(frame.duration) for frame in result.movements[0].frames)
        yield f"{line.strip()[:60]}: {', '.join(told)} = {' | '.join(shown(result))}, lasting {lengths}"
    for upper, lower in (
        ("C4:1 " * 5, "C4:3/2 C4:2/1 C4:3/2"),
        ("C4:1 " * 5, "C4:2/1 C4:3/1"),
        ("C4:5/2 C4:5/2", "C4:3/2 " * 3),
    ):
        both = (events(upper), events(lower))
        made = movement([[Staff("", both)]], free_bar(F(5)))
        yield f"{upper}// {lower}: {', '.join(f'{s.onset}..{s.end}' for s in written_spans(made))}"


SONGS = (
    ("notes(1/4 D4 E4 F4 G4)", 'sung "a b c d"'), ("notes(1/4 D4 E4 F4 G4)", 'sung "la-la _ lu"'),
    ("notes(1/4 D4 E4 F4 G4)", 'sung "la _ _ _"'), ("notes(1/4 D4 E4 F4 G4)", 'sung "a-men so-"'),
    ("notes(1/1 D4 | 1/2 D4 E4)", 'sung "hold on _"'), ("notes(3/2 D4, 1/2 E4)", 'sung "hold on"'),
    ("notes(1/4 D4 rest F4 G4)", 'sung "a _ b"'), ("notes(1/4 D4 E4 F4 G4)",
    'sung "a b c d" -> sung verse 2 "e f g h"'),
    ("notes(1/4 D4 E4 F4 G4)", 'sung verse 2 "e f" -> sung "a b c d"'),
    ("notes(1/4 D4 E4 F4 G4)", 'sung 2..4 "b c d" -> sung verse 2 "e f g h"'),
    ("notes(1/4 D4 E4 F4 G4)", 'sung 3..4 "c d" -> sung 2..4 verse 2 "f g h"'),
    ("notes(1/1 D4, 1/4 E4 F4 G4 A4)", 'sung 2..5 "b c d e" -> sung verse 3 "a f g h i"'),
    ("notes(1/4 D4 E4 F4 G4)", "sung \"l'u la~le don't _\""), ("notes(1/12 D4 E4 F4, 1/4 G4, 1/2 A4)",
    'sung "so _ it goes _"'),
    ("notes(1/4 D4 E4 F4 G4)", 'spoken "say it so now"'), ("notes(1/4 D4 E4 F4 G4)",
    'sung "\u0628\u0628-\u0628\u0627 \u0627-\u0628"'),
)  # fmt: skip


UPBEATS = (
    ('notes(1/4 D4 E4) -> sung verse 2 "a b"', 'notes(1/4 F4 G4) -> sung "c d" -> sung verse 2 "e f"'),
    ('notes(1/4 D4 E4) -> sung "a b"', 'notes(1/4 F4 G4) -> sung "c d" -> sung verse 2 "e f"'),
    ("notes(1/4 D4 rest)", 'notes(1/8 E4, 1/4 F4 G4) -> sung 2..3 "c d" -> sung verse 2 "e f g"'),
    ("notes(1/4 D4)", 'notes(1/2 E4 F4, 1/4 G4) -> sung last "c" -> sung verse 2 "e f g"'),
    ("notes(1/4 D4)", 'notes(1/2 E4, 31/64 F4, 1/4 G4) -> sung last "c" -> sung verse 2 "e f g"'),
    ("notes(1/4 D4)", 'notes(1/4 E4 rest F4 G4) -> sung 2..3 "c d" -> sung verse 2 "e f g"'),
    ("notes(1/4 D4)", 'notes(1/4 E4 E4 F4 G4) -> sung 3..4 "c d" -> sung verse 2 "e _ f g"'),
    ("notes(1/4 D4)", 'notes(1/4 E4 E4 F4 G4) -> sung 1 "x" -> sung 3..4 "c d" -> sung 2..4 verse 2 "e f g"'),
    ('notes(1/4 D4 E4) -> sung "a b" -> sung verse 2 "c d"', 'notes(1/4 D4 E4) -> sung "a b" -> sung verse 2 "c d"'),
    (
        'notes(1/4 D4 E4) -> sung "a b" -> sung verse 2 "c d"',
        'notes(1/4 D4 E4 F4) -> sung "a b c" -> sung 2..3 verse 2 "c d"',
    ),
    ('notes(1/4 D4 E4) -> sung "a b" -> sung verse 3 "c d"', 'notes(1/4 E4 F4) -> sung "a b" -> sung verse 2 "c d"'),
)
"""Two items each, with words of several verses that do not begin together."""


def sung() -> Iterator[str]:
    items = [f"{line} x 2 -> {words}" for line, words in SONGS] + [", ".join(pair) for pair in UPBEATS]
    for music in items:
        script = f"language 2\nforces\n    voice = soprano\nmovement first\n    voice: {music}\n"
        page = written(score_from(script))
        told = [
            " ".join(
                f"{text.number}{'-' * text.comes_on}{text.text or '_'}{'-' * text.goes_on}"
                f"{f' ({text.line})' if text.line else ''}"
                for text in leaf.sung
            ) or "."
            for leaf in all_leaves(page)
        ]  # fmt: skip
        yield f"{music}: {' / '.join(told)}"


def marks_of_pieces() -> Iterator[str]:
    """What stands at the first, the inner and the last leaf of a note that is tied."""
    everything = Marks(
        "p", ("accent", "staccato", "tenuto", "fermata", "breath"), ("so",), "crescendo", True, True, True
    )
    for given in (
        everything,
        replace(everything, slur_begins=False),
        replace(everything, hairpin="", hairpin_ends=False),
    ):
        for line in ("C4:1", "C4:5/4", "C4:3/1"):
            yield f"{line}: {' | '.join(shown(written_of(marked(events(line), {0: given}))))}"


def staves_of_two_hands() -> Iterator[str]:
    """What both hands are told is told once; and a rolled single note beside a chord keeps its sign."""
    for right, left in (
        ("notes(1/2 D5 E5) -> marked p", "notes(1/2 D3 E3) -> marked p"),
        ("notes(1/2 D5 E5) -> marked p", "notes(1/2 D3 E3) -> marked f"),
        ("notes(1/2 D5 E5) -> crescendo p f", "notes(1/4 D3 E3, 1/2 E3) -> crescendo p f"),
        ('notes(1/2 D5 E5) -> marked p "so"', 'notes(1/2 D3 E3) -> marked 2 p "so"'),
        ("notes(1/1 D5) -> marked p", "notes(1/2 rest E3) -> marked p"),
    ):
        script = (
            f"language 2\nforces\n    piano = piano\nmovement first\n    piano.right: {right}\n    piano.left: {left}\n"
        )
        page = written(score_from(script))
        for staff in page.movements[0].parts[0].staves:
            yield " | ".join(map(bar_text, staff.bars))


HELD = (
    ("C4+E4:4 C4+F4:4 r:2", {0: (), 1: ("C4",)}, {0: ("C4",), 1: ()}),
    ("C4+E4:5/4 C4+F4:3/4", {1: ("C4",)}, {0: ("C4",)}),
    ("C4+E4:1 C4+F4:5/4 G4+F4:3/4", {1: ("C4",), 2: ("F4",)}, {0: ("C4",), 1: ("F4",)}),
    ("C4+E4+G4:3/1 C4+G4:1", {1: ("C4", "G4")}, {0: ("C4", "G4")}),
    ("C#4+E4:2 C#4+F4:2 C#4:1", {1: ("C#4",)}, {0: ("C#4",)}),
)
"""Chords of which some notes go on: by event, what is held from the one before, and what into the one after."""


def held() -> Iterator[str]:
    """Which heads of each leaf begin a tie and which end one."""
    for line, before, after in HELD:
        voice = tuple(
            replace(
                event, held_before=tuple(map(parse_pitch, before.get(number, ()))),
                held_after=tuple(map(parse_pitch, after.get(number, ()))),
            )
            for number, event in enumerate(events(line))
        )  # fmt: skip
        told = [
            " ".join(
                f"{'_' * head.tie_ends}{head.pitch}{'!' * (head.accidental.value == 'shown')}{'~' * head.tie_begins}"
                for head in leaf.heads
            ) or "r"
            for leaf in all_leaves(written_of(voice))
        ]  # fmt: skip
        yield f"{line}: {' / '.join(told)}"


@pytest.mark.parametrize(
    "table",
    [transposition, accidentals, clefs, ottavas, fermatas, free_time, sung, marks_of_pieces, staves_of_two_hands, held],
)
def test_table_is_kept(table: Callable[[], Iterator[str]], request: pytest.FixtureRequest) -> None:
    found = [row.rstrip() for row in table()]
    kept = FOLDER / f"{table.__name__}.txt"
    if request.config.getoption("--update"):
        FOLDER.mkdir(exist_ok=True)
        kept.write_text("\n".join(found) + "\n", "utf-8")
    assert found == kept.read_text("utf-8").splitlines()


@pytest.mark.parametrize(("until", "end"), [(F(3, 2), F(2)), (F(23, 16), F(2)), (F(2), F(3, 2)), (F(3, 2), F(3, 2))])
def test_a_change_of_tempo_is_a_stair_that_takes_as_long(until: F, end: F) -> None:
    """A stretch takes its length times the mean of its first and its last speed: by arithmetic."""
    steady, changing = Tempo(F(0), F(1, 4), F(60)), Tempo(F(1), F(1, 4), F(60), until=until, goal=F(2))
    found = [*sounding_tempi((steady, changing), end), (end, F(0))]
    assert found[0] == (F(0), F(4)) and found[1][0] == 1
    arrives = min(until, end)
    lasted = sum(
        (after[0] - here[0]) * here[1] for here, after in zip(found, found[1:], strict=False) if 1 <= here[0] < arrives
    )
    assert lasted == (arrives - 1) * (4 + changing.seconds_at(arrives)) / 2
    assert max(after[0] - here[0] for here, after in zip(found[1:], found[2:], strict=False) if here[0] < arrives) == F(
        1, 8
    )
    assert (found[-2] == (until, F(2))) is (until < end)


def test_only_notes_know_their_events() -> None:
    for leaf in all_leaves(written_of("C4:5/4 r:4 D4:2")):
        assert isinstance(leaf, Leaf) and (leaf.event is None) == (not leaf.heads)
