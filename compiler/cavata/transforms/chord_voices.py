"""The voices of a chord, counted from the bass: one of them as a line, or several as smaller chords.

In: a line of chords, or a texture, whose lines are then the voices. Out: a line, or the lines that were asked for. A
chord with fewer voices than were asked for gives its highest, as players do. Source: common practice.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics import Refusal
from cavata.music.event import VOICES, Event, Motif, Texture
from cavata.record import replace
from cavata.transforms.pitches import without_symbol

BASS, TOP, INNER, UPPER, ALL = VOICES
ChordVoice = str | int
"""One of VOICES, or a number from 1, the bass."""


def voices_meant(count: int, asked: tuple[ChordVoice, ...]) -> tuple[int, ...]:
    """Which of `count` voices are meant, from 0, the bass, upwards; at least one."""
    highest = {count - 1}
    named = {
        BASS: {0}, TOP: highest, INNER: {*range(1, count - 1)} or highest, UPPER: {*range(1, count)} or highest,
        ALL: {*range(count)},
    }  # fmt: skip
    found = set[int]()
    for voice in asked:
        found |= {min(voice, count) - 1} if isinstance(voice, int) else named[voice]
    return tuple(sorted(found))


def with_voices(event: Event, asked: tuple[ChordVoice, ...]) -> Event:
    """The event with these voices of its chord only; a sign that needs a whole chord goes with the others."""
    if not event.is_chord:
        return event
    heads = tuple(event.heads[place] for place in voices_meant(len(event.heads), asked))
    if len(heads) == len(event.heads):
        return event
    return without_roll(without_symbol(event).with_heads(heads))


def without_roll(event: Event) -> Event:
    """The event; where no chord is left, without the sign that rolls one."""
    if event.is_chord or all(ornament.kind != "rolled" for ornament in event.marks.ornaments):
        return event
    kept = tuple(ornament for ornament in event.marks.ornaments if ornament.kind != "rolled")
    return replace(event, marks=replace(event.marks, ornaments=kept))


# ----------------------------------------------------------------
# Steps of a line of chords.


def bass(motif: Motif) -> Motif:
    """The lowest note of each chord."""
    return _taken(motif, (BASS,))


def top(motif: Motif) -> Motif:
    """The highest note of each chord."""
    return _taken(motif, (TOP,))


def upper(motif: Motif) -> Motif:
    """Each chord without its lowest note."""
    return _taken(motif, (UPPER,))


def inner(motif: Motif) -> Motif:
    """Each chord without its lowest and its highest note."""
    return _taken(motif, (INNER,))


def voice(motif: Motif, number: int) -> Motif:
    """One voice of each chord, counted from the bass."""
    _there(number, max((len(event.heads) for event in motif.sounding), default=1))
    return _taken(motif, (number,))


def _taken(motif: Motif, asked: tuple[ChordVoice, ...]) -> Motif:
    return Motif(tuple(with_voices(event, asked) for event in motif.events))


def _there(number: int, most: int) -> None:
    """Refuses a number that no chord has."""
    if not 1 <= number <= most:
        raise Refusal(
            "V870", f"{{subject}} has no voice {number}", f"at most {most}, counted from the bass" if number > 0 else
            "voices are counted from 1, the bass", "`bass` is the lowest, `top` the highest", (0, 0),
        )  # fmt: skip


# ----------------------------------------------------------------
# Steps of a texture, whose voices are its lines.


def from_the_bass(lines: tuple[Motif, ...]) -> tuple[int, ...]:
    """The places of the lines that have notes, from the one that lies lowest on the whole to the highest.

    A line lies where its notes do on the average, long ones counting for more; of two that lie alike the earlier is the
    higher.
    """
    heights = {place: _height(line) for place, line in enumerate(lines) if line.sounding}
    return tuple(sorted(heights, key=lambda place: (heights[place], -place)))


def _height(line: Motif) -> Fraction:
    weights = [(event.duration, head.pitch.midi) for event in line.events for head in event.heads]
    return sum((duration * key for duration, key in weights), Fraction(0)) / sum(duration for duration, _ in weights)


def bass_of(texture: Texture) -> Motif | Texture:
    """The line that lies lowest."""
    return _lines(texture, (BASS,))


def top_of(texture: Texture) -> Motif | Texture:
    """The line that lies highest."""
    return _lines(texture, (TOP,))


def upper_of(texture: Texture) -> Motif | Texture:
    """All lines but the lowest."""
    return _lines(texture, (UPPER,))


def inner_of(texture: Texture) -> Motif | Texture:
    """All lines but the lowest and the highest."""
    return _lines(texture, (INNER,))


def voice_of(texture: Texture, number: int) -> Motif | Texture:
    """One line, counted from the lowest."""
    _there(number, len(from_the_bass(texture.lines)))
    return _lines(texture, (number,))


def _lines(texture: Texture, asked: tuple[ChordVoice, ...]) -> Motif | Texture:
    """The lines that are meant, in their own order; one that waits for no bars is a line again."""
    order = from_the_bass(texture.lines)
    if not order:
        raise Refusal("V209", "{subject} has no note", "no voice to take", "")
    places = sorted(order[voice] for voice in voices_meant(len(order), asked))
    waits = tuple(texture.waits[place] for place in places) if texture.waits else ()
    if len(places) == 1 and not any(waits):
        return texture.lines[places[0]]
    return Texture(tuple(texture.lines[place] for place in places), waits)
