"""How a harp's notes are best spelled for its pedals: fewest changes that no foot has time for, then fewest changes.

In: what is wanted of the strings, in order of onset, as it is written. Out: the same with each letter and accidental as
the player would take it, and the moments that no setting of the pedals gives. Nine of the twelve notes are on two
strings, as C# and Db; D, G and A are on one. Holds after: no other choice of strings has fewer moments that cannot be,
or as few and fewer changes without time, or as few of both and fewer changes; a note keeps its string where another
would gain nothing. Players read what is written: so a change may also be worth only a few notes that are taken
otherwise.

The search goes from moment to moment and keeps every way in which the pedals may stand, but for those that are no
better than another whatever follows. A note that the pedals give already is taken so: to set another pedal for it can
gain time and nothing else. So where changes without time are left, the stretch before each is searched again with all
strings for all of its notes. Where changes press each other over long stretches, a better way could be missed; a test
tries the search against all choices.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import groupby, product

from cavata.instruments.harp_pedals import FAST, FLAT, LEFT, SHARP, WantedStrings
from cavata.music.pitch import LETTERS, NATURAL_SEMITONES
from cavata.record import record, replace

String = tuple[int, int]
"""A letter, 0 for C, and an accidental."""
STRINGS: tuple[tuple[String, ...], ...] = tuple(
    tuple(
        (letter, alter) for letter in range(7) for alter in range(FLAT, SHARP + 1)
        if (NATURAL_SEMITONES[letter] + alter) % 12 == semitone
    )
    for semitone in range(12)
)  # fmt: skip
"""For each semitone above C the strings that have it; two but for D, G and A."""

_FAST = float(FAST)
_LONG_AGO = 4 * _FAST
"""Seconds after which the strings of a letter are free whatever else a foot has to do: it has four pedals at most."""
_LOOKED_BACK = 0.6
"""Seconds before a change without time in which all strings of all notes are tried."""
_FEWEST_WAYS, _MOST_WAYS, _WAYS_IN_ALL = 10, 64, 36000
"""How many ways are kept at a moment: fewer in a long movement, and where much of it is searched again. What is then
left out costs one change in fifty, in music made by chance."""
_CHANGE = 10**6
_HARD = 10**6 * _CHANGE
_CANNOT = 10**6 * _HARD
"""What a change, a change without time and a moment that cannot be cost; a note taken otherwise costs 1, or more."""
_UNSET = 9
_NEVER_AGAIN = 1e9
_SOUNDS = tuple(((semitone - 1) % 12, semitone, (semitone + 1) % 12) for semitone in NATURAL_SEMITONES)
_NEVER = (-1e9, -1e9)
_IS_LEFT = tuple(letter in LEFT for letter in LETTERS)


@record
class HarpSpelling:
    """How a harp's notes are taken."""

    wanted: tuple[WantedStrings, ...]
    """One for each that was given, in the same order; those of moments that cannot be are as they were written."""
    impossible: tuple[Fraction, ...]
    """Onsets of moments that no setting gives."""
    pressed: int
    """Changes without time."""
    changes: int


def semitone_of(string: String) -> int:
    """The semitone above C that a string has; of any accidental."""
    return (NATURAL_SEMITONES[string[0]] + string[1]) % 12


def homophone(string: String) -> String | None:
    """The other string that has the same note; None for D, G and A."""
    return next((other for other in STRINGS[semitone_of(string)] if other != string), None)


@lru_cache(maxsize=4096)
def can_be(semitones: frozenset[int]) -> bool:
    """Whether the strings have these semitones above C at once."""
    return next(_choices(tuple(sorted(semitones))), None) is not None


def _choices(semitones: tuple[int, ...]) -> Iterator[tuple[String, ...]]:
    """For each semitone a string, no two of one letter."""
    for choice in product(*(STRINGS[semitone] for semitone in semitones)):
        if len({letter for letter, _ in choice}) == len(choice):
            yield choice


# ---------------------------------------------------------------- the search


@record
class _Moment:
    """What is struck at once: each semitone with the string that is written for it, and until when it sounds."""

    onset: float
    semitones: tuple[int, ...]
    written: tuple[String, ...]
    ends: tuple[float, ...]
    choices: tuple[tuple[String, ...], ...]
    """The ways to take them, what is written first."""
    price: int
    """What a note costs that is taken otherwise."""


