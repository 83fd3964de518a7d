"""A comparison as lines for a terminal, and as plain data for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from cavata.ciphers.cipher import Cipher
from cavata.compare.changes import Change, ChangeKind, Comparison, Extent, SoundingNote, Spot, ToldNote
from cavata.compare.telling import mark_words
from cavata.evaluate.plan import Plan, Value
from cavata.evaluate.text import value_lines
from cavata.score.clock import time_in_words
from cavata.score.score import Movement, Score, ScoreBar, ScoreEvent, Tempo, with_ossias
from cavata.score.whereabouts import in_bars, listed
from cavata.text import so_many

SAME = "the music is the same"
ONLY_IN_SCRIPT = "score, parts and sound are the same; the script has otherwise"
_MOST_PLACES = 10


def comparison_text(comparison: Comparison) -> str:
    """One line for the whole piece, then a line for each change under its movement."""
    count = len(comparison.changes)
    if comparison.same:
        lines = [f"{comparison.title}: {SAME}"]
        lines += [ONLY_IN_SCRIPT] if comparison.in_script else []
    else:
        lines = [f"{comparison.title}: {so_many(count, 'change')}{_clock(comparison)}"]
    titles = dict(comparison.movements)
    movement = ""
    for change in comparison.changes or comparison.in_script:
        if change.movement != movement:
            movement = change.movement
            lines.append(movement + _in_quotes(titles.get(movement, "")))
        lines.append("  " + change_text(change, comparison.groups))
    return "\n".join(lines) + "\n"


def change_text(change: Change, groups: Sequence[tuple[str, tuple[str, ...]]] = ()) -> str:
    """`bars 5 to 12, violin1 and violin2: a major third higher`."""
    where = ", ".join(text for text in (places_text(change), parts_text(change.parts, groups)) if text)
    if not where:
        return change.said
    if change.kind is ChangeKind.BARS and not change.said[0].isdigit():
        said = f"are {change.said[3:]}" if len(change.places) > 1 and change.said.startswith("is ") else change.said
        return f"{where} {said}"
    return f"{where}: {change.said}"


def parts_text(parts: Sequence[str], groups: Sequence[tuple[str, tuple[str, ...]]]) -> str:
    """The parts, by the name of a group where they are just that group."""
    for name, members in groups:
        if len(parts) > 1 and set(members) == set(parts):
            return name
    return listed(parts)


def places_text(change: Change) -> str:
    """`bar 3 beat 2`, `bars 5 to 12 and 20`, `bars 5 to 8, beat 1`."""
    if not change.places:
        return ""
    return f"{_counted(change)} of the old version" if change.places[0].old else _counted(change)


def _counted(change: Change) -> str:
    beats = {place.first.in_bar for place in change.places}
    if not change.whole_bars and len(beats) == 1:
        bars = sorted({place.first.bar for place in change.places})
        return f"{in_bars(bars).removeprefix(' in ')}{',' if len(bars) > 1 else ''} {beats.pop()}"
    shown = list(dict.fromkeys(_place(place, change.whole_bars) for place in change.places[:_MOST_PLACES]))
    more = len(change.places) - _MOST_PLACES
    several = len(shown) > 1 or (change.whole_bars and " to " in shown[0])
    text = listed([*shown, f"{more} more"] if more > 0 else shown)
    return f"{'bars' if several else 'bar'} {text}" if change.whole_bars else text


def _place(place: Extent, whole_bars: bool) -> str:
    if not whole_bars:
        return f"bar {place.first.bar} {place.first.in_bar}"
    first, last = place.first.bar, place.last.bar
    return str(first) if first == last else f"{first} to {last}"


def _clock(comparison: Comparison) -> str:
    """How much longer or shorter the piece has become, by the clock."""
    more = comparison.new_length - comparison.old_length
    if round(more) == 0:
        return ""
    takes, by = time_in_words(comparison.new_length), time_in_words(abs(more))
    return f"; it takes {takes}, {by} {'longer' if more > 0 else 'shorter'}"


def _in_quotes(words: str) -> str:
    """A title or words, after a space; nothing where there are none."""
    return f' "{words}"' if words else ""


def comparison_data(comparison: Comparison) -> dict[str, Any]:
    """The comparison as plain data."""
    return {
        "same": comparison.same,
        "title": comparison.title,
        "seconds": {"old": round(float(comparison.old_length), 3), "new": round(float(comparison.new_length), 3)},
        "changes": [_change_data(change, comparison.groups) for change in comparison.changes],
        "in_script": [_change_data(change, comparison.groups) for change in comparison.in_script],
    }


def _change_data(change: Change, groups: Sequence[tuple[str, tuple[str, ...]]]) -> dict[str, Any]:
    return {
        "kind": change.kind.value,
        "text": change_text(change, groups),
        "said": change.said,
        "movement": change.movement,
        "parts": list(change.parts),
        "places": [
            {"from": _spot_data(place.first), "to": _spot_data(place.last), "version": "old" if place.old else "new"}
            for place in change.places
        ],
        "notes": [dict(_pair_data(pair)) for pair in change.pairs],
    }


def _spot_data(spot: Spot) -> dict[str, Any]:
    return {"bar": spot.bar, "in_bar": spot.in_bar, "onset": str(spot.onset)}


def _pair_data(pair: ToldNote) -> Iterator[tuple[str, Any]]:
    yield "part", pair.part
    yield "old", None if pair.old is None else _sounding_data(pair.old)
    yield "new", None if pair.new is None else _sounding_data(pair.new)


def _sounding_data(sounding: SoundingNote) -> dict[str, Any]:
    event = sounding.events[0]
    return {
        "pitches": [str(head.pitch) for head in event.event.heads],
        "duration": str(sounding.duration),
        **_spot_data(sounding.spot),
        "script": {"file": event.line.source.name, "line": event.line.line},
    }


# ----------------------------------------------------------------
# The music of a score as lines that can be compared by any program that compares texts, as git does.
#
# In: a score. Out: a line for each bar of each part, as a script would write it. Bars have no numbers, so that what is
# put in makes nothing different that follows it.


RULE = "-- music " + "-" * 60


def listing(score: Score) -> str:
    """The lines, under a rule that no script has."""
    lines = [RULE, *(line for movement in score.movements for line in _movement(score, movement))]
    return "\n".join(lines) + "\n"


def _movement(score: Score, movement: Movement) -> Iterator[str]:
    kind = "cadenza" if movement.is_cadenza else "movement"
    yield f"music of {kind} {movement.name}{_in_quotes(movement.title)}"
    width = max((len(part.name) for part in score.parts), default=0)
    rows = _rows(score, movement)
    before: ScoreBar | None = None
    for number, bar in enumerate(movement.bars):
        if (before is None or before.section != bar.section) and movement.sections[bar.section].name:
            section = movement.sections[bar.section]
            yield f"music of {movement.name}, section {section.name}{_in_quotes(section.title)}"
        if before is None or (before.meter, before.key) != (bar.meter, bar.key):
            yield f"  meter {bar.meter or 'none'}, key {bar.key or 'none'}"
        end = bar.end
        yield from (f"  {_tempo(tempo)}" for tempo in movement.tempi if bar.onset <= tempo.onset < end)
        yield "  |"
        yield from (f"    {name:{width}}  {text}" for name, text in rows[number])
        before = bar


def _tempo(tempo: Tempo) -> str:
    if not tempo.printed:
        return "tempo as before"
    rate = f" {tempo.beat} at {tempo.per_minute}" if tempo.metronome else ""
    return f"tempo{rate}{_in_quotes(tempo.words)}"


def _rows(score: Score, movement: Movement) -> list[list[tuple[str, str]]]:
    """For each bar the parts that begin notes in it, each with them."""
    rows: list[list[tuple[str, str]]] = [[] for _ in movement.bars]
    for part, staves in zip(score.parts, movement.staves, strict=True):
        for staff in with_ossias(staves):
            name = f"{part.name}.{staff.name}" if staff.name else part.name
            for voice in staff.voices:
                for number, text in _by_bar(voice, movement.bars):
                    rows[number].append((name, text))
    return rows


def _by_bar(voice: tuple[ScoreEvent, ...], bars: tuple[ScoreBar, ...]) -> Iterator[tuple[int, str]]:
    texts: list[str] = []
    number, now = 0, Fraction(0)
    for event in voice:
        while event.onset >= bars[number].end:
            if texts:
                yield number, " ".join(texts)
            number, texts = number + 1, []
            now = bars[number].onset
        if event.onset > now:
            texts.append(f"{event.onset - now} rest")
        if event.event.heads:
            texts.append(_event(event))
        now = event.end
    if texts:
        yield number, " ".join(texts)


def _event(event: ScoreEvent) -> str:
    pitches = "+".join(str(head.pitch) for head in event.event.heads)
    words = " ".join(mark_words(event.event.marks))
    tie = "~" if event.tied_after else ""
    return f"{event.event.duration} {pitches}{tie}" + (f" [{words}]" if words else "")


# ----------------------------------------------------------------
# Two versions of a script that has no music of its own: which of its definitions came to something else.
#
# In: two plans. Out: a comparison with a change for each definition.


def compared_values(old: Plan, new: Plan, title: str) -> Comparison:
    """What became of the definitions of the script itself; those of its library are left out."""
    return Comparison(title, tuple(_changes(_values(old), _values(new))), Fraction(0), Fraction(0))


def _values(plan: Plan) -> dict[str, Value]:
    return {identity.name: value for identity, value in plan.values.items() if identity.module == plan.main}


def _changes(old: dict[str, Value], new: dict[str, Value]) -> Iterator[Change]:
    for name, value in new.items():
        if name not in old:
            told = "" if isinstance(value, Cipher) else f": {_text(value)}"
            yield Change(ChangeKind.VALUE, f"{name} is new{told}")
            continue
        before = old[name]
        if isinstance(value, Cipher) and isinstance(before, Cipher):
            yield from _of_cipher(name, before, value)
        elif _text(before) != _text(value):
            yield Change(ChangeKind.VALUE, f"{name} is {_text(value)} instead of {_text(before)}")
    yield from (Change(ChangeKind.VALUE, f"{name} is gone") for name in old if name not in new)


def _text(value: Value) -> str:
    return "; ".join(value_lines(value))


def _of_cipher(name: str, old: Cipher, new: Cipher) -> Iterator[Change]:
    """The letters that got other notes."""
    was, now = (dict(row.split(":", 1) for row in _text(each).split()) for each in (old, new))
    for letter in dict.fromkeys((*was, *now)):
        if was.get(letter) != now.get(letter):
            before, after = (rows.get(letter, "no note").replace("|", " or ") for rows in (was, now))
            yield Change(ChangeKind.VALUE, f"{name}: {letter} is {after} instead of {before}")
