"""A study as tables for the terminal, and the rows of script to paste."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cavata.discover.text_table import text_table
from cavata.music.pitch import Pitch
from cavata.study.reading import Reading, key_text
from cavata.study.script_words import name_row, use_rows
from cavata.study.shared_by_names import Shared, directed
from cavata.study.study import NameStudy, Study, reason

NONE = "-"


def study_text(study: Study) -> str:
    """Everything, name by name, then what they share, then what to paste."""
    blocks = [block for one in study.names for block in _name(one)]
    if study.shared:
        blocks.append("WHAT THE NAMES SHARE\n\n" + _shared(study.shared))
    pasted = _paste(study)
    if pasted:
        blocks.append("TO PASTE (one row of each name)\n\n" + pasted)
    return "\n".join(blocks)


def spelled(pitches: Sequence[Pitch]) -> str:
    """The notes without octaves."""
    return " ".join(str(pitch.pitch_class) for pitch in pitches)


def cipher_text(reading: Reading) -> str:
    """The cipher, and the others that read the name to the same notes."""
    return ", ".join(offered.cipher.name for offered in (reading.cipher, *reading.alike))


def interval_text(reading: Reading) -> str:
    """The intervals with their directions."""
    return " ".join(directed(i) for i in reading.intervals) or NONE


def keys_text(reading: Reading, most: int = 2) -> str:
    """The best keys with their correlations."""
    return ", ".join(f"{key_text(reading, fit)} {fit.correlation:.2f}" for fit in reading.keys[:most]) or NONE


def modes_text(reading: Reading, most: int = 2) -> str:
    """The best modes with how many notes lie inside."""
    return ", ".join(f"{fit.mode} {fit.inside}/{fit.notes}" for fit in reading.modes[:most]) or NONE


def repeats_text(reading: Reading) -> str:
    """The notes that recur."""
    return ", ".join(f"{note} x{count}" for note, count in reading.recurring.items()) or NONE


def _name(one: NameStudy) -> Iterator[str]:
    if one.readings:
        yield f"{one.name}: the line\n\n" + text_table(
            ("", "cipher", "notes", "intervals", "contour", "range", "again", "why here"),
            [
                (str(rank), cipher_text(r), spelled(r.pitches), interval_text(r), r.contour or NONE,
                 f"{r.lowest}..{r.highest}", repeats_text(r), reason(r))
                for rank, r in enumerate(one.readings, start=1)
            ],
            frozenset({0}),
        )  # fmt: skip
        yield f"{one.name}: the harmony\n\n" + text_table(
            ("", "cipher", "set", "class", "vector", "chord", "keys", "modes"),
            [
                (str(rank), cipher_text(r), r.set_class.prime_text, r.set_class.label, r.set_class.vector_text,
                 str(r.chord) if r.chord else NONE, keys_text(r), modes_text(r))
                for rank, r in enumerate(one.readings, start=1)
            ],
            frozenset({0}),
        )  # fmt: skip
        yield f"{one.name}: turned\n\n" + text_table(
            ("", "cipher", "backwards", "upside down"),
            [
                (str(rank), cipher_text(r), spelled(r.retrograde), spelled(r.inversion) if r.inversion else NONE)
                for rank, r in enumerate(one.readings, start=1)
            ],
            frozenset({0}),
        )
    if one.unread:
        yield f"{one.name}: not readable\n\n" + text_table(
            ("cipher", "why"), [(u.cipher.cipher.name, u.why) for u in one.unread]
        )


def _shared(pairs: Sequence[Shared]) -> str:
    return text_table(
        ("names", "cipher", "notes", "letters", "opening", "longest common run"),
        [
            (f"{p.first.name}, {p.second.name}", p.cipher.cipher.name, " ".join(p.notes) or NONE,
             " ".join(p.letters) or NONE, p.opening or NONE, run_text(p))
            for p in pairs
        ],
    )  # fmt: skip


def run_text(pair: Shared) -> str:
    """The longest common run in semitones, and where it begins in each name."""
    if not pair.run:
        return NONE
    steps = " ".join(f"{step:+d}" if step else "0" for step in pair.run)
    return f"{steps} (from note {pair.run_places[0]} and note {pair.run_places[1]})"


def _paste(study: Study) -> str:
    rows = use_rows([r for one in study.names for r in one.readings])
    for one in study.names:
        rows += [f"{name_row(r.name, r.cipher.cipher.name)}    -- {n}" for n, r in enumerate(one.readings, start=1)]
    return "\n".join(f"    {row}" for row in rows) + "\n" if rows else ""
