"""Many scores as a few flat arrays, for searching all of them at once and for keeping on disk.

In: scores with their addresses. Out: `NoteArrays`, in which every note of every line stands once, line after line.
Spelling is kept: a note is its staff position and its alteration, and the key number follows from them.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from cavata.foreign.heard import HeardScore
from cavata.music.pitch import NATURAL_SEMITONES
from cavata.record import record

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.signedinteger[Any]]

BEGINS_LINE, AFTER_REST, IS_CHORD = 1, 2, 4
FIELDS = ("position", "alter", "flags", "bar")
NO_STEP = 127
"""Stands in an array of intervals where there is none: at a line's first note, and beside a chord."""


@record
class Address:
    """Where a line stands."""

    file: str
    title: str
    """The tune's or the movement's name, where the file holds several."""
    part: str
    voice: int


@record
class NoteArrays:
    """Every note of many scores. All arrays have one entry a note, but `starts`, which has one a line."""

    position: Ints
    """Staff steps from C0; of a chord its lowest note."""
    alter: Ints
    flags: Ints
    bar: Ints
    """Index into `bars`."""
    starts: Ints
    bars: tuple[str, ...]
    lines: tuple[Address, ...]

    @property
    def midi(self) -> Ints:
        """Key numbers, C4 = 60."""
        import numpy as np

        octave, letter = np.divmod(self.position.astype(np.int16), 7)
        midi: Ints = 12 * (octave + 1) + np.array(NATURAL_SEMITONES, np.int16)[letter] + self.alter
        return midi

    def address(self, note: int) -> Address:
        """The line in which a note stands."""
        import numpy as np

        return self.lines[int(np.searchsorted(self.starts, note, side="right")) - 1]


def arrays_of(scores: Iterable[tuple[str, HeardScore]]) -> NoteArrays:
    """The arrays of scores, each with the name of its file."""
    import numpy as np

    rows: list[tuple[int, int, int, int]] = []
    starts: list[int] = []
    bars: dict[str, int] = {}
    lines: list[Address] = []
    for file, score in scores:
        for line in score.lines:
            starts.append(len(rows))
            lines.append(Address(file, score.title, line.part, line.voice))
            for number, note in enumerate(line.notes):
                pitch = note.pitches[0]
                flags = BEGINS_LINE * (number == 0) | AFTER_REST * note.after_rest | IS_CHORD * note.is_chord
                rows.append((pitch.position, pitch.alter, flags, bars.setdefault(note.bar, len(bars))))
    table = np.array(rows, np.int32).reshape(-1, 4)
    return NoteArrays(
        table[:, 0].astype(np.int16), table[:, 1].astype(np.int8), table[:, 2].astype(np.int8),
        table[:, 3].copy(), np.array(starts, np.int64), tuple(bars), tuple(lines),
    )  # fmt: skip


def joined_arrays(parts: Sequence[NoteArrays]) -> NoteArrays:
    """Several arrays one after another."""
    import numpy as np

    bars: dict[str, int] = {}
    columns: dict[str, list[Ints]] = {name: [] for name in FIELDS}
    starts: list[Ints] = [np.zeros(0, np.int64)]
    lines: list[Address] = []
    before = 0
    for part in parts:
        renumbered = np.array([bars.setdefault(bar, len(bars)) for bar in part.bars], np.int32)
        for name in ("position", "alter", "flags"):
            columns[name].append(getattr(part, name))
        columns["bar"].append(renumbered[part.bar] if len(renumbered) else part.bar)
        starts.append(part.starts + before)
        lines += part.lines
        before += len(part.position)
    empty = {"position": np.int16, "alter": np.int8, "flags": np.int8, "bar": np.int32}
    whole = {name: np.concatenate([np.zeros(0, empty[name]), *columns[name]]) for name in FIELDS}
    return NoteArrays(
        whole["position"], whole["alter"], whole["flags"], whole["bar"], np.concatenate(starts),
        tuple(bars), tuple(lines),
    )  # fmt: skip


def texts_of_arrays(arrays: NoteArrays) -> bytes:
    """The texts of the arrays, for keeping beside them."""
    lines = [[line.file, line.title, line.part, line.voice] for line in arrays.lines]
    return json.dumps({"bars": arrays.bars, "lines": lines}, ensure_ascii=False).encode("utf-8", "replace")


def with_words(columns: dict[str, Ints], words: bytes) -> NoteArrays:
    """Arrays and their texts put together again; raises ValueError or KeyError where they do not fit."""
    told = json.loads(words)
    lines = tuple(Address(str(f), str(t), str(p), int(v)) for f, t, p, v in told["lines"])
    if len({len(columns[name]) for name in FIELDS}) != 1 or len(lines) != len(columns["starts"]):
        raise ValueError("the columns differ in length")
    return NoteArrays(
        columns["position"], columns["alter"], columns["flags"], columns["bar"], columns["starts"],
        tuple(map(str, told["bars"])), lines,
    )  # fmt: skip
