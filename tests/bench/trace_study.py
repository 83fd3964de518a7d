"""How often `trace` finds what nobody meant, and how often it finds what was planted.

    python tests/bench/trace_study.py                       the whole study, about an hour on one processor
    python tests/bench/trace_study.py --pieces 10 --tunes 20   a small one

Three measures, all with the verdicts that a run of one name in one file gives:

* *Nothing meant*: names that belong to nobody whom the composers could have known (given names, and people born after
  the last of the composers had died) in pieces of music21's corpus. How many searches say `significant`?
* *Planted*: invented names of 4 to 8 notes are put between the notes of dance and folk tunes of 40 to 200 notes, once,
  twice, four times, at pitch, transposed, or with one note in three (at least one) a semitone off. How many are
  `significant`?
* *MIDI as MusicXML*: tunes with a planted name written both ways by music21 and read again. In how many is each
  planted place found?

Pieces, names and places are drawn with fixed seeds; the same corpus gives the same figures.
"""

from __future__ import annotations

import argparse
import random
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from cavata.foreign.foreign_score import read_foreign
from cavata.foreign.heard import HeardLine, HeardNote, HeardScore
from cavata.foreign.score_file import FORMATS, Unreadable
from cavata.music.pitch import Pitch
from cavata.study.library_ciphers import library_ciphers
from cavata.trace.chance import SIGNIFICANT, Verdict, verdict, weighed
from cavata.trace.corpus_index import music21_corpus
from cavata.trace.decoys import NAMES
from cavata.trace.sounds import Sounds
from cavata.trace.subject import Sought, sought_name
from cavata.trace.trace import Freedom, hits_of

UNKNOWN = """
DSCH SACHER BOULEZ CAGE MESSIAEN LIGETI KODALY BARTOK WALTON GLASS HENZE BERIO NONO CARTER CRUMB
AVA EVA IDA ADA EDDA HEDDA ABBA GAEA DAGE EDGAR GERDA HAGEN BEADE ANNA CLARA EMMA MARIA PETER TAMSIN CORWEN GABI
"""
"""The first fifteen are people of the twentieth century, the others given names and invented ones, many of them of the
letters A to H, so that several ciphers take them."""
GROUPS = {
    "bach": 20, "mozart": 6, "haydn": 4, "beethoven": 2, "monteverdi": 5, "palestrina": 6, "trecento": 4,
    "schumann_robert": 2, "ryansMammoth": 8, "essenFolksong": 1,
}  # fmt: skip
"""How many pieces of each group of music21's corpus; none of them is of the twentieth century."""
BOOKS = ("ryansMammoth", "airdsAirs", "essenFolksong")
"""Where tunes are taken from. Of the first each file is a tune; in a file of the second there are two hundred."""
LARGEST = 60_000
"""Bytes of a file, packed if it is."""
FORMS = ("exact", "transposed", "inflected")

ciphers = cache(library_ciphers)


def pieces(most: int | None = None) -> Iterator[tuple[str, tuple[HeardScore, ...]]]:
    """Pieces of the corpus, of each group some."""
    chance = random.Random(1)
    chosen: list[Path] = []
    for group, count in GROUPS.items():
        files = sorted(p for p in (music21_corpus() / group).rglob("*") if p.suffix in FORMATS)
        files = [p for p in files if p.stat().st_size < LARGEST]
        chosen += chance.sample(files, min(count, len(files)))
    chance.shuffle(chosen)
    for path in chosen[:most]:
        try:
            yield path.relative_to(music21_corpus()).as_posix(), read_foreign(path)
        except Unreadable as reason:
            print(f"not read: {reason.message}")


