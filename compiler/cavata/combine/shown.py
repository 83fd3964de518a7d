"""The script of a combination's sheet: each placement on two staves, its letters under it, the reason over it.

In: what was combined. Out: the text of a Cavata script. A line whose notes all came from plain letters of a name gets a
cipher of its own, in which every letter may have the notes that it has there; any other line is written as notes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from cavata.combine.paste import duration_text, form_text, interval_text
from cavata.combine.text import Pair, reason
from cavata.music.event import Event, Motif
from cavata.study.script_words import quoted

_PLAIN = re.compile(r"[A-Z]")


def combine_script(pair: Pair) -> str:
    """The sheet as a script."""
    rows = ["language 1", "", f"piece {quoted(f'{pair.leader} with {pair.follower}')}"]
    rows += [f"    subtitle {quoted(f'{pair.rules}: where they go together')}", "    show letters", ""]
    rows += written_line("leader", pair.leads)
    for index, placement in enumerate(pair.found.best):
        rows += written_line(f"follower{index}", placement.line)
    rows += ["", "forces", "    piano = piano"]
    for index, placement in enumerate(pair.found.best):
        low = sum(h.pitch.midi for e in placement.line.sounding for h in e.heads) / len(placement.line.sounding)
        high = sum(h.pitch.midi for e in pair.leads.sounding for h in e.heads) / len(pair.leads.sounding)
        staves = ("left", "right") if low > high else ("right", "left")
        said = ", ".join(
            (interval_text(placement.answer.interval), f"after {placement.delay}", form_text(placement.answer))
        )
        wait = f"rest {duration_text(placement.delay)}, " if placement.delay else ""
        rows += ["", f"cadenza sheet{index} {quoted(f'{index + 1}. {said}')}", "    key none"]
        rows += [f"    section reason{index} {quoted(reason(placement, pair))}"]
        rows += [f"        piano.{staves[0]}: leader", f"        piano.{staves[1]}: {wait}follower{index}"]
    return "\n".join(rows) + "\n"


def written_line(word: str, line: Motif) -> Iterator[str]:
    """The rows that make a motif of a line, with its letters where they are plain."""
    letters = [_letter(event) for event in line.sounding]
    if not all(_PLAIN.fullmatch(letter) for letter in letters):
        yield f"motif {word} = notes({', '.join(map(_written, line.events))})"
        return
    pitches = [str(event.heads[0].pitch) for event in line.sounding]
    offered: dict[str, list[str]] = {}
    for letter, pitch in zip(letters, pitches, strict=True):
        if pitch not in offered.setdefault(letter, []):
            offered[letter].append(pitch)
    asked = [f", letter {number} as {pitch}" for number, pitch in enumerate(pitches, start=1)]
    values = " ".join(f"{'' if e.heads else 'rest '}{duration_text(e.duration)}" for e in line.events)
    yield f"cipher {word}_letters"
    yield from (f"    {letter} = {' or '.join(notes)}" for letter, notes in offered.items())
    yield f"name {word}_name = {quoted(''.join(letters))} by {word}_letters{''.join(asked)}"
    yield f"motif {word} = {word}_name -> in ({values})"


def _letter(event: Event) -> str:
    found = [origin.letter.text for head in event.heads for origin in head.origins if origin.letter is not None]
    return found[0] if len(found) == 1 else ""


def _written(event: Event) -> str:
    return f"{duration_text(event.duration)} {event.heads[0].pitch if event.heads else 'rest'}"