class _Way:
    """How the pedals may stand after some moments, and how that came about."""

    __slots__ = ("cost", "before", "chosen", "setting", "struck")

    def __init__(
        self, cost: int, setting: tuple[int, ...], struck: tuple[tuple[float, float], ...], before: _Way | None,
        chosen: tuple[String, ...] | None,
    ) -> None:
        self.cost, self.setting, self.struck = cost, setting, struck
        self.before, self.chosen = before, chosen


def best_spelling(wanted: Sequence[WantedStrings], worth: int | None = None) -> HarpSpelling:
    """How notes in order of onset are best taken.

    With `worth` a change that is spared is worth so many notes that are taken otherwise than they are written; without
    it, any number of them.
    """
    groups = [list(group) for _, group in groupby(wanted, key=lambda want: float(want.onset))]
    price = 1 if worth is None else _CHANGE // worth
    moments = [_moment(group, price) for group in groups]
    last = _best(moments)
    chosen = _chosen(last, len(moments))
    found: list[WantedStrings] = []
    for moment, group, choice in zip(moments, groups, chosen, strict=True):
        taken = dict(zip(moment.semitones, choice or moment.written, strict=True))
        for want in group:
            letters = want.letters if choice is None else tuple(taken[semitone_of(string)] for string in want.letters)
            found.append(replace(want, letters=letters))
    return HarpSpelling(
        tuple(found),
        tuple(group[0].onset for group, choice in zip(groups, chosen, strict=True) if choice is None),
        last.cost % _CANNOT // _HARD, _count(choice for choice in chosen if choice is not None),
    )  # fmt: skip


def _count(chosen: Iterable[tuple[String, ...]]) -> int:
    """How many changes some choices in order ask for."""
    setting: dict[int, int] = {}
    changes = 0
    for choice in chosen:
        for letter, alter in choice:
            changes += setting.setdefault(letter, alter) != alter
            setting[letter] = alter
    return changes


def _moment(group: Sequence[WantedStrings], price: int) -> _Moment:
    notes: dict[int, tuple[String, float]] = {}
    for want in group:
        end = float(want.end)
        for string in want.letters:
            semitone = semitone_of(string)
            written, until = notes.get(semitone, (string, end))
            notes[semitone] = written, max(until, end)
    semitones = tuple(notes)
    taken = tuple(string for string, _ in notes.values())
    ends = tuple(end for _, end in notes.values())
    return _Moment(float(group[0].onset), semitones, taken, ends, _ordered(semitones, taken), price)


_Next = tuple[tuple[float, float, float], ...]
"""For each letter and each of its accidentals, up first, when that letter may next be wanted otherwise."""


def _what_comes(moments: Sequence[_Moment]) -> list[_Next]:
    """What comes after each moment."""
    coming = [_NEVER_AGAIN] * 12
    found: list[_Next] = []
    for moment in reversed(moments):
        found.append(
            tuple(
                (min(coming[middle], coming[high]), min(coming[low], coming[high]), min(coming[low], coming[middle]))
                for low, middle, high in _SOUNDS
            )
        )
        for semitone in moment.semitones:
            coming[semitone] = moment.onset
    return found[::-1]


@lru_cache(maxsize=4096)
def _ordered(semitones: tuple[int, ...], written: tuple[String, ...]) -> tuple[tuple[String, ...], ...]:
    return tuple(sorted(_choices(semitones), key=lambda choice: _respelled(choice, written)))


def _respelled(choice: tuple[String, ...], written: tuple[String, ...]) -> int:
    return sum(one != other for one, other in zip(choice, written, strict=True))


def _best(moments: Sequence[_Moment]) -> _Way:
    """The best way through all moments."""
    onsets = [moment.onset for moment in moments]
    best, pressed = _searched(moments, frozenset())
    if pressed and best.cost % _CANNOT < _HARD:
        # With all the time in the world: if that takes as many changes, there is nothing to gain.
        slow = [replace(moment, onset=1000.0 * place, ends=(0.0,) * 12) for place, moment in enumerate(moments)]
        fewest, _ = _searched(slow, frozenset())
        unit = _CHANGE if moments[0].price == 1 else 1
        if fewest.cost // unit == best.cost // unit:
            return best
    widened = {
        place for hard in set(pressed)
        for place in range(bisect_left(onsets, onsets[hard] - _LOOKED_BACK), hard + 1)
    }  # fmt: skip
    return _searched(moments, frozenset(widened))[0] if widened else best


