"""The script of a study's sheet: each reading on a piano staff, prime, retrograde, inversion, and as a chord.

In: a study. Out: the text of a Cavata script, which is engraved like any piece; what stands on the sheet can be pasted
from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from cavata.music.pitch import Pitch
from cavata.study.reading import NameReading, key_text
from cavata.study.script_words import name_row, quoted, use_rows
from cavata.study.sheet import sheet_head, sheet_stretch
from cavata.study.study import NameStudy, Shared, Study, directed, reason
from cavata.text import text_table

# ----------------------------------------------------------------
# A study as tables for the terminal, and the rows of script to paste.


NONE = "-"
_MOST_FITS = 2
"""Keys, and modes, that are told of a name."""


def study_text(study: Study) -> str:
    """Everything, name by name, then what they share, then what to paste."""
    blocks = [block for one in study.names for block in _name(one)]
    if study.shared:
        blocks.append("WHAT THE NAMES SHARE\n\n" + _shared_in_words(study.shared))
    pasted = _paste(study)
    if pasted:
        blocks.append("TO PASTE (one row of each name)\n\n" + pasted)
    return "\n".join(blocks)


def without_octaves(pitches: Sequence[Pitch]) -> str:
    """The notes without octaves."""
    return " ".join(str(pitch.pitch_class) for pitch in pitches)


def cipher_text(reading: NameReading) -> str:
    """The cipher, and the others that read the name to the same notes."""
    return ", ".join(offered.cipher.name for offered in (reading.cipher, *reading.alike))


def intervals_text(reading: NameReading) -> str:
    """The intervals with their directions."""
    return " ".join(directed(i) for i in reading.intervals) or NONE


def keys_text(reading: NameReading) -> str:
    """The best keys with their correlations."""
    return ", ".join(f"{key_text(reading, fit)} {fit.correlation:.2f}" for fit in reading.keys[:_MOST_FITS]) or NONE


def modes_text(reading: NameReading) -> str:
    """The best modes with how many notes lie inside."""
    return ", ".join(f"{fit.mode} {fit.inside}/{fit.notes}" for fit in reading.modes[:_MOST_FITS]) or NONE


def repeats_text(reading: NameReading) -> str:
    """The notes that recur."""
    return ", ".join(f"{note} x{count}" for note, count in reading.recurring.items()) or NONE


def _name(one: NameStudy) -> Iterator[str]:
    if one.readings:
        yield f"{one.name}: the line\n\n" + text_table(
            ("", "cipher", "notes", "intervals", "contour", "range", "repeated", "ranked by"),
            [
                (str(rank), cipher_text(r), without_octaves(r.pitches), intervals_text(r), r.contour or NONE,
                 f"{r.lowest}..{r.highest}", repeats_text(r), reason(r))
                for rank, r in enumerate(one.readings, start=1)
            ],
            frozenset({0}),
        )  # fmt: skip
        yield f"{one.name}: the harmony\n\n" + text_table(
            ("", "cipher", "prime form", "set class", "interval vector", "chord", "keys", "modes"),
            [
                (str(rank), cipher_text(r), r.set_class.prime_text, r.set_class.label, r.set_class.vector_text,
                 str(r.chord) if r.chord else NONE, keys_text(r), modes_text(r))
                for rank, r in enumerate(one.readings, start=1)
            ],
            frozenset({0}),
        )  # fmt: skip
        yield f"{one.name}: the forms\n\n" + text_table(
            ("", "cipher", "prime", "retrograde", "inversion", "retrograde inversion"),
            [
                (str(rank), cipher_text(r), without_octaves(r.pitches), without_octaves(r.retrograde),
                 *((without_octaves(r.inversion), without_octaves(r.inversion[::-1])) if r.inversion else (NONE, NONE)))
                for rank, r in enumerate(one.readings, start=1)
            ],
            frozenset({0}),
        )
    if one.unread:
        yield f"{one.name}: not readable\n\n" + text_table(
            ("cipher", "why"), [(u.cipher.cipher.name, u.why) for u in one.unread]
        )


def _shared_in_words(pairs: Sequence[Shared]) -> str:
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


# ----------------------------------------------------------------
# A study as one JSON document: every number that the tables show, and those they leave out.


def study_json(study: Study) -> dict[str, Any]:
    """The document's `names` and `shared`."""
    return {
        "names": [
            {
                "name": one.name,
                "readings": [_reading(rank, r) for rank, r in enumerate(one.readings, start=1)],
                "unread": [{"cipher": u.cipher.cipher.name, "why": u.why, "cure": u.cure} for u in one.unread],
            }
            for one in study.names
        ],
        "shared": [_shared_as_data(pair) for pair in study.shared],
    }


