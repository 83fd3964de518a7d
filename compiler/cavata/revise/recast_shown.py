"""A part on another instrument as a text for the terminal and as one JSON document."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from cavata.music.pitch import Pitch
from cavata.names.loader import Loaded
from cavata.revise.octaves import Rank
from cavata.revise.recast import Recast, Recasting, octave_step
from cavata.source import Span
from cavata.syntax.edits import row_after
from cavata.text import backticked, columns, printable, shortened, text_table

_WIDEST = 40


def recast_text(found: Recasting, loaded: Loaded) -> str:
    """The instrument, the items that leave its good register or that move, and the rows to paste."""
    instrument = found.part.instrument
    reach = found.reach
    lines = [f"{found.part.name}: {found.before} becomes {recast_words(found)}", ""]
    easy, extreme = _band(reach.easy), _band(reach.extreme)
    lines.append(f"Sounding, it plays {_band(reach.usual)}, with ease {easy}, at the extreme {extreme}.")
    if instrument.transposition.steps:
        written = (reach.usual[0] + -instrument.transposition, reach.usual[1] + -instrument.transposition)
        lines.append(f"It transposes: {_band(reach.usual)} is written {_band(written)}. Scripts say what sounds.")
    shown = [item for item in found.items if item.octaves or any(item.rank)]
    if shown:
        rows = [_row(item) for item in shown]
        head = ("line", "item", "sounds", "as it is", "octave", "then")
        lines += ["", text_table(head, rows, frozenset({0})).rstrip()]
    else:
        lines += ["", "Every item lies well as it is."]
    for item in shown:
        if item.fixed and any(item.rank):
            lines.append(f"line {item.span.line}: not moved, {item.fixed}")
    if found.followers and any(item.octaves for item in found.items):
        lines.append(f"what doubles it moves along: {backticked(found.followers)}")
    told = Counter(f"{message.message} ({message.code})" for message in (*found.left, *found.broken))
    for words, times in told.items():
        lines.append(f"still told then: {words}" + (f", {times} times" if times > 1 else ""))
    lines += ["", "rows to paste:", *(f"  {where}: {row}" for where, row in changed_rows(found, loaded))]
    return "\n".join(lines) + "\n"


def recast_words(found: Recasting) -> str:
    """The words of the new instrument, as the forces say them then."""
    return next(edit.text for edits in found.edits.values() for edit in edits)


def changed_rows(found: Recasting, loaded: Loaded) -> Iterator[tuple[str, str]]:
    """Where each changed row stands, and the row."""
    for key, edits in found.edits.items():
        source = loaded.modules[key].source
        here = "" if key == loaded.main else f"{source.name} "
        within = [edit for edit in edits if not edit.text.startswith("\n")]
        told: set[int] = set()
        for edit in sorted(edits, key=lambda edit: edit.start):
            line = source.line_of(edit.start)
            if edit not in within:
                yield f"{here}below line {line}", edit.text.strip()
            elif line not in told:
                told.add(line)
                yield f"{here}line {line}", row_after(Span(source, edit.start, edit.start), within)


def _row(item: Recast) -> tuple[str, ...]:
    text = printable(item.text)
    if columns(text) > _WIDEST:
        text = shortened(text, _WIDEST)
    moves = octave_step(item.octaves) if item.octaves else "-"
    bars = item.bars.removeprefix(" ")
    return str(item.span.line), f"{text} {bars}", f"{item.low} to {item.high}", lies(item.rank), moves, lies(item.then)


def lies(rank: Rank) -> str:
    """How an item lies, by the worst that can be said of it."""
    beyond, unusual, uneasy = rank
    if beyond:
        return f"{_notes(beyond)} out of reach"
    if unusual:
        return f"{_notes(unusual)} beyond the usual"
    return "uncomfortable" if uneasy else "well"


def _notes(count: int) -> str:
    return f"{count} {'note' if count == 1 else 'notes'}"


def _band(band: tuple[Pitch, Pitch]) -> str:
    return f"{band[0]} to {band[1]}"


def recast_json(found: Recasting, loaded: Loaded) -> dict[str, Any]:
    """All of it; pitches are sounding ones."""
    reach = found.reach
    return {
        "part": found.part.name, "before": found.before, "instrument": recast_words(found),
        "range": {
            name: [str(pitch) for pitch in band]
            for name, band in (("usual", reach.usual), ("comfortable", reach.easy), ("extreme", reach.extreme))
        },
        "items": [
            {
                "file": item.span.source.name, "line": item.span.line, "item": item.text,
                "where": item.bars.strip(), "low": str(item.low), "high": str(item.high), "lies": lies(item.rank),
                "octaves": item.octaves, "then": lies(item.then), "not_moved_because": item.fixed,
            }
            for item in found.items
        ],
        "moving_along": list(found.followers),
        "still_told": [f"{message.code} {message.message}" for message in (*found.left, *found.broken)],
        "rows": [{"where": where, "row": row} for where, row in changed_rows(found, loaded)],
    }  # fmt: skip
