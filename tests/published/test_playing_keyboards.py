"""Keyboards and organ: what two hands and two feet cannot do is told, and what real works ask of them is let through.

Source beside each. Rows marked `from memory` were not looked up again and prove nothing; a place in a work that is
marked `read` was read in a public encoding of it (Mutopia Project), its notes at concert pitch.
"""

from __future__ import annotations

import os
from itertools import combinations, product
from random import Random

import pytest
from looking import checked, found, told

from cavata.instruments.keyboards import STRETCHES, distance, divided_hands, hand_of, leap, leap_time, width
from cavata.instruments.pedalboard import PedalStroke, feet_of, hurried, time_of
from cavata.music.pitch import parse_pitch
from cavata.playing.profile import AMATEURS, PROFESSIONAL

PIANO, ORGAN, HARPSICHORD = "piano = piano", "organ = organ", "cembalo = harpsichord"
IMPOSSIBLE = (
    (PIANO, "piano.right: chord(1/1 C4 A5)", 60, "hand span", "a thirteenth, 283 mm; men's mean span is 226"),
    (PIANO, "piano.left: chord(1/1 C3 E4 G5)", 60, "hand span", "two octaves and a fifth"),
    (PIANO, "piano.left: chord(1/1 C2 G3)", 60, "hand span", "a twelfth struck"),
    (PIANO, "piano.right: chord(1/1 C4 F5)", 60, "hand span", "an eleventh on white keys: 236 mm"),
    (PIANO, "piano.right: chord(1/1 Bb3 Eb5)", 60, "hand span", "an eleventh on black keys: 235 mm"),
    (PIANO, "piano.right: chord(1/1 C4 C#4 D4 Eb4 C5)", 60, "hand span", "Parncutt: ring to little finger 5 semitones"),
    (PIANO, "piano.right: chord(1/1 C4 C#4 D4 Eb4 D5)", 60, "hand span", "Parncutt: the same"),
    (PIANO, "piano.right: chord(1/1 C3 C4 C5 C6)\npiano.left: chord(1/1 C1 C2)", 60, "hand span", "four octaves of C"),
    (PIANO, "piano.right: chord(1/1 C2 D3 E4 F5 G6 A7)", 60, "hand span", "six notes that two hands do not divide"),
    (PIANO, "piano.right: notes(1/16 C2 C7 C2 C7)", 120, "hand leap", "five octaves in 0.125 s"),
    (PIANO, "piano.left: notes(1/32 C1 C5 C1 C5)", 80, "hand leap", "four octaves in 0.09 s"),
    (PIANO, "piano.right: notes(1/16 C4 C4 C4 C4)", 240, "repeated key", "16 a second; 15 is the limit, from memory"),
    (PIANO, "piano.left: notes(1/32 chord(C3 G3) chord(C3 G3) chord(C3 G3))", 140, "repeated key", "19 a second"),
    (HARPSICHORD, "cembalo.right: chord(1/1 C4 G5)", 60, "hand span", "a nineteenth: keys are hardly narrower"),
    (HARPSICHORD, "cembalo.right: together(notes(1/1 C4), notes(1/2 rest C6))\ncembalo.left: notes(1/2 rest F#2)", 60,
     "held keys", "C4 lies between both hands, which are two octaves away"),
    (ORGAN, "organ.right: together(notes(1/1 C4), notes(1/2 rest A5))\norgan.left: notes(1/2 rest F#2)", 60,
     "held keys", "no pedal holds the C"),
    (ORGAN, "organ.pedal: chord(1/1 C2 C3 C4)", 60, "organ feet", "two feet, and three places"),
    (ORGAN, "organ.pedal: chord(1/1 C2 E2 G2 C3 E3)", 60, "organ feet", "a foot has toe and heel"),
    (ORGAN, "organ.pedal: notes(1/32 C2 C3 C4 C3 C2 C3)", 100, "organ pedals", "octave leaps in 0.075 s"),
    (ORGAN, "organ.pedal: notes(1/32 C2 F4 C2 F4 E2 D4 C2 F4) -> up m2", 200, "organ pedals", "0.0375 s a note"),
    (PIANO, "piano.right: notes(1/64 C4 D4 E4 F4 G4 A4 B4 C5)", 140, "speed", "37 a second"),
    (PIANO, "piano.right: notes(1/32 C4 D4 E4 F4 G4 A4 B4 C5)", 120, "speed",
     "16 a second; about 14 end it, from memory"),
    (PIANO, "piano.right: together(notes(1/1 C5), notes(1/1 E4)), notes(1/32 C4 D4 E4 F4 G4 A4 B4 C5)", 140, "speed",
     "19 a second, after two voices"),
    (HARPSICHORD, "cembalo.left: notes(1/16 C3 D3 E3 F3 G3 A3 B3 C4)", 240, "speed", "the same"),
    (PIANO, "piano.right: notes(1/64 C4 E4 D4 F4 E4, 1/4 G4)", 90, "speed",
     "24 a second, five notes of a hand, from memory"),
    (PIANO, "piano.right: notes(1/16 chord(G4 G5) chord(A4 A5) chord(B4 B5) chord(C5 C6) chord(B4 B5))", 170, "speed",
     "11 octaves a second, from memory"),
    (PIANO, "piano.left: notes(1/1 G#0)", 60, "too low", "88 keys, MIDI keys 21 to 108 (scribd.com 474598773)"),
    (PIANO, "piano.right: notes(1/1 C#8)", 60, "too high", "the same"),
    ("celesta = celesta", "celesta.left: notes(1/1 B3)", 60, "too low", "written C3, an octave higher, from memory"),
    (ORGAN, "organ.pedal: notes(1/1 A4)", 60, "too high", "G4 is the last pedal (organbench.com, AGO)"),
    (ORGAN, "organ.pedal: notes(1/1 B1)", 60, "too low", "C2 is the first"),
    ("ondes = ondes Martenot", "ondes: chord(1/1 C4 E4)", 60, "one key", "it has one note at a time"),
)  # fmt: skip
CARE = (
    ("celesta = celesta", "celesta.right: notes(1/4 C6 D6) -> marked fff", 60, "loudness",
     "a soft instrument, from memory"),
    (HARPSICHORD, "cembalo.right: notes(1/4 C5 D5) -> marked fff", 60, "loudness", "touch does nothing, from memory"),
    (PIANO, "piano.right: chord(1/1 C4 E5)", 60, "hand span", "a tenth: 13 of 100 women reach it, 76 of 100 men"),
    (PIANO, "piano.right: chord(1/1 C4 D4 E4 F4 G4 A4)", 60, "hand span", "the thumb has two keys"),
    (PIANO, "piano.right: notes(1/16 C4 C4 C4 C4 C4)", 210, "repeated key", "14 a second, from memory"),
    (PIANO, "piano.right: notes(1/16 C4 C6 C4 C6)", 120, "hand leap", "two octaves in 0.125 s, from memory"),
    (PIANO, "piano.right: notes(1/12 chord(G3 G4)) for 20 bars", 152, "octaves", "as in Schubert D 328"),
    (PIANO, "piano.right: notes(1/4 C3 D3)\npiano.left: notes(1/4 C4 D4)", 60, "crossing hands", "common practice"),
    (PIANO, "piano.right: together(notes(1/1 C4), notes(1/2 rest A5))\npiano.left: notes(1/2 rest F#2)", 60,
     "held keys", "the pedal holds what hands have left"),
    (ORGAN, "organ.pedal: notes(1/32 C2 C3 C2 C3 C2 C3)", 100, "organ pedals", "6.7 strokes a second of each foot"),
    (PIANO, "piano.right: notes(1/2 C4 rest)\npiano.left: notes(1/4 rest C4 D4)", 60, "shared key", "common practice"),
    (PIANO, "piano.right: notes(1/2 C4 C#5) -> glissando 1", 60, "key glissando", "white keys or black ones"),
    (ORGAN, "organ.pedal: chord(1/1 C2 E2 G2)", 60, "organ feet", "three pedals: care, wiscomposers.org"),
    (ORGAN, "organ.pedal: chord(1/1 C2 C4)", 60, "organ feet", "two octaves apart, from memory"),
    (ORGAN, "organ.pedal: together(notes(1/1 D4), notes(1/2 rest F4))", 60, "organ feet", "both feet at the right end"),
    (ORGAN, "organ.right: notes(1/4 C4 D4 E4 F4) -> crescendo p f\norgan.pedal: chord(1/1 C2 Bb2)", 60,
     "swell pedal", "one foot has no minor seventh"),
    ("organ = chamber organ", "organ.right: notes(1/4 C4 D4 E4 F4) -> crescendo p f", 60, "swell pedal", "no box"),
    (HARPSICHORD, "cembalo.right: notes(1/4 C4 D4 E4 F4) -> crescendo p f", 60, "swell pedal", "common practice"),
    (PIANO, "piano.right: notes(1/32 C4 D4 E4 F4 G4 A4 B4 C5)", 100, "speed", "13 a second; trills: 10 to 14"),
    (PIANO, "piano.right: notes(1/16 chord(G4 G5) chord(A4 A5) chord(B4 B5) chord(C5 C6) chord(B4 B5))", 140, "speed",
     "9 octaves a second, from memory"),
    (PIANO, "piano.left: together(notes(1/32 C3 D3 E3 F3 G3 A3 B3 C4 D4), notes(1/4 C3))", 130, "speed",
     "of two voices the other hand may take one"),
    (ORGAN, "organ.right: notes(1/4 chord(C4 C5) chord(E4 E5)) -> slurred", 60, "key legato", "wiscomposers.org"),
    (ORGAN, "organ.right: notes(1/4 C4 D4) -> marked p, notes(1/4 E4 F4) -> marked ff\norgan.left: notes(1/1 C3)", 60,
     "registration",
     "a hand must be free for about a second"),
)  # fmt: skip
REAL = (
    (PIANO, "piano.left: chord(1/4 C#3 E3 A3 E4)", 80, "Brahms op. 118/2, bars 34 and 35, read: a tenth struck"),
    (PIANO, "piano.right: chord(1/2 F#4 A5)", 80, "the same, bar 2, read: a tenth, rolled there; struck it is care"),
    (PIANO, "piano.right: notes(1/4 chord(F#4 A#4 F#5) chord(E#4 A#4 E#5))", 80, "the same, bar 58, read"),
    (PIANO, "piano.left: together(notes(1/12 rest F3 Db4 Ab3 F4 Db4 Ab3 F3 Db4 Ab3 F4 Db4), notes(1/1 Db2)) "
     "-> sustain_pedal", 60, "Liszt, Consolation 3, bar 1, read"),
    (PIANO, "piano.left: notes(1/16 Ab4 G4 F4 D4 Eb4 D4 B3 G3)", 160, "Chopin op. 10/12, bar 1, read"),
    (PIANO, "piano.left: notes(1/16 F2 C3 Ab3 C3 Bb3 C3 Db4 C3)", 96, "Chopin op. 10/9, bar 1, read"),
    (PIANO, "piano.right: notes(1/12 chord(G3 G4)) for 1 bar", 152, "Schubert D 328, bar 1, read: 7.6 a second"),
    (PIANO, "piano.right: notes(1/16 rest C3 G3 C4 E4 C4 G4 C5 E5 C5 G5 C6)", 176, "Chopin op. 10/1, bar 1, read"),
    (PIANO, "piano.right: notes(1/24 rest C5 B4 C#5 C5 Eb5 D5 F#5 F5 A5 G#5 B5 Bb5)", 138,
     "Chopin op. 25/11, 14 a second, from memory"),
    (PIANO, "piano.right: notes(1/64 C5 D5 E5 F5, 1/4 G5)", 60, "a run of four before a beat, common practice"),
    (PIANO, "piano.left: notes(1/16 chord(D2 D3) chord(C#2 C#3) chord(C2 C3) chord(B1 B2) chord(A1 A2))", 130,
     "octaves as in Liszt's sixth rhapsody, 8.7 a second, from memory"),
    (PIANO, "piano.right: notes(1/16 D#5 D#6 C#5 D#6 B4 D#6)", 100, "Liszt, La campanella, from memory"),
    (PIANO, "piano.left: chord(1/1 F1 C2 Ab2)", 60, "Rachmaninoff op. 18 i, bar 1, from memory"),
    (PIANO, "piano.right: notes(1/16 chord(E5 G5) chord(D5 F5) chord(C5 E5) chord(B4 D5))", 110, "a row of thirds"),
    (PIANO, "piano.right: notes(1/8 chord(C4 E4 G4 C5) chord(D4 F4 A4 D5))", 132, "octaves filled with chords"),
    (PIANO, "piano.left: notes(1/8 C2 chord(E3 G3 C4) G1 chord(F3 G3 B3))", 160, "the left hand of a waltz or a rag"),
    (PIANO, "piano.right: chord(1/1 C4 D4 E4 F4 G4 A4 B4 C5)", 60, "a cluster with the flat hand, H. Cowell"),
    (PIANO, "piano.right: chord(1/1 C4 G4 E5 C6) -> rolled", 60, "a rolled chord may be wider than the hand"),
    (ORGAN, "organ.right: chord(1/1 C#4 E4 A4 C#5 E5 A5)", 60, "BWV 565, bar 27, read: both hands on one staff"),
    (ORGAN, "organ.pedal: notes(1/16 A3 G3 E3 F3 D3 E3 C#3 D3)", 90, "BWV 565, bar 28, read"),
    (ORGAN, "organ.pedal: notes(1/16 D3 B2 C#3 A2 Bb2 G#2 A2 G3, 1/8 F3 D3, 1/4 A2)", 90, "BWV 565, bar 29, read"),
    (ORGAN, "organ.pedal: notes(1/16 rest D3 C3 D3 Bb2 D3 A2 D3 G2 D3 F#2 D3 G2 D3 A2 D3 | "
     "Bb2 D3 D2 D3 E2 D3 F#2 D3 G2 D3 F#2 D3 G2 D3 A2 D3)", 100, "BWV 565, bars 52 and 53, read"),
    (ORGAN, "organ.pedal: chord(1/1 D2 D3)", 60, "BWV 565, bar 143, read: an octave of pedals"),
    (ORGAN, "organ.right: notes(1/4 C5 D5)\norgan.left: notes(1/4 C4 B3)\norgan.pedal: notes(1/4 C3 G2)", 80,
     "three lines, as BWV 525 to 530"),
    (ORGAN, "organ.pedal: notes(1/4 chord(F2 F3) chord(C2 C3) chord(F2 F3))", 118, "as Widor op. 42/5, from memory"),
    (HARPSICHORD, "cembalo.right: together(notes(1/2 E5 D5), notes(1/2 C5 B4))\n"
     "cembalo.left: together(notes(1/2 G3 G3), notes(1/1 C3))", 60, "four-part writing"),
    ("celesta = celesta", "celesta.right: notes(1/16 E6 B6 G6 E6 C6 E6)", 100, "broken chords, common practice"),
    ("acc = accordion", "acc.left: chord(1/1 C2 E3 G4)\nacc.right: chord(1/1 C4 F5)", 60, "buttons; keys are narrower"),
)  # fmt: skip


