"""Voices: words and runs at speed, leaps, the passage, tessitura over time, vowels high up, and finding a first note.

Breath is in `breathing`. Several who sing one line are held to what a choir does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import pairwise

from cavata.instruments import singing as voices
from cavata.instruments.singing import VoiceType, is_hard_leap, voice_of
from cavata.instruments.vowels import is_closed, language_of_words, whole_words
from cavata.instruments.winds import SOFT
from cavata.music.event import HELD, Syllable, in_verse
from cavata.playing.finding import Degree, Finding, Kind, only_impossible, seconds_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.playing.runs import chained, fastest_rate
from cavata.score.score import ScoreEvent, events_of

WORDS = Kind("words", "I350", "how many syllables a second are sung", "from memory")
RUN = Kind("run", "I351", "how fast a run on one syllable is", "from memory")
SUNG_LEAP = Kind("leap of a voice", "", "leaps that are hard to sing", "rules of strict melody; from memory")
TESSITURA = Kind("tessitura", "", "how long a voice stays at the top of its range, and in its passage",
                 "turning points by a page on passaggio for men; from memory for women")  # fmt: skip
VOWEL = Kind("vowel", "", "closed vowels and soft notes at the top of a voice",
             "measurements of how sopranos' vowels are heard")  # fmt: skip
FIRST_NOTE = Kind("first note", "", "whether a singer has heard the pitch before an entry", "from memory")
KINDS = (WORDS, RUN, SUNG_LEAP, TESSITURA, VOWEL, FIRST_NOTE)


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    moments = [moment for moment in line.moments if not moment.event.event.marks.spoken]
    voice = voice_of(line.instrument)
    yield from _words(line, profile)
    yield from _runs(line, moments, profile)
    yield from _leaps(line, moments)
    if voice is not None:
        yield from _tessitura(line, moments, voice)
        yield from _vowels(line, moments, voice)
        yield from _unheard(moments, voice)
        yield from _first_notes(line, moments)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What nobody sings."""
    found = (*_words(line, profile), *_runs(line, line.moments, profile))
    yield from only_impossible(found)


# ---------------------------------------------------------------- words and runs

_ROW = 6
"""So many syllables or notes in a row are looked at; a few are quicker than many."""
_PAUSE = 0.35
"""Seconds from note to note beyond which nothing is fast."""


