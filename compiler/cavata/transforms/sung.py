"""Words to sing and to speak: the syllables of a text laid under the notes of a line.

In: a line and a text in which hyphens part syllables, `_` holds a syllable over a further note and `~` has two sung to
one. Out: the line, a syllable at every note as far as the text goes; rests have none. The last syllable is held over
the notes that follow it before a rest, since they have no other. A text under notes that have one already is their next
verse.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence

from cavata.diagnostics import Refusal
from cavata.music.event import HELD, Event, Marks, Motif, Syllable, in_verse
from cavata.record import replace
from cavata.transforms.selection import Selection, chosen, notes_in_words

_PIECES = re.compile(r"[^-_]+|_")
_JOINT = re.compile(r"\s*-[\s-]*((?:_[\s-]*)*)")
"""A hyphen, whatever spaces stand beside it, and the notes over which the syllable before it is held."""
_ELISION = re.compile(r"\s*~[\s~]*")
_OPENING = frozenset(("Ps", "Pi"))
"""Categories of marks that open something, as `(` and `«`; Unicode Standard 4.5."""
_NO_BREAK = "\u00a0"
MOST_VERSES = 99
"""More than any song has; so many lines of text fit on no page."""


def sung(motif: Motif, notes: Selection | None, text: str, unslurred: bool = False) -> Motif:
    """The syllables of the text under these notes in turn, as the verse after those that they have already; a chord is
    sung as one note. A syllable over several notes is slurred when it is placed, but for one that is `unslurred`.
    """
    return _laid(motif, notes, text, None, unslurred)


def sung_verse(motif: Motif, notes: Selection | None, verse: int, text: str, unslurred: bool = False) -> Motif:
    """The syllables of the text under these notes in turn, as the verse of that number."""
    if not 1 <= verse <= MOST_VERSES:
        raise Refusal(
            "V850", f"there is no verse {verse}", f"verses run from 1 to {MOST_VERSES}", "count them from 1", (1, 0)
        )
    return _laid(motif, notes, text, verse, unslurred)


def spoken(motif: Motif, notes: Selection | None, text: str) -> Motif:
    """The syllables of the text under these notes in turn, to be spoken: the notes have crosses for heads."""
    return _spoken(sung(motif, notes, text, unslurred=True), motif)


def spoken_verse(motif: Motif, notes: Selection | None, verse: int, text: str) -> Motif:
    """The syllables of the text under these notes in turn, to be spoken, as the verse of that number."""
    return _spoken(sung_verse(motif, notes, verse, text, unslurred=True), motif)


def _spoken(worded: Motif, before: Motif) -> Motif:
    """The line, the notes that were given words marked as spoken."""
    return Motif(tuple(
        event.marked(Marks(spoken=True)) if event.marks.sung != old.marks.sung else event
        for event, old in zip(worded.events, before.events, strict=True)
    ))  # fmt: skip


def _laid(motif: Motif, notes: Selection | None, text: str, verse: int | None, unslurred: bool) -> Motif:
    """The text under the notes; `verse` is None for the one after those that the notes have."""
    at = (1 if verse is None else 2, 0)
    words = _read(text, at)
    meant = sorted(chosen(motif, notes)) if notes else [i for i, event in enumerate(motif.events) if event.heads]
    if len(words) > len(meant):
        more = words[len(meant)]
        raise Refusal(
            "V606", f"{{subject}} has {notes_in_words(len(meant))} for {len(words)} syllable{'s' * (len(words) > 1)}",
            f"too many from `{more}` on",
            "give it more notes, or fewer syllables", at,
        )  # fmt: skip
    events = list(motif.events)
    under = meant[: len(words)]
    verse = _verse(events, under, verse)
    for index, syllable in zip(under, words, strict=True):
        numbered = replace(syllable, verse=verse, unslurred=unslurred)
        events[index] = events[index].marked(Marks(sung=(numbered,)))
    for index in range(under[-1] + 1, len(events)):
        left_out = notes is not None and index not in meant
        if not events[index].heads or left_out or in_verse(events[index].marks.sung, verse) is not None:
            break
        events[index] = events[index].marked(Marks(sung=(replace(HELD, verse=verse),)))
    return Motif(tuple(events))


def _read(text: str, at: tuple[int, int]) -> tuple[Syllable, ...]:
    """The syllables of a text, which is the argument `at`; refuses what cannot be sung."""
    words = tuple(syllables(text))
    apart = next((word for word in words if word.text and not all(word.text.split("~"))), None)
    if apart is not None:
        raise Refusal(
            "V852", "`~` joins two syllables, and here is one", f"in `{apart.text}`",
            "write both, as `glo-ri-a~in`, or leave it out", at,
        )  # fmt: skip
    if not words:
        raise Refusal("V608", "there is no syllable to sing", "no word", "", at)
    if not words[0].text:
        raise Refusal("V607", "`_` has no syllable to hold", "it stands first", "write the syllable before it", at)
    return words


def _verse(events: Sequence[Event], under: Sequence[int], wanted: int | None) -> int:
    """The number of a verse under some notes; refuses with V851 what they have already."""
    there = {syllable.verse for index in under for syllable in events[index].marks.sung}
    if wanted in there:
        raise Refusal(
            "V851", f"{{subject}} has words for verse {wanted} already", "the same verse again",
            f"the next verse is {max(there) + 1}; a text without a number takes that by itself", (1, 0),
        )  # fmt: skip
    verse = wanted or max(there, default=0) + 1
    if verse > MOST_VERSES:
        raise Refusal("V850", f"there is no verse {verse}", f"verses run from 1 to {MOST_VERSES}", "", (1, 0))
    return verse


def _with_marks(words: Iterable[str]) -> list[str]:
    """The words, each mark that stands alone joined to the one before it, or if it opens something to the one after."""
    found: list[str] = []
    opening = ""
    for word in words:
        if not all(unicodedata.category(sign).startswith("P") for sign in word) or set(word) <= {"_", "-"}:
            found.append(opening + word)
            opening = ""
            continue
        place = next((place for place in reversed(range(len(found))) if found[place].strip("_-")), None)
        if place is None or unicodedata.category(word[0]) in _OPENING:
            opening += word + _NO_BREAK
        else:
            end = len(found[place].rstrip("-_"))
            found[place] = found[place][:end] + _NO_BREAK + word + found[place][end:]
    return found


def syllables(text: str) -> Iterator[Syllable]:
    """The syllables of a text in order, and for each `_` a held one; `A- _ men` is one word as `A-_-men` is.

    A hyphen at the end of the text leads on to the syllable that the line has next. What has no letter, as a dash or a
    mark that is set off by a space, is no syllable of its own. `~` between two syllables has both sung to one note.
    """
    text = _ELISION.sub("~", _JOINT.sub(lambda joint: "-" + "_" * joint[1].count("_"), text))
    for word in _with_marks(text.split()):
        pieces = _PIECES.findall(word)
        last = max((place for place, piece in enumerate(pieces) if piece != "_"), default=-1)
        broken_off = word.rstrip("_").endswith("-")
        for place, piece in enumerate(pieces):
            yield HELD if piece == "_" else Syllable(piece, place < last or (place == last and broken_off))
