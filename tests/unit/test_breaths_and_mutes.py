"""Breaths, caesuras, notes that ring on, mutes and tongues, on the page, in MusicXML and in the sound.

Sources: signs and words are common practice; `breath-mark`, `caesura` and `tied type="let-ring"` are MusicXML 4.0's
(from memory, held against its schema in `tests/published`); `breathe`, `caesura` and `laissezVibrer` are commands of
LilyPond (Notation Reference 2.24); program 60 of General MIDI is the muted trumpet. MIDI is read with mido.
"""

from __future__ import annotations

from io import BytesIO

import mido
import pytest
from compiling import score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import written
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

LINE = "notes(1/4 C5 D5 E5 F5)"


def score(row: str, instrument: str = "flute") -> Score:
    text = f"language 2\nforces\n    a = {instrument}\nmovement first\n    tempo 1/4 at 60\n    a: {row}\n"
    return score_from(text)


def lengths(found: Score) -> list[tuple[int, int]]:
    """The key and the length in ticks of each note, in order of their ends."""
    begun: dict[int, int] = {}
    out, now = [], 0
    for message in mido.MidiFile(file=BytesIO(midi_bytes(found))).tracks[1]:
        now += message.time
        if message.type == "note_on" and message.velocity:
            begun[message.note] = now
        elif message.type in ("note_off", "note_on"):
            out.append((message.note, now - begun.pop(message.note)))
    return out


@pytest.mark.parametrize(("mark", "command"), [("breath", "\\breathe"), ("caesura", "\\caesura")])
def test_pause_stands_after_the_last_note_and_shortens_it(mark: str, command: str) -> None:
    found = score(f"{LINE} -> slurred -> marked {mark}")
    text = " ".join(lilypond_text(written(found)).split())
    assert text.count(command) == 1 and text.index(command) > text.index("f''4")
    (*before, (_, last)) = lengths(found)
    assert all(length == 480 for _, length in before) and 0 < last < 480


def test_caesura_is_the_longer_pause() -> None:
    breath, caesura = (lengths(score(f"{LINE} -> marked {mark}"))[-1][1] for mark in ("breath", "caesura"))
    assert caesura < breath


def test_note_rings_on_until_its_key_is_struck_again_or_all_is_over() -> None:
    row = "notes(1/4 C5 D5) -> marked let_ring, notes(1/4 E5 C5), 2 bars rest, notes(1/1 E5) -> marked let_ring"
    found = dict(lengths(score(row, "harp"))[:2])
    assert found[72] == 3 * 480
    assert lengths(score(row, "harp"))[-1] == (76, 4 * 480)


def test_every_note_of_a_chord_has_its_tie_in_musicxml() -> None:
    found = score("notes(1/1 chord(C5 E5 G5)) -> marked let_ring", "harp")
    assert musicxml_bytes(written(found), "first").count(b'<tied type="let-ring"') == 3
    assert lilypond_text(written(found)).count("\\laissezVibrer") == 1


def test_tied_note_rings_on_from_its_last_part() -> None:
    text = " ".join(lilypond_text(written(score("notes(2/1 C5) -> marked let_ring", "harp"))).split())
    assert text.count("\\laissezVibrer") == 1 and text.index("\\laissezVibrer") > text.index("~")


@pytest.mark.parametrize(
    ("technique", "printed"),
    [
        ("straight_mute", "straight mute"), ("cup_mute", "cup mute"), ("harmon_mute", "Harmon mute"),
        ("plunger", "plunger"), ("practice_mute", "practice mute"), ("double_tongue", "double tongue"),
        ("triple_tongue", "triple tongue"), ("flutter_tongue", "flz."),
    ],
)  # fmt: skip
def test_technique_is_printed(technique: str, printed: str) -> None:
    found = written(score(f"{LINE} -> marked {technique}", "trumpet"))
    assert f'"{printed}"' in lilypond_text(found)
    assert printed in musicxml_bytes(found, "first").decode()


def programs(row: str) -> list[int]:
    found = mido.MidiFile(file=BytesIO(midi_bytes(score(row, "trumpet"))))
    return [message.program for track in found.tracks for message in track if message.type == "program_change"]


def test_every_mute_of_a_trumpet_sounds_muted_until_it_is_out() -> None:
    for mute in ("muted", "straight_mute", "cup_mute", "harmon_mute", "plunger", "practice_mute"):
        assert programs(f"{LINE} -> marked {mute}, {LINE} -> marked unmuted")[-2:] == [59, 56], mute
    assert programs(f"{LINE} -> marked double_tongue") == [56]
