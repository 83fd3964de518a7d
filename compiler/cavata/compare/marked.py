"""The new version of a score with what changed marked in it.

In: the new score and its comparison with the old one. Out: a score for the page. Under each note that changed stands a
letter, which the legend explains, and its head has a color, so that nobody need tell colors apart; what is gone is
said in words at its place. It goes the way of every score: a kind of change takes the place of a name, its letter that
of the name's letter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from cavata.compare.changes import OF_WHOLE_BARS, Change, ChangeKind, Comparison
from cavata.compare.text import change_text
from cavata.instruments.instrument import PageLanguage
from cavata.music.event import Head, Letter, Marks, Origin
from cavata.record import replace
from cavata.score.colors import PALETTE
from cavata.score.page_words import page_words
from cavata.score.score import Movement, Score, ScoreEvent, Staff, Tempo, bar_at, events_of
from cavata.source import Source, Span

_SIGNS = {
    "N": "N new", "P": "P other pitch", "T": "T other time", "L": "L other length", "M": "M marked differently",
    "S": "S other spelling or staff",
}  # fmt: skip
"""The letter of each sort of change, in the order of their colors, with the words of the legend."""
_COLORS = dict(zip(_SIGNS, PALETTE, strict=False))
_SIGN_OF = {
    ChangeKind.NEW: "N", ChangeKind.BARS: "N", ChangeKind.SECTION: "N", ChangeKind.TRANSPOSED: "P",
    ChangeKind.PITCH: "P", ChangeKind.MOVED: "T", ChangeKind.LENGTH: "L", ChangeKind.MARKED: "M",
    ChangeKind.RESPELLED: "S", ChangeKind.STAFF: "S",
}  # fmt: skip
_TOLD_WHOLE = frozenset((ChangeKind.BARS, ChangeKind.INSTRUMENT))
"""The bars, and who, are told too."""
_NOWHERE = Span(Source("", ""), 0, 0)


def marked_score(new: Score, comparison: Comparison, since: str) -> Score:
    """The new score, marked; `since` says what it is compared with."""
    signs: dict[int, str] = {}
    for change in comparison.changes:
        for event, sign in _signed(change):
            if sign not in signs.get(id(event), ""):
                signs[id(event)] = signs.get(id(event), "") + sign
    used = [sign for sign in _SIGNS if any(sign == found[0] for found in signs.values())]
    movements = tuple(_movement(new, movement, signs, comparison) for movement in new.movements)
    header = replace(
        new.header, subtitle=f"changes since {since}", show_letters=bool(signs), title_page=False,
        colors=tuple((_SIGNS[sign], _COLORS[sign]) for sign in used),
    )  # fmt: skip
    return replace(new, header=header, movements=movements)


def _signed(change: Change) -> Iterable[tuple[ScoreEvent, str]]:
    """The events of the new version that a change means, each with its letter."""
    if change.kind is ChangeKind.LETTERS:
        return
    for pair in change.pairs:
        if pair.new is not None:
            sign = _SIGN_OF.get(change.kind, "N" if pair.old is None else "P")
            yield from ((event, sign) for event in pair.new.events)


def _movement(score: Score, movement: Movement, signs: Mapping[int, str], comparison: Comparison) -> Movement:
    changes = [change for change in comparison.changes if change.movement == movement.name]
    over = [(Fraction(0), change.said) for change in changes if not change.places]
    over += [_over(change) for change in changes if change.kind in OF_WHOLE_BARS]
    staves = []
    for part, both in zip(score.parts, movement.staves, strict=True):
        gone = [(at, said) for change in changes for at, said in _gone(change, part.name)]
        words, homeless = _at_notes(both, gone, movement)
        over += [(at, f"{part.name}: {said}") for at, said in homeless]
        staves.append(tuple(_staff(staff, signs, words) for staff in both))
    tempi = _with_words(movement.tempi, sorted(over), score.header.language)
    return replace(movement, staves=tuple(staves), tempi=tempi)


def _over(change: Change) -> tuple[Fraction, str]:
    """What stands over the bar, and where: what is gone, where it would be."""
    place = change.places[0]
    if place.here is not None:
        return place.here.onset, change_text(replace(change, places=(replace(place, here=None),)))
    return place.first.onset, change_text(change) if change.kind in _TOLD_WHOLE else change.said


def _gone(change: Change, part: str) -> Iterable[tuple[Fraction, str]]:
    """What is gone of a part, at its place in the new version."""
    if change.kind is ChangeKind.GONE and part in change.parts:
        for place in change.places:
            yield place.first.onset, change.said


def _at_notes(
    staves: tuple[Staff, ...], gone: Iterable[tuple[Fraction, str]], movement: Movement
) -> tuple[dict[int, tuple[str, ...]], list[tuple[Fraction, str]]]:
    """Words for the nearest note of the same bar; and those for bars without one."""
    words: dict[int, tuple[str, ...]] = {}
    homeless: list[tuple[Fraction, str]] = []
    events = list(events_of(staves))
    for at, said in gone:
        bar = bar_at(movement.bars, at)
        near = [event for event in events if bar.onset <= event.onset < bar.end]
        if near:
            nearest = min(near, key=lambda event, at=at: (abs(event.onset - at), event.onset))  # type: ignore[misc]  # at is bound here
            words[id(nearest)] = (*words.get(id(nearest), ()), said)
        else:
            homeless.append((at, said))
    return words, homeless


def _staff(staff: Staff, signs: Mapping[int, str], words: Mapping[int, tuple[str, ...]]) -> Staff:
    voices, ossia = (
        tuple(tuple(_event(each, signs, words) for each in voice) for voice in both)
        for both in (staff.voices, staff.ossia)
    )
    return replace(staff, voices=voices, ossia=ossia)


def _event(each: ScoreEvent, signs: Mapping[int, str], words: Mapping[int, tuple[str, ...]]) -> ScoreEvent:
    """The event with its letter in the place of the letters of names."""
    found = signs.get(id(each), "")
    letter = Letter(_SIGNS[found[0]], " ".join(found), 1, "") if found else None
    origins = (Origin(letter, _NOWHERE),)
    event = each.event.with_heads(tuple(Head(head.pitch, origins) for head in each.event.heads))
    event = event.with_graces(lambda head: Head(head.pitch, (Origin(None, _NOWHERE),)))
    return replace(each, event=event.marked(Marks(words=words.get(id(each), ()))))


def _with_words(
    tempi: tuple[Tempo, ...], over: Iterable[tuple[Fraction, str]], language: PageLanguage
) -> tuple[Tempo, ...]:
    """The tempi with words over the bars; they change no speed, for they are only printed."""
    found = list(tempi)
    for onset, said in over:
        place = max(at for at, tempo in enumerate(found) if tempo.onset <= onset)
        before = found[place]
        if before.onset == onset:
            words = f"{_printed(before, language)} [{said}]".strip()
            metronome = before.printed and before.metronome
            found[place] = replace(before, words=words, printed=True, metronome=metronome, keyword=False)
        else:
            found.insert(place + 1, _going_on(before, onset, f"[{said}]"))
    return tuple(found)


def _printed(tempo: Tempo, language: PageLanguage) -> str:
    """The words that the page has for a tempo, a keyword in its language."""
    if not tempo.printed:
        return ""
    return page_words(language, "tempo", tempo.words) if tempo.keyword else tempo.words


def _going_on(before: Tempo, onset: Fraction, words: str) -> Tempo:
    """The tempo in force at a moment, under other words; one that changes goes on to where it was led."""
    rate = 60 / (before.seconds_at(onset) * before.beat)
    going = replace(before, onset=onset, per_minute=rate, words=words, printed=True, metronome=False, keyword=False)
    changing = before.until is not None and onset < before.until
    return going if changing else replace(going, until=None, goal=Fraction(0))
