"""Signs of ornament, and what else is dressed on notes: grace notes, glissandi, fermatas that last, the pedal.

In: a line. Out: the same notes, some of them marked. How a sign is played is told by `emit.midi_ornaments`.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.music.event import Event, Marks, Motif
from cavata.music.ornament import Ornament
from cavata.music.pitch import Interval
from cavata.music.refusal import Refusal
from cavata.transforms.selection import Selection, chosen

MOST_GRACES = 16
"""Grace notes before one note."""
WIDEST_TRILL = 4
"""Staff places a trill reaches, the note's own counted: a fourth."""
TREMOLO_VALUES = (8, 16, 32, 64, 128)
"""Note values a tremolo may repeat, as the parts of a whole note."""


def trill(motif: Motif, notes: Selection) -> Motif:
    """A trill with the note above in the signature."""
    return _on(motif, notes, Marks(ornaments=(Ornament("trill"),)))


def trill_to(motif: Motif, notes: Selection, interval: Interval) -> Motif:
    """A trill with the note at that interval above."""
    if not (1 <= interval.steps < WIDEST_TRILL and interval.semitones > 0):
        raise Refusal(
            "V504", f"a trill does not reach {interval} above its note", "a second, a third or a fourth",
            "write `to M2`", (1, 0),
        )
    return _on(motif, notes, Marks(ornaments=(Ornament("trill", interval),)))


def turn(motif: Motif, notes: Selection) -> Motif:
    """A turn: the note above, the note, the note below, the note."""
    return _on(motif, notes, Marks(ornaments=(Ornament("turn"),)))


def mordent(motif: Motif, notes: Selection) -> Motif:
    """A mordent: the note, the note below, the note."""
    return _on(motif, notes, Marks(ornaments=(Ornament("mordent"),)))


def tremolo(motif: Motif, unit: Fraction | None = None) -> Motif:
    """Every note repeated: in the value given, or as fast as can be."""
    if unit is not None and (unit.numerator != 1 or unit.denominator not in TREMOLO_VALUES):
        raise Refusal("V502", f"a tremolo does not repeat {unit}", "no value with flags", "write 1/16 or 1/32", (0, 0))
    return _each(motif, Marks(ornaments=(Ornament("tremolo", unit=unit),)))


def rolled(motif: Motif) -> Motif:
    """Every chord broken quickly from its lowest note, with the wavy line before it."""
    if not any(event.is_chord for event in motif.events):
        raise Refusal("V503", "{subject} has no chord to roll", "single notes", "`as chord` makes one of a line")
    sign = Marks(ornaments=(Ornament("rolled"),))
    return Motif(tuple(event.marked(sign) if event.is_chord else event for event in motif.events))


def glissando(motif: Motif, notes: Selection) -> Motif:
    """A glide from each of these notes to the next one."""
    return _on(motif, notes, Marks(glides=True))


def graced(motif: Motif, graces: Motif, notes: Selection) -> Motif:
    """The motif's notes as grace notes before each of these notes."""
    if any(event.is_rest for event in graces.events) or not 1 <= len(graces.events) <= MOST_GRACES:
        label = "it has a rest" if any(event.is_rest for event in graces.events) else f"it has {len(graces.events)}"
        raise Refusal("V501", f"grace notes are 1 to {MOST_GRACES} notes without rests", label, "", (0, 0))
    return _on(motif, notes, Marks(graces=tuple(event.heads for event in graces.events)))


def fermata(motif: Motif, notes: Selection, longer: Fraction) -> Motif:
    """A fermata on each of these notes, which holds it longer by the duration."""
    return _on(motif, notes, Marks(articulations=("fermata",), held=longer))


def pedalled(motif: Motif) -> Motif:
    """The pedal down at the first note, and up at the end of the last."""
    sounding = [index for index, event in enumerate(motif.events) if event.heads]
    if not sounding:
        raise Refusal("V209", "{subject} has no note", "nothing to mark", "")
    events = list(motif.events)
    events[sounding[0]] = events[sounding[0]].marked(Marks(pedal_begins=True))
    events[sounding[-1]] = events[sounding[-1]].marked(Marks(pedal_ends=True))
    return Motif(tuple(events))


def _on(motif: Motif, notes: Selection, marks: Marks) -> Motif:
    indices = chosen(motif, notes)
    return Motif(tuple(e.marked(marks) if index in indices else e for index, e in enumerate(motif.events)))


def _each(motif: Motif, marks: Marks) -> Motif:
    def dressed(event: Event) -> Event:
        return event.marked(marks) if event.heads else event

    return Motif(tuple(map(dressed, motif.events)))
