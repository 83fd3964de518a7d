"""What the page must know of the piece before anything else, and the way from a note to the editor."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cavata.desk.desk import Desk
from cavata.desk.safety import link_to
from cavata.desk.state import PART, SCORE, SHORT, State
from cavata.desk.views import Answer, NotThere, as_json
from cavata.desk.writing import undo as undone
from cavata.text import readable


def view(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The title, the movements with their bars, the copies that can be read, and what can be taken back."""
    score = state.score
    if score is None:
        return as_json({"state": state.number, "title": desk.shown, "movements": [], "copies": []})
    from cavata.edition.copies import parts_handed_out

    parts = {
        f"{PART}{name}": whole.parts[places[0]].label if brace is None else brace.label or name
        for name, (whole, places, brace) in parts_handed_out(score).items()
    }
    words = {SCORE: "Full score", SHORT: "Short score", **parts}
    return as_json({
        "state": state.number,
        "title": score.header.title or desk.path.stem,
        "movements": [
            {
                "name": movement.name, "title": movement.title or readable(movement.name),
                "bars": [bar.number for bar in movement.bars],
                "sections": [
                    {"name": each.name, "bar": movement.bars[each.first_bar].number} for each in movement.sections
                ],
            }
            for movement in score.movements
        ],
        "copies": [{"copy": each, "title": words[each]} for each in state.copies()],
        "undo": desk.can_undo,
    })  # fmt: skip


def show(desk: Desk, sent: Mapping[str, Any]) -> Answer:
    """Open the row of a note in the editor: by the editor itself, else by an address that opens it."""
    state = desk.last_good
    wanted = sent.get("id")
    with desk.still:
        mark = next((each for each in state.marks if each.id == wanted), None) if state is not None else None
        if mark is None or state is None:
            raise NotThere("this note is not in the score any more")
        span = mark.event.line
        path = next((key for key, text in state.texts.items() if text == span.source.text), str(desk.path))
        place = {"file": span.source.name, "line": span.line, "column": span.column, "text": span.text}
        shown = desk.editor is not None and desk.editor.show(path, span.start, span.end)
        return as_json({**place, "shown": shown, "link": link_to(desk.link, Path(path), span.source, span.start)})


def undo(desk: Desk, sent: Mapping[str, Any]) -> Answer:
    """Take back what was taken last."""
    return as_json({"undone": undone(desk)})
