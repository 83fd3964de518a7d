"""What changed in a movement besides its notes: meter, key, tempo, repeats, bars and sections.

In: two readings of a movement and how their bars lie beside each other. Out: changes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from cavata.compare.bars import AlignedBars, Alignment
from cavata.compare.changes import Change, ChangeKind, Extent, Spot, ToldNote
from cavata.compare.reading import ReadMovement, ReadNote
from cavata.compare.tempi import scaled_tempi
from cavata.music.event import Event
from cavata.record import record, replace
from cavata.score.score import Movement, Part, ScoreBar, Tempo
from cavata.score.whereabouts import runs
from cavata.text import backticked


@record
class Versions:
    """Two versions of one movement, side by side."""

    old: ReadMovement
    new: ReadMovement
    alignment: Alignment

    @property
    def name(self) -> str:
        """The movement's name in the new version."""
        return self.new.movement.name

    @property
    def by_bars(self) -> list[AlignedBars]:
        """How bars lie beside each other, one by one where that can be."""
        return self.alignment.by_bars(self.old, self.new)

    def change(self, kind: ChangeKind, said: str, first: int, last: int, old: bool = False) -> Change:
        """A change of whole bars."""
        place = bars_place(self.old if old else self.new, first, last, old)
        if old:
            place = replace(place, here=self.new.spot(self.new.begins[self.after(last)]))
        return Change(kind, said, self.name, (), (place,), True)

    def after(self, old_bar: int) -> int:
        """The bar of the new version that follows a bar that is gone; the last one if none does."""
        later = [block.new[0] for block in self.alignment.blocks if block.old[0] > old_bar and not block.moved]
        return min(later, default=len(self.new.begins) - 1)

    def one_sided(self, kind: ChangeKind, said: str, first: int, last: int, old: bool = False) -> Change:
        """Bars that only one version has, with all their notes."""
        read = self.old if old else self.new
        notes = [
            (part, read.sounding(note, note.onset))
            for bar in read.bars[first : last + 1] for (part, _, _), row in bar.items() for note in row
        ]  # fmt: skip
        pairs = tuple(ToldNote(part, note, None) if old else ToldNote(part, None, note) for part, note in notes)
        return replace(self.change(kind, said, first, last, old), pairs=pairs)


def bars_place(read: ReadMovement, first: int, last: int, old: bool = False) -> Extent:
    """From one bar to another, by their places in the movement."""
    return Extent(read.spot(read.begins[first]), read.spot(read.begins[last]), old)


def frame_changes(versions: Versions) -> Iterator[Change]:
    """Pickups, meters, keys, tempi and repeats of the bars that both versions have."""
    yield from _pickups(versions)
    yield from _of_bars(versions, ChangeKind.METER, lambda bar: f"meter {_meter(bar)}")
    yield from _of_bars(versions, ChangeKind.KEY, lambda bar: "no key" if bar.key is None else f"key {bar.key}")
    yield from _of_bars(versions, ChangeKind.REPEAT, _repeat, alone=True)
    yield from _of_bars(versions, ChangeKind.REPEAT, _form, alone=True)
    yield from _tempi(versions)


def _pickups(versions: Versions) -> Iterator[Change]:
    """Sections that begin with another pickup than they did: all that follows stands otherwise in its bars."""
    for a, b in versions.alignment.sections:
        was, now = versions.old.pickup(a), versions.new.pickup(b)
        bars = [bar for bar, each in enumerate(versions.new.movement.bars) if each.section == b]
        if was != now and bars:
            instead = f" instead of {was}" if was and now else ""
            said = f"a pickup of {now}{instead or ' is new'}" if now else f"the pickup of {was} is gone"
            yield versions.change(ChangeKind.METER, said, bars[0], bars[0])


def _meter(bar: ScoreBar) -> str:
    if bar.meter is None:
        return "none"
    if bar.meter.sign:
        return {"common": "common time", "cut": "alla breve"}[bar.meter.sign]
    given = " as " + "+".join(map(str, bar.meter.groups)) if bar.meter.as_given else ""
    return f"{bar.meter}{given}"


