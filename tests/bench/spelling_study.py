"""How many notes of scores whose spelling is known `respelled simply` names as their composers did.

    python tests/bench/spelling_study.py [ROW ...]
    python tests/bench/spelling_study.py count

The scores are those of music21's corpus; each row is a kind of music. Beside the step stand two baselines, judged in
the same way: the first stage of ps13 (Meredith, "The ps13 pitch spelling algorithm", Journal of New Music Research 35,
2006; a window of 10 notes before and 42 after) and a table of the twelve names nearest to the printed signature, from
the lowered second to the raised fourth of its major key. A piece may be spelled a diminished second off as a whole, as
in the published tests; ties count once. The step is tried on all voices together and on each part alone; it is not
told the signature. `count` counts the costs of `music/spelling.py` again, in scores that are in none of the rows.
The costs of steps and of changes of key were chosen on those scores, on five other books of the Essen collection, and
with the figures of the rows in sight; the last of them for the tunes.
"""

from __future__ import annotations

import math
import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from music21 import chord, converter, corpus, key, note, stream

from cavata.music import spelling
from cavata.music.pitch import Pitch, fifths
from cavata.record import record

BEFORE, AFTER = 10, 42
"""The window of ps13."""
ROWS: dict[str, tuple[str, ...]] = {
    "Haydn": ("haydn/opus1no1/",),
    "Mozart": ("mozart/k155/", "mozart/k156/"),
    "Beethoven": ("beethoven/opus18no1/",),
    "Schumann and Schubert": (
        "schumann_robert/opus41no1/movement1", "schumann_robert/opus41no1/movement2",
        "schumann_robert/dichterliebe_no2", "schubert/Lindenbaum",
    ),
}  # fmt: skip
"""Rows that are named file by file; the others are taken at even distances."""
BOOKS = ("altdeu10", "ballad10", "boehme10", "erk10", "han1")
"""Books of the Essen collection, the first 150 tunes of each."""
COUNTED = (
    "haydn/opus74no1/", "mozart/k458/", "mozart/k545/", "mozart/k80/", "beethoven/opus18no3", "beethoven/opus18no4",
    "beethoven/opus59no1/", "beethoven/opus59no2/", "schumann_clara/", "schumann_robert/opus41no1/movement3",
    "schumann_robert/opus41no1/movement4", "schumann_robert/opus41no1/movement5", "chopin/", "beach/", "verdi/",
)  # fmt: skip
"""Where costs are counted."""


@record
class Sounding:
    """A note of a score."""

    onset: float
    midi: int
    place: int
    """Its name, on the line of fifths."""
    part: int
    voice: tuple[object, ...]
    signature: int


def soundings(score: Any) -> list[Sounding]:
    """The notes of a score by onset, and then from low to high; what is tied to a note before is left out."""
    found: list[Sounding] = []
    for number, part in enumerate(score.parts if score.parts else [score]):
        signatures = [(float(k.getOffsetInHierarchy(part)), k.sharps) for k in part[key.KeySignature]]
        for element in part[(note.Note, chord.Chord)]:
            if type(element) not in (note.Note, chord.Chord):
                continue
            onset = float(element.getOffsetInHierarchy(part))
            within = element.activeSite.id if isinstance(element.activeSite, stream.Voice) else 0
            signature = max((s for s in signatures if s[0] <= onset), default=(0.0, 0), key=lambda s: s[0])[1]
            heads = element.notes if isinstance(element, chord.Chord) else [element]
            new = [head for head in heads if head.tie is None or head.tie.type == "start"]
            for rank, head in enumerate(sorted(new, key=lambda head: -head.pitch.ps)):
                pitch = Pitch(7 * head.pitch.implicitOctave + "CDEFGAB".index(head.pitch.step), int(head.pitch.alter))
                voice = (number, within, element.duration.isGrace, rank)
                found.append(Sounding(onset, pitch.midi, fifths(pitch.pitch_class), number, voice, signature))
    return sorted(found, key=lambda one: (one.onset, one.midi))


# ------------------------------------------------------------------ ways of spelling

Way = Callable[[Sequence[Sounding]], list[int]]


def by_step(notes: Sequence[Sounding]) -> list[int]:
    """All voices together."""
    moments: dict[float, list[Sounding]] = defaultdict(list)
    for one in notes:
        moments[one.onset].append(one)
    named = spelling.spell([[(one.voice, one.midi) for one in moment] for moment in moments.values()])
    return [fifths(pitch.pitch_class) for pitches in named for pitch in pitches]


def by_step_alone(notes: Sequence[Sounding]) -> list[int]:
    """Each part alone."""
    places: dict[int, list[int]] = defaultdict(list)
    for number, one in enumerate(notes):
        places[one.part].append(number)
    found = [0] * len(notes)
    for numbers in places.values():
        for number, place in zip(numbers, by_step([notes[n] for n in numbers]), strict=True):
            found[number] = place
    return found


def by_table(notes: Sequence[Sounding]) -> list[int]:
    """The twelve names nearest to the signature."""
    return [one.signature - 5 + (7 * one.midi - one.signature + 5) % 12 for one in notes]


