"""Percussion: mallets for what is struck at once, changes of sticks, and rolls.

Of instruments that are struck it counts when a note begins, not how long it rings: hands are free after the stroke, but
for a roll. Words such as `hard mallets` over a note are read as a change of sticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cavata.instruments.instrument import Sustain
from cavata.instruments.mallets import MALLETS, grip_of, is_struck_with_mallets
from cavata.instruments.percussion import AT_ONCE, beaters, way_of
from cavata.playing import first_look
from cavata.playing.chords import names_of
from cavata.playing.finding import Degree, Finding, Kind, left_in_words
from cavata.playing.line import Moment, PlayerLine
from cavata.playing.profile import Profile
from cavata.score.score import ScoreEvent

MALLET = Kind(
    "mallets", "I380", "whether the mallets of one player have what is struck at once, and how far a hand opens",
    "marimbists' pages for composers; other instruments from memory",
)  # fmt: skip
STICKS = Kind("sticks", "I381", "the time to change sticks or mallets that words ask for", "from memory")
ROLL = Kind(
    "drum roll", "I382", "rolls on what cannot be rolled, and rolls that may or may not begin anew", "common practice"
)
DRY = Kind("dry note", "", "long notes, not rolled, of what is struck and gone", "common practice, from memory")
KINDS = (MALLET, STICKS, ROLL, DRY)

_STRUCK_ANEW = frozenset(["accent", "marcato", "staccato", "staccatissimo", "tenuto", "portato"])


def look(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """All that is found."""
    yield from impossible(line, profile)
    if is_struck_with_mallets(line.instrument) and not line.part.section:
        for moment in line.moments:
            yield from _stretch(line, moment, profile)
    for event, time in _changes(line):
        if AT_ONCE <= time < profile.stick_change:
            yield _change(Degree.CARE, event, time)
    for before, moment in pairwise(line.moments):
        yield from _one_roll_or_two(before, moment)
    yield from _dry(line)


def impossible(line: PlayerLine, profile: Profile) -> Iterator[Finding]:
    """What two hands with sticks cannot do."""
    way = way_of(line.instrument)
    if way is not None and not way.rolls:
        for event in line.events:
            if is_rolled(event):
                yield Finding(
                    Degree.IMPOSSIBLE, ROLL, event, "cannot roll", f"a {line.instrument.key} has single strokes only",
                    "write the strokes, or take another instrument",
                )  # fmt: skip
    if is_struck_with_mallets(line.instrument) and not line.part.section and first_look.has_chords(line):
        for moment in line.moments:
            yield from _too_many(line, moment, profile)
    for event, time in _changes(line):
        if time < AT_ONCE:
            yield _change(Degree.IMPOSSIBLE, event, time)


def is_roll(moment: Moment) -> bool:
    """Whether what is struck is rolled on."""
    return moment.state.tremolo is not None


def is_rolled(event: ScoreEvent) -> bool:
    """Whether an event is rolled on."""
    return any(ornament.kind == "tremolo" for ornament in event.event.marks.ornaments)


# ---------------------------------------------------------------- mallets


def _too_many(line: PlayerLine, moment: Moment, profile: Profile) -> Iterator[Finding]:
    keys = [note.pitch.midi for note in moment.struck]
    if len(keys) < 2 or moment.state.rolled:
        return
    grip = grip_of(line.instrument, keys, profile.four_mallets)
    if grip is not None and not grip.beyond:
        return
    names = names_of([note.pitch for note in moment.struck])
    most = MALLETS[line.instrument.key].most
    if grip is None:
        six = max(most, MALLETS[line.instrument.key].specialists)
        fact = f"{len(keys)} notes, and " + ("one at a time" if most == 1 else f"{six} mallets at most")
    else:
        fact = f"one hand would reach {_ends(moment, grip.widest)}, {grip.widest[-1] - grip.widest[0]} semitones"
    yield Finding(
        Degree.IMPOSSIBLE, MALLET, moment.event, f"cannot strike {names} at once", fact,
        "leave notes out, bring the two of a hand nearer, or give them to a second player",
    )  # fmt: skip


def _stretch(line: PlayerLine, moment: Moment, profile: Profile) -> Iterator[Finding]:
    keys = [note.pitch.midi for note in moment.struck]
    grip = grip_of(line.instrument, keys, profile.four_mallets) if len(keys) > 1 else None
    if grip is None or grip.beyond or moment.state.rolled:
        return
    mallets = MALLETS[line.instrument.key]
    arms = mallets.arms
    if len(keys) > mallets.most:
        yield Finding(
            Degree.CARE, MALLET, moment.event, f"has {len(keys)} notes at once",
            "three mallets in a hand are for specialists; four in all are usual", "four notes, or a second player",
        )  # fmt: skip
    elif len(keys) > mallets.usual:
        yield Finding(
            Degree.CARE, MALLET, moment.event, "needs two mallets in a hand",
            f"{len(keys)} notes at once, and two mallets are usual on it", "say so in words, or leave notes out",
        )  # fmt: skip
    if arms and keys[-1] - keys[0] > arms:
        yield Finding(
            Degree.CARE, MALLET, moment.event, "strikes both ends of the instrument at once",
            f"{_ends(moment, (keys[0], keys[-1]))} lie farther apart than both arms reach with ease",
            "bring them nearer, or break them",
        )  # fmt: skip
    if grip.stretch:
        yield Finding(
            Degree.CARE, MALLET, moment.event, "has wide chords for two mallets in a hand",
            f"{_ends(moment, grip.widest)} in one hand, {grip.widest[-1] - grip.widest[0]} semitones",
            "bring the two of a hand nearer",
        )  # fmt: skip


def _ends(moment: Moment, keys: tuple[int, ...]) -> str:
    return names_of([note.pitch for note in moment.struck if note.pitch.midi in keys])


# ---------------------------------------------------------------- sticks


def _changes(line: PlayerLine) -> Iterator[tuple[ScoreEvent, float]]:
    """Notes whose words ask for other sticks than those before, and the seconds that there are to take them."""
    if not any(event.event.marks.words and _asked(event) for event in line.events):
        return
    now: frozenset[str] = frozenset()
    before: ScoreEvent | None = None
    for event in line.events:
        asked = _asked(event)
        if asked and now and asked != now and before is not None:
            free = before.end if is_rolled(before) else before.onset
            yield event, line.timing.at(event.onset) - line.timing.at(free)
        now = asked or now
        before = event


def _asked(event: ScoreEvent) -> frozenset[str]:
    return frozenset().union(*(beaters(words) for words in event.event.marks.words))


def _change(degree: Degree, event: ScoreEvent, time: float) -> Finding:
    cannot = degree is Degree.IMPOSSIBLE
    return Finding(
        degree, STICKS, event, "cannot change sticks so fast" if cannot else "changes sticks in a hurry",
        f"{left_in_words(time, 1)} since the note before", "give a rest before it, or leave it to a second player",
    )  # fmt: skip


# ---------------------------------------------------------------- rolls


def _one_roll_or_two(before: Moment, moment: Moment) -> Iterator[Finding]:
    """A roll that follows another on the same note, with nothing to say whether it is struck anew."""
    same = [note.pitch for note in before.struck] == [note.pitch for note in moment.struck]
    if not (same and is_roll(before) and is_roll(moment) and before.end == moment.onset) or before.state.slurred:
        return
    marks = moment.event.event.marks
    if marks.loud or _STRUCK_ANEW.intersection(marks.articulations):
        return
    yield Finding(
        Degree.CARE, ROLL, moment.event, "has roll after roll on one note", "it is not said whether it is struck anew",
        "tie or slur them to one roll, as `held` makes it, or mark the new one with an accent",
    )  # fmt: skip


_HEARD = {"xylophone": 1.0, "marimba": 2.5}
"""Seconds in which bars of wood are heard at most. From memory."""
_DRUMS = 1.5
"""The same of drums and blocks."""
_RESONANT = frozenset(["bass drum", "taiko", "hi hat", "drum set", "cowbell", "anvil", "brake drum", "vibraslap"])
_LONG = 2
"""So many times as long is no stroke that is merely written out."""


def _dry(line: PlayerLine) -> Iterator[Finding]:
    """Long notes of which nobody knows whether they are one stroke or a roll."""
    instrument = line.instrument
    heard = _HEARD.get(instrument.key, _DRUMS if instrument.unpitched else 0.0)
    way = way_of(instrument)
    if not heard or instrument.unpitched and instrument.tone is not Sustain.SHORT or instrument.key in _RESONANT:
        return
    rolls = way is None or way.rolls
    for moment in line.moments:
        rings = "let_ring" in moment.event.event.marks.articulations
        if moment.seconds > _LONG * heard and not (rings or moment.state.is_to_and_fro):
            yield Finding(
                Degree.CARE, DRY, moment.event, "has long notes of one stroke",
                f"{moment.seconds:.1f} s are written, and about {heard:g} s are heard",
                "a shorter note and a rest" + (", or a `tremolo`, if a roll is meant" if rolls else ""),
            )  # fmt: skip