def degrees(forces: str, rows: str, tempo: int) -> set[tuple[str, str]]:
    return set(told(forces, rows, f"tempo 1/4 at {tempo}"))


@pytest.mark.parametrize(("forces", "rows", "tempo", "kind", "why"), IMPOSSIBLE, ids=str)
def test_what_nobody_plays_is_told(forces: str, rows: str, tempo: int, kind: str, why: str) -> None:
    assert ("impossible", kind) in degrees(forces, rows, tempo), why


@pytest.mark.parametrize(("forces", "rows", "tempo", "kind", "why"), CARE, ids=str)
def test_what_is_hard_is_no_impossibility(forces: str, rows: str, tempo: int, kind: str, why: str) -> None:
    seen = degrees(forces, rows, tempo)
    assert kind in {word for _, word in seen} and "impossible" not in {degree for degree, _ in seen}, why


@pytest.mark.parametrize(("forces", "rows", "tempo", "work"), REAL, ids=str)
def test_real_works_are_let_through(forces: str, rows: str, tempo: int, work: str) -> None:
    assert "impossible" not in {degree for degree, _ in degrees(forces, rows, tempo)}, work


# ---------------------------------------------------------------- published figures


def test_spans_are_those_that_were_measured() -> None:
    """R. Boyle's figures: octave 6.7 inches, ninth 7.6, tenth 8.5, tip to tip; a key is 23.6 mm from the next."""
    for semitones, inches in ((12, 6.7), (14, 7.6), (16, 8.5)):
        from_middle_to_middle = distance(60, 60 + semitones)
        assert 0 <= inches * 25.4 - from_middle_to_middle <= 6


