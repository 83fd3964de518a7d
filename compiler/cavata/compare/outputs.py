"""Whether anything that is handed out of a piece differs between two versions, and where, if nothing else told it.

In: two scores. Out: yes or no, from what is written of both: the MIDI file, MusicXML and the engraver's text of the
score and of each part. Where two scores hold the same, places in the script and unprinted letters aside, nothing is
written: what is handed out comes from the score alone. What no other change tells is told by its bar and staff.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import chain, zip_longest
from typing import TYPE_CHECKING

from cavata.compare.changes import Change, ChangeKind, Extent, Spot
from cavata.diagnostics import Diagnostics, Refusal
from cavata.music.event import UNMARKED, Origin
from cavata.score.score import Group, Score, ScoreEvent
from cavata.score.whereabouts import runs
from cavata.source import Span

if TYPE_CHECKING:  # most changes are told without a look at any page
    from cavata.notate.written import Frame, WrittenMovement, WrittenScore

_SURE = frozenset(
    (
        ChangeKind.NEW, ChangeKind.GONE, ChangeKind.TRANSPOSED, ChangeKind.PITCH, ChangeKind.RESPELLED,
        ChangeKind.MOVED, ChangeKind.LENGTH, ChangeKind.REWRITTEN,
    )
)  # fmt: skip
"""Nobody need look whether notes that are others are written as others."""


def are_handed_out_alike(old: Score, new: Score, told: Sequence[Change]) -> bool:
    """Whether all files of two scores are the same, whatever changes were told of them."""
    if any(change.kind in _SURE for change in told):
        return False
    if _facts(old) == _facts(new):
        return True
    try:
        return _headings(old) == _headings(new) and _sound_alike(old, new) and _are_printed_alike(old, new)
    except Refusal:  # a build would say what cannot be written; what was told of the scores stands
        return not told


def _sound_alike(old: Score, new: Score) -> bool:
    from cavata.sound.midi import midi_bytes

    return midi_bytes(old) == midi_bytes(new)


def _headings(score: Score) -> object:
    """What stands on every score and in the names of files, quickly known."""
    header = score.header
    titles = [(movement.name, movement.title) for movement in score.movements]
    people = header.composer, header.dedication, header.poet, header.arranger
    rights = header.copyright, header.publisher, header.number
    return header.title, header.subtitle, people, rights, header.notes, titles


def _are_printed_alike(old: Score, new: Score) -> bool:
    """Whether the copies are: those that hold the same are not written, the others are, MusicXML before the page."""
    from cavata.lilypond.document import lilypond_text

    unlike: list[tuple[WrittenScore, WrittenScore]] = []
    for one, other in zip_longest(_pages(old), _pages(new)):
        if one is None or other is None or one[0] != other[0]:
            return False
        if _bare(one[1], True) != _bare(other[1], True):
            unlike.append((one[1], other[1]))
            if not all(a == b for a, b in zip_longest(*map(_musicxml, unlike[-1]))):
                return False
    return all(lilypond_text(one) == lilypond_text(other) for one, other in unlike)


def _pages(score: Score) -> Iterator[tuple[str, WrittenScore]]:
    from cavata.edition.copies import WantedCopies, copies
    from cavata.notate.notate import notate

    for copy in copies(score, WantedCopies(parts=None), Diagnostics()):
        yield copy.suffix, notate(copy.score)


def _musicxml(page: WrittenScore) -> Iterator[bytes]:
    from cavata.musicxml.document import musicxml_bytes
    from cavata.musicxml.ids import without_ids

    return (without_ids(musicxml_bytes(page, movement.name)) for movement in page.movements)


def _facts(score: Score) -> object:
    """All that a score holds and a copy can show: no places in the script, and letters only where they are printed."""
    return _bare(score, score.header.show_letters or bool(score.header.colors))


def _bare(value: object, letters: bool) -> object:
    match value:
        case Span():
            return None
        case Origin():
            return (value.letter, value.inflection) if letters else None
        case ScoreEvent():
            event = value.event
            return (
                value.onset, event.duration, tuple([_bare(head, letters) for head in event.heads]),
                () if event.marks is UNMARKED else _bare(event.marks, letters),
                value.voice, value.tied_before, value.tied_after,
            )  # fmt: skip
        case Group():
            return tuple([_bare(each, letters) for each in (value.parts, value.sign, value.joined, value.label)])
        case tuple():
            return tuple([_bare(each, letters) for each in value])
        case _:
            names = getattr(type(value), "__dataclass_fields__", None)
            return value if names is None else tuple([_bare(getattr(value, name), letters) for name in names])


# ----------------------------------------------------------------
# Where the page is written otherwise, if no other change told of it.


def page_changes(old: Score, new: Score) -> tuple[Change, ...]:
    """The bars and staves that are written otherwise; where there are none, the piece as a whole."""
    (_, was), (_, now) = (next(_pages(score)) for score in (old, new))
    before = {movement.name: movement for movement in was.movements}
    both = [(before[movement.name], movement) for movement in now.movements if movement.name in before]
    found = tuple(chain.from_iterable(_of_movement(*pair) for pair in both))
    return found or (Change(ChangeKind.PAGE, "written or played otherwise, though its notes are the same"),)


def _of_movement(old: WrittenMovement, new: WrittenMovement) -> Iterator[Change]:
    was, now, spots = _rows(old), _rows(new), list(_spots(new.frames))
    for who, rows in now.items():
        before = was.get(who, [])
        bars = [at for at, row in enumerate(rows) if at >= len(before) or row != before[at]]
        places = tuple(Extent(spots[first], spots[last]) for first, last in runs(bars))
        if places:
            parts = (who,) if who else ()
            yield Change(ChangeKind.PAGE, "written otherwise on the page", new.name, parts, places, True)


def _rows(movement: WrittenMovement) -> dict[str, list[str]]:
    """What stands in each bar, over all staves and on those of each part."""
    from cavata.notate.text import bar_text, frame_text

    found = {"": [frame_text(frame) for frame in movement.frames]}
    for part in movement.parts:
        bars = zip(*(staff.bars for staff in part.staves), strict=True)
        found[part.part.name] = [" / ".join(bar_text(bar, True) for bar in both) for both in bars]
    return found


def _spots(frames: Sequence[Frame]) -> Iterator[Spot]:
    onset = Fraction(0)
    for frame in frames:
        yield Spot(frame.number, Fraction(0), frame.meter.denominator if frame.meter else None, onset)
        onset += frame.duration
