"""The notes of some scores as a Parquet file, which other programs read too.

In: `NoteArrays`, and what is to be known of the file without reading its notes. Out: bytes, and back. A row is a note,
in the order of the lines:

    file, title, part, voice   where its line stands
    bar                        as printed
    position, alter            staff steps from C0, and the alteration in semitones; of a chord its lowest note
    key                        the key number, C4 = 60
    begins_line, after_rest, chord

Source: Apache Parquet, format version 2.6, by pyarrow.
"""

from __future__ import annotations

import json
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from cavata.trace.note_arrays import AFTER_REST, BEGINS_LINE, IS_CHORD, Address, NoteArrays

_ABOUT = b"cavata"
_FLAGS = {"begins_line": BEGINS_LINE, "after_rest": AFTER_REST, "chord": IS_CHORD}
_WORDS = ("file", "title", "part")


def packed_notes(arrays: NoteArrays, about: dict[str, Any]) -> bytes:
    """The file; `about` is kept as JSON in its metadata."""
    notes = len(arrays.position)
    lengths = np.diff(np.append(arrays.starts, notes))
    line_of = np.repeat(np.arange(len(arrays.lines)), lengths)
    columns: dict[str, pa.Array] = {
        word: _texts([getattr(line, word) for line in arrays.lines], line_of) for word in _WORDS
    }
    voices = np.array([line.voice for line in arrays.lines], np.int16)
    columns["voice"] = pa.array(voices[line_of] if notes else voices)
    columns["bar"] = _texts(list(arrays.bars), arrays.bar)
    columns["position"] = pa.array(arrays.position, pa.int16())
    columns["alter"] = pa.array(arrays.alter, pa.int8())
    columns["key"] = pa.array(arrays.midi, pa.int16())
    for name, flag in _FLAGS.items():
        columns[name] = pa.array((arrays.flags & flag) != 0)
    table = pa.table(columns).replace_schema_metadata({_ABOUT: json.dumps(about).encode()})
    made = BytesIO()
    pq.write_table(table, made, compression="zstd")
    return made.getvalue()


def _texts(words: list[str], places: Any) -> pa.Array:
    """Texts that come again and again, each kept once."""
    return pa.DictionaryArray.from_arrays(pa.array(places, pa.int32()), pa.array(words, pa.string()))


def about(file: Path) -> dict[str, Any]:
    """What is known of a file without reading its notes; raises OSError or ValueError where it is none of ours."""
    told = json.loads((pq.read_schema(file).metadata or {})[_ABOUT])
    if not isinstance(told, dict):
        raise ValueError("no metadata")
    return told


def unpacked_notes(file: Path) -> NoteArrays:
    """The notes of a file; raises OSError or ValueError where it is none of ours."""
    table = pq.read_table(file)
    flags = np.zeros(len(table), np.int8)
    for name, flag in _FLAGS.items():
        flags |= np.where(table[name].to_numpy(), flag, 0).astype(np.int8)
    starts = np.flatnonzero(flags & BEGINS_LINE).astype(np.int64)
    rows = table.take(pa.array(starts)).select([*_WORDS, "voice"]).to_pylist()
    bars = table["bar"].combine_chunks()
    bars = bars if isinstance(bars, pa.DictionaryArray) else bars.dictionary_encode()
    return NoteArrays(
        table["position"].to_numpy(), table["alter"].to_numpy(), flags, bars.indices.to_numpy(), starts,
        tuple(bars.dictionary.to_pylist()),
        tuple(Address(row["file"], row["title"], row["part"], row["voice"]) for row in rows),
    )  # fmt: skip
