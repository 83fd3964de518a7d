"""Transforms of dress: dynamics, articulations, words, hairpins and slurs. Notes stay as they are."""

from __future__ import annotations

from fractions import Fraction

from cavata.diagnostics import Refusal
from cavata.instruments.instrument import Instrument
from cavata.music.event import ARTICULATIONS, LASTING, Event, Marks, Motif, Ornament, told
from cavata.music.pitch import Interval, PitchClass
from cavata.record import record
from cavata.transforms.selection import Selection, chosen, chosen_by_item

AT_EACH_NOTE = tuple(name for name in ARTICULATIONS if name != "fermata")
"""The articulations that `marked` writes; a fermata is a transform of its own."""


@record
class Markings:
    """What `marked` writes."""

    dynamic: str
    articulations: tuple[str, ...]
    words: tuple[str, ...]
    techniques: tuple[str, ...] = ()


def marked(motif: Motif, notes: Selection | None, markings: Markings) -> Motif:
    """A dynamic, words and techniques on the first note meant, articulations on each.

    An attack stands on the first note, or on each of those that are named.
    """
    meant = sorted(chosen(motif, notes))
    loud = told(markings.dynamic)
    everywhere = Marks(articulations=markings.articulations, attack=loud.attack if notes else "")
    events = list(motif.events)
    for index in meant:
        events[index] = events[index].marked(everywhere)
    opening = loud.joined(Marks(words=markings.words, techniques=markings.techniques))
    events[meant[0]] = events[meant[0]].marked(opening)
    return Motif(tuple(events))


def crescendo(motif: Motif, notes: Selection | None, begin: str, end: str) -> Motif:
    """Growing from one dynamic on the first note to another on the last, of each range of notes."""
    return _hairpin(motif, notes, begin, end, "crescendo")


def diminuendo(motif: Motif, notes: Selection | None, begin: str, end: str) -> Motif:
    """Falling from one dynamic on the first note to another on the last, of each range of notes."""
    return _hairpin(motif, notes, begin, end, "diminuendo")


def _hairpin(motif: Motif, notes: Selection | None, begin: str, end: str, kind: str) -> Motif:
    if begin in LASTING and end in LASTING:
        grows = LASTING.index(end) > LASTING.index(begin)
        if begin == end or grows != (kind == "crescendo"):
            other = "diminuendo" if kind == "crescendo" else "crescendo"
            way, cure = "leads the wrong way", f"write `{other} {begin} {end}`"
            if begin == end:
                way, cure = "leads nowhere", "name two dynamics that differ"
            raise Refusal("V214", f"a {kind} from {begin} to {end} {way}", "", cure, (2, 0))
    events = list(motif.events)
    for meant in chosen_by_item(motif, notes):
        alone = len(meant) == 1
        _add(events, meant[0], told(begin).joined(Marks(hairpin=kind)))
        _add(events, meant[-1], told("" if alone else end).joined(Marks(hairpin_ends=True, goal=end if alone else "")))
    return Motif(tuple(events))


def slurred(motif: Motif, notes: Selection | None) -> Motif:
    """One slur over each run of notes that no rest parts, or over each range of notes."""
    events = list(motif.events)
    if notes is not None:
        for number, meant in enumerate(chosen_by_item(motif, notes)):
            if len(meant) < 2:
                raise Refusal(
                    "V810", "a slur goes over two notes or more", "one note",
                    "write each slur as a range, as `slurred 1..4 5..8`", (0, number),
                )
            _add(events, meant[0], Marks(slur_begins=True))
            _add(events, meant[-1], Marks(slur_ends=True))
        return Motif(tuple(events))
    run: list[int] = []
    for index, event in enumerate([*motif.events, None]):
        if event is not None and event.heads:
            run.append(index)
            continue
        if len(run) > 1:
            _add(events, run[0], Marks(slur_begins=True))
            _add(events, run[-1], Marks(slur_ends=True))
        run = []
    return Motif(tuple(events))


def _add(events: list[Event], index: int, marks: Marks) -> None:
    events[index] = events[index].marked(marks)


# ----------------------------------------------------------------
# Signs of ornament, and what else is dressed on notes: grace notes, glissandi, fermatas that last, the pedal.
#
# In: a line. Out: the same notes, some of them marked. How a sign is played is told by `emit.midi_ornaments`.


MOST_GRACES = 16
"""Grace notes before one note."""
WIDEST_TRILL = 4
"""Staff places a trill reaches, the note's own counted: a fourth."""
TREMOLO_VALUES = (8, 16, 32, 64, 128)
"""Note values a tremolo may repeat, as the parts of a whole note."""


def trill(motif: Motif, notes: Selection | None) -> Motif:
    """A trill with the note above in the signature."""
    return _on(motif, notes, Marks(ornaments=(Ornament("trill"),)))


def trill_to(motif: Motif, notes: Selection | None, interval: Interval) -> Motif:
    """A trill with the note at that interval above."""
    if not (1 <= interval.steps < WIDEST_TRILL and interval.semitones > 0):
        raise Refusal(
            "V504", f"a trill does not reach {interval} above its note", "a second, a third or a fourth",
            "write `to M2`", (1, 0),
        )
    return _on(motif, notes, Marks(ornaments=(Ornament("trill", interval),)))