def _repeat(bar: ScoreBar) -> str:
    words = ["the repeat begins here"] if bar.repeat_begins else []
    words += [f"played {bar.repeat_ends} times up to here"] if bar.repeat_ends else []
    words += ["only time " + ", ".join(map(str, bar.ending))] if bar.ending else []
    return ", ".join(words) or "no repeat sign"


def _form(bar: ScoreBar) -> str:
    return backticked((*bar.opens, *bar.closes)) or "no sign of the order of playing"


def _of_bars(
    versions: Versions, kind: ChangeKind, words: Callable[[ScoreBar], str], alone: bool = False
) -> Iterator[Change]:
    """Runs of bars in which the same thing became another."""
    run: list[int] = []
    said, end = "", 0
    for block in (*versions.by_bars, None):
        now = "" if block is None else _became(versions, block, words)
        if run and (now != said or alone or block is None or block.old[0] != end):
            yield versions.change(kind, said, run[0], run[-1])
            run = []
        said = now
        if block is not None and now:
            run += range(*block.new)
            end = block.old[1]


def _became(versions: Versions, block: AlignedBars, words: Callable[[ScoreBar], str]) -> str:
    old = words(versions.old.movement.bars[block.old[0]])
    new = words(versions.new.movement.bars[block.new[0]])
    return "" if old == new else f"{new} instead of {old.removeprefix(_first_word(new))}"


def _first_word(said: str) -> str:
    """What both sides would say twice: `meter ` or `key `."""
    word = said.split(" ", 1)[0] + " "
    return word if word in ("meter ", "key ") else ""


def _tempi(versions: Versions) -> Iterator[Change]:
    """Where another tempo holds than did. That a mark stands elsewhere, since bars were put in, is no change.

    All of them times one ratio are one change.
    """
    old, new = versions.old, versions.new
    found: list[tuple[Tempo | None, Tempo | None, Spot]] = []
    same = False
    for block in versions.by_bars:
        begin_old, begin_new = old.begins[block.old[0]], new.begins[block.new[0]]
        was, now = _marks_in(old, block.old), _marks_in(new, block.new)
        for at in sorted({*was, *now}):
            if _in_force(old, begin_old + at) == _in_force(new, begin_new + at):
                same = same or at in was
                continue
            found.append((was.get(at), now.get(at), new.spot(begin_new + at)))
    said = "" if same else scaled_tempi([(before, after) for before, after, _ in found])
    if said:
        yield versions.change(ChangeKind.TEMPO, said, 0, len(new.begins) - 1)
        return
    for before, after, spot in found:
        yield Change(ChangeKind.TEMPO, _became_tempo(before, after), versions.name, (), (Extent(spot, spot),))


def _became_tempo(before: Tempo | None, after: Tempo | None) -> str:
    if before is None or after is None:
        present = before or after
        assert present is not None
        return f"{_tempo(present)} is {'new' if before is None else 'gone'}"
    return f"{_tempo(after)} instead of {_tempo(before).removeprefix('tempo ')}"


def _marks_in(read: ReadMovement, bars: tuple[int, int]) -> dict[int, Tempo]:
    """The tempi that are printed in these bars, by their distance from the first of them."""
    begin, end, ticks = read.begins[bars[0]], read.ends[bars[1] - 1], read.codes.ticks
    return {
        ticks(tempo.onset) - begin: tempo
        for tempo in read.movement.tempi if tempo.printed and begin <= ticks(tempo.onset) < end
    }  # fmt: skip


def _in_force(read: ReadMovement, tick: int) -> str:
    """The tempo last printed; one that goes on from the movement before is no matter of this one."""
    printed = [t for t in read.movement.tempi if t.printed and read.codes.ticks(t.onset) <= tick]
    return _tempo(printed[-1]) if printed else ""


