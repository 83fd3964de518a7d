"""Names under ciphers: every reading, which to look at first, and what the names share.

In: names and ciphers. Out: a `Study`. The order within a name is: fewest silent letters; then most different notes;
then fewest notes that only repeat the one before; then most letters on notes of their own names; then the clearest
key. It is an order for looking, not a judgement, and the reason of each place says what it rests on.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

from cavata.record import dataclass, replace
from cavata.study.library_ciphers import OfferedCipher
from cavata.study.reading import Reading, Unread, key_text, read
from cavata.study.shared_by_names import Shared, shared

MOST_NAMES, LONGEST_NAME = 20, 60
"""A commission has a few names; a longer list, or a whole page as a name, is a mistake."""


@dataclass(frozen=True, slots=True)
class NameStudy:
    """One name under every cipher."""

    name: str
    readings: tuple[Reading, ...]
    """In the order in which to look at them."""
    unread: tuple[Unread, ...]


@dataclass(frozen=True, slots=True)
class Study:
    """All names."""

    names: tuple[NameStudy, ...]
    shared: tuple[Shared, ...]
    """Every pair of names under every cipher that reads both; where two ciphers give both the same notes, the first."""


def study_names(names: Sequence[str], ciphers: Sequence[OfferedCipher]) -> Study:
    """Read every name by every cipher and compare."""
    studies = tuple(_one(name, ciphers) for name in dict.fromkeys(names))
    return Study(studies, tuple(_pairs(studies, ciphers)))


def _one(name: str, ciphers: Sequence[OfferedCipher]) -> NameStudy:
    tried = [read(name, offered) for offered in ciphers]
    alike: dict[object, list[Reading]] = {}
    for reading in tried:
        if isinstance(reading, Reading):
            alike.setdefault((reading.pitches, reading.soundings), []).append(reading)
    readings = [replace(same[0], alike=tuple(r.cipher for r in same[1:])) for same in alike.values()]
    return NameStudy(name, tuple(sorted(readings, key=_order)), tuple(u for u in tried if isinstance(u, Unread)))


def _order(reading: Reading) -> tuple[int, int, int, int, Fraction]:
    clearest = reading.keys[0].squared if reading.keys else Fraction(0)
    return (reading.silent, -len(reading.set_class.prime), reading.at_once_again, -reading.own_notes, -clearest)


def reason(reading: Reading) -> str:
    """Why a reading stands where it does, in the order's own terms."""
    said = ["every letter sounds" if not reading.silent else f"{reading.silent} of {reading.letters} letters silent"]
    different = len(reading.set_class.prime)
    said.append(f"{different} different note{'s' if different != 1 else ''}")
    if reading.at_once_again:
        said.append(f"{reading.at_once_again} at once again")
    if reading.own_notes:
        said.append(f"{reading.own_notes} on the note of the letter")
    if reading.keys:
        said.append(f"{key_text(reading, reading.keys[0])} {reading.keys[0].correlation:.2f}")
    return ", ".join(said)


def _pairs(studies: Sequence[NameStudy], ciphers: Sequence[OfferedCipher]) -> list[Shared]:
    by_cipher = [
        {offered.cipher.name: r for r in one.readings for offered in (r.cipher, *r.alike)} for one in studies
    ]
    found: dict[object, Shared] = {}
    for first, second in combinations(by_cipher, 2):
        for offered in ciphers:
            one, other = first.get(offered.cipher.name), second.get(offered.cipher.name)
            if one is not None and other is not None:
                found.setdefault((one.name, one.pitches, other.name, other.pitches), shared(one, other, offered))
    return list(found.values())
