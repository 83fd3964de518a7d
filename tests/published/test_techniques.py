"""Signs and techniques by instrument: what an instrument does not have is told, and what it has is not.

Common practice, as treatises on orchestration tell it; from memory.
"""

from __future__ import annotations

import pytest
from looking import told

from cavata.instruments.table import find, instruments
from cavata.instruments.techniques import groups, rows
from cavata.music.event import ARTICULATIONS, ORNAMENTS, TECHNIQUES
from cavata.playing.first_look import FOR_ALL

NOT_THERE = (
    ("organ", "C4", "marked upbow"),
    ("piano", "C4", "marked straight_mute"),
    ("soprano", "C5", "marked muted"),
    ("soprano", "C5", "sustain_pedal"),
    ("soprano", "C5", "marked downbow"),
    ("violin", "C5", "sustain_pedal"),
    ("violin", "C5", "marked double_tongue"),
    ("violin", "C5", "marked cup_mute"),
    ("flute", "C5", "marked pizzicato"),
    ("flute", "C5", "marked harmon_mute"),
    ("flute", "C5", "marked sul_ponticello"),
    ("organ", "C4", "sustain_pedal"),
    ("harpsichord", "C4", "sustain_pedal"),
    ("marimba", "C4", "sustain_pedal"),
    ("trumpet", "C5", "marked upbow"),
    ("trumpet", "C5", "marked sul_tasto"),
    ("timpani", "C3", "marked upbow"),
    ("piano", "C4", "marked flutter_tongue"),
    ("flute", "C5", "marked manual_2"),
    ("piano", "C4", "marked great_manual"),
    ("oboe", "C5", "marked let_ring"),
    ("soprano", "C5", "marked harmonic"),
    ("harp", "C4", "marked plunger"),
    ("clarinet", "C5", "marked stopped"),
    ("snare drum", "C4", "turn"),
)
THERE = (
    ("violin", "C5", "marked upbow"),
    ("mandolin", "C5", "marked downbow"),
    ("viola", "C4", "marked pizzicato"),
    ("guitar", "C4", "marked pizzicato"),
    ("cello", "C3", "marked muted"),
    ("cello", "C3", "marked practice_mute"),
    ("horn", "C4", "marked stopped"),
    ("horn", "C4", "marked straight_mute"),
    ("trumpet", "C5", "marked harmon_mute"),
    ("trombone", "C4", "marked plunger"),
    ("tuba", "C3", "marked muted"),
    ("snare drum", "C4", "marked muted"),
    ("timpani", "C3", "marked muted"),
    ("flute", "C5", "marked flutter_tongue"),
    ("trumpet", "C5", "marked triple_tongue"),
    ("piano", "C4", "sustain_pedal"),
    ("vibraphone", "C4", "sustain_pedal"),
    ("celesta", "C5", "sustain_pedal"),
    ("harp", "C4", "marked harmonic"),
    ("flute", "C5", "marked harmonic"),
    ("harp", "C4", "marked let_ring"),
    ("cymbals", "C4", "marked let_ring"),
    ("guitar", "C4", "marked sul_ponticello"),
    ("hi-hat", "C4", "marked open"),
    ("snare drum", "C4", "trill"),
    ("timpani", "C3", "tremolo"),
    ("organ", "C4", "marked swell_manual"),
    ("organ", "C4", "trill"),
    ("harpsichord", "C4", "mordent"),
    ("marimba", "chord(C4 E4)", "rolled"),
    ("trombone", "C4", "marked solo"),
)
CARE = (
    ("vibraphone", "C4", "marked upbow"),
    ("piano", "C4", "marked pizzicato"),
    ("clarinet", "C5", "marked muted"),
    ("horn", "C4", "marked cup_mute"),
    ("soprano", "C5", "marked flutter_tongue"),
)


def degrees(instrument: str, note: str, dress: str) -> list[str]:
    """How bad it is that an instrument is asked for it; nothing where it has it."""
    made = find(instrument)
    assert made is not None
    hand = ".right" if "right" in made.staves else ""
    rows_of = f"one{hand}: notes(1/1 {note}) -> {dress}"
    return [degree for degree, kind in told(f"one = {instrument.replace('-', ' ')}", rows_of) if kind == "technique"]


@pytest.mark.parametrize("asked", NOT_THERE, ids=lambda asked: " ".join(asked[::2]))
def test_what_an_instrument_does_not_have_is_told(asked: tuple[str, str, str]) -> None:
    assert degrees(*asked) == ["impossible"]


@pytest.mark.parametrize("asked", THERE, ids=lambda asked: " ".join(asked[::2]))
def test_what_it_has_is_not_told(asked: tuple[str, str, str]) -> None:
    assert degrees(*asked) == []


@pytest.mark.parametrize("asked", CARE, ids=lambda asked: " ".join(asked[::2]))
def test_what_some_have_needs_care(asked: tuple[str, str, str]) -> None:
    assert degrees(*asked) == ["care"]


def test_a_swell_on_one_struck_tone_needs_care() -> None:
    assert told("guitar = guitar", "guitar: notes(1/1 E4) -> crescendo p f") == [("care", "swell")]
    assert told("flute = flute", "flute: notes(1/1 E5) -> crescendo p f") == []
    assert told("timpani = timpani", "timpani: notes(1/1 C3) -> tremolo -> crescendo p f") == []


def test_the_table_knows_only_signs_and_instruments_that_there_are() -> None:
    known = {*ARTICULATIONS, *TECHNIQUES, *ORNAMENTS, "glissando", "sustain_pedal"}
    keys = {each.key for each in instruments().values()}
    families = {each.family for each in instruments().values()}
    assert [key for group in groups().values() for key in group if key not in keys] == []
    used = set()
    for _, row in rows():
        assert set(row["signs"]) <= known
        assert ("care" in row) == ("careful" in row)
        words = {*row["has"], *row.get("care", [])}
        assert words <= {*keys, *families, *groups()}
        used |= words
    assert set(groups()) <= used
    signs = [sign for _, row in rows() for sign in row["signs"]]
    assert len(set(signs)) == len(signs) and not FOR_ALL.intersection(signs)
