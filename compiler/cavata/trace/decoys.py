"""Decoys: names made by chance, of the same kind as the name that is looked for.

In: a name as one or more ciphers read it. Out: as many invented names as are wanted, as key numbers, for each cipher.
An invented name has as many notes. Each of its letters is drawn by how often letters come in `NAMES`, among those that
the cipher knows; where the cipher read several letters as one, so many are drawn as one. Its notes are laid out as a
name's are. For notes written out each is drawn by how often pitch classes come in the score. No decoy is one of the
name's own forms. Holds after: the same name and score have the same decoys.
"""

from __future__ import annotations

import hashlib
from collections import Counter

import numpy as np
from numpy.typing import NDArray

from cavata.ciphers.cipher import Cipher
from cavata.music.pitch import NATURAL_SEMITONES, Pitch, PitchClass, parse_pitch_class
from cavata.trace.sounds import FORMS, Countable, Floats, Ints, in_form
from cavata.trace.subject import Sought, Subject

NAMES = """
ALBENIZ ALBINONI ARNE BACH BALAKIREV BARBER BARTOK BEACH BEETHOVEN BELLINI BERG BERIO BERLIOZ BERNSTEIN BIBER BIZET
BLOW BORODIN BOULANGER BOULEZ BRAHMS BRITTEN BRUCH BRUCKNER BUSONI BUXTEHUDE BYRD CAGE CARTER CHAUSSON CHERUBINI
CHOPIN CLEMENTI COPLAND CORELLI COUPERIN CRUMB CZERNY DEBUSSY DELIUS DONIZETTI DOWLAND DUFAY DUKAS DURUFLE DVORAK
ELGAR ENESCU FALLA FAURE FELDMAN FRANCK FRESCOBALDI GABRIELI GADE GERSHWIN GESUALDO GIBBONS GINASTERA GLASS GLAZUNOV
GLINKA GLUCK GOUNOD GRAINGER GRANADOS GRIEG HANDEL HAYDN HENSEL HENZE HINDEMITH HOLST HONEGGER HUMMEL IBERT INDY IVES
JANACEK JOPLIN JOSQUIN KODALY KURTAG LALO LASSUS LEHAR LIGETI LISZT LULLY LUTOSLAWSKI MACHAUT MAHLER MARTINU MASSENET
MENDELSSOHN MESSIAEN MILHAUD MONTEVERDI MOZART MUSSORGSKY NIELSEN NONO OCKEGHEM OFFENBACH ORFF PACHELBEL PAGANINI
PALESTRINA PARRY PENDERECKI PERGOLESI POULENC PROKOFIEV PUCCINI PURCELL RACHMANINOFF RAMEAU RAVEL REGER RESPIGHI
ROSSINI ROUSSEL SACHER SAINTSAENS SATIE SCARLATTI SCHOENBERG SCHUBERT SCHUMANN SCHUTZ SCRIABIN SHOSTAKOVICH SIBELIUS
SMETANA SMYTH STAMITZ STOCKHAUSEN STRAUSS STRAVINSKY SZYMANOWSKI TALLIS TAVERNER TCHAIKOVSKY TELEMANN TIPPETT VARESE
VERDI VICTORIA VIVALDI WAGNER WALTON WEBER WEBERN WOLF XENAKIS YSAYE ZELENKA ZEMLINSKY
"""
"""Surnames of composers, chosen once and for all; only how often each letter comes in them is used."""
_COUNTS = Counter("".join(NAMES.split()))