def _words(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    usual = (voices.CHOIR_SYLLABLES if line.players > 1 else voices.SYLLABLES) * profile.syllables
    for row, rate in _faster(usual, line.moments, with_words=True):
        yield Finding(
            Degree.IMPOSSIBLE if rate > voices.FASTEST_SYLLABLES else Degree.CARE, WORDS, row[0].event,
            f"sings {rate:.1f} syllables a second", f"about {usual:.1f} are clear",
            "fewer syllables, longer notes, or a slower tempo",
        )  # fmt: skip


def _runs(line: PlayerLine, moments: Sequence[Moment], profile: Profile) -> Iterator[Finding]:
    usual = (voices.CHOIR_RUNS if line.players > 1 else voices.RUNS) * profile.syllables
    for row, rate in _faster(usual, moments, with_words=False):
        yield Finding(
            Degree.IMPOSSIBLE if rate > voices.FASTEST_RUNS else Degree.CARE, RUN, row[0].event,
            f"sings a run of {rate:.1f} notes a second", f"about {usual:.0f} stay clear",
            "fewer notes, or a slower tempo",
        )  # fmt: skip


def _faster(usual: float, moments: Sequence[Moment], with_words: bool) -> Iterator[tuple[list[Moment], float]]:
    """The rows that are faster than usual, each with its notes a second."""
    for row in chained(moments, partial(_goes_on, with_words=with_words), _ROW):
        rate = fastest_rate(row, _ROW)
        if rate > usual:
            yield row, rate


def _goes_on(before: Moment, moment: Moment, with_words: bool) -> bool:
    """Whether a note follows fast, with a syllable of its own, or on that of the one before."""
    fast = moment.begins - before.begins <= _PAUSE and moment.begins - before.ends < 0.05
    return fast and _has_syllable(moment) == with_words


def _syllable(moment: Moment) -> Syllable | None:
    return in_verse(moment.event.event.marks.sung, 1)


def _has_syllable(moment: Moment) -> bool:
    syllable = _syllable(moment)
    return syllable is not None and syllable != HELD


# ---------------------------------------------------------------- leaps

_QUICK = 0.6
"""Seconds from note to note within which a leap is not prepared."""
_SLOW = 2.0
"""Beyond it none is hard."""
_TRITONE, _TRITONE_QUICK = 6, 0.3
"""Semitones, and seconds from note to note: hard for choirs. Source: Writing for choirs (cypresschoral.com) for the
tritone; the seconds from memory."""
_SLOWLY_HARD = ("wider than an octave", "a seventh")
"""What a choir does not hit for certain even in slower notes. From memory."""
_SOLO_OCTAVES = 17
"""Semitones beyond which a leap is hard for a soloist too, however slow."""


def _leaps(line: PlayerLine, moments: Sequence[Moment]) -> Iterator[Finding]:
    told: Moment | None = None
    for before, moment in pairwise(moments):
        interval = moment.top - before.top
        why = is_hard_leap(interval.semitones, interval.steps)
        time = moment.begins - before.begins
        if not why and line.players > 1 and abs(interval.semitones) == _TRITONE and time <= _TRITONE_QUICK:
            why = "a tritone"
        if not why or moment.begins - before.ends > _QUICK or time > _SLOW:
            continue
        if time > _QUICK and (line.players == 1 or why not in _SLOWLY_HARD):
            continue
        if line.players == 1 and abs(interval.semitones) <= _SOLO_OCTAVES and time > _QUICK / 2:
            continue
        in_a_row, told = told is before, moment
        if in_a_row:
            continue
        yield Finding(
            Degree.CARE, SUNG_LEAP, before.event, "has a leap that is hard to sing",
            f"{before.top} to {moment.top}, {why}, in {seconds_in_words(time)}",
            "another octave, a note between, or a rest before",
        )  # fmt: skip


# ---------------------------------------------------------------- high for long

_WINDOW, _PART = 40.0, 0.6
"""Over so many seconds, and how much of them at the top, a voice tires."""
_PASSAGE = 12.0
"""Seconds in a row around the second turning point."""


def _top(line: PlayerLine, voice: VoiceType) -> int:
    """From where on a voice is at the top: its second turning point, for a choir at the end of its range."""
    instrument = line.instrument
    span = instrument.section if line.players > 1 and instrument.section else instrument.comfortable
    return max(voice.second_turn.midi, span[1].midi - 3 if span else 0)


def _tessitura(line: PlayerLine, moments: Sequence[Moment], voice: VoiceType) -> Iterator[Finding]:
    top = _top(line, voice)
    begin, high, most = 0, 0.0, 0.0
    first: Moment | None = None
    for index, moment in enumerate(moments):
        high += moment.seconds if moment.top.midi >= top else 0.0
        while moment.ends - moments[begin].begins > _WINDOW and begin < index:
            high -= moments[begin].seconds if moments[begin].top.midi >= top else 0.0
            begin += 1
        if high > _WINDOW * _PART:
            first, most = first or moments[begin], max(most, high)
        if first is not None and (high < _WINDOW * _PART / 2 or index == len(moments) - 1):
            yield Finding(
                Degree.TIRING, TESSITURA, first.event, "is at the top for long",
                f"{most:.0f} of {_WINDOW:.0f} s at or above {_named(top)}",
                "a lower octave, rests, or other voices by turns",
            )  # fmt: skip
            first, most = None, 0.0
    yield from _in_passage(moments, voice)


def _in_passage(moments: Sequence[Moment], voice: VoiceType) -> Iterator[Finding]:
    turn, row = voice.second_turn.midi, list[Moment]()
    for moment in [*moments, None]:
        if moment is not None and abs(moment.top.midi - turn) <= 1 and not (
            row and moment.begins - row[-1].ends > _QUICK
        ):  # fmt: skip
            row.append(moment)
            continue
        if row and row[-1].ends - row[0].begins > _PASSAGE:
            yield Finding(
                Degree.TIRING, TESSITURA, row[0].event, "stays in its passage",
                f"{row[-1].ends - row[0].begins:.0f} s around {voice.second_turn}, where the registers meet",
                "a third higher or lower, or notes of another register between",
            )  # fmt: skip
        row = []


def _named(midi: int) -> str:
    names = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    return f"{names[midi % 12]}{midi // 12 - 1}"


# ---------------------------------------------------------------- vowels, and soft notes high up

_SIGNS = ".,;:!?()"
_LONG_ENOUGH = 0.4
"""Seconds: a shorter note is passed over."""
_TRAINED = 2
"""Semitones by which soloists shade a closed vowel higher up than choirs. From memory."""


def _vowels(line: PlayerLine, moments: Sequence[Moment], voice: VoiceType) -> Iterator[Finding]:
    """Closed vowels and soft notes at the top, once for those that follow one another."""
    limit, softly = max(voice.words_up_to.midi, voice.second_turn.midi), _softly_up_to(line)
    if line.players == 1:
        limit += _TRAINED
    language = language_of_words(whole_words(
        (syllable.text, syllable.goes_on) for moment in moments
        if (syllable := _syllable(moment)) is not None and syllable != HELD
    ))  # fmt: skip
    last = set[str]()
    for moment in moments:
        pitch, syllable = moment.top, _syllable(moment)
        if moment.seconds < _LONG_ENOUGH:
            continue
        text = syllable.text.strip(_SIGNS) if syllable is not None and syllable != HELD else ""
        here = set[str]()
        if pitch.midi > limit and text and is_closed(text, language):
            here.add("closed")
            if "closed" not in last:
                yield Finding(
                    Degree.CARE, VOWEL, moment.event, f"has a closed vowel on {pitch}",
                    f"`{text}`: up there every vowel is sung open",
                    "an open vowel there, a lower note, or words that are heard before",
                )  # fmt: skip
        if moment.state.dynamic in SOFT and pitch.midi >= softly:
            here.add("soft")
            if "soft" not in last:
                yield _soft(line, moment)
        last = here


def _soft(line: PlayerLine, moment: Moment) -> Finding:
    choir = line.players > 1
    return Finding(
        Degree.CARE, VOWEL, moment.event, f"is to sing {moment.top} {moment.state.dynamic}",
        "the top of a choir does not float so softly for long" if choir else "few voices float so softly at the top",
        "another dynamic, or a lower note" + (", or fewer singers" if choir else ""), rests_on="from memory",
    )  # fmt: skip


_HIGH_VOICES, _BELOW_THE_TOP = frozenset(["soprano", "treble", "tenor"]), (3, 1)
"""Semitones below the highest note that a soloist usually has, from which on a soft one wants care, of high voices and
of others: A5 of a soprano, A4 of a tenor, E4 of a bass. From memory."""


def _softly_up_to(line: PlayerLine) -> int:
    """From which note on a soft one is told, as a MIDI number."""
    instrument = line.instrument
    if line.players > 1 and instrument.section is not None:
        return instrument.section[1].midi
    below = _BELOW_THE_TOP[0 if instrument.key in _HIGH_VOICES else 1]
    return instrument.highest.midi - below if instrument.highest is not None else 128


_WORDS_IN_A_ROW = 6
"""So many syllables above the limit are a sentence that nobody understands."""


def _unheard(moments: Sequence[Moment], voice: VoiceType) -> Iterator[Finding]:
    """Rows of words above the note up to which they are understood."""
    row: list[Moment] = []
    for moment in [*moments, None]:
        if moment is not None and moment.top.midi > voice.words_up_to.midi:
            row += [moment] if _has_syllable(moment) else []
            continue
        if len(row) >= _WORDS_IN_A_ROW:
            yield Finding(
                Degree.CARE, VOWEL, row[0].event, "has words too high to be understood",
                f"{len(row)} syllables above {voice.words_up_to}",
                "a lower line for the words, or words that have been heard before",
            )  # fmt: skip
        row = []


# ---------------------------------------------------------------- the first note

_LATELY, _JUST_NOW = Fraction(1), Fraction(1, 2)
"""In whole notes: how long before an entry its note may have been heard in any octave, and a neighbor of it."""
_REST = 4.0
"""Seconds of rest after which a note must be found again."""
_STEP = 2
"""Semitones: a step from what was heard is found without help."""
_CONSONANT = frozenset([3, 4, 5, 7, 8, 9])
"""So is a note that makes a third, fourth, fifth or sixth with what is heard: it is in the harmony. From memory."""


def _first_notes(line: PlayerLine, moments: Sequence[Moment]) -> Iterator[Finding]:
    entries = [
        (before, moment) for before, moment in pairwise([None, *moments])
        if moment is not None and (before is None or moment.begins - before.ends >= _REST)
    ]  # fmt: skip
    others = list(_heard_in(line)) if entries else []
    for before, moment in entries:
        pitch, near = moment.top.midi, list[int]()
        heard = [event for event in others if event.onset < moment.onset and event.end > moment.onset - _LATELY]
        for event in [event for event in heard if event.end > moment.onset - _JUST_NOW] or heard:
            near += [head.pitch.midi for head in event.event.heads]
        if any((head.pitch.midi - pitch) % 12 == 0 for event in heard for head in event.event.heads):
            continue
        near += [before.top.midi] if before is not None else []
        if any(abs(key - pitch) <= _STEP or (pitch - key) % 12 in _CONSONANT for key in near):
            continue
        if heard:
            what = "must find a note that nobody has played"
            text = f"{moment.top} is in no part within a bar before, nor a neighbor of it, nor a chord that it is in"
        elif _is_given(line, moment, others):
            continue
        else:
            what, text = "begins from silence", f"nothing is heard before {moment.top} from which to take it"
        yield Finding(
            Degree.CARE, FIRST_NOTE, moment.event, what, text, "a cue of the note in any octave just before"
        )


def _is_given(line: PlayerLine, moment: Moment, others: Sequence[ScoreEvent]) -> bool:
    """Whether singers without instruments begin here, who are given their notes beforehand; common practice."""
    if any(event.onset < moment.onset for event in (*others, *line.events)):
        return False
    return not any(
        part.instrument.family != "voice" and any(voice for staff in staves for voice in staff.voices)
        for part, staves in line.others
    )


def _heard_in(line: PlayerLine) -> Iterator[ScoreEvent]:
    """What all others sound, but for drums, from which nobody takes a note."""
    for part, staves in line.others:
        if not part.instrument.unpitched and part.instrument.key != "narrator":
            yield from (event for event in events_of(staves) if event.event.heads and not event.event.marks.spoken)
