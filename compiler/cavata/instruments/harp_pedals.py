"""The pedals of a harp: how they stand at the beginning, and when each is moved.

In: what is wanted of the strings, each moment with the letters that are struck there and their accidentals, in seconds.
Out: the first setting and the changes, as few as the spelling allows: each letter has one pedal for all its strings, so
a change is needed just where a letter comes with another accidental than before. A change can be made from the end of
the last note that needs the pedal as it was to the first one that needs it otherwise. One foot moves one pedal at a
time, the left one D, C and B, the right one E, F, G and A; so the changes of a foot are laid one after another, such
that the one which is most pressed for time has as much of it as can be, up to what is enough for all. Holds after: no
order of the changes leaves the most pressed one more time. What no pedal can do is told apart: a letter with two
accidentals at once, and double accidentals.

Source: which pedal belongs to which foot, and one pedal a foot at a time: texts for composers by harpists
(sites.siba.fi, "Pedaling"; LilyPond's manual, "Harp"). Seconds: from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import lcm

from cavata.music.pitch import LETTERS, PitchClass
from cavata.record import record

PEDALS = "DCBEFGA"
"""In the order in which they stand, from the left."""
LEFT, RIGHT = "DCB", "EFGA"
ENOUGH = Fraction(1)
"""Seconds for one change; nobody needs more."""
COMFORTABLE, FAST = Fraction(1, 4), Fraction(1, 8)
"""Seconds that a change takes at ease, and at its quickest."""
AHEAD = Fraction(4)
"""Seconds before the note for which a pedal is moved, if that leaves all changes enough time: a player would rather
move it soon before than long."""
WIRE_RINGS = Fraction(3)
"""Seconds in which a wire string still sounds loud enough to be heard when its pedal moves; it rings 5 s and more. A
pedal waits for it where that leaves all changes enough time."""
FLAT, SHARP = -1, 1
WITHOUT_PEDAL = (7, 8)
"""Positions of the lowest C and D: no pedal reaches these strings, which are tuned before they are wanted. Source:
harpists' sheets for composers."""

PedalSetting = tuple[int, int, int, int, int, int, int]
"""For each letter from C to B what its pedal does: -1 up, flat; 0 in the middle, natural; 1 down, sharp."""


def from_the_left(setting: Sequence[int]) -> tuple[PitchClass, ...]:
    """What each pedal gives, in the order in which they stand."""
    return tuple(PitchClass(letter, setting[letter]) for letter in map(LETTERS.index, PEDALS))


@record
class WantedStrings:
    """Strings that are struck at one moment, and the moment up to which they sound as they are."""

    onset: Fraction
    end: Fraction
    letters: tuple[tuple[int, int], ...]
    """Letter, 0 for C, and accidental."""
    low: int = 0
    """The first so many of them are on strings of wire, which ring on for seconds."""


@record
class PedalChange:
    """One pedal moved once."""

    letter: int
    before: int
    after: int
    since: Fraction
    """From then on it is free."""
    until: Fraction
    """Then its strings are struck."""
    begins: Fraction
    """When the foot goes to it."""
    time: Fraction
    """Seconds that it has until the foot is wanted for the next one, or the strings are struck; ENOUGH at most."""

    @property
    def left(self) -> bool:
        """Whether the left foot moves it."""
        return LETTERS[self.letter] in LEFT


@record
class Impossible:
    """What no pedal can do, at a moment: a letter with another accidental than it has there, or a double one."""

    onset: Fraction
    letter: int
    accidentals: tuple[int, ...]


@record
class Pedaling:
    """All that the feet do in a movement."""

    first: PedalSetting
    changes: tuple[PedalChange, ...]
    """In the order in which they begin."""
    impossible: tuple[Impossible, ...] = ()

    def at(self, moment: Fraction) -> PedalSetting:
        """How the pedals stand at a moment, with all changes made whose strings are struck by then."""
        now = list(self.first)
        for change in sorted(self.changes, key=lambda change: change.until):
            if change.until <= moment:
                now[change.letter] = change.after
        return setting_of(now)