def _tempo(tempo: Tempo) -> str:
    """`tempo 1/4 at 84, "With the tide"`, and where a change of tempo leads."""
    rate = f"{tempo.beat} at {_number(tempo.per_minute)}" if tempo.metronome else ""
    if tempo.metronome and tempo.equals is not None:
        rate = f"{tempo.equals} = {tempo.beat}, which is {rate}"
    words = f'"{tempo.words}"' if tempo.words else ""
    said = "tempo " + ", ".join(text for text in (rate, words) if text)
    if tempo.until is None or not tempo.goal:
        return said
    goal = 60 / tempo.goal / tempo.beat
    return f"{said}, leading to {tempo.beat} at {_number(goal)} over {tempo.until - tempo.onset}"


def _number(value: Fraction) -> str:
    return str(value) if value.denominator == 1 else f"{float(value):.4g}"


def section_changes(versions: Versions) -> Iterator[Change]:
    """Sections and bars that are new, gone, moved, or called otherwise."""
    old, new, alignment = versions.old, versions.new, versions.alignment
    said_new, said_old = set(alignment.added), set(alignment.gone)
    old_of = {b: a for a, b in alignment.sections}
    for number, section in enumerate(new.movement.sections):
        bars = [bar for bar, each in enumerate(new.movement.bars) if each.section == number]
        title = _called(section.name, section.title)
        if number not in old_of:
            if section.name and bars and said_new >= set(bars):
                said_new -= set(bars)
                yield versions.one_sided(ChangeKind.SECTION, f"{title} is new", bars[0], bars[-1])
            elif bars and section.name:
                yield versions.change(ChangeKind.SECTION, f"{title} begins here now", bars[0], bars[0])
            continue
        before = old.movement.sections[old_of[number]]
        if (before.name, before.title) != (section.name, section.title) and bars:
            was = _called(before.name, before.title).removeprefix("section ")
            yield versions.change(ChangeKind.SECTION, f"{title} was called {was}", bars[0], bars[-1])
    for number, section in enumerate(old.movement.sections):
        bars = [bar for bar, each in enumerate(old.movement.bars) if each.section == number]
        if number in old_of.values() or not section.name or not bars:
            continue
        title = _called(section.name, section.title)
        if said_old >= set(bars):
            said_old -= set(bars)
            yield versions.one_sided(ChangeKind.SECTION, f"{title} is gone", bars[0], bars[-1], old=True)
        else:
            yield versions.change(ChangeKind.SECTION, f"{title} no longer begins here", bars[0], bars[0], old=True)
    yield from _moved(versions)
    yield from _longer(versions)
    yield from _left(versions, sorted(said_new), sorted(said_old))


def _called(name: str, title: str) -> str:
    return f"section {name}" + (f' "{title}"' if title else "")


def _moved(versions: Versions) -> Iterator[Change]:
    """Sections, and passages without one, that stand elsewhere."""
    runs: list[list[AlignedBars]] = []
    for block in (block for block in versions.alignment.blocks if block.moved):
        follows = runs and runs[-1][-1].new[1] == block.new[0]
        if follows and _section(versions, runs[-1][-1]) == _section(versions, block):
            runs[-1].append(block)
        else:
            runs.append([block])
    pairs = set(versions.alignment.sections)
    for run in runs:
        number = _section(versions, run[0])
        before = versions.old.movement.bars[run[0].old[0]].section
        section = versions.new.movement.sections[number]
        whole = bool(section.name) and (before, number) in pairs
        words = f"{_called(section.name, section.title)} moved here" if whole else "moved here"
        where = bars_place(versions.old, run[0].old[0], run[-1].old[1] - 1)
        kind = ChangeKind.SECTION if whole else ChangeKind.BARS
        yield versions.change(kind, f"{words} from {bars_words(where)}", run[0].new[0], run[-1].new[1] - 1)


def _longer(versions: Versions) -> Iterator[Change]:
    """Stretches in which the same music takes more bars of the same length, or fewer."""
    old, new = versions.old, versions.new
    for block in versions.alignment.blocks:
        bars_old, bars_new = old.whole_bars(*block.old), new.whole_bars(*block.new)
        was, now = len(bars_old), len(bars_new)
        if was != now and old.length(bars_old[0]) == new.length(bars_new[0]):
            said = f"{now} bar{'s' * (now > 1)} where there {'were' if was > 1 else 'was'} {was}"
            yield versions.change(ChangeKind.BARS, said, block.new[0], block.new[1] - 1)