def nothing_meant(found: Iterator[tuple[str, tuple[HeardScore, ...]]], names: Sequence[str]) -> list[float]:
    """The p of each name in each piece; what is significant is printed."""
    every: list[float] = []
    for file, scores in found:
        sounds = Sounds.of(scores)
        for name in names:
            sought = sought_name(name, ciphers(), chosen=False)
            assert sought is not None
            result = weighed(sounds, sought)
            every.append(result.probability)
            if result.probability <= SIGNIFICANT:
                how = f"by {result.cipher}, {_kind(result.kind)}"
                print(f"  {name} in {file}: p {result.probability:.3f}, {how}", flush=True)
    return every


def _kind(kind: Any) -> str:
    return "not found" if kind is None else f"{kind.form.value}, {kind.closeness.value}, {kind.spacing.value}"


# ----------------------------------------------------------------
# Planted names.


def tunes(most: int, books: Sequence[str] = BOOKS) -> list[tuple[Pitch, ...]]:
    """Dance and folk tunes of the corpus of 40 to 200 notes, as they are spelled."""
    found: list[tuple[Pitch, ...]] = []
    for name in books:
        files = sorted((music21_corpus() / name).glob("*.abc"), key=lambda p: (p.stat().st_size, p.name))
        files = random.Random(2).sample(files, min(len(files), most)) if name == "ryansMammoth" else files[:3]
        for path in files:
            lines = [line for score in read_foreign(path) for line in score.lines]
            found += [
                tuple(note.pitches[0] for note in line.notes) for line in lines
                if 40 <= len(line.notes) <= 200 and not any(note.is_chord for note in line.notes)
            ]  # fmt: skip
    random.Random(3).shuffle(found)
    return found[:most]


def invented(chance: random.Random, notes: int, number: int) -> Sought:
    """A name of so many notes; every second one has all its letters in the German names of the notes."""
    usual = Counter("".join(NAMES.split()))
    letters = "ABCDEFGHS" if number % 2 else "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    while True:
        name = "".join(chance.choices(letters, [usual[letter] for letter in letters], k=notes))
        sought = sought_name(name, ciphers(), chosen=False)
        if sought is not None and len(sought.subjects[0].pitches) == notes and len(set(sought.subjects[0].pitches)) > 2:
            return sought


def with_name(
    chance: random.Random, tune: Sequence[Pitch], sought: Sought, times: int, form: str
) -> tuple[tuple[Pitch, ...], tuple[int, ...]]:
    """The tune with the name, by its first cipher, put in so many times between notes, and where it then stands."""
    own = sought.subjects[0].pitches
    octaves = round(sum(p.midi for p in tune) / len(tune) / 12 - sum(p.midi for p in own) / len(own) / 12)
    own = tuple(Pitch(p.position + 7 * octaves, p.alter) for p in own)
    made: list[Pitch] = []
    places: list[int] = []
    before = 0
    for gap in sorted(chance.sample(range(1, len(tune)), times)):
        made += tune[before:gap]
        places.append(len(made))
        made += _changed(chance, own, form)
        before = gap
    return (*made, *tune[before:]), tuple(places)


