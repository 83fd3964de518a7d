"""A study as one JSON document: every number that the tables show, and those they leave out."""

from __future__ import annotations

from typing import Any

from cavata.study.reading import Reading, key_text
from cavata.study.script_words import name_row, use_rows
from cavata.study.shared_by_names import Shared, directed
from cavata.study.study import Study, reason


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
        "shared": [_shared(pair) for pair in study.shared],
    }


def _reading(rank: int, reading: Reading) -> dict[str, Any]:
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
        "repeated_at_once": reading.at_once_again,
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
    }  # fmt: skip


def _shared(pair: Shared) -> dict[str, Any]:
    return {
        "names": [pair.first.name, pair.second.name],
        "cipher": pair.cipher.cipher.name,
        "notes": list(pair.notes),
        "letters": list(pair.letters),
        "opening": pair.opening,
        "run": list(pair.run),
        "run_from_note": list(pair.run_places),
    }