_STEPS = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)
"""How many letters above a tonic a note lies, by its semitones above it."""


def by_ps13(notes: Sequence[Sounding]) -> list[int]:
    """The first stage of ps13: the letter that most notes about it imply, each taken as a tonic."""
    heard = [(one.midi - 9) % 12 for one in notes]
    letters = [(_STEPS[heard[0]] - _STEPS[(heard[0] - tonic) % 12]) % 7 for tonic in range(12)]
    found = []
    for number, semitone in enumerate(heard):
        votes = [0] * 7
        for tonic, count in Counter(heard[max(0, number - BEFORE) : number + AFTER]).items():
            votes[(letters[tonic] + _STEPS[(semitone - tonic) % 12]) % 7] += count
        letter = (votes.index(max(votes)) + 5) % 7
        alter = (semitone + 9 - Pitch(letter, 0).midi + 6) % 12 - 6
        found.append(fifths(Pitch(letter, alter).pitch_class))
    return found


def wrong(notes: Sequence[Sounding], places: Sequence[int]) -> int:
    """How many notes have another name than in the score, the whole being a diminished second off where that helps."""
    return min(sum(one.place != place + off for one, place in zip(notes, places, strict=True)) for off in (0, 12, -12))


WAYS: dict[str, Way] = {
    "step": by_step, "step, each part alone": by_step_alone, "ps13 stage 1": by_ps13, "signature": by_table,
}  # fmt: skip


# ------------------------------------------------------------------ scores


def paths() -> list[str]:
    """The files of the corpus, in the order of their names; of a score in several formats one."""
    found = sorted(Path(path).as_posix().partition("/corpus/")[2] for path in corpus.getCorePaths())
    return [name for name in found if not (name.startswith("beethoven/") and name.endswith(".krn"))]


def files_of(row: str) -> list[str]:
    """The files of a row of ROWS, of the chorales or of Palestrina."""
    every = paths()
    if row == "chorales":
        return [name for name in every if name.startswith("bach/") and name.endswith(".mxl")][::3]
    if row == "Palestrina":
        return [name for name in every if name.startswith("palestrina/")][::30]
    return [name for name in every if name.startswith(ROWS[row])]


def scores_of(row: str) -> Iterator[list[Sounding]]:
    """The notes of each score of a row."""
    if row == "tunes":
        yield from tunes(BOOKS)
        return
    for name in files_of(row):
        yield soundings(corpus.parse(name))


def tunes(books: Iterable[str], most: int = 150) -> Iterator[list[Sounding]]:
    """The first tunes of each book."""
    for book in books:
        opus = converter.parse(corpus.getWork(f"essenFolksong/{book}"))
        for score in list(opus.scores)[:most]:
            notes = soundings(score)
            if notes:
                yield notes


# ------------------------------------------------------------------ counting


def counted(scores: Iterable[Sequence[Sounding]]) -> tuple[list[int], list[int]]:
    """Costs of notes in major and minor keys: hundredths of the logarithm of how often each is there."""
    found = (Counter[int](), Counter[int]())
    for notes in scores:
        moments: dict[float, list[int]] = defaultdict(list)
        for one in notes:
            moments[one.onset].append(one.place)
        for (signature, minor), places in zip(keys_of(list(moments.values())), moments.values(), strict=True):
            found[minor].update(place - signature for place in places)
    return costs(found[0]), costs(found[1])


def keys_of(moments: Sequence[Sequence[int]]) -> list[tuple[int, int]]:
    """The signature of the key at each moment, and whether it is minor, found from notes that have their names."""
    states = spelling._STATES
    rows = [
        [sum(spelling._name_cost(place, *state) for place in moment) // len(moment) for state in states]
        for moment in moments
    ]
    first = [spelling._AT_FIRST * abs(signature) for signature, _ in states]
    return [states[state] for state in spelling._path(rows, first, None)]


def costs(found: Counter[int]) -> list[int]:
    """Half a note is added to each place, so that none is impossible."""
    total = found.total() + 30
    return [round(-100 * math.log((found[place] + 0.5) / total)) for place in range(-8, 15)]


# ------------------------------------------------------------------


def study(row: str) -> str:
    """A line of the table."""
    count, missed, pieces = 0, dict.fromkeys(WAYS, 0), 0
    for notes in scores_of(row):
        pieces += 1
        count += len(notes)
        for name, way in WAYS.items():
            missed[name] += wrong(notes, way(notes))
    shares = "  ".join(f"{100 - 100 * missed[name] / count:>{len(name)}.3f}" for name in WAYS)
    return f"{row:<22} {pieces:>6} {count:>7}  {shares}"


def main(*rows: str) -> None:
    """Print the table, or the costs."""
    if rows == ("count",):
        names = [name for name in paths() if name.startswith(COUNTED)]
        scores = [soundings(corpus.parse(name)) for name in names]
        for line in counted([*scores, *tunes(("fink0",))]):
            print(", ".join(map(str, line)))
        return
    print(f"{'':<22} {'scores':>6} {'notes':>7}  {'  '.join(WAYS)}")
    for row in rows or ("chorales", "Palestrina", "tunes", *ROWS):
        print(study(row), flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
