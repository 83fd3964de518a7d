"""One run of `cavata explore`: a piece, names of it, and what the composer asked for.

In: a compiled script and the words of the command line. Out: what was explored for each name; what cannot be done goes
into the bag with what would help.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from cavata.ciphers.cipher import Cipher
from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.explore.criteria import CRITERIA, FORMS, Wishes
from cavata.explore.explore import MOST_READINGS, Explored, NothingLeft, explore
from cavata.explore.require import Requirement, playable, requirements
from cavata.explore.space import MOST_STEMS, NameStem, SearchLimits, reading_count, stem_count, stems_of
from cavata.instruments.table import find
from cavata.music.mode import Mode
from cavata.names.program import NameDefinition
from cavata.pipeline import Compiled
from cavata.record import record
from cavata.study.script_words import mode_of, motif_of, report_absent
from cavata.text import backticked


@record
class Asked:
    """The words of the command line."""

    names: tuple[str, ...]
    limits: SearchLimits
    mode: str | None = None
    instrument: str | None = None
    sonority: str | None = None
    near: str | None = None
    opening: str | None = None
    require: tuple[str, ...] = ()
    prefer: str | None = None


class Exploring:
    """A piece that was read, and everything asked for about it."""

    def __init__(self, compiled: Compiled, bag: Diagnostics, say: Callable[[str], None]) -> None:
        self.compiled = compiled
        self.bag = bag
        self.say = say
        bag.report_all(compiled.bag.ordered())

    def run(self, asked: Asked) -> tuple[Explored, ...]:
        """Explore every name; nothing where something is wrong."""
        if self.bag.has_errors or self.compiled.plan is None:
            return ()
        names = [self._stems(name, asked.limits) for name in dict.fromkeys(asked.names)]
        weights = self._weights(asked.prefer)
        wishes = self._wishes(asked)
        required = self._required(asked.require)
        if self.bag.has_errors:
            return ()
        criteria = self._criteria(asked, wishes, weights)
        if self.bag.has_errors:
            return ()
        found = []
        for stems in names:
            name = stems[0].name
            self.say(f"exploring {name}")
            one = explore(
                stems, asked.limits, criteria, wishes, required, weights,
                lambda seen, name=name: self.say(f"exploring {name}: {seen} readings"),  # type: ignore[misc]  # bound
            )
            if isinstance(one, Explored):
                found.append(one)
            else:
                self._nothing(one)
        return () if self.bag.has_errors else tuple(found)

    # -------------------------------------------------------------- names and motifs of the piece

    def _names(self) -> dict[str, NameDefinition]:
        assert self.compiled.program is not None
        found = {d.identity.name: d for d in self.compiled.program.definitions if isinstance(d, NameDefinition)}
        return dict(sorted(found.items()))

    def _stems(self, word: str, limits: SearchLimits) -> tuple[NameStem, ...]:
        known = self._names()
        assert self.compiled.plan is not None
        definition = known.get(word)
        if definition is None:
            report_absent(word, list(known), "name", self.bag)
            return ()
        cipher = self.compiled.plan.values[definition.cipher]
        assert isinstance(cipher, Cipher)
        ways = stem_count(definition.tree, cipher)
        if ways > MOST_STEMS:
            self.bag.error(
                "O330", None, f"the letters of `{word}` can be read in {ways} ways",
                cure=f"{MOST_STEMS} at most can be looked at; settle some with `letter N as ...` at the name",
            )
            return ()
        stems = stems_of(definition.tree, cipher)
        count = sum(reading_count(stem, limits) for stem in stems)
        if count > MOST_READINGS:
            self.bag.error(
                "O330", None, f"`{word}` has {count} readings within these limits",
                cure=f"{MOST_READINGS} at most can be looked at; {self._narrower(stems, limits)}",
            )
        return stems

    @staticmethod
    def _narrower(stems: Sequence[NameStem], limits: SearchLimits) -> str:
        tried = []
        low, high = limits.lowest_octave, limits.highest_octave
        fewer = max(limits.inflections - 1, 0)
        for words, other in (
            (f"`--inflections {fewer}`", SearchLimits(fewer, low, high, limits.octave_leaps)),
            (f"`--octave-leaps {max(limits.octave_leaps - 1, 0)}`",
             SearchLimits(limits.inflections, low, high, max(limits.octave_leaps - 1, 0))),
            (f"`--octaves {low}..{max(high - 1, low)}`",
             SearchLimits(limits.inflections, low, max(high - 1, low), limits.octave_leaps)),
        ):  # fmt: skip
            if other != limits:
                tried.append(f"{words} leaves {sum(reading_count(stem, other) for stem in stems)}")
        return ", ".join(tried)

    def _line(self, word: str) -> tuple[int, ...]:
        """The keys of a name's or motif's notes, a chord's highest."""
        assert self.compiled.plan is not None
        value = motif_of(word, self.compiled.plan, self.bag)
        if value is None:
            return ()
        keys = tuple(event.heads[-1].pitch.midi for event in value.sounding)
        if len(keys) < 2:
            self.bag.error(
                "O333", None, f"`{word}` has {'one note' if keys else 'no note'}, and so no leap to compare with",
                cure="name a line of two notes or more",
            )
        return keys

    # -------------------------------------------------------------- what was asked for

    def _mode(self, text: str) -> Mode:
        assert self.compiled.loaded is not None
        return mode_of(text, self.compiled.loaded)

    def _misread(self, option: str, error: ValueError, cure: str) -> None:
        self.bag.error("O334", None, f"{option}: {error}", cure=cure)

    def _wishes(self, asked: Asked) -> Wishes:
        mode, comfortable = None, None
        if asked.mode is not None:
            try:
                mode = self._mode(asked.mode)
            except ValueError as error:
                self._misread("--mode", error, 'write a mode as "D minor", or name one of the piece')
        if asked.instrument is not None:
            try:
                playable(asked.instrument)
                instrument = find(asked.instrument)
                assert instrument is not None and instrument.comfortable is not None
                low, high = instrument.comfortable
                comfortable = low.midi, high.midi
            except ValueError as error:
                self._misread("--for", error, "name an instrument as in `forces`, as `clarinet`")
        near = self._line(asked.near) if asked.near is not None else ()
        first = self._line(asked.opening)[:2] if asked.opening is not None else ()
        return Wishes(mode, comfortable, near, first[1] - first[0] if len(first) == 2 else None)

    def _required(self, texts: Sequence[str]) -> tuple[Requirement, ...]:
        try:
            return requirements(list(texts), self._mode)
        except ValueError as error:
            self._misread("--require", error, "it may be: " + backticked(form for form, _ in FORMS))
            return ()

    def _weights(self, text: str | None) -> Mapping[str, float]:
        weights: dict[str, float] = {}
        for part in (text or "").split(","):
            match = re.fullmatch(r"([a-z-]+)(?: (\d{1,4}(?:\.\d{1,3})?))?", " ".join(part.split()))
            if not part.strip():
                continue
            if match is None or match[1] not in CRITERIA:
                words = part.split() or [part]
                self.bag.error(
                    "O334", None, f"--prefer: `{part.strip()}` is no criterion with a weight",
                    cure=did_you_mean(words[0], CRITERIA) or
                    "write a criterion and a number, as `singable 3`; criteria are " + ", ".join(CRITERIA),
                )
                return {}
            weights[match[1]] = float(match[2] or 1)
        return weights

    def _criteria(self, asked: Asked, wishes: Wishes, weights: Mapping[str, float]) -> tuple[str, ...]:
        """Those that always count, those that an option brings, and those preferred."""
        given = {
            "in-mode": wishes.mode is not None, "comfortable": wishes.comfortable is not None,
            "near": bool(wishes.near), "opening": wishes.opening is not None,
        }  # fmt: skip
        options = {"in-mode": "--mode", "comfortable": "--for", "near": "--near", "opening": "--opening"}
        for name in weights:
            if not given.get(name, True):
                self.bag.error(
                    "O334", None, f"--prefer: there is nothing to measure `{name}` by",
                    cure=f"give `{options[name]}` too",
                )
        on = {"few-inflections", "singable", "few-awkward-leaps", *weights}
        on |= {name for name, is_on in given.items() if is_on}
        on |= {asked.sonority} if asked.sonority else set()
        on |= set() if wishes.mode is not None else {"key"}
        on |= {"variety"} if len(asked.names) > 1 else set()
        return tuple(name for name in CRITERIA if name in on)

    def _nothing(self, one: NothingLeft) -> None:
        if not one.readings:
            self.bag.error(
                "O331", None, f"no reading of `{one.name}` lies within these octaves",
                cure="widen `--octaves` or `--octave-leaps`",
            )
            return
        text, count = one.excluded[0]
        self.bag.error(
            "O331", None, f"no reading of `{one.name}` meets all that is required",
            cure=f"`{text}` keeps out {count} of {one.readings}; leave it out, or widen `--inflections` and "
            "`--octaves`",
        )