def test_fingers_open_as_in_the_published_table() -> None:
    """Parncutt and others (1997), the largest practical spans: a chord of two fingers and their neighbors."""
    assert STRETCHES[1, 2] == 10 and STRETCHES[2, 5] == 10 and STRETCHES[3, 4] == 4
    easy = hand_of([parse_pitch(note).midi for note in ("C4", "E4", "G4", "C5")], left=False)
    assert easy is not None and easy.fingers == (1, 2, 3, 5) and not easy.beyond
    mirrored = hand_of([parse_pitch(note).midi for note in ("C3", "F3", "Ab3", "C4")], left=True)
    assert mirrored is not None and mirrored.fingers == (5, 3, 2, 1) and not mirrored.beyond


def test_profiles_make_a_hand_smaller() -> None:
    rows = "piano.right: chord(1/1 C4 E5)"
    assert [each.degree.value for each in found(PIANO, rows, profile=PROFESSIONAL)] == ["care"]
    assert [each.degree.value for each in found(PIANO, rows, profile=AMATEURS)] == ["impossible"]


def test_a_leap_is_no_longer_than_its_way() -> None:
    assert leap([60], [72]) == 0 and leap([60], [84]) == 165 and leap([60, 72], [60]) == 0
    assert 0.14 < leap_time(165) < 0.16  # two octaves, from memory