def _section(versions: Versions, block: AlignedBars) -> int:
    return versions.new.movement.bars[block.new[0]].section


def bars_words(place: Extent) -> str:
    """`bar 3`, `bars 5 to 12`."""
    first, last = place.first.bar, place.last.bar
    return f"bar {first}" if first == last else f"bars {first} to {last}"


def _left(versions: Versions, added: Sequence[int], gone: Sequence[int]) -> Iterator[Change]:
    for bars, words, old in ((added, "new", False), (gone, "gone", True)):
        for first, last in runs(bars):
            verb = "is" if first == last else "are"
            yield versions.one_sided(ChangeKind.BARS, f"{verb} {words}", first, last, old)


# ----------------------------------------------------------------
# What changed in the instruments that players take up.
#
# In: two versions of a movement, and the parts that both have. Out: a change for each run of bars in which a player has
# another instrument in hand than before; where he rests, it is printed for what follows.


def instrument_changes(versions: Versions, players: Sequence[tuple[Part, Part]]) -> Iterator[Change]:
    """Each player as he was and as he is."""
    for was, now in players:
        if was.doublings or now.doublings:
            yield from _of_player(versions, was, now)


def _of_player(versions: Versions, was: Part, now: Part) -> Iterator[Change]:
    run: list[AlignedBars] = []
    said = ""
    for block in (*versions.alignment.blocks, None):
        became = "" if block is None else _changed_hands(versions, block, was, now)
        if run and (became != said or block is None or block.old[0] != run[-1].old[1]):
            first, last = run[0].new[0], run[-1].new[1] - 1
            yield replace(versions.change(ChangeKind.INSTRUMENT, said, first, last), parts=(now.name,))
            run = []
        said = became
        if block is not None and became:
            run.append(block)


def _changed_hands(versions: Versions, block: AlignedBars, was: Part, now: Part) -> str:
    before = _in_hand(versions.old.movement, was, block.old[0])
    after = _in_hand(versions.new.movement, now, block.new[0])
    return "" if before == after else f"on {after} instead of {before}"


def _in_hand(movement: Movement, part: Part, bar: int) -> str:
    instrument = movement.instrument_of(part, movement.bars[bar].onset)
    return "the usual instrument" if instrument == part.instrument else instrument.key


# ----------------------------------------------------------------
# Notes that sound as they did and come from other letters of names.
#
# In: two versions of a movement whose notes are the same. Out: one change a part.


def letter_changes(versions: Versions) -> Iterator[Change]:
    """For each part the notes whose letters changed. What a name is called in the script does not count."""
    old, new = versions.old, versions.new
    found: dict[str, list[tuple[ReadNote, ReadNote]]] = {}
    for block in versions.alignment.blocks:
        for bar_old, bar_new in zip(old.bars[slice(*block.old)], new.bars[slice(*block.new)], strict=False):
            for lane, notes in bar_new.items():
                for a, b in zip(bar_old.get(lane, ()), notes, strict=False):
                    if a.event.heads is not b.event.heads and _letters(a.event) != _letters(b.event):
                        found.setdefault(lane[0], []).append((a, b))
    for part, pairs in found.items():
        told = tuple(ToldNote(part, old.sounding(a, a.onset), new.sounding(b, b.onset)) for a, b in pairs)
        count = "1 note comes" if len(pairs) == 1 else f"{len(pairs)} notes come"
        place = Extent(new.spot(pairs[0][1].onset), new.spot(pairs[-1][1].onset))
        yield Change(
            ChangeKind.LETTERS, f"the same notes; {count} from other letters", versions.name, (part,), (place,), True,
            told,
        )  # fmt: skip


def _letters(event: Event) -> list[list[str]]:
    return [[letter.text for letter in head.letters] for head in event.heads]