def pedaling(wanted: Sequence[WantedStrings], usual: PedalSetting) -> Pedaling:
    """How the pedals are moved for some strings in order of onset; those never struck stand as is `usual`."""
    first = list(usual)
    impossible: list[Impossible] = []
    needed: list[_Needed] = []
    for letter in range(7):
        uses = list(_uses(wanted, letter, impossible))
        if uses:
            first[letter] = uses[0].accidental
        needed += _needed(letter, uses)
    changes = [
        change for foot in (LEFT, RIGHT)
        for change in _laid([need for need in needed if LETTERS[need.letter] in foot])
    ]  # fmt: skip
    changes.sort(key=lambda change: (change.begins, change.letter))
    return Pedaling(setting_of(first), tuple(changes), tuple(sorted(impossible, key=lambda found: found.onset)))


def setting_of(alters: Iterable[int]) -> PedalSetting:
    """The setting of seven accidentals, from C to B."""
    c, d, e, f, g, a, b = alters
    return c, d, e, f, g, a, b


@record
class _Use:
    """A letter as it is struck."""

    onset: Fraction
    end: Fraction
    accidental: int
    rings: Fraction
    """Until when a low string sounds on by itself; as its end for others."""


@record
class _Needed:
    """A change that must be made, and when it can be."""

    letter: int
    before: int
    after: int
    since: Fraction
    until: Fraction
    quiet: Fraction
    """From then on no low string of the letter rings."""


def _uses(wanted: Sequence[WantedStrings], letter: int, impossible: list[Impossible]) -> Iterator[_Use]:
    """Where a letter is struck, once a moment; what cannot be is left out and told."""
    onset: Fraction | None = None
    last = 0
    for want in wanted:
        alters = tuple(sorted({alter for own, alter in want.letters if own == letter}))
        for alter in alters:
            if not FLAT <= alter <= SHARP or len(alters) > 1:
                impossible.append(Impossible(want.onset, letter, alters))
                break
        else:
            if alters and want.onset == onset and alters[0] != last:
                impossible.append(Impossible(want.onset, letter, tuple(sorted((last, alters[0])))))
            elif alters:
                onset, last = want.onset, alters[0]
                is_low = any(own == letter for own, _ in want.letters[: want.low])
                rings = want.onset + WIRE_RINGS if is_low else want.end
                yield _Use(want.onset, want.end, alters[0], max(want.end, rings))


def _needed(letter: int, uses: Sequence[_Use]) -> Iterator[_Needed]:
    """The changes of one pedal: between neighbors with other accidentals.

    Where the string sounds until the next note, the pedal is moved at the end of its sound: there the note before may
    be cut by half.
    """
    over = quiet = Fraction(0)
    for before, after in pairwise(uses):
        over, quiet = max(over, before.end), max(quiet, before.rings)
        if before.accidental == after.accidental:
            continue
        since = over if after.onset - over >= FAST else max(over, after.onset) - (after.onset - before.onset) / 2
        yield _Needed(letter, before.accidental, after.accidental, min(since, after.onset), after.onset, quiet)
        over = quiet = Fraction(0)


# ----------------------------------------------------------------
# One foot: changes that cannot be made at once, laid one after another.
#
# Each has a time since which and one until which it can be made. That all can have the time t is a question of
# scheduling jobs of one length with release times and deadlines, which is answered exactly by forbidden regions
# (M. R. Garey, D. S. Johnson, B. B. Simons and R. E. Tarjan, SIAM J. Comput. 10, 1981, 256-269; from memory, and tried
# against all orders by a test). For one order the most time is the least of (until - since) / (number of changes from
# the one to the other); so the best of all orders is found by asking for a little more until there is none.


_HALVINGS = 12
"""How often the time is first searched by halves."""


def _laid(needed: Sequence[_Needed]) -> Iterator[PedalChange]:
    """The changes of one foot with their times."""
    for cluster in _clusters(needed):
        soon = [(max(need.since, need.until - AHEAD), need.until) for need in cluster]
        quiet = [
            (max(begin, min(need.quiet, until - ENOUGH)), until)
            for need, (begin, until) in zip(cluster, soon, strict=True)
        ]  # fmt: skip
        long = [(need.since, need.until) for need in cluster]
        for near in (quiet, soon, long) if quiet != soon else (soon, long):
            time, order = most_time(near, ENOUGH)
            if time >= ENOUGH:
                break
        now = Fraction(0)
        for place in order:
            need = cluster[place]
            begins = max(now, near[place][0])
            now = begins + time
            yield PedalChange(
                need.letter, need.before, need.after, need.since, need.until, min(begins, need.until), time
            )


