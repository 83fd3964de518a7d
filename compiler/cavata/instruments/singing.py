"""What a voice can do: where it turns, how fast it speaks, which leaps are hard.

In: a voice of the table, sounding pitches. Out: limits and what is wrong. Everything is a guide; singers
differ more than instruments do. Values are from memory but where a source stands beside them. Vowels are
in `vowels`, breath is in `winds`.
"""

from __future__ import annotations

from cavata.instruments.instrument import Instrument
from cavata.music.pitch import Pitch, parse_pitch
from cavata.record import record


@record
class VoiceType:
    """One kind of voice."""

    first_turn: Pitch
    """Where chest voice ends; for men, where the passage begins."""
    second_turn: Pitch
    """Where head voice begins; for men, where the passage ends."""
    words_up_to: Pitch
    """Above it words are no longer understood."""


def _voice(first: str, second: str, words: str) -> VoiceType:
    return VoiceType(parse_pitch(first), parse_pitch(second), parse_pitch(words))


VOICES = {
    "treble": _voice("Eb4", "F#5", "F5"),
    "soprano": _voice("Eb4", "F#5", "F5"),
    "mezzo-soprano": _voice("F4", "F5", "F5"),
    "alto": _voice("G4", "D5", "E5"),
    "countertenor": _voice("G4", "D5", "E5"),
    "tenor": _voice("D4", "G4", "G4"),
    "baritone": _voice("B3", "E4", "F4"),
    "bass-baritone": _voice("A3", "D4", "E4"),
    "bass voice": _voice("Ab3", "Db4", "E4"),
}
"""Turning points of the lyric kind of each. Sources: Passaggio (ninakassis.com) for the men; the women's from memory,
as are the limits of words for the men. That front vowels of a trained soprano are heard right in 56 % of cases at C#5
and in 16 % at F5: Journal of the Acoustical Society of America 67 (1980), 1795."""
SYLLABLES, CHOIR_SYLLABLES = 7.5, 5.5
"""Syllables a second that are still clear in quick patter, and those that a choir brings out."""
FASTEST_SYLLABLES = 11.0
"""Beyond it nobody pronounces them."""
RUNS, CHOIR_RUNS, FASTEST_RUNS = 9.0, 7.7, 14.0
"""Notes a second of a run on one syllable: sixteenths at 135 by a trained singer, at 115 by a choir; and what nobody
sings apart."""


def voice_of(instrument: Instrument) -> VoiceType | None:
    """What is known of a voice; None for a narrator."""
    return VOICES.get(instrument.key)


def is_hard_leap(semitones: int, steps: int) -> str:
    """What makes a leap hard to sing: its name; empty for one that is not.

    Sevenths, what is wider than an octave, and augmented and diminished leaps but the tritone. Source: the rules of
    strict melody as textbooks have them; from memory.
    """
    wide, over = abs(semitones), abs(steps)
    if wide > 12:
        return "wider than an octave"
    if wide == 11 or over == 6 and wide > 9:
        return "a seventh" if wide > 9 else ""
    if over in (1, 4) and wide in (3, 8):
        return "augmented"
    return ""