# ---------------------------------------------------------------- it must object; it must not flood

COUNT = 3000 if "CAVATA_CORPUS" in os.environ else 300


@pytest.mark.parametrize("size", [2, 3, 4, 5])
@pytest.mark.parametrize("left", [False, True])
def test_of_chords_by_chance_many_do_not_lie_under_a_hand(left: bool, size: int) -> None:
    by, reach = Random(f"hand {left} {size}"), width(16)
    hands = (hand_of(sorted(by.sample(range(21, 109), size)), left) for _ in range(COUNT))
    assert sum(hand is None or not hand.possible(reach) for hand in hands) >= COUNT / 4


@pytest.mark.parametrize("size", [2, 3, 4])
def test_of_pedals_by_chance_many_are_out_of_reach(size: int) -> None:
    """Any two pedals can be held, one with each foot: of all 496 pairs of 32 pedals 99 are told, 78 that lie farther
    apart than an octave and a fifth and 21 at the right end, by counting. Of three each is told, at least as care."""
    by = Random(f"feet {size}")
    feet = [feet_of(sorted(by.sample(range(36, 68), size))) for _ in range(COUNT)]
    told = sum(way is None or not way.easy for way in feet)
    assert told >= COUNT / (6 if size == 2 else 4) and (None in feet) == (size > 2)