def _changed(chance: random.Random, own: tuple[Pitch, ...], form: str) -> tuple[Pitch, ...]:
    if form == "transposed":
        steps, semitones = chance.choice([(1, 2), (2, 3), (2, 4), (3, 5), (-1, -2), (-2, -3), (-3, -5)])
        moved = (Pitch(p.position + steps, 0) for p in own)
        return tuple(Pitch(m.position, p.midi + semitones - m.midi) for m, p in zip(moved, own, strict=True))
    if form == "inflected":
        off = set(chance.sample(range(len(own)), max(len(own) // 3, 1)))
        return tuple(
            Pitch(p.position, 0 if p.alter else chance.choice((-1, 1))) if n in off else p for n, p in enumerate(own)
        )
    return own


def heard(notes: Sequence[Pitch]) -> HeardScore:
    """A tune in quarters."""
    line = (HeardNote(Fraction(n, 4), Fraction(1, 4), (pitch,), str(n // 4 + 1)) for n, pitch in enumerate(notes))
    return HeardScore("", (HeardLine("Voice", 1, tuple(line)),))


def planted(given: Sequence[tuple[Pitch, ...]], notes: int, times: int, form: str) -> list[float]:
    """The p of an invented name in each tune in which it was planted."""
    chance = random.Random(f"{notes} {times} {form}")
    found = []
    for number, tune in enumerate(given):
        sought = invented(chance, notes, number)
        made, _ = with_name(chance, tune, sought, times, form)
        found.append(weighed(Sounds.of([heard(made)]), sought).probability)
    return found


# ----------------------------------------------------------------
# MIDI as MusicXML.


def both_ways(notes: Sequence[Pitch], folder: Path) -> tuple[tuple[HeardScore, ...], tuple[HeardScore, ...]]:
    """A tune written as MusicXML and as MIDI by music21, and read again."""
    from music21 import note, stream

    part = stream.Part()
    for pitch in notes:
        made = note.Note(pitch.midi)
        made.pitch.step = "CDEFGAB"[pitch.position % 7]
        made.pitch.accidental = pitch.alter or None
        made.pitch.octave = pitch.position // 7
        part.append(made)
    score = stream.Score([part])
    score.write("musicxml", folder / "tune.musicxml")
    score.write("midi", folder / "tune.mid")
    return read_foreign(folder / "tune.musicxml"), read_foreign(folder / "tune.mid")


def found_at(scores: tuple[HeardScore, ...], sought: Sought, place: int) -> bool:
    """Whether a hit by the first cipher begins at that note."""
    return any(
        hit.subject is sought.subjects[0] and hit.notes[0] == (0, place)
        for hit in hits_of(scores, sought, Freedom(together=False))
    )


def compared(given: Sequence[tuple[Pitch, ...]], form: str) -> tuple[int, int, int]:
    """In how many tunes the planted name of five notes is found in MusicXML, in MIDI; in how many p is the same."""
    chance = random.Random(f"both {form}")
    pages = keys = same = 0
    with tempfile.TemporaryDirectory() as folder:
        for number, tune in enumerate(given):
            sought = invented(chance, 5, number)
            made, (place,) = with_name(chance, tune, sought, 1, form)
            page, midi = both_ways(made, Path(folder))
            pages += found_at(page, sought, place)
            keys += found_at(midi, sought, place)
            p, q = (weighed(Sounds.of(read), sought).probability for read in (page, midi))
            same += p == q
    return pages, keys, same


# ----------------------------------------------------------------


def share(found: Sequence[float]) -> str:
    """How many of the searches have each verdict."""
    counts = Counter(verdict(p) for p in found)
    return ", ".join(f"{kind.value} {counts[kind]} ({100 * counts[kind] / len(found):.1f} %)" for kind in Verdict)


def main() -> None:
    """Run the study."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--pieces", type=int)
    parser.add_argument("--tunes", type=int, default=100)
    given = parser.parse_args()
    start = time.perf_counter()
    found = nothing_meant(pieces(given.pieces), UNKNOWN.split())
    seconds = time.perf_counter() - start
    print(f"nothing meant: {len(found)} searches: {share(found)}; {seconds:.0f} s with reading", flush=True)
    music = tunes(given.tunes)
    shortest, longest = min(map(len, music)), max(map(len, music))
    print(f"planted in {len(music)} tunes of {shortest} to {longest} notes: significant in 100")
    for form in FORMS:
        for times in (1, 2, 4):
            row = [planted(music, notes, times, form) for notes in range(4, 9)]
            shares = "  ".join(f"{100 * sum(p <= SIGNIFICANT for p in ps) / len(ps):3.0f}" for ps in row)
            print(f"  {form:10} {times} x   4 to 8 notes: {shares}", flush=True)
    for form in FORMS:
        pages, keys, same = compared(music, form)
        both = f"in MusicXML {pages}, in MIDI {keys}; the same p in {same}"
        print(f"{form}, once, in {len(music)} tunes: {both}", flush=True)


if __name__ == "__main__":
    main()
