"""The ways to a length as a text for the terminal and as one JSON document."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from cavata.diagnostics import Diagnostic
from cavata.record import record
from cavata.revise.changes import RowChange, Sort, edit_of, repeat_span
from cavata.revise.fit import Aim, Found, Way
from cavata.score.clock import lengths_in_words
from cavata.score.whereabouts import listed
from cavata.syntax.edits import Edit, row_after


@record
class Row:
    """A row of the script, by its line, as it is and as it would be; empty where it goes."""

    line: int
    was: str
    row: str


def edits_of(changes: Sequence[RowChange]) -> tuple[Edit, ...]:
    """The changes as edits of the script, in its order."""
    return tuple(sorted((edit_of(change) for change in changes), key=lambda edit: edit.start))


def rows_of(changes: Sequence[RowChange]) -> tuple[Row, ...]:
    """The rows to paste."""
    edits = edits_of(changes)
    found: dict[int, Row] = {}
    for change in sorted(changes, key=lambda change: change.span.start):
        whole = repeat_span(change.span) if change.sort is Sort.REPEAT else change.span
        gone = change.sort is Sort.REPEAT and change.value == 1
        row = Row(whole.line, row_after(whole, ()), "" if gone else row_after(whole, edits))
        found.setdefault(row.line, row)
    return tuple(found.values())


# ------------------------------------------------------------------ as a text


def fit_text(found: Found, aim: Aim, title: str, is_met: bool) -> str:
    """What the piece takes, what is asked for, and each way with its rows."""
    what = f"movement {aim.movement}" if aim.movement else title
    lines = [f"{what}: {exact(found.now.seconds)}; asked for: {asked(aim)}"]
    if is_met:
        lines.append("It is as long as that already.")
    for number, way in enumerate(found.ways, start=1):
        lines += ["", f"{number}. {exact(way.outcome.seconds)}: {doing(way)}"]
        lines += [f"   {line}" for line in costs(way, aim)]
        lines += [f"   line {row.line}: {row.row or f'(take out `{row.was}`)'}" for row in rows_of(way.outcome.changes)]
    return "\n".join(lines) + "\n"


def exact(seconds: Fraction) -> str:
    """`2 min 5.25 s`: exact where two decimals say it, else to the hundredth."""
    minutes, rest = divmod(round(seconds * 100), 6000)
    text = f"{rest / 100:g} s"
    return f"{minutes} min {text}" if minutes else text


def asked(aim: Aim) -> str:
    """The length or lengths asked for."""
    return lengths_in_words(aim.least, aim.most)


def doing(way: Way) -> str:
    """What the way does, in a few words."""
    return listed(list(_doing(way.outcome.changes, way.faster)))


def _doing(changes: Sequence[RowChange], faster: Fraction) -> Iterator[str]:
    for change in changes:
        if change.sort is Sort.REPEAT:
            times = "once" if change.value == 1 else f"{change.value} times"
            yield f"{_place(change)} {times} instead of {change.was}"
    shorter: dict[str, Fraction] = {}
    for change in changes:
        if change.sort in (Sort.SECTION, Sort.ITEM):
            shorter.setdefault(_place(change), change.was - change.value)
    for place, bars in shorter.items():
        yield f"{place} {bars} {'bar' if bars == 1 else 'bars'} shorter"
    if faster != 1:
        yield f"tempi {percent(faster)} {'faster' if faster > 1 else 'slower'}"


def percent(ratio: Fraction) -> str:
    """`up to 6.5%`, how far the largest change of a tempo goes."""
    return f"up to {float(abs(ratio - 1) * 100):.1f}%"


def _place(change: RowChange) -> str:
    return f"{change.movement}.{change.section}" if change.section else change.movement


def costs(way: Way, aim: Aim) -> Iterator[str]:
    """What the way costs; one line says so if it costs nothing."""
    lost = [f"`{name}`" for name in way.lost]
    if lost:
        yield f"no longer heard: {listed(lost)}"
    fewer = [f"`{name}` {now} times instead of {before}" for name, before, now in way.fewer if now]
    if fewer:
        yield f"stated less often: {', '.join(fewer)}"
    for message in way.broken:
        yield f"no longer kept: {_promise(message)}"
    for message in way.kept:
        yield f"kept now: {_promise(message)}"
    if not way.fewer and not way.broken:
        yield "no name and no promise is lost"
    if aim.movement:
        yield f"the whole piece then takes {exact(way.outcome.piece)}"


def _promise(message: Diagnostic) -> str:
    place = f", line {message.span.line}" if message.span is not None else ""
    return f"{message.message} ({message.code}{place})"


# ------------------------------------------------------------------ as a document


def fit_json(found: Found, aim: Aim, title: str, is_met: bool) -> dict[str, Any]:
    """All of it; seconds as numbers and as exact fractions."""
    return {
        "title": title, "movement": aim.movement, "asked": [_seconds(aim.least), _seconds(aim.most)],
        "now": _seconds(found.now.seconds), "fits_already": is_met, "nearest": _seconds(found.nearest.seconds),
        "ways": [
            {
                "number": number, "length": _seconds(way.outcome.seconds), "piece": _seconds(way.outcome.piece),
                "largest_change_of_tempo": float(way.faster), "no_longer_heard": list(way.lost),
                "stated_less_often": [
                    {"name": name, "before": before, "now": now} for name, before, now in way.fewer
                ],
                "no_longer_kept": [_promise(message) for message in way.broken],
                "kept_now": [_promise(message) for message in way.kept],
                "rows": [{"line": row.line, "was": row.was, "row": row.row} for row in rows_of(way.outcome.changes)],
            }
            for number, way in enumerate(found.ways, start=1)
        ],
    }  # fmt: skip


def _seconds(seconds: Fraction) -> dict[str, Any]:
    return {"seconds": float(seconds), "exact": str(seconds)}