def turn(motif: Motif, notes: Selection | None) -> Motif:
    """A turn: the note above, the note, the note below, the note."""
    return _on(motif, notes, Marks(ornaments=(Ornament("turn"),)))


def mordent(motif: Motif, notes: Selection | None) -> Motif:
    """A mordent: the note, the note below, the note."""
    return _on(motif, notes, Marks(ornaments=(Ornament("mordent"),)))


def tremolo(motif: Motif, notes: Selection | None, unit: Fraction | None = None) -> Motif:
    """These notes repeated: in the value given, or as fast as can be."""
    if unit is not None and (unit.numerator != 1 or unit.denominator not in TREMOLO_VALUES):
        raise Refusal("V502", f"a tremolo does not repeat {unit}", "no value with flags", "write 1/16 or 1/32", (1, 0))
    return _on(motif, notes, Marks(ornaments=(Ornament("tremolo", unit=unit),)))


def rolled(motif: Motif, notes: Selection | None) -> Motif:
    """Every chord broken quickly from its lowest note, with the wavy line before it."""
    meant = {index for index in chosen(motif, notes) if motif.events[index].is_chord}
    if not meant:
        raise Refusal("V503", "{subject} has no chord to roll", "single notes", "`as chord` makes one of a line")
    sign = Marks(ornaments=(Ornament("rolled"),))
    return Motif(tuple(event.marked(sign) if index in meant else event for index, event in enumerate(motif.events)))


def glissando(motif: Motif, notes: Selection | None) -> Motif:
    """A glide from each of these notes to the next one; where none is named, from all but the last."""
    meant = chosen(motif, notes)
    if notes is None:
        meant -= {max(meant)}
    sign = Marks(glides=True)
    return Motif(tuple(event.marked(sign) if index in meant else event for index, event in enumerate(motif.events)))


def graced(motif: Motif, notes: Selection | None, graces: Motif) -> Motif:
    """The motif's notes as grace notes before each of these notes."""
    if any(event.is_rest for event in graces.events) or not 1 <= len(graces.events) <= MOST_GRACES:
        label = "it has a rest" if any(event.is_rest for event in graces.events) else f"it has {len(graces.events)}"
        raise Refusal("V501", f"grace notes are 1 to {MOST_GRACES} notes without rests", label, "", (1, 0))
    return _on(motif, notes, Marks(graces=tuple(event.heads for event in graces.events)))


def fermata(motif: Motif, notes: Selection, longer: Fraction = Fraction(0)) -> Motif:
    """A fermata on each of these notes, which holds it longer by the duration, or as long as its end lasts."""
    return _on(motif, notes, Marks(articulations=("fermata",), held=longer))


def sustain_pedal(motif: Motif, notes: Selection | None) -> Motif:
    """The pedal down at the first note, and up at the end of the last, of each range of notes."""
    events = list(motif.events)
    for meant in chosen_by_item(motif, notes):
        _add(events, meant[0], Marks(pedal_begins=True))
        _add(events, meant[-1], Marks(pedal_ends=True))
    return Motif(tuple(events))


TOUCHED = ("P8", "P5", "P4", "M3", "m3")
"""The intervals above an open or stopped note at which a string is touched for its partials 2 to 6."""


def harmonic_touching(motif: Motif, notes: Selection | None, interval: Interval) -> Motif:
    """These notes sound as harmonics of a stopped note that is touched at that interval above it."""
    if str(interval) not in TOUCHED:
        raise Refusal(
            "V860", f"no harmonic sounds where {interval} above a note is touched", "no node of the string",
            "touch " + ", ".join(TOUCHED[:-1]) + f" or {TOUCHED[-1]}", (1, 0),
        )
    return _on(motif, notes, Marks(harmonic=str(interval)))


def harmonic_on(motif: Motif, notes: Selection | None, string: PitchClass) -> Motif:
    """These notes sound as natural harmonics of the open string of that name."""
    return _on(motif, notes, Marks(string=str(string), harmonic="natural"))


def sul(motif: Motif, notes: Selection | None, string: PitchClass) -> Motif:
    """These notes played on the string of that name."""
    return _on(motif, notes, Marks(string=str(string)))


def played_on_string(motif: Motif, notes: Selection | None, number: int) -> Motif:
    """These notes played on the string of that number, counted from the highest."""
    return _on(motif, notes, Marks(string=str(number)))


def _on(motif: Motif, notes: Selection | None, marks: Marks) -> Motif:
    indices = chosen(motif, notes)
    return Motif(tuple(e.marked(marks) if index in indices else e for index, e in enumerate(motif.events)))


def chant(motif: Motif, notes: Selection | None) -> Motif:
    """Each of these notes without its stem, to be sung freely."""
    return _on(motif, notes, Marks(stemless=True))


def division(motif: Motif, notes: Selection, kind: str) -> Motif:
    """A division of chant after each of these notes, one of DIVISIONS."""
    return _on(motif, notes, Marks(division=kind))


# ----------------------------------------------------------------
# A player takes up another instrument: said over bars of a part, since it is no property of notes.


TAKING_UP = "on"
"""The step's word; placing looks for it."""


def on(motif: Motif, instrument: Instrument) -> Motif:
    """Refuses: a motif has no player."""
    raise Refusal(
        "I107", "`on` stands over bars of a part, not in a line", "a motif has no player",
        f"write `PART bars N to M: on {instrument.key}` in its section",
    )
