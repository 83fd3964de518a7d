"""Written bars to LilyPond text, through Abjad.

In: a written score and the names of the movements wanted. Out: the text of one file that LilyPond 2.24 engraves: the
same bytes from every Abjad, every user's word inside a string literal. Nothing is decided here; `notate` has done it.
"""

from __future__ import annotations

from cavata.emit.abjad_versions import text_of
from cavata.emit.lilypond_legend import legend
from cavata.emit.lilypond_page import name_room, preamble
from cavata.emit.lilypond_part import part_preamble, tacet_block
from cavata.emit.lilypond_staff_size import staff_size
from cavata.emit.lilypond_staves import NAME_WIDTH, SystemStyle, score_block
from cavata.emit.lilypond_string import column, lines_of
from cavata.emit.lilypond_title_page import title_page_text
from cavata.notate.written import WrittenMovement, WrittenPart, WrittenScore, leaves
from cavata.place.score import CopyKind

_FULL_LINE = 10
"""A movement with fewer leaves than this in its busiest staff is not stretched to the right margin."""


def lilypond_text(score: WrittenScore, movements: tuple[str, ...] | None = None) -> str:
    """The .ly text of a piece, or of the movements named, in the piece's order."""
    if score.header.kind is CopyKind.PART:
        return _part_text(score, movements)
    chosen = [movement for movement in score.movements if movements is None or movement.name in movements]
    printed = [(movement, _parts(movement, movement is score.movements[0])) for movement in chosen]
    staves = max((_staff_count(parts) for _, parts in printed), default=1)
    if score.header.show_letters:
        staves += staves // 4
    long = max((_longest(part.part.label) for part in printed[0][1]), default=0) if printed else 0
    alone = all(len(movement.parts) == 1 for movement in score.movements)
    short = 0 if alone else max((_longest(part.part.abbreviation) for _, parts in printed for part in parts), default=0)
    size = staff_size(staves, score.header.paper)
    room = name_room(short, size)
    blocks = [preamble(score.header, size, staves, long, short), title_page_text(score, size), *legend(score)]
    for index, (movement, parts) in enumerate(printed):
        style = SystemStyle(full_names=index == 0, short_names=not alone, letters=score.header.show_letters)
        music = text_of(score_block(movement, parts, score.groups, style))
        blocks.append(_movement_block(movement, music, room if index else "", _is_short(parts)))
    return "\n".join(blocks)


def _part_text(score: WrittenScore, movements: tuple[str, ...] | None) -> str:
    """One player's part: no name before a system, a heading for every movement."""
    blocks = [part_preamble(score.header)]
    style = SystemStyle(full_names=False, short_names=False, letters=score.header.show_letters)
    for movement in score.movements:
        if movements is None or movement.name in movements:
            if movement.tacet:
                blocks.append(tacet_block(movement))
            else:
                music = text_of(score_block(movement, movement.parts, (), style))
                blocks.append(_movement_block(movement, music, "", _is_short(movement.parts)))
    return "\n".join(blocks)


def _parts(movement: WrittenMovement, first_of_piece: bool) -> tuple[WrittenPart, ...]:
    """All parts in the piece's first movement; later ones leave out those that never play, unless none does."""
    sounding = tuple(part for part in movement.parts if not part.silent)
    return movement.parts if first_of_piece or not sounding else sounding


def _staff_count(parts: tuple[WrittenPart, ...]) -> int:
    return sum(len(part.staves) for part in parts)


def _longest(name: str) -> int:
    return max(len(line) for line in lines_of(name, NAME_WIDTH, 3))


def _is_short(parts: tuple[WrittenPart, ...]) -> bool:
    busiest = max(
        (sum(1 for bar in staff.bars for voice in bar.voices for _ in leaves(voice)) for part in parts
         for staff in part.staves),
        default=0,
    )  # fmt: skip
    return busiest < _FULL_LINE


def _movement_block(movement: WrittenMovement, music: str, room: str, short: bool) -> str:
    lines = ["\\score", "{"]
    lines += ["    " + line if line else line for line in music.splitlines()]
    if movement.title.strip():
        lines.append(f"    \\header {{ piece = \\markup {column(movement.title, 50, 3, 'center-column')} }}")
    settings = ([] if not room else [f"indent = {room}"]) + (["ragged-last = ##t"] if short else [])
    lines += ["    \\layout", "    {", *(f"        {setting}" for setting in settings), "    }"]
    return "\n".join([*lines, "}"]) + "\n"
