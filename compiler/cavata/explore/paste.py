"""A reading as lines of script: pasted into the piece, they are exactly its notes."""

from __future__ import annotations

from cavata.explore.space import Space


def pasted(space: Space, index: int, motif: str) -> tuple[str, ...]:
    """The row of the name, where a choice is taken, and the row of a motif called `motif`."""
    stem = space.stem
    value = _value(space, index) + _inflections(space, index)
    if len(space.runs(index)) == 1:
        value += f" -> from {space.line(index)[0]}"
    return (*filter(None, (stem.row,)), f"motif {motif} = {value}")


def _value(space: Space, index: int) -> str:
    """The letters as they are, or stretch by stretch where the line jumps; inflections come later."""
    stem, line, runs = space.stem, space.line(index), space.runs(index)
    if len(runs) == 1:
        return stem.name
    parts = [_rests(stem.rests[0])]
    for first, last in runs:
        start = f"{stem.pitches[first - 1].pitch_class}{line[first - 1].octave}"
        notes = f"notes {first} to {last}"
        parts += [f"({stem.name} -> {notes} -> from {start})", _rests(stem.rests[last])]
    return " + ".join(filter(None, parts))


def _rests(count: int) -> str:
    return f"notes(1/4{' rest' * count})" if count else ""


def _inflections(space: Space, index: int) -> str:
    """As ` -> sharp 1 -> flat last`."""
    count = len(space.stem.pitches)
    said: dict[str, list[str]] = {}
    for number, word in space.inflected(index):
        said.setdefault(word, []).append("last" if number == count and count > 1 else str(number))
    return "".join(f" -> {word} {' '.join(numbers)}" for word, numbers in said.items())