def _searched(moments: Sequence[_Moment], widened: frozenset[int]) -> tuple[_Way, list[int]]:
    """The best way through all moments, and those at which any way had a change without time."""
    ways = [_Way(0, (_UNSET,) * 7, (_NEVER,) * 7, None, None)]
    pressed: list[int] = []
    coming = _what_comes(moments)
    most = max(_FEWEST_WAYS, min(_MOST_WAYS, _WAYS_IN_ALL // (len(moments) + 10 * len(widened) + 1)))
    for place, moment in enumerate(moments):
        if not moment.choices:
            ways = [_Way(way.cost + _CANNOT, way.setting, way.struck, way, None) for way in ways]
            continue
        after: dict[object, _Way] = {}
        for way in ways:
            for made in _taken(way, moment, place in widened):
                if made.cost - way.cost >= _HARD:
                    pressed.append(place)
                key = made.setting, made.struck
                other = after.get(key)
                if other is None or made.cost < other.cost:
                    after[key] = made
        ways = list(after.values()) if len(after) == 1 else _kept(after.values(), coming[place], most)
    return min(ways, key=lambda way: way.cost), pressed


def _taken(way: _Way, moment: _Moment, all_of_them: bool) -> Iterator[_Way]:
    """The ways to go on: what needs no change alone, if there is such a choice, or all choices."""
    setting = way.setting
    if not all_of_them:
        for choice in moment.choices:
            if all(setting[letter] == alter for letter, alter in choice):
                if moment.price > 1 and choice != moment.written:
                    break
                yield _gone_on(way, moment, choice)
                return
    for choice in moment.choices:
        yield _gone_on(way, moment, choice)


def _gone_on(way: _Way, moment: _Moment, choice: tuple[String, ...]) -> _Way:
    setting, struck, onset = list(way.setting), list(way.struck), moment.onset
    cost = way.cost
    left: list[float] = []
    right: list[float] = []
    for string, written, end in zip(choice, moment.written, moment.ends, strict=False):
        letter, alter = string
        if alter != setting[letter]:
            if setting[letter] != _UNSET:
                cost += _CHANGE
                (left if _IS_LEFT[letter] else right).append(_time(struck[letter], onset))
            setting[letter] = alter
            struck[letter] = onset, end
        else:
            struck[letter] = onset, max(end, struck[letter][1])
        if string != written:
            cost += moment.price
    for times in (left, right):
        if times:
            times.sort()
            cost += _HARD * sum(time < (done + 1) * _FAST - 1e-9 for done, time in enumerate(times))
    return _Way(cost, tuple(setting), tuple(struck), way, choice)


def _time(struck: tuple[float, float], onset: float) -> float:
    """Seconds for a change of a letter before an onset, as `pedaling` has them."""
    before, over = struck
    if onset - over >= _FAST - 1e-9:
        return onset - over
    return max(0.0, onset - (max(over, onset) - (onset - before) / 2))


def _chosen(last: _Way, count: int) -> list[tuple[String, ...] | None]:
    """What was chosen at each moment."""
    found: list[tuple[String, ...] | None] = []
    way = last
    for _ in range(count):
        assert way.before is not None
        found.append(way.chosen)
        way = way.before
    return found[::-1]


def _kept(ways: Iterable[_Way], after: _Next, most: int) -> list[_Way]:
    """Those ways that may be better than each other later on."""
    kept: list[_Way] = []
    for way in sorted(ways, key=lambda way: way.cost):
        if not any(_is_as_good(other, way, after) for other in kept):
            kept.append(way)
            if len(kept) == most:
                break
    return kept


def _is_as_good(way: _Way, other: _Way, after: _Next) -> bool:
    """Whether a way is as good as another one whatever follows: it can be made the other with what it has spared."""
    spare = other.cost - way.cost
    for letter in range(7):
        here = way.setting[letter]
        if here == _UNSET:
            continue
        recent = after[letter][here + 1] - way.struck[letter][1] < _LONG_AGO
        if here != other.setting[letter]:
            spare -= _CHANGE + (4 * _HARD if recent else 0)
        elif recent and way.struck[letter] > other.struck[letter]:
            spare -= 4 * _HARD
        if spare < 0:
            return False
    return True
