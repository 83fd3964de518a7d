"""A line harmonized: in parallel by degrees of a mode, or with chords that the composer gives.

In: a line. Out: the same line as chords. Every added note remembers the letter of the note it was added to; a
composer's chord keeps its own letters besides.
"""

from __future__ import annotations

from cavata.diagnostics import Refusal
from cavata.music.event import UNMARKED, Event, Head, Marks, Motif
from cavata.music.mode import Mode, moved, native
from cavata.music.pitch import Interval, Pitch
from cavata.record import replace
from cavata.transforms.figuration import split_marks
from cavata.transforms.pitches import checked, joined_heads, symbol_kept
from cavata.transforms.selection import bounded

# ----------------------------------------------------------------
# Transforms between line and chord.


def as_chord(motif: Motif) -> Motif:
    """All notes of the line together, for the duration of its first note.

    Of their marks those stay that one chord can have; where they were said is known of all.
    """
    sounding = motif.sounding
    if not sounding:
        raise Refusal("V209", "{subject} has no note", "nothing to sound together", "")
    heads = joined_heads([head for event in sounding for head in event.heads])
    return Motif((Event(sounding[0].duration, heads, _gathered([event.marks for event in sounding])),))


def _gathered(marks: list[Marks]) -> Marks:
    """The marks of a chord that several notes make: what stands at the first, ornaments if all of them have
    them; a hairpin from the first with its end and goal; words, a fermata, the pedal; a glissando or a division
    after the last.

    A slur over the notes themselves is gone: the chord is one.
    """
    first, last = marks[0], marks[-1]
    if len(marks) == 1:
        return first
    end = next((each for each in marks[1:] if each.hairpin_ends), None) if first.hairpin else None
    struck = tuple(name for name in first.articulations if name != "fermata")
    stays = any("fermata" in each.articulations for each in marks)
    return replace(
        first,
        articulations=(*struck, *(["fermata"] if stays else [])),
        held=max(each.held for each in marks),
        words=tuple(dict.fromkeys(word for each in marks for word in each.words)),
        hairpin=first.hairpin if end is not None else "",
        hairpin_ends=end is not None,
        goal="" if end is None else end.goal if end.dies_away else " ".join(end.loud[-1:]),
        slur_begins=last.slur_begins,
        slur_ends=first.slur_ends,
        ornaments=tuple(sign for sign in first.ornaments if all(sign in each.ornaments for each in marks)),
        glides=last.glides,
        division=last.division,
        pedal_begins=any(each.pedal_begins for each in marks),
        pedal_ends=any(each.pedal_ends for each in marks),
        string="",
        harmonic="",
        said=tuple(said for each in marks for said in each.said),
    )


def broken(motif: Motif, direction: str) -> Motif:
    """Each chord as a line from its lowest note up, or from its highest down; each note as long as the chord.

    What begins at the chord stands at the first note, what ends with it at the last.
    """
    events: list[Event] = []
    bounded(sum(max(1, len(event.heads)) for event in motif.events))
    for event in motif.events:
        heads = event.heads if direction != "descending" else event.heads[::-1]
        if len(heads) < 2:
            events.append(event)
            continue
        begins, ends = split_marks(event.marks)
        between = Marks(sung=ends.sung) if ends.sung else UNMARKED
        for number, head in enumerate(heads):
            marks = begins if number == 0 else ends if number == len(heads) - 1 else between
            events.append(Event(event.duration, (head,), marks))
    return Motif(tuple(events))


def voiced(motif: Motif, how: str) -> Motif:
    """Each chord in close position above its lowest note, or in open: every second note an octave higher."""
    return Motif(tuple(_voiced(event, how) if event.is_chord else event for event in motif.events))


def _voiced(event: Event, how: str) -> Event:
    bass = event.heads[0]
    close = [bass]
    for head in event.heads[1:]:
        pitch = head.pitch
        while pitch.midi - 12 > bass.pitch.midi:
            pitch = pitch.shifted(-1)
        close.append(Head(pitch, head.origins))
    ordered = joined_heads(close)
    if how == "open":
        raised = [Head(checked(h.pitch.shifted(n % 2)), h.origins) for n, h in enumerate(ordered)]
        ordered = joined_heads(raised)
    return event.with_heads(ordered)


def doubled(motif: Motif, interval: Interval, side: str) -> Motif:
    """Every note together with another at that interval above or below it, from the same letter."""
    step = interval if side == "above" else -interval

    def with_another(event: Event) -> Event:
        added = [Head(checked(head.pitch.exactly(step)), head.origins) for head in event.heads]
        return symbol_kept(event, joined_heads([*event.heads, *added]))

    return Motif(tuple(map(with_another, motif.events)))


# ----------------------------------------------------------------

_DEGREES = {"thirds": (2,), "sixths": (5,), "triads": (2, 4)}
"""How many degrees away the added notes lie."""


def harmonized_in(motif: Motif, mode: Mode, with_what: str, side: str) -> Motif:
    """Every note with others in parallel, by degrees of the mode, above or below it."""
    direction = 1 if side == "above" else -1
    degrees = tuple(direction * degree for degree in _DEGREES[with_what])
    return Motif(tuple(_thickened(event, mode, degrees) for event in motif.events))


def _thickened(event: Event, mode: Mode, degrees: tuple[int, ...]) -> Event:
    if not event.heads:
        return event
    added = [Head(_degree(head.pitch, mode, degree), head.origins) for degree in degrees for head in event.heads]
    return symbol_kept(event, joined_heads([*event.heads, *added]))


def _degree(pitch: Pitch, mode: Mode, degrees: int) -> Pitch:
    """The mode's note so many degrees away; from a note foreign to the mode, as from the degree it alters."""
    return checked(moved(native(pitch, mode), degrees, mode))


def harmonized_with(motif: Motif, chords: Motif) -> Motif:
    """Each note on top of the next of the chords, which go round; a rest among them leaves a note alone.

    A chord that would reach above the note is moved down whole, by octaves.
    """
    if not chords.sounding:
        raise Refusal("V209", "there is no chord to harmonize with", "it has no note", "", (0, 0))
    events: list[Event] = []
    turn = 0
    for event in motif.events:
        if event.heads:
            chord = chords.events[turn % len(chords.events)]
            turn += 1
            if chord.heads:
                event = event.with_heads(joined_heads([*event.heads, *_below(chord, event.heads[-1].pitch)]))
        events.append(event)
    return Motif(tuple(events))


def _below(chord: Event, top: Pitch) -> list[Head]:
    octaves = 0
    while chord.heads[-1].pitch.midi - 12 * octaves > top.midi:
        octaves += 1
    return [Head(checked(head.pitch.shifted(-octaves)), head.origins) for head in chord.heads]