def test_pairs_of_pedals_that_want_care() -> None:
    pairs = [feet_of(pair) for pair in combinations(range(36, 68), 2)]
    assert sum(pair is not None and not pair.easy for pair in pairs) == 78 + 21 and None not in pairs


PIECES = ("beach", "chopin", "h186", "joplin", "johnson_j_r", "k545", "opus19", "Lindenbaum", "schumann_clara",
          "dichterliebe", "laDonnaEMobile", "concertino_clarinet")  # fmt: skip


@pytest.mark.skipif("CAVATA_CORPUS" not in os.environ, reason="reads some 20 files: CAVATA_CORPUS=1")
def test_piano_music_can_be_played() -> None:
    """Of the chords of piano music in music21's corpus none is told; those that are rolled are left out."""
    from music21 import converter, corpus
    from music21.stream import Score

    count, refused = 0, []
    for path in corpus.getPaths():
        score = converter.parse(path) if any(name in str(path) for name in PIECES) else None
        if not isinstance(score, Score) or len(score.parts) < 2:
            continue
        for left, part in zip((False, True), score.parts[-2:], strict=True):
            for chord in part.recurse().getElementsByClass("Chord"):
                keys = sorted({pitch.midi for pitch in chord.pitches})
                if len(keys) < 2 or any("Arpeggio" in type(sign).__name__ for sign in chord.expressions):
                    continue
                count += 1
                hand = hand_of(keys, left)
                if len(keys) <= 5 and (hand is None or not hand.possible(width(16))):
                    refused.append((path, keys))
    assert count > 1500 and refused == [], (count, refused)


