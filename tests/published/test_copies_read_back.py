"""What other programs read on shared staves, in a short score and in a rehearsal copy is what the players play.

Sources: the schema of MusicXML 4.0, the parsers of music21 and of Verovio, and LilyPond's performance of the printed
page, which are not this project's.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from compiling import score_from
from musicxml_schema import faults
from test_reading_back import performed_by_lilypond, played_by_verovio, sounds_read_by_music21

from cavata.edition.copies import full_score
from cavata.edition.rehearsal import rehearsal_score
from cavata.edition.short_score import short_score
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import written
from cavata.score.score import Score

SCRIPT = """language 2
forces
    flute1   = flute
    flute2   = flute
    bassoon1 = bassoon
    bassoon2 = bassoon
    bell     = triangle
    deep     = bass drum
    violin1a = violins
    violin1b = violins
    viola    = violas
    cello    = cellos
staff flutes   = flute1, flute2
staff bassoons = bassoon1, bassoon2
staff battery  = bell, deep
staves firsts  = violin1a, violin1b
movement first
    flutes: notes(1/4 D5 E5, 1/2 F5 | 1/1 A5)
    flute1 at bar 3: notes(1/2 A5 B5 | 1/8 C6 B5 A5 G5, 1/2 F5) -> slurred
    flute2 at bar 3: notes(1/1 F5 | 3/4 E5, 1/4 D5)
    bassoon1: notes(3/4 D3, 1/2 E3, 1/4 F3, 1/2 G3) -> marked p
    bassoon2 at bar 3: notes(1/12 D3 E3 F3, 1/4 G3, 1/2 A3 | 1/1 D3) -> marked f
    bell: (1/4 1/4 rest 1/2) x 4
    deep: (1/2 1/2) x 4
    violin1a, violin1b: notes(1/4 D5 F5 A5 D6) x 4
    violin1b at bar 2 replace: notes(1/2 D5 C5)
    viola: notes(1/2 chord(D4 A4) chord(C4 G4)) x 4
    cello: notes(1/1 D3 C3 D3 D2)
"""


SCORE = score_from(SCRIPT)
COPIES = {"full": full_score(SCORE), "short": short_score(SCORE), "rehearsal": rehearsal_score(SCORE, 0)}
EVERYBODY = pytest.mark.parametrize("copy", COPIES.values(), ids=COPIES)


def struck(score: Score, pitched_only: bool = True) -> set[tuple[Fraction, int]]:
    """Onset and key of everything that is struck; equal keys of several players are one."""
    return {
        (event.onset, head.pitch.midi)
        for part, staves in zip(score.parts, score.movements[0].staves, strict=True)
        if not (pitched_only and part.instrument.unpitched)
        for staff in staves for voice in staff.voices for event in voice if not event.tied_before
        for head in event.event.heads if head.pitch not in event.held_before
    }  # fmt: skip


@EVERYBODY
def test_documents_are_valid(copy: Score) -> None:
    assert faults(musicxml_bytes(written(copy), "first")) == []


@EVERYBODY
def test_music21_reads_everything_that_is_struck(copy: Score) -> None:
    read = sounds_read_by_music21(musicxml_bytes(written(copy), "first"))
    pitched = {index for index, part in enumerate(copy.parts) if not part.instrument.unpitched}
    assert {(onset, key) for part, onset, key, _ in read if part in pitched} == struck(copy)


def test_full_score_has_what_all_players_strike() -> None:
    assert struck(COPIES["full"]) == struck(SCORE)
    assert struck(COPIES["short"]) <= struck(SCORE) and struck(COPIES["rehearsal"]) <= struck(SCORE)


def without_drums() -> dict[str, Score]:
    lines = [line for line in SCRIPT.splitlines() if not line.strip().startswith(("bell", "deep", "staff battery"))]
    score = score_from("\n".join(lines) + "\n")
    return {"full": full_score(score), "short": short_score(score), "rehearsal": rehearsal_score(score, 0)}


PITCHED = without_drums()


@pytest.mark.parametrize("copy", PITCHED.values(), ids=PITCHED)
def test_verovio_reads_everything_that_is_struck(copy: Score) -> None:
    played = played_by_verovio(musicxml_bytes(written(copy), "first"))
    assert near(played) == near((float(onset), key) for onset, key in struck(copy))


@pytest.mark.parametrize("copy", PITCHED.values(), ids=PITCHED)
def test_lilypond_plays_everything_that_is_struck(copy: Score) -> None:
    with TemporaryDirectory() as folder:
        played = performed_by_lilypond(lilypond_text(written(copy)), Path(folder))
    assert near(played) == near((float(onset), key) for onset, key in struck(copy))


def near(notes: Iterable[tuple[float, int]]) -> set[tuple[float, int]]:
    """Onsets to a hundredth of a whole note: the files count in ticks."""
    return {(round(onset, 2), key) for onset, key in notes}
