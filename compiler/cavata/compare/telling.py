"""Paired notes of a passage told as changes: equal things that happened to neighbors are one.

In: pairs of notes of one voice. Out: changes with their places, in the words of a composer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import fields
from fractions import Fraction

from cavata.compare.align import alike_runs
from cavata.compare.changes import Change, ChangeKind, Extent, ToldNote
from cavata.compare.moved import went_along
from cavata.compare.notes import Both, NotePair, SameChange, pitch_stretches
from cavata.compare.reading import ReadMovement, ReadNote
from cavata.music.event import BASE_HAIRPINS, DYNAMICS, NOTHING, UNMARKED, Marks, Ornament
from cavata.music.said import figures_text
from cavata.record import record
from cavata.text import fraction_text, readable, so_many

# ----------------------------------------------------------------
# Markings in words, and what was written to notes and taken from them.
#
# In: the markings of notes. Out: words as a composer says them: `p`, `staccato`, `slur`, `"calm"`, `trill`.


_ENDS = {"slur_ends": "end of a slur", "hairpin_ends": "end of a hairpin", "pedal_ends": "end of the pedal"}
_SIMPLE = {
    "slur_begins": "slur", "slur_dashed": "dashed slur", "spoken": "spoken", "stemless": "no stem",
    "glides": "glissando", "pedal_begins": "pedal", "optional": "optional",
}  # fmt: skip
_ON_THE_PAGE = ("swelling", "led")
"""How what else is said is printed."""
_MOST_WORDS = 6


def mark_words(marks: Marks) -> Iterator[str]:
    """Everything that is written at a note, each in a word or two."""
    for field in fields(Marks):
        value = getattr(marks, field.name)
        if not field.compare or value == getattr(UNMARKED, field.name) or field.name in _ON_THE_PAGE:
            continue
        if value == NOTHING:  # its hairpin says so
            continue
        if field.name in _ENDS or field.name in _SIMPLE:
            yield _ENDS.get(field.name) or _SIMPLE[field.name]
        elif field.name == "words":
            yield from (f'"{words}"' for words in value)
        elif field.name == "graces":
            yield from ("grace note " + " ".join(str(head.pitch) for head in grace) for grace in value)
        elif field.name == "held":
            yield f"held by {value}"
        elif field.name == "sung":
            yield from (f"sung {syllable}" for syllable in value)
        elif field.name in ("string", "harmonic"):
            yield f"{field.name} {value}"
        elif field.name == "division":
            yield f"{value} division"
        elif field.name == "figures":
            yield f"figures {figures_text(value)}"
        elif field.name == "label":
            yield f'"{value}"'
        elif field.name == "symbol":
            yield f"chord symbol {value}"
        elif isinstance(value, tuple):
            yield from map(_sign, value)
        else:
            yield str(value)


def _sign(sign: Ornament | str) -> str:
    if isinstance(sign, str):
        return readable(sign)
    to = f" to {sign.to}" if sign.to is not None else ""
    unit = f" {sign.unit}" if sign.unit is not None else ""
    return sign.kind + to + unit


def _words_of(note: ReadNote) -> Counter[str]:
    return Counter(word for event in note.events for word in mark_words(event.event.marks))


def marking_said(pairs: Sequence[tuple[ReadNote, ReadNote]]) -> str:
    """What these notes are marked with now and were not, and the reverse: `now staccato (4 notes), no longer p`."""
    added: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    instead: Counter[tuple[str, str]] = Counter()
    for old, new in pairs:
        before, after = _words_of(old), _words_of(new)
        more, less = after - before, before - after
        loud_new, loud_old = (next((w for w in words if w in DYNAMICS), "") for words in (more, less))
        if loud_new and loud_old:
            instead[loud_new, loud_old] += 1
            del more[loud_new], less[loud_old]
        added += more
        taken += less
    elsewhere = added & taken
    added, taken = added - elsewhere, taken - elsewhere
    for words in (added, taken, elsewhere):
        _drop_ends(words)
    said = [f"{new} instead of {old}{_times(count)}" for (new, old), count in instead.items()]
    said += [f"{_listed(elsewhere)} on other notes"] if elsewhere else []
    said += [f"now {_listed(added)}"] if added else []
    said += [f"no longer {_listed(taken)}"] if taken else []
    return ", ".join(said) or "the markings stand elsewhere in the note"


def _drop_ends(words: Counter[str]) -> None:
    """The end of a slur, hairpin or pedal goes without saying where its beginning is told."""
    for end, begins in (
        ("slur_ends", ("slur",)), ("hairpin_ends", tuple(BASE_HAIRPINS)), ("pedal_ends", ("pedal",))
    ):  # fmt: skip
        if any(words[begin] for begin in begins):
            del words[_ENDS[end]]
    for word in [word for word, count in words.items() if not count]:
        del words[word]


def _listed(words: Counter[str]) -> str:
    named = [word + _times(count) for word, count in words.items()]
    more = len(named) - _MOST_WORDS
    return ", ".join(named[:_MOST_WORDS]) + (f" and {more} more" if more > 0 else "")


def _times(count: int) -> str:
    return "" if count == 1 else f" ({count} notes)"


# ----------------------------------------------------------------

_REWRITTEN, _SHARE = 6, Fraction(3, 5)
"""A passage is told as written anew from so many new and gone notes on, if they are that share of all its notes."""
_MOST_SINGLE = 6
"""Single notes of other pitches that are told one by one."""
_MOST_NAMED = 8


@record
class PartPassage:
    """A stretch of bars of one part, in both versions."""

    part: str
    old: ReadMovement
    new: ReadMovement
    old_bars: tuple[int, int]
    new_bars: tuple[int, int]

    @property
    def shift(self) -> int:
        """From the old version's ticks to the new one's, at its first bar line: a pickup leads to it."""
        old, new = self.old.whole_bars(*self.old_bars), self.new.whole_bars(*self.new_bars)
        return self.new.begins[new[0]] - self.old.begins[old[0]]

    @property
    def measured_alike(self) -> bool:
        """Whether its bars are as long as they were; there may be more of them, or fewer."""
        lengths_old, lengths_new = (
            [read.length(bar) for bar in read.whole_bars(*bars)]
            for read, bars in ((self.old, self.old_bars), (self.new, self.new_bars))
        )
        return all(a == b for a, b in zip(lengths_old, lengths_new, strict=False))


class Teller:
    """Tells of pairs of notes of one passage."""

    def __init__(self, passage: PartPassage) -> None:
        self.passage = passage

    def told(self, pairs: Sequence[NotePair]) -> list[Change]:
        """All changes of the pairs."""
        both = [(a, b) for a, b in pairs if a is not None and b is not None]
        gone = sum(1 for _, b in pairs if b is None)
        new = len(pairs) - len(both) - gone
        if gone and new and gone + new >= _REWRITTEN and gone + new > _SHARE * (gone + new + 2 * len(both)):
            words = f"rewritten: {so_many(len(both) + new, 'note')} where there were {len(both) + gone}"
            return [self.said(ChangeKind.REWRITTEN, words, pairs)]
        found = [self.one_sided(run) for run in _one_sided(pairs)]
        return found + self.pitches(both) + self.times(both) + self.lengths(both) + self.marks(both)

    def said(self, kind: ChangeKind, words: str, pairs: Sequence[NotePair], whole_bars: bool | None = None) -> Change:
        """One change of these pairs."""
        old, new = self.passage.old, self.passage.new
        told = tuple(
            ToldNote(
                self.passage.part, None if a is None else old.sounding(a, a.onset),
                None if b is None else new.sounding(b, b.onset),
            ) for a, b in pairs
        )  # fmt: skip
        ticks = [self.tick(pair) for pair in pairs]
        place = Extent(new.spot(min(ticks)), new.spot(max(ticks)))
        by_bars = len(pairs) > 1 if whole_bars is None else whole_bars
        return Change(kind, words, new.movement.name, (self.passage.part,), (place,), by_bars, told)

    def tick(self, pair: NotePair) -> int:
        """Where a pair stands in the new version, a note that is gone where it stood."""
        old, new = pair
        if new is not None:
            return new.onset
        assert old is not None
        first, end = self.passage.new_bars
        begin, last = self.passage.new.begins[first], self.passage.new.ends[end - 1] - 1
        return min(max(old.onset + self.passage.shift, begin), last)

    def one_sided(self, run: Sequence[NotePair]) -> Change:
        """Notes one after another that only one version has."""
        notes = [a or b for a, b in run]
        is_new = run[0][1] is not None
        named = " ".join(_sound(note) for note in notes[:_MOST_NAMED] if note) + " ..." * (len(notes) > _MOST_NAMED)
        words = f"{named} {'is' if len(notes) == 1 else 'are'} {'new' if is_new else 'gone'}"
        return self.said(ChangeKind.NEW if is_new else ChangeKind.GONE, words, run)

    def pitches(self, both: Sequence[Both]) -> list[Change]:
        """What happened to the pitches."""
        stretches = list(pitch_stretches(both))
        single = [stretch for stretch in stretches if stretch.kind is ChangeKind.PITCH]
        if len(single) <= _MOST_SINGLE:
            return [self.stretch(stretch) for stretch in stretches]
        others = [self.stretch(stretch) for stretch in stretches if stretch.kind is not ChangeKind.PITCH]
        pairs = [pair for stretch in single for pair in stretch.pairs]
        return [*others, self.said(ChangeKind.PITCH, f"{so_many(len(pairs), 'note')} of other pitches", pairs)]

    def stretch(self, stretch: SameChange) -> Change:
        """One stretch of changed pitches."""
        return self.said(stretch.kind, stretch.said, stretch.pairs)

    def times(self, both: Sequence[Both]) -> list[Change]:
        """What begins earlier or later than it did."""
        shift = self.passage.shift
        runs = alike_runs(both, lambda pair: pair[1].onset - pair[0].onset - shift)
        moved = [pair for by, run in runs if by for pair in run]
        if moved and not self.passage.measured_alike:
            return [self.said(ChangeKind.MOVED, "the same notes on other beats", moved)]
        found, at = [], 0
        for by, run in runs:
            if by and not _stretched(both[max(at - 2, 0) : at], run):
                said = f"{self.time(abs(by))} {'later' if by > 0 else 'earlier'}"
                found.append(self.said(ChangeKind.MOVED, said, run))
            at += len(run)
        return found

    def lengths(self, both: Sequence[Both]) -> list[Change]:
        """What lasts longer or shorter."""
        found = []
        for ratio, run in alike_runs(both, lambda pair: Fraction(pair[1].length, pair[0].length)):
            if ratio == 1:
                continue
            whole = self.passage.new.codes.whole
            if len(run) == 1:
                old, new = run[0]
                now, before = (fraction_text(Fraction(note.length, whole)) for note in (new, old))
                words = f"lasts {now}, not {before}"
                found.append(self.said(ChangeKind.LENGTH, words, run))
            else:
                found.append(self.said(ChangeKind.LENGTH, _times_as_long(ratio), run))
        return found

    def time(self, ticks: int) -> str:
        """A length of time, in bars where it is whole bars of one length."""
        lengths = {self.passage.new.length(bar) for bar in self.passage.new.whole_bars(*self.passage.new_bars)}
        if len(lengths) == 1 and ticks % (length := lengths.pop()) == 0:
            return so_many(ticks // length, "bar")
        return fraction_text(Fraction(ticks, self.passage.new.codes.whole))

    def marks(self, both: Sequence[Both]) -> list[Change]:
        """What is written at the notes besides, all in one."""
        pairs = [pair for pair in both if pair[0].dress != pair[1].dress and not went_along(*pair)]
        return [self.said(ChangeKind.MARKED, marking_said(pairs), pairs)] if pairs else []


def _sound(note: ReadNote) -> str:
    return "+".join(str(head.pitch) for head in note.event.heads)


def _one_sided(pairs: Sequence[NotePair]) -> Iterator[list[NotePair]]:
    """Stretches of notes that only one version has."""
    run: list[NotePair] = []
    for pair in pairs:
        single = (pair[0] is None) != (pair[1] is None)
        if run and (not single or (pair[1] is None) != (run[0][1] is None)):
            yield run
            run = []
        if single:
            run.append(pair)
    if run:
        yield run


def _stretched(before: Sequence[Both], run: Sequence[Both]) -> bool:
    """Whether a note begins elsewhere only because those before it are longer or shorter, all alike, and it with them.

    Where one note alone lasts longer, that what follows is later must be told.
    """
    if not before or len(run) > 1:
        return False
    (old, new), (next_old, next_new) = before[-1], run[0]
    in_step = old.onset + old.length == next_old.onset and new.onset + new.length == next_new.onset
    ratios = [Fraction(b.length, a.length) for a, b in before]
    alike = ratios[-1] == Fraction(next_new.length, next_old.length) or (len(ratios) == 2 and ratios[0] == ratios[1])
    return in_step and alike and ratios[-1] != 1


def _times_as_long(ratio: Fraction) -> str:
    """`twice as long`, `half as long`, `3:2 times as long`."""
    known = {Fraction(2): "twice as long", Fraction(1, 2): "half as long"}
    return known.get(ratio) or f"{ratio.numerator}:{ratio.denominator} times as long"
