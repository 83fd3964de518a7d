"""One run of `cavata combine`: a piece, two or three motifs of it or one against itself, and the rules.

In: a compiled script and the words of the command line. Out: what was found; what cannot be done goes into the bag.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from cavata.combine.combine import MOST_PLACEMENTS, combine, ticks_needed
from cavata.combine.placement import FORMS, Bounds, delays
from cavata.combine.shown import Pair
from cavata.combine.three import Trio, combine_three
from cavata.diagnostics import Diagnostics
from cavata.music.event import Motif
from cavata.music.mode import Mode, native
from cavata.pipeline import Compiled
from cavata.study.script_words import mode_of, motif_of

MOST_CELLS = 40_000_000
"""Placements times ticks of the leader: what a search may hold at once, form by form."""


@dataclass(frozen=True, slots=True)
class AskedPair:
    """The words of the command line."""

    leader: str
    follower: str
    rules: str
    longest_delay: Fraction
    delay_grid: Fraction
    reach: int
    bar: Fraction
    strong: Fraction
    plain: bool
    """Only as the follower stands: not turned, not stretched."""
    most: int
    mode: str | None = None
    """Answers keep to this mode."""
    third: str | None = None
    everything: bool = False
    """Also placements that are like one before them."""
    species: int | None = None
    avoided: tuple[str, ...] = ()
    allowed: tuple[str, ...] = ()


class Combining:
    """A piece that was read."""

    def __init__(self, compiled: Compiled, bag: Diagnostics, say: Callable[[str], None]) -> None:
        self.compiled = compiled
        self.bag = bag
        self.say = say
        bag.report_all(compiled.bag.ordered())

    def run(self, asked: AskedPair) -> Pair | Trio | None:
        """Combine; None where something is wrong."""
        if self.bag.has_errors or self.compiled.plan is None:
            return None
        leader, follower = self._line(asked.leader), self._line(asked.follower)
        if leader is None or follower is None:
            return None
        canon = asked.leader == asked.follower and asked.third is None
        if asked.rules in ("canon", "stretto") and not canon:
            self.bag.error(
                "O341", None, f"a {asked.rules} is one motif with itself, not `{asked.leader}` with `{asked.follower}`",
                cure="name one motif, or take the rules `free` or `strict`",
            )  # fmt: skip
            return None
        mode = None
        if asked.mode is not None:
            mode = self._mode(asked, [follower, *self._also(asked)])
            if mode is None:
                return None
        forms = FORMS[:1] if asked.plain or asked.rules in ("stretto", "quodlibet") else FORMS
        bounds = Bounds(
            asked.longest_delay, asked.delay_grid, asked.reach, forms, asked.strong, asked.rules, canon, mode,
            asked.bar, asked.species, frozenset(asked.avoided), frozenset(asked.allowed),
        )  # fmt: skip
        if not self._is_small_enough(leader, follower, bounds):
            return None
        if asked.third is not None:
            return self._three(asked, asked.third, (leader, follower), bounds)
        self.say(f"combining {asked.leader} with {asked.follower}")
        found = combine(
            leader, follower, bounds, asked.most,
            lambda seen: self.say(f"combining {asked.leader} with {asked.follower}: {seen} placements"),
            varied=not asked.everything,
        )  # fmt: skip
        if not found.best:
            self._never(f"`{asked.leader}` and `{asked.follower}`")
            return None
        return Pair(
            asked.leader, asked.follower, leader, follower, canon, asked.rules, asked.bar, found,
            "" if mode is None else str(mode),
        )

    def _three(
        self, asked: AskedPair, third: str, lines: tuple[Motif, Motif], bounds: Bounds
    ) -> Trio | None:
        line = self._line(third)
        if line is None or not self._is_small_enough(lines[0], line, bounds):
            return None
        self.say(f"combining {asked.leader} with {asked.follower} and {third}")
        found = combine_three(
            (*lines, line), bounds, asked.most, lambda seen: self.say(f"combining three: {seen} triples"),
            varied=not asked.everything,
        )  # fmt: skip
        if not found.best:
            self._never(f"`{asked.leader}`, `{asked.follower}` and `{third}`")
            return None
        return Trio((asked.leader, asked.follower, third), (*lines, line), asked.rules, asked.bar, found)

    def _also(self, asked: AskedPair) -> list[Motif]:
        third = None if asked.third is None else self._line(asked.third)
        return [] if third is None else [third]

    def _mode(self, asked: AskedPair, followers: list[Motif]) -> Mode | None:
        """The mode that answers keep to; None if it is none, or they cannot, which was reported."""
        assert self.compiled.loaded is not None and asked.mode is not None
        try:
            mode = mode_of(asked.mode, self.compiled.loaded)
        except ValueError as error:
            self.bag.error("O334", None, f"--in: {error}", cure='write a mode as "D minor", or name one of the piece')
            return None
        if asked.rules == "quodlibet":
            self.bag.error(
                "O344", None, "the tunes of a quodlibet stay as they are", label="they are moved by octaves only",
                cure="take the rules `free` or `strict`, or leave out `--in`",
            )
            return None
        pitches = [event.heads[0].pitch for line in followers for event in line.sounding]
        foreign = dict.fromkeys(str(pitch.pitch_class) for pitch in pitches if native(pitch, mode) != pitch)
        if foreign and asked.leader != asked.follower:
            self.bag.error(
                "O344", None, f"`{asked.follower}` does not keep to {mode}"
                if asked.third is None else f"`{asked.follower}` or `{asked.third}` does not keep to {mode}",
                label=f"the mode has no {', '.join(foreign)}",
                cure="name a mode that has all its notes, or leave out `--in`; a canon of one motif answers them "
                "exactly",
            )
            return None
        return mode

    def _never(self, who: str) -> None:
        self.bag.error(
            "O342", None, f"{who} are nowhere together for long enough",
            cure="half of the shorter one must sound with the other: let it enter earlier, with a smaller `--grid`",
        )

    def _line(self, word: str) -> Motif | None:
        assert self.compiled.plan is not None
        value = motif_of(word, self.compiled.plan, self.bag)
        if value is None:
            return None
        if not value.sounding or any(event.is_chord for event in value.events):
            self.bag.error(
                "O340", None, f"`{word}` {'has chords' if value.sounding else 'has no note'}",
                cure="lines of single notes can be combined",
            )
            return None
        return value

    def _is_small_enough(self, leader: Motif, follower: Motif, bounds: Bounds) -> bool:
        by_form = len(bounds.mover().intervals(follower)) * len(delays(bounds, leader))
        count, ticks = by_form * len(bounds.forms), ticks_needed(leader, follower, bounds)
        if count <= MOST_PLACEMENTS and by_form * ticks <= MOST_CELLS:
            return True
        self.bag.error(
            "O343", None, f"there are {count} placements within these limits, over {ticks} moments each",
            cure="give a shorter `--delay`, a larger `--grid`, a smaller `--reach`, or combine shorter lines",
        )
        return False
