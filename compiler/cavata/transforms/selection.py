"""Which notes of a line a step speaks of: by number, by letter, or the last."""

from __future__ import annotations

from cavata.diagnostics import Refusal
from cavata.music.event import Event, Head, Motif
from cavata.record import record

# ----------------------------------------------------------------
# How large a value may grow, so that every script ends soon.


MOST_EVENTS = 200_000
"""Events in one value: ten hours of quarter notes."""


def bounded(events: int) -> None:
    """Refuses with V301 a value that would be too large, before it is made."""
    if events > MOST_EVENTS:
        raise Refusal(
            "V301",
            f"this would make {events} notes and rests",
            f"a value holds {MOST_EVENTS} at most",
            "repeat less often; `for` and `until end` in a score line repeat as far as needed",
        )


# ----------------------------------------------------------------

@record
class ByNumber:
    """Notes `first` to `last`, counted from 1, up to the last one where that is None; rests do not count."""

    first: int
    last: int | None


@record
class ByLetter:
    """The notes that came from the letter at a position of its name, counted from 1."""

    position: int


@record
class ByText:
    """The notes that came from every occurrence of a letter."""

    letters: str


@record
class TheLast:
    """The last note."""


@record
class Selection:
    """One or more ways of pointing at notes, taken together."""

    items: tuple[ByNumber | ByLetter | ByText | TheLast, ...]


def notes_in_words(count: int) -> str:
    """`no notes`, `1 note`, `2 notes`."""
    return f"{count or 'no'} {'note' if count == 1 else 'notes'}"


def names_of(motif: Motif) -> str:
    """The notes of a line by name, at most a dozen, as a message shows them."""
    names = ["/".join(str(h.pitch.pitch_class) for h in event.heads) for event in motif.sounding]
    return " ".join(names[:12]) + (" ..." if len(names) > 12 else "")


def chosen(motif: Motif, selection: Selection | None, argument: int = 0) -> frozenset[int]:
    """Indices into the motif's events of the notes that are meant, all of them where no selection is given.

    Refuses with V203 what is not there, with V209 a line without notes. `argument` tells which one of the step the
    selection is.
    """
    return frozenset(index for item in chosen_by_item(motif, selection, argument) for index in item)


def chosen_by_item(motif: Motif, selection: Selection | None, argument: int = 0) -> tuple[tuple[int, ...], ...]:
    """As `chosen`, for each number, range or letter of the selection by itself, in the order of the line."""
    sounding = [index for index, event in enumerate(motif.events) if event.heads]
    if selection is None:
        if not sounding:
            raise Refusal("V209", "{subject} has no note", "nothing to mark", "")
        return (tuple(sounding),)
    return tuple(
        tuple(_chosen(motif, sounding, item, (argument, number))) for number, item in enumerate(selection.items)
    )


def _chosen(
    motif: Motif, sounding: list[int], item: ByNumber | ByLetter | ByText | TheLast, at: tuple[int, int]
) -> list[int]:
    match item:
        case ByNumber(first, end):
            last = max(first, len(sounding)) if end is None else end
            if 1 <= last < first <= len(sounding):
                raise Refusal(
                    "V206", f"notes {first} to {last} stand in the wrong order", "", f"write `{last}..{first}`", at
                )
            if not 1 <= first <= last <= len(sounding):
                raise _absent(motif, first if not 1 <= first <= len(sounding) else last, at)
            return sounding[first - 1 : last]
        case TheLast():
            if not sounding:
                raise Refusal("V209", "{subject} has no note", "an empty line", "", at)
            return sounding[-1:]
        case ByLetter(position):
            return _from_letter(motif, sounding, at, position, None)
        case ByText(letters):
            return _from_letter(motif, sounding, at, None, letters.upper())


def _absent(motif: Motif, wanted: int, at: tuple[int, int]) -> Refusal:
    count = len(motif.sounding)
    last = names_of(Motif(motif.sounding[-1:]))
    return Refusal(
        "V203",
        f"{{subject}} has no note {wanted}",
        f"notes run 1 to {count}: {names_of(motif)}" if count > 1 else f"it has {notes_in_words(count)}",
        "a range of notes is written `1..2`" if wanted < 0 else f"`{{word}} last` is the {last}" if count else "",
        at,
    )


def _from_letter(
    motif: Motif, sounding: list[int], at: tuple[int, int], position: int | None, letters: str | None
) -> list[int]:
    found = [i for i in sounding if _carries(motif.events[i], position, letters)]
    if not found:
        wanted = f"letter {position}" if letters is None else f"letter `{letters}`"
        known = sorted({letter.text for i in sounding for head in motif.events[i].heads for letter in head.letters})
        raise Refusal(
            "V208",
            f"no note of {{subject}} came from {wanted}",
            "letters heard: " + " ".join(known) if known else "its notes came from no name",
            ("name one of these letters, or " if known else "") + "count the notes, as `{word} 1`",
            at,
        )
    return found


def heads_meant(motif: Motif, index: int, selection: Selection | None) -> tuple[Head, ...]:
    """Of a chosen event the pitches that are meant: all by its number, by a letter those that came from it."""
    event = motif.events[index]
    if selection is None:
        return event.heads
    found: list[Head] = []
    for item in selection.items:
        match item:
            case ByLetter(position):
                found += [head for head in event.heads if _came_from(head, position, None)]
            case ByText(letters):
                found += [head for head in event.heads if _came_from(head, None, letters.upper())]
            case ByNumber() | TheLast():
                if index in chosen(motif, Selection((item,))):
                    return event.heads
    return tuple(found)


def _carries(event: Event, position: int | None, letters: str | None) -> bool:
    return any(_came_from(head, position, letters) for head in event.heads)


def _came_from(head: Head, position: int | None, letters: str | None) -> bool:
    return any(
        origin.letter is not None
        and (position is None or origin.letter.position == position)
        and (letters is None or origin.letter.text.upper() == letters)
        for origin in head.origins
    )