def _clusters(needed: Sequence[_Needed]) -> Iterator[list[_Needed]]:
    """The changes in groups of which no one's time meets another's."""
    cluster: list[_Needed] = []
    for need in sorted(needed, key=lambda need: (need.since, need.until)):
        if cluster and need.since >= max(other.until for other in cluster):
            yield cluster
            cluster = []
        cluster.append(need)
    if cluster:
        yield cluster


def most_time(windows: Sequence[tuple[Fraction, Fraction]], enough: Fraction) -> tuple[Fraction, tuple[int, ...]]:
    """The longest time, `enough` at most, that each of some changes of one foot can have, and their order.

    A window is the time since which and until which a change can be made. 0 where they cannot follow one another.
    """
    by_deadline = tuple(sorted(range(len(windows)), key=lambda place: (windows[place][1], windows[place][0])))
    full = _order(windows, enough)
    if full is not None:
        return enough, full
    low, best = max(Fraction(0), _time_of(windows, by_deadline)), by_deadline
    high = enough
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        found = _order(windows, middle)
        if found is None:
            high = middle
        else:
            low, best = max(middle, _time_of(windows, found)), found
    finest = _finest(windows)
    while (found := _order(windows, low + finest)) is not None:
        low, best = _time_of(windows, found), found
    return min(low, enough), best


def _finest(windows: Sequence[tuple[Fraction, Fraction]]) -> Fraction:
    """Less than the difference of any two times that an order can give."""
    unit = lcm(*(moment.denominator for window in windows for moment in window))
    return Fraction(1, 2 * unit * len(windows) ** 2)


def _time_of(windows: Sequence[tuple[Fraction, Fraction]], order: Sequence[int]) -> Fraction:
    """The most time that each change can have in an order; below 0 where it cannot be kept."""
    return min(
        (windows[order[j]][1] - windows[order[i]][0]) / (j - i + 1)
        for i in range(len(order)) for j in range(i, len(order))
    )  # fmt: skip


def _order(windows: Sequence[tuple[Fraction, Fraction]], time: Fraction) -> tuple[int, ...] | None:
    """An order in which every change has that time; None where there is none."""
    forbidden = _forbidden(windows, time)
    if forbidden is None:
        return None
    waiting = list(range(len(windows)))
    order: list[int] = []
    now = min(window[0] for window in windows)
    while waiting:
        now = max(now, min(windows[place][0] for place in waiting))
        for begin, end in forbidden:  # in order
            if begin < now < end:
                now = end
        ready = [place for place in waiting if windows[place][0] <= now]
        chosen = min(ready, key=lambda place: (windows[place][1], windows[place][0], place))
        if now + time > windows[chosen][1]:
            return None
        order.append(chosen)
        waiting.remove(chosen)
        now += time
    return tuple(order)


def _forbidden(
    windows: Sequence[tuple[Fraction, Fraction]], time: Fraction
) -> list[tuple[Fraction, Fraction]] | None:
    """Open stretches in which no change can begin, in order; None where not all of them can have that time."""
    jobs = sorted(windows)
    critical: dict[int, Fraction] = {}
    regions: list[tuple[Fraction, Fraction]] = []  # the latest first, since release times are gone through backward
    for place in range(len(jobs) - 1, -1, -1):
        since, until = jobs[place]
        for other in range(len(jobs)):
            if jobs[other][1] < until:
                continue
            latest = critical.get(other, jobs[other][1]) - time
            for begin, end in regions:
                if begin < latest < end:
                    latest = begin
            critical[other] = latest
        if place and jobs[place - 1][0] == since:
            continue
        earliest = min(critical.values())
        if earliest < since:
            return None
        if earliest < since + time:
            regions.append((earliest - time, since))
    return regions[::-1]