def decoys(sought: Sought, sounds: Countable, wanted: int) -> tuple[Ints, ...]:
    """For each reading of a name its decoys as rows of key numbers; a row is one invented name in every reading.

    There may be fewer than wanted, where a name of three notes has hardly another beside it.
    """
    seed = hashlib.sha256(sought.name.casefold().encode("utf-8", "replace"))
    for subject in sought.subjects:
        seed.update(f"{subject.cipher} {subject.notes}".encode("utf-8", "replace"))
    seed.update(sounds.fingerprint)
    chance = np.random.Generator(np.random.PCG64(int.from_bytes(seed.digest()[:16], "big")))
    letters = max(len(subject.pitches) for subject in sought.subjects)
    drawn = chance.random((wanted + wanted // 4 + 50, letters))
    rows = [
        laid_out(_positions(subject, cipher, sounds, drawn))
        for subject, cipher in zip(sought.subjects, sought.ciphers, strict=True)
    ]
    good = np.ones(len(drawn), bool)
    for subject, keys in zip(sought.subjects, rows, strict=True):
        good &= ~_is_own(subject, keys)
    return tuple(keys[good][:wanted] for keys in rows)


def own_keys(subject: Subject) -> Ints:
    """A name's own notes as one row."""
    return np.array([[pitch.midi for pitch in subject.pitches]], np.int64)


def _is_own(subject: Subject, keys: Ints) -> NDArray[np.bool_]:
    """Which rows are the name itself in one of its forms, in whatever octaves."""
    own, steps = own_keys(subject), np.diff(keys, axis=1) % 12
    found = np.zeros(len(keys), bool)
    for form in FORMS:
        found |= (steps == in_form(own, form).steps % 12).all(1)
    return found


# A row for each tone: the letter of its note, its alteration, and its staff position or -1 where the octave is free.


def _positions(subject: Subject, cipher: Cipher | None, sounds: Countable, drawn: Floats) -> Ints:
    """The drawn tones of each note, as letter, alteration and staff position."""
    columns = []
    for number in range(len(subject.pitches)):
        tones, weights = _choices(len(subject.letters[number]), cipher) if cipher is not None else _classes(sounds)
        bounds = np.cumsum(weights) / weights.sum()
        columns.append(tones[np.minimum(np.searchsorted(bounds, drawn[:, number], side="right"), len(tones) - 1)])
    return np.stack(columns, 1)


def _choices(letters: int, cipher: Cipher) -> tuple[Ints, Floats]:
    """What so many letters read as one may become, in the order of the alphabet, with their weights."""
    rows: list[tuple[int, int, int]] = []
    weights: list[float] = []
    for key, choices in sorted(cipher.entries.items()):
        tones = [tone for tone in choices[0] if tone is not None] if choices else []
        # Letters read as one but with a note for each stand in the name as single letters.
        if len(key) == letters or (letters == 1 and len(tones) == len(key)):
            rows += [_row(tone) for tone in tones]
            weights += [_weight(key) / len(tones) for _ in tones]
    if not rows and letters > 1:
        return _choices(1, cipher)
    assert rows, "a cipher that read a name has its letters"
    return np.array(rows, np.int64), np.array(weights)


def _weight(key: str) -> float:
    """How often letters come together were each drawn alone; a letter that no name has counts once."""
    every = sum(_COUNTS.values())
    return float(np.prod([max(_COUNTS[letter], 1) / every for letter in key]))


def _row(tone: PitchClass | Pitch) -> tuple[int, int, int]:
    return (tone.letter, tone.alter, tone.position if isinstance(tone, Pitch) else -1)


_KEYS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def _classes(sounds: Countable) -> tuple[Ints, Floats]:
    weights = np.asarray(sounds.classes() + 0.5, np.float64)
    return np.array([_row(parse_pitch_class(name)) for name in _KEYS], np.int64), weights


def laid_out(tones: Ints) -> Ints:
    """Key numbers of rows of tones, each nearest on the staff to the one before, as `lay_out_octaves` has it."""
    position = np.zeros(len(tones), np.int64)
    keys = np.zeros(tones.shape[:2], np.int64)
    for number in range(tones.shape[1]):
        letter, alter, fixed = tones[:, number].T
        free = 28 + letter if number == 0 else position + (letter - position + 3) % 7 - 3
        position = np.where(fixed >= 0, fixed, free)
        octave, step = np.divmod(position, 7)
        keys[:, number] = 12 * (octave + 1) + np.array(NATURAL_SEMITONES)[step] + alter
    return keys