@pytest.mark.skipif("CAVATA_CORPUS" not in os.environ, reason="reads 120 files: CAVATA_CORPUS=1")
def test_chorales_lie_under_two_hands() -> None:
    """Bach's chorales, sung, can mostly be held on one manual: at most one moment in five hundred cannot."""
    from music21 import converter, corpus

    count = refused = 0
    for path in [path for path in corpus.getPaths() if "/bach/bwv" in path.as_posix()][:120]:
        voices = converter.parse(path).parts
        notes = [
            (float(begin), float(begin + note.quarterLength), note.pitch.midi)
            for part in (voices if len(voices) == 4 else ()) for note in part.recurse().notes
            if note.isNote and (begin := note.getOffsetInHierarchy(part)) is not None
        ]  # fmt: skip
        for moment in {begin for begin, _, _ in notes}:
            count += 1
            keys = sorted({key for begin, end, key in notes if begin <= moment < end})
            refused += divided_hands(keys, width(16)) is None
    assert count > 5000 and refused <= count / 500, (count, refused)


# ---------------------------------------------------------------- searches are exact


@pytest.mark.parametrize("seed", range(60))
def test_feet_find_a_way_where_there_is_one(seed: int) -> None:
    """Against every way of sharing a short line between two feet."""
    by = Random(seed)
    onsets = [0.0]
    for _ in range(6):
        onsets.append(onsets[-1] + by.choice((0.05, 0.08, 0.12, 0.2)))
    steps = [PedalStroke(by.choice((36, 38, 40, 43, 48, 55, 60)), onset) for onset in onsets]
    assert (next(hurried(steps), None) is None) == any(_walks(steps, way) for way in product((0, 1), repeat=len(steps)))


def _walks(steps: list[PedalStroke], way: tuple[int, ...]) -> bool:
    last: dict[int, PedalStroke] = {}
    for foot, step in zip(way, steps, strict=True):
        before = last.get(foot)
        if before is not None and step.onset - before.onset < time_of(before.key, step.key):
            return False
        last[foot] = step
    return True


@pytest.mark.parametrize("seed", range(40))
def test_two_hands_divide_keys_if_any_place_divides_them(seed: int) -> None:
    by, reach = Random(seed), width(16)
    keys = sorted(by.sample(range(40, 80), by.randint(2, 8)))
    ways = [(hand_of(keys[:cut], True), hand_of(keys[cut:], False)) for cut in range(len(keys) + 1)]
    good = [(low, high) for low, high in ways if low and high and low.possible(reach) and high.possible(reach)]
    assert (divided_hands(keys, reach) is not None) == bool(good)


def test_a_key_that_is_repeated_too_fast_is_told_once() -> None:
    """16 strokes a second on one key: no action is so quick; that a hand is not either is the same."""
    rows = "p.right: notes(1/64 C5) x 16"
    assert told("p = piano", rows, "tempo 1/4 at 60") == [("impossible", "repeated key")]
    assert checked("p = piano", rows, "tempo 1/4 at 60") == {"I374"}


@pytest.mark.parametrize(("name", "says"), [("piano", False), ("harpsichord", True)])
def test_two_manuals_are_offered_to_those_who_have_them(name: str, says: bool) -> None:
    """A piano has one keyboard; common practice."""
    shared = [each for each in found(f"p = {name}", "p.right: notes(1/2 C5 C4)\np.left: notes(1/1 C4)")
              if each.kind.word == "shared key"]  # fmt: skip
    assert ["two manuals" in each.cure for each in shared] == [says]

@pytest.mark.parametrize(("value", "tempo", "hurried"), [("1/16", 120, True), ("1/4", 120, False)])
def test_two_pedals_at_once_leave_each_foot_alone(value: str, tempo: int, hurried: bool) -> None:
    """Widor, Symphony 5, toccata: octaves in the pedal, in long notes; from memory."""
    rows = f"o.pedal: notes({value} chord(C2 C3) chord(D2 D3) chord(E2 E3) chord(F2 F3)) x 4"
    assert told("o = organ", rows, f"tempo 1/4 at {tempo}") == ([("care", "organ pedals")] if hurried else [])


def test_a_chord_that_is_repeated_too_fast_is_beyond_a_hand() -> None:
    """Faster than the octaves of Schubert's Erlkönig, some 7.6 a second; from memory."""
    rows = "p.right: notes(1/16 chord(C4 C5)) x 16"
    assert ("impossible", "speed") in told("p = piano", rows, "tempo 1/4 at 160")
