"""`cavata fit`: a piece, or a movement, brought to a length.

In: the files of a piece, a length, and limits. Out: a few ways to that length, each with the rows that it changes and
with what it costs. Every length is that of a score that was compiled with these rows, by its clock.

Three things give way. Tempi are multiplied by one number, each rounded to a whole one; so there are finitely many ways
to do it, and the nearest is found by bisection, since a piece gets no longer when its tempi grow. Repeats are played
fewer times. Sections of which every line that reaches their end only goes round, or is counted in bars, lose bars:
preferably so many that what goes round ends with a whole round.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from cavata.diagnostics import Diagnostic, Diagnostics
from cavata.evaluate.plan import PlannedSection
from cavata.names.loader import Loaded
from cavata.names.versions import whole
from cavata.pipeline import Compiled, compile_loaded
from cavata.record import record, replace
from cavata.revise.changes import RowChange, Sort, in_tree, repeats_of, shorter, tempi_of
from cavata.score.clock import length
from cavata.score.score import Movement, Score
from cavata.score.statements import stated_names
from cavata.syntax import tree as t

MOST_WAYS = 3
"""So many lengths are tried for a section besides the two nearest; the search stays short, the tempi do the rest."""
MOST_CHOICES = 4096
"""So many choices of repeats and sections are looked through at most."""


@record
class Limits:
    """What may give way, and how far."""

    tempi: Fraction
    """The largest change of a tempo, as a share: 3/20 lets 100 go from 85 to 115. 0 leaves tempi alone."""
    repeats: bool = True
    bars: bool = True
    within: Fraction = Fraction(1, 20)
    """How far from a single length the result may be, as a share of it."""


@record
class Aim:
    """The lengths wanted, in seconds; the same where it is one."""

    least: Fraction
    most: Fraction
    movement: str = ""
    """Empty for the whole piece."""

    def nearest(self, seconds: Fraction) -> Fraction:
        """What is asked for, as near as possible to a length."""
        return max(self.least, min(self.most, seconds))

    def is_met(self, seconds: Fraction, within: Fraction) -> bool:
        """Whether a length will do."""
        margin = within * self.least if self.least == self.most else Fraction(0)
        return self.least - margin <= seconds <= self.most + margin


@record
class Outcome:
    """A piece with some changes, compiled."""

    changes: tuple[RowChange, ...]
    seconds: Fraction
    """Of what is to be brought to a length."""
    piece: Fraction
    """Of the whole piece."""
    score: Score
    compiled: Compiled
    broken: tuple[Diagnostic, ...]
    """What the piece requires of itself and does not keep."""


@record
class Way:
    """A way to the length, and what it costs."""

    outcome: Outcome
    fewer: tuple[tuple[str, int, int], ...]
    """Names that are stated fewer times: how often before, and now."""
    broken: tuple[Diagnostic, ...]
    """Promises that were kept before."""
    kept: tuple[Diagnostic, ...] = ()
    """Promises that were broken before, and are kept now."""

    @property
    def lost(self) -> tuple[str, ...]:
        """Names no longer heard."""
        return tuple(name for name, _, now in self.fewer if not now)

    @property
    def faster(self) -> Fraction:
        """By which the tempi were multiplied: the largest change; 1 where none changed."""
        ratios = [change.ratio for change in self.outcome.changes if change.sort is Sort.TEMPO]
        return max(ratios, key=lambda ratio: max(ratio, 1 / ratio), default=Fraction(1))


@record
class Found:
    """The piece as it is, and the ways."""

    now: Outcome
    ways: tuple[Way, ...]
    nearest: Outcome
    """As near as it comes, whether that will do or not."""
    has_tempi: bool
    """It has metronome numbers that are not fixed."""


def fitting(loaded: Loaded, version: str, aim: Aim, limits: Limits, bag: Diagnostics) -> Found | None:
    """The ways to a length; None if the piece does not compile, which is reported."""
    return _Fitting(loaded, version, aim, limits).found(bag)


class _Fitting:
    """Looks for ways; every piece that it compiles it remembers."""

    def __init__(self, loaded: Loaded, version: str, aim: Aim, limits: Limits) -> None:
        self.loaded, self.version, self.aim, self.limits = loaded, version, aim, limits
        self.module = loaded.modules[loaded.main]
        self.movements = [
            each for each in self.module.declarations
            if isinstance(each, t.Movement) and aim.movement in ("", each.name.text)
        ]  # fmt: skip
        self.known: dict[frozenset[tuple[object, ...]], Outcome | None] = {}

    def outcome(self, changes: Iterable[RowChange], bag: Diagnostics | None = None) -> Outcome | None:
        """The piece with the changes; None if it does not compile."""
        made = tuple(change for change in changes if change.value != change.was)
        key = frozenset((*change.key, change.value) for change in made)
        if key not in self.known:
            self.known[key] = self._compiled(made, Diagnostics() if bag is None else bag)
        return self.known[key]

    def _compiled(self, changes: tuple[RowChange, ...], bag: Diagnostics) -> Outcome | None:
        modules = {**self.loaded.modules, self.loaded.main: in_tree(self.module, changes)}
        broken = Diagnostics()
        compiled = compile_loaded(replace(self.loaded, modules=modules), self.version, bag, broken)
        score = compiled.score
        if score is None:
            return None
        lengths = {movement.name: length(movement) for movement in score.movements}
        piece = sum(lengths.values(), Fraction(0))
        seconds = lengths.get(self.aim.movement, Fraction(0)) if self.aim.movement else piece
        return Outcome(changes, seconds, piece, score, compiled, broken.ordered())

    # -------------------------------------------------------------- the ways

    def found(self, bag: Diagnostics) -> Found | None:
        """The ways to the length, those first that change least."""
        now = self.outcome((), bag)
        if now is None:
            return None
        ways: list[Outcome] = []  # of the same changes there is one outcome
        nearest = now
        for outcome in self._tried(now):
            if self._distance(outcome) < self._distance(nearest):
                nearest = outcome
            is_new = outcome.changes and all(outcome is not way for way in ways)
            if is_new and self.aim.is_met(outcome.seconds, self.limits.within):
                ways.append(outcome)
        costed = sorted((_way(now, outcome) for outcome in ways), key=_cost)
        costs = [(self._distance(way.outcome), *_costs(way)) for way in costed]
        best = [way for way, cost in zip(costed, costs, strict=True) if not any(_beats(other, cost) for other in costs)]
        return Found(now, tuple(best), nearest, bool(tempi_of(self.movements)))

    def _distance(self, outcome: Outcome) -> Fraction:
        return abs(outcome.seconds - self.aim.nearest(outcome.seconds))

    def _tried(self, now: Outcome) -> Iterator[Outcome]:
        """Tempi alone; then repeats, bars and both, each by itself and with the tempi doing the rest."""
        yield from self._with_tempi(now, ())
        if now.seconds <= self.aim.most:
            return
        repeats = self._repeats() if self.limits.repeats else []
        met = False
        for whole_rounds in (True, False):
            sections = list(self._sections(now, whole_rounds)) if self.limits.bars else []
            for slots in (repeats, sections, [*repeats, *sections]) if whole_rounds else (sections,):
                for chosen in self._chosen(slots, now) if slots else ():
                    alone = self.outcome(chosen)
                    for outcome in (*(() if alone is None else (alone,)), *self._with_tempi(now, chosen)):
                        met = met or (bool(sections) and self.aim.is_met(outcome.seconds, self.limits.within))
                        yield outcome
            if met or not sections:
                return

    def _repeats(self) -> list[list[tuple[RowChange, ...]]]:
        return [[(change,) for change in ways] for ways in repeats_of(self.movements)]

    def _chosen(
        self, slots: Sequence[Sequence[tuple[RowChange, ...]]], now: Outcome
    ) -> Iterator[tuple[RowChange, ...]]:
        """Of all choices the one that comes nearest by itself, and the smallest that the tempi can bring there."""
        ways = [self._saving(slot, now) for slot in slots]
        while prod(map(len, ways)) > MOST_CHOICES:
            ways.remove(min(ways, key=lambda way: max(saved for _, saved in way)))
        target = self.aim.nearest(now.seconds)
        reach = 1 + self.limits.tempi
        sized = [
            (tuple(change for changes, _ in choice for change in changes), sum((s for _, s in choice), Fraction(0)))
            for choice in product(*ways)
        ]  # fmt: skip
        sized = [(changes, saved) for changes, saved in sized if saved > 0]
        if not sized:
            return
        yield min(sized, key=lambda each: (abs(now.seconds - each[1] - target), len(each[0])))[0]
        in_reach = [each for each in sized if target <= now.seconds - each[1] <= target * reach]
        if in_reach:
            yield min(in_reach, key=lambda each: (len(each[0]), now.seconds - each[1]))[0]

    def _saving(
        self, slot: Sequence[tuple[RowChange, ...]], now: Outcome
    ) -> list[tuple[tuple[RowChange, ...], Fraction]]:
        """The ways of one repeat or section, each with the seconds that it saves; and to leave it."""
        found: list[tuple[tuple[RowChange, ...], Fraction]] = [((), Fraction(0))]
        for changes in slot:
            outcome = self.outcome(changes)
            if outcome is not None and outcome.seconds < now.seconds:
                found.append((changes, now.seconds - outcome.seconds))
        return found

    # -------------------------------------------------------------- sections

    def _sections(self, now: Outcome, whole_rounds: bool) -> Iterator[list[tuple[RowChange, ...]]]:
        """The ways to take bars from each section that lets itself be shortened; by whole rounds only, if they can."""
        plan = now.compiled.plan
        assert plan is not None
        planned = {each.name.text: each for each in plan.movements}
        scored = {each.name: each for each in now.score.movements}
        for movement in self.movements:
            if movement.name.text not in scored:
                continue
            laid = scored[movement.name.text]
            there = {each.called: each for each in planned[laid.name].sections}
            for number, name in enumerate(each.name for each in laid.sections):
                section = next((each for each in movement.sections if each.called == name), None)
                ways = [] if section is None else self._shortened(movement, section, _bars(laid, number))
                if ways:
                    fitting = _whole_rounds(ways, there[name], laid, number) if whole_rounds else ways
                    yield _some(fitting, self._wanted(ways[0], now))

    def _shortened(
        self, movement: t.WrittenMovement, section: t.WrittenSection, bars: int
    ) -> list[tuple[int, tuple[RowChange, ...]]]:
        """The numbers of bars that a section can have, the most first, and what it says then.

        If so many can be left, all larger numbers can; so the least is found by bisection.
        """
        def changes(left: int) -> tuple[RowChange, ...]:
            return shorter(movement, section, bars, left)

        if bars < 2 or not changes(bars - 1) or self.outcome(changes(bars - 1)) is None:
            return []
        bad, good = 0, bars - 1
        while good - bad > 1:
            middle = (good + bad) // 2
            if self.outcome(changes(middle)) is not None:
                good = middle
            else:
                bad = middle
        return [(left, changes(left)) for left in range(bars - 1, good - 1, -1)]

    def _wanted(self, one_less: tuple[int, tuple[RowChange, ...]], now: Outcome) -> Fraction:
        """How many bars a section would need to have, were it alone to give way and all its bars alike."""
        left, changes = one_less
        outcome = self.outcome(changes)
        saved = Fraction(0) if outcome is None else now.seconds - outcome.seconds
        return left + 1 - (now.seconds - self.aim.nearest(now.seconds)) / saved if saved > 0 else Fraction(0)

    # -------------------------------------------------------------- tempi

    def _with_tempi(self, now: Outcome, others: tuple[RowChange, ...]) -> Iterator[Outcome]:
        """The same with the tempi by which it comes nearest."""
        rows = tempi_of(self.movements) if self.limits.tempi else ()
        steps = list(_steps(rows, self.limits.tempi))
        start = self.outcome(others)
        if not steps or start is None or self.aim.least < self.aim.nearest(start.seconds) < self.aim.most:
            return
        target = self.aim.nearest(start.seconds)
        low, high, guess = 0, len(steps) - 1, start.seconds / target
        tried: list[Outcome] = []
        while low <= high:
            probe = max(low, min(high, bisect_left(steps, guess, key=lambda step: step[0])))
            ratio, changes = steps[probe]
            outcome = self.outcome((*others, *changes))
            if outcome is None:  # as where a broadening would lead to a faster tempo that is fixed
                steps.pop(probe)
                high -= 1
                continue
            tried.append(outcome)
            guess = ratio * outcome.seconds / target
            if outcome.seconds > target:
                low = probe + 1
            else:
                high = probe - 1
        if tried:
            yield min(tried, key=lambda each: (self._distance(each), abs(each.seconds - start.seconds)))


def _steps(rows: Sequence[RowChange], most: Fraction) -> Iterator[tuple[Fraction, tuple[RowChange, ...]]]:
    """All that the tempi can be, multiplied by one number and rounded, each with that number; the slowest first."""
    if not rows:
        return
    low, high = 1 - most, 1 + most
    half = Fraction(1, 2)
    ratios = {Fraction(1), low, high}
    for rate in {row.was for row in rows}:
        first, last = int(rate * low), int(rate * high) + 1
        ratios.update(bound for n in range(first, last + 1) if low <= (bound := (n - half) / rate) <= high)
    last_made: tuple[Fraction, ...] = ()
    for ratio in sorted(ratios):
        made = tuple(whole(row.was, ratio) if ratio != 1 else row.was for row in rows)
        kept = all(low <= value / row.was <= high for value, row in zip(made, rows, strict=True))
        if made != last_made and kept:
            last_made = made
            yield ratio, tuple(replace(row, value=value) for row, value in zip(rows, made, strict=True))


# ------------------------------------------------------------------ bars and rounds


def _bars(movement: Movement, section: int) -> int:
    """How many bars a section has as the script counts; 0 in free time."""
    return max((b.bar_in_section for b in movement.bars if b.section == section and b.meter is not None), default=0)


def _whole_rounds(
    ways: Sequence[tuple[int, tuple[RowChange, ...]]], section: PlannedSection, movement: Movement, number: int
) -> list[tuple[int, tuple[RowChange, ...]]]:
    """Those of the ways where most of what goes round ends a round."""
    starts = {b.bar_in_section: b.begin for b in movement.bars if b.section == number and b.bar_in_section}
    rounds = [
        item.value.duration for row in section.rows if isinstance(row, t.Line)
        for item in row.items[-1:] if isinstance(item, t.Item) and isinstance(item.repeat, t.UntilEnd | t.ForLength)
    ]  # fmt: skip

    def unfinished(left: int) -> int:
        """How many lines would break off within a round, if they go round since the section began."""
        lasts = starts[left + 1] - starts[1]
        return sum(1 for each in rounds if each and lasts % each)

    least = min((unfinished(left) for left, _ in ways), default=0)
    return [(left, changes) for left, changes in ways if unfinished(left) == least]


def _some(ways: Sequence[tuple[int, tuple[RowChange, ...]]], wanted: Fraction) -> list[tuple[RowChange, ...]]:
    """A few of the ways: the two nearest to a number of bars, and others from the least to the largest change."""
    last = len(ways) - 1
    spread = [i * last // (MOST_WAYS - 1) for i in range(MOST_WAYS)]
    near = sorted(range(last + 1), key=lambda place: abs(ways[place][0] - wanted))[:2]
    return [ways[place][1] for place in sorted({*near, *spread})]


# ------------------------------------------------------------------ what it costs


def _way(now: Outcome, outcome: Outcome) -> Way:
    before, after = _stated(now.compiled), _stated(outcome.compiled)
    fewer = tuple((name, count, after.get(name, 0)) for name, count in before.items() if after.get(name, 0) < count)
    return Way(outcome, fewer, _not_in(outcome.broken, now.broken), _not_in(now.broken, outcome.broken))


def _stated(compiled: Compiled) -> dict[str, int]:
    assert compiled.program is not None and compiled.plan is not None and compiled.score is not None
    return {
        each.name: len(each.statements) for each in stated_names(compiled.program, compiled.plan, compiled.score)
    }


def _not_in(these: Sequence[Diagnostic], those: Sequence[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Messages at places where the others have none of the same code."""
    known = {(message.code, message.span) for message in those}
    return tuple(message for message in these if (message.code, message.span) not in known)


def _costs(way: Way) -> tuple[Fraction, ...]:
    """Promises and names; what is stated less often; what is left out; how far the tempi went."""
    changes = way.outcome.changes
    left_out = sum(change.was - change.value for change in changes if change.sort in (Sort.REPEAT, Sort.SECTION))
    rarer = sum(before - now for _, before, now in way.fewer)
    return (
        Fraction(len(way.broken)), Fraction(len(way.lost)), Fraction(rarer), Fraction(left_out),
        max(way.faster, 1 / way.faster),
    )  # fmt: skip


def _cost(way: Way) -> tuple[object, ...]:
    """In the order of `_costs`, and of equal ones that first which changes less of the script."""
    return (*_costs(way), len(way.outcome.changes), [change.key[1] for change in way.outcome.changes])


def _beats(one: tuple[Fraction, ...], other: tuple[Fraction, ...]) -> bool:
    """Whether one way is better in something and worse in nothing."""
    return one != other and all(a <= b for a, b in zip(one, other, strict=True))
