"""`cavata format --renew`: pieces of edition 1 turned into edition 2, with the same music.

In: scripts. Out: their new texts, and those of the files of the composer's that they use. What an old `for` or
`until end` did depends on the value before it, so the pieces are computed, and every such place is looked at wherever
it is heard: also in passages, and in sections made from others.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from cavata.diagnostics import Diagnostics, Refusal
from cavata.evaluate.evaluate import evaluate
from cavata.evaluate.plan import Music, Plan, PlannedItem
from cavata.music.event import Motif, Texture
from cavata.names.loader import SUFFIX, load, standard_library
from cavata.names.resolve import resolve
from cavata.place.lines import filling, repeated
from cavata.record import record
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.edits import Edit, applied, as_parsed
from cavata.syntax.format import format_script
from cavata.syntax.renew import Doubt, Renewal, is_old, renewal
from cavata.transforms.table import LENGTHS


@record
class _Old:
    """A file as it is, what is to be changed in it, and how it reads with the changes that are not in doubt."""

    source: Source
    renewal: Renewal
    plain: str


def renewed(paths: Sequence[Path], bag: Diagnostics) -> Mapping[Path, str]:
    """The new texts of scripts and of what they use; what nobody can decide is reported at its place.

    A file that is written in this edition already is left out.
    """
    files: dict[Path, _Old] = {}
    for path in paths:
        _read(path.resolve(), str(path), files)
    plans = [plan for path in paths if path.resolve() in files and (plan := _plan(path, files))]
    heard: dict[str, list[PlannedItem]] = {}
    for item in (item for plan in plans for item in _items(plan)):
        heard.setdefault(item.span.source.text, []).append(item)
    verses: dict[str, set[int]] = {}
    for span in (span for plan in plans for item in _items(plan) for span in _next_verses(item.value)):
        verses.setdefault(span.source.text, set()).add(span.start)
    return {
        path: _turned(old, heard.get(old.plain, []), verses.get(old.plain, set()), bag) for path, old in files.items()
    }


def _next_verses(value: Music) -> Iterator[Span]:
    """The steps that laid a text under notes that had one already."""
    for line in value.lines if isinstance(value, Texture) else (value,):
        for event in line.events if isinstance(line, Motif) else ():
            later = {str(syllable) for syllable in event.marks.sung if syllable.verse > 1}
            yield from (said.span for said in event.marks.said if said.kind == "syllable" and said.what in later)


def _read(path: Path, shown: str, files: dict[Path, _Old]) -> bool:
    """Take up a file if it is one of edition 1."""
    try:
        text = as_parsed(path.read_bytes())
    except (OSError, ValueError):
        return False
    source = Source(shown, text)
    if path in files or not is_old(source):
        return False
    work = renewal(source)
    files[path] = _Old(source, work, applied(text, work.edits))
    return True


def _plan(path: Path, files: dict[Path, _Old]) -> Plan | None:
    """A piece computed, every file that it uses renewed as far as that is not in doubt."""
    while True:
        texts = {str(file): old.plain for file, old in files.items()}
        loaded = load(path, str(path), Diagnostics(), texts=texts)
        if loaded is None:
            return None
        library = standard_library().folder
        others = (Path(key) for key in loaded.modules if key.endswith(SUFFIX) and key not in texts)
        met = [_read(other, other.name, files) for other in others if not other.is_relative_to(library)]
        if not any(met):
            break
    bag = Diagnostics()
    return evaluate(resolve(loaded, bag), bag)


def _items(plan: Plan) -> Iterator[PlannedItem]:
    """Every item of the score lines, those of passages wherever they are placed."""
    for movement in plan.movements:
        for section in movement.sections:
            for row in section.rows:
                if isinstance(row, t.Line):
                    yield from (item for item in row.items if isinstance(item, t.Item))


def _turned(old: _Old, heard: Sequence[PlannedItem], verses: Collection[int], bag: Diagnostics) -> str:
    """The text of a file in the new edition, laid out; `verses` is where a text that replaced one is a verse now."""
    edits = list(old.renewal.edits)
    for span in old.renewal.unread:
        bag.error(
            "S812", span, "this cannot be read as edition 1 of the language either", label="left as it stands",
            cure="mend it, then renew the script again",
        )  # fmt: skip
    for span, what in old.renewal.remarks:
        bag.warning("S811", span, f"it cannot be told {what}", label="look at it", cure="name the note by its number")
    for span, over_bars in old.renewal.texts:
        begin, end = _moved(span, old.renewal.edits)
        if over_bars or any(begin <= place < end for place in verses):
            bag.warning(
                "S811", span, "in edition 1 this text replaced one before it; now it is the next verse",
                label="if these notes have a text" if over_bars else "sung to notes that have a text",
                cure="take the earlier `sung` out, or keep both as verses",
            )  # fmt: skip
    for doubt in old.renewal.doubts:
        begin, end = _moved(doubt.value, old.renewal.edits)
        verdicts = {_is_otherwise(item) for item in heard if begin <= item.span.start < end}
        if verdicts == {True}:
            edits += doubt.otherwise
        elif verdicts != {False}:
            _report(doubt, len(verdicts), bag)
    return format_script(applied(old.source.text, edits), old.source.name).text


def _report(doubt: Doubt, verdicts: int, bag: Diagnostics) -> None:
    why = "it was one or the other from place to place" if verdicts else "it is never heard"
    bag.warning(
        "S811", doubt.value, "it cannot be told whether this was held or repeated", label=why,
        cure="write `held` where one note or chord sounds on; `for` and `until end` repeat and cut",
    )  # fmt: skip


def _moved(span: Span, edits: Sequence[Edit]) -> tuple[int, int]:
    """Where a stretch of the old text begins and ends in the new one."""
    grown = [(edit, len(edit.text) - (edit.end - edit.start)) for edit in edits]
    begin = span.start + sum(more for edit, more in grown if edit.start < span.start)
    return begin, span.end + sum(more for edit, more in grown if edit.start < span.end)


def _is_otherwise(item: PlannedItem) -> bool:
    """Whether edition 1 did something else with an item than what `for`, `until end` and `x` do at its end."""
    match item.repeat:
        case t.UntilEnd() | t.ForLength(length=t.Bars()):
            return _was_held(item.value)
        case t.ForLength(length=Fraction() as length):
            return _was_held(item.value) or _differs(item.value, "for", length)
        case t.Times(count=count):
            return _differs(item.value, "x", count)
        case _:
            return False


def _was_held(value: Music) -> bool:
    """A single note or chord, or in a texture one in each line, all equally long."""
    lines = value.lines if isinstance(value, Texture) else (value,)
    return all(
        isinstance(line, Motif) and len(line.events) == 1 and bool(line.events[0].heads)
        and line.duration == value.duration
        for line in lines
    )


def _differs(value: Music, word: str, length: int | Fraction) -> bool:
    """Whether a length does not do the same within an expression as at the end of an item."""
    if not isinstance(value, Motif):
        return False
    try:
        within = LENGTHS[word].apply(value, length)
        return within != (repeated(value, length) if isinstance(length, int) else filling(value, length))
    except Refusal:
        return False
