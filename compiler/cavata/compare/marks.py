"""Markings in words, and what was written to notes and taken from them.

In: the markings of notes. Out: words as a composer says them: `p`, `staccato`, `slur`, `"calm"`, `trill`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import fields

from cavata.compare.reading import Note
from cavata.music.dynamics import DYNAMICS
from cavata.music.event import UNMARKED, Marks
from cavata.music.ornament import Ornament

_ENDS = {"slur_ends": "end of a slur", "hairpin_ends": "end of a hairpin", "pedal_ends": "end of the pedal"}
_SIMPLE = {"slur_begins": "slur", "glides": "glissando", "pedal_begins": "pedal"}
_MOST_WORDS = 6


def mark_words(marks: Marks) -> Iterator[str]:
    """Everything that is written at a note, each in a word or two."""
    for field in fields(Marks):
        value = getattr(marks, field.name)
        if value == getattr(UNMARKED, field.name):
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
            yield f"sung {value}"
        elif field.name == "symbol":
            yield f"chord symbol {value}"
        elif isinstance(value, tuple):
            yield from map(_sign, value)
        else:
            yield str(value)


def _sign(sign: Ornament | str) -> str:
    if isinstance(sign, str):
        return sign.replace("_", " ")
    to = f" to {sign.to}" if sign.to is not None else ""
    unit = f" {sign.unit}" if sign.unit is not None else ""
    return sign.kind + to + unit


def _words_of(note: Note) -> Counter[str]:
    return Counter(word for event in note.events for word in mark_words(event.event.marks))


def marking_said(pairs: Sequence[tuple[Note, Note]]) -> str:
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
        ("slur_ends", ("slur",)), ("hairpin_ends", ("crescendo", "diminuendo")), ("pedal_ends", ("pedal",))
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