def _reading(rank: int, reading: NameReading) -> dict[str, Any]:
    kind = reading.set_class
    return {
        "rank": rank,
        "reason": reason(reading),
        "cipher": reading.cipher.cipher.name,
        "alike": [offered.cipher.name for offered in reading.alike],
        "script": {"use": use_rows([reading])[0], "name": name_row(reading.name, reading.cipher.cipher.name)},
        "letters": [s.letters for s in reading.soundings],
        "silent_letters": reading.silent,
        "pitches": [str(p) for p in reading.pitches],
        "intervals": [directed(i) for i in reading.intervals],
        "semitones": [i.semitones for i in reading.intervals],
        "contour": reading.contour,
        "lowest": str(reading.lowest),
        "highest": str(reading.highest),
        "recurring": reading.recurring,
        "repeated": reading.at_once_again,
        "set_class": {"prime_form": list(kind.prime), "forte": kind.label, "interval_vector": list(kind.vector)},
        "chord": None if reading.chord is None else {
            "root": str(reading.chord.root), "quality": reading.chord.quality, "lowest": str(reading.chord.lowest),
        },
        "keys": [
            {
                "key": key_text(reading, fit), "correlation": round(fit.correlation, 6),
                "signed_square": f"{fit.squared.numerator}/{fit.squared.denominator}",
            }
            for fit in reading.keys
        ],
        "modes": [{"mode": str(f.mode), "inside": f.inside, "notes": f.notes} for f in reading.modes],
        "retrograde": [str(p) for p in reading.retrograde],
        "inversion": None if reading.inversion is None else [str(p) for p in reading.inversion],
        "retrograde_inversion": None if reading.inversion is None else [str(p) for p in reading.inversion[::-1]],
    }  # fmt: skip


def _shared_as_data(pair: Shared) -> dict[str, Any]:
    return {
        "names": [pair.first.name, pair.second.name],
        "cipher": pair.cipher.cipher.name,
        "notes": list(pair.notes),
        "letters": list(pair.letters),
        "opening": pair.opening,
        "run": list(pair.run),
        "run_from_note": list(pair.run_places),
    }


# ----------------------------------------------------------------

_MOST_READINGS = 60


def study_script(study: Study) -> str:
    """The sheet as a script; each reading has a name of its own in it, with the reading's place in the order."""
    ranked = [(rank, r) for one in study.names for rank, r in enumerate(one.readings, start=1)][:_MOST_READINGS]
    rows = sheet_head(" and ".join(one.name for one in study.names), "as the ciphers read them")
    rows += [*use_rows([r for _, r in ranked]), ""]
    rows += [_named(index, r) for index, (_, r) in enumerate(ranked)]
    rows += ["", "transform low(m) = m -> as chord -> within C2..D4", "", "forces", "    piano = piano"]
    for index, (rank, reading) in enumerate(ranked):
        rows += _movement(index, rank, reading)
    return "\n".join(rows) + "\n"


def _named(index: int, reading: NameReading) -> str:
    return name_row(reading.name, reading.cipher.cipher.name).replace("name ", f"name reading{index}_", 1)


def _movement(index: int, rank: int, reading: NameReading) -> Iterator[str]:
    word = _named(index, reading).split()[1]
    notes = len(reading.pitches)
    yield from sheet_stretch(index, f"{rank}. {reading.name} by {cipher_text(reading)}", reason(reading))
    chord = f"{reading.chord}" if reading.chord else f"{reading.set_class.prime_text} ({reading.set_class.label})"
    forms = [word, f'{word} -> retrograde -> marked "retrograde"']
    if reading.inversion is not None:
        forms.append(f'{word} -> inverted about {reading.pitches[0]} -> marked "inversion"')
    yield f"        piano.right: {', 1/2 rest, '.join(forms)}"
    yield f"        piano.left:  {word} -> low held {notes}/4 -> marked {quoted(chord)}"
