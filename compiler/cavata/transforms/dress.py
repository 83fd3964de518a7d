"""Transforms of dress: dynamics, articulations, words, hairpins and slurs. Notes stay as they are."""

from __future__ import annotations

import re
from collections.abc import Callable, Container
from fractions import Fraction

from cavata.diagnostics import Refusal
from cavata.instruments.instrument import Instrument
from cavata.music.chord_symbol import ChordSymbol
from cavata.music.event import (
    AFTER_NOTE,
    ARTICULATIONS,
    FROM_NOTHING,
    LEVELS,
    NOTHING,
    TO_NOTHING,
    Event,
    Marks,
    Motif,
    Ornament,
    told,
)
from cavata.music.pitch import Interval, PitchClass
from cavata.record import record
from cavata.transforms.pitches import without_symbol
from cavata.transforms.selection import Selection, chosen, chosen_by_item, notes_in_words

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

    An attack stands on the first note, a breath or a caesura after the last, or each at all of those that are named.
    """
    meant = sorted(chosen(motif, notes))
    once = AFTER_NOTE if notes is None else frozenset[str]()
    articulations = tuple(a for a in markings.articulations if a not in once)
    loud = told(markings.dynamic)
    everywhere = Marks(articulations=articulations, attack=loud.attack if notes else "")
    events = list(motif.events)
    for index in meant:
        events[index] = events[index].marked(everywhere)
    opening = loud.joined(Marks(words=markings.words, techniques=markings.techniques))
    events[meant[0]] = events[meant[0]].marked(opening)
    closing = tuple(a for a in markings.articulations if a in once)
    if closing:
        events[meant[-1]] = events[meant[-1]].marked(Marks(articulations=closing))
    return Motif(tuple(events))


def crescendo(motif: Motif, notes: Selection | None, begin: str, end: str) -> Motif:
    """Growing from one dynamic on the first note to another on the last, of each range of notes."""
    return _hairpin(motif, notes, begin, end, "crescendo")


def diminuendo(motif: Motif, notes: Selection | None, begin: str, end: str) -> Motif:
    """Falling from one dynamic on the first note to another on the last, of each range of notes."""
    return _hairpin(motif, notes, begin, end, "diminuendo")


def _hairpin(motif: Motif, notes: Selection | None, begin: str, end: str, kind: str) -> Motif:
    if begin in LEVELS and end in LEVELS:
        grows = LEVELS.index(end) > LEVELS.index(begin)
        if begin == end or grows != (kind == "crescendo"):
            other = "diminuendo" if kind == "crescendo" else "crescendo"
            way, cure = "leads the wrong way", f"write `{other} {begin} {end}`"
            if begin == end:
                way, cure = "leads nowhere", "name two dynamics that differ"
            raise Refusal("V214", f"a {kind} from {begin} to {end} {way}", "", cure, (2, 0))
    events = list(motif.events)
    for meant in chosen_by_item(motif, notes):
        _add(events, meant[0], hairpin_begins(kind, begin, end))
        _add(events, meant[-1], hairpin_ends(end, len(meant) == 1))
    return Motif(tuple(events))


def hairpin_begins(kind: str, begin: str, end: str) -> Marks:
    """What stands at the first note of a hairpin; one that comes from nothing or dies away is of a kind of its own."""
    shape = FROM_NOTHING if begin == NOTHING else TO_NOTHING if end == NOTHING else kind
    return told("" if begin == NOTHING else begin).joined(Marks(hairpin=shape))


def hairpin_ends(end: str, alone: bool) -> Marks:
    """What stands at the last: the dynamic there, or that the note dies away to its end."""
    if end == NOTHING or alone:
        return Marks(hairpin_ends=True, goal=end)
    return told(end).joined(Marks(hairpin_ends=True))


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
    return _marked_at(motif, meant, Marks(ornaments=(Ornament("rolled"),)))


def glissando(motif: Motif, notes: Selection | None) -> Motif:
    """A glide from each of these notes to the next one; where none is named, from all but the last."""
    meant = chosen(motif, notes)
    if notes is None:
        meant -= {max(meant)}
    return _marked_at(motif, meant, Marks(glides=True))


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


# ----------------------------------------------------------------
# What each note has of a text in turn: the figures of a bass, and words or stickings.
#
# In: a line and a text, whose words are parted by spaces. Out: the line, a word at every note as far as the text goes;
# `_` leaves a note without one, and rests have none.


NONE = "_"
_FIGURE = re.compile(r"(##|bb|#|b|n)?([1-9]\d?\+?)?")


def figured(motif: Motif, notes: Selection | None, text: str) -> Motif:
    """The figures of a thorough bass under the notes in turn: `6/4` are two of them, `4-3` one after the other."""
    return _each_of(motif, _in_turn(motif, notes, text, "figure"), lambda word: Marks(figures=_figures(word)))


def labeled(motif: Motif, notes: Selection | None, text: str) -> Motif:
    """The words of the text at the notes in turn, as a sticking."""
    return _each_of(motif, _in_turn(motif, notes, text, "word"), lambda word: Marks(label=word))


def _in_turn(motif: Motif, notes: Selection | None, text: str, what: str) -> dict[int, str]:
    """The word of each note; refuses a text of more words than notes."""
    meant = sorted(chosen(motif, notes))
    words = text.split()
    if not words:
        raise Refusal("V842", f"there is no {what} in the text", "it is empty", "", (1, 0))
    if len(words) > len(meant):
        raise Refusal(
            "V843", f"{{subject}} has {notes_in_words(len(meant))} for {len(words)} {what}s",
            f"too many from `{words[len(meant)]}` on", f"give it more notes, or fewer {what}s", (1, 0),
        )  # fmt: skip
    return {index: word for index, word in zip(meant, words, strict=False) if word != NONE}


def _each_of(motif: Motif, words: dict[int, str], marks: Callable[[str], Marks]) -> Motif:
    events = list(motif.events)
    for index, word in words.items():
        _add(events, index, marks(word))
    return Motif(tuple(events))


def _figures(word: str) -> tuple[tuple[str, ...], ...]:
    found = tuple(tuple(stack.split("/")) for stack in word.split("-"))
    wrong = next((figure for stack in found for figure in stack if not figure or not _FIGURE.fullmatch(figure)), None)
    if wrong is not None:
        raise Refusal(
            "V844", f"`{word}` is no figure of a bass", "digits, with `#`, `b` or `n` before them",
            "write it as `6`, `#6`, `6/4` (two at once) or `4-3` (one after the other)", (1, 0),
        )  # fmt: skip
    return found


def optional(motif: Motif, notes: Selection | None) -> Motif:
    """These notes small: their player may leave them out."""
    return _on(motif, notes, Marks(optional=True))


def without_symbols(motif: Motif) -> Motif:
    """The same notes without the chord symbols over them."""
    return Motif(tuple(map(without_symbol, motif.events)))


def symbols_of(motif: Motif, chords: Motif) -> Motif:
    """The chord symbols of another line over the notes that begin where its chords do."""
    begins: dict[Fraction, int] = {}
    now = Fraction(0)
    for index, event in enumerate(motif.events):
        if event.heads:
            begins[now] = index
        now += event.duration
    events = list(motif.events)
    for onset, symbol in symbols_in(chords):
        if onset < now:
            if onset not in begins:
                raise no_note_for(symbol)
            _add(events, begins[onset], Marks(symbol=symbol))
    return Motif(tuple(events))


def symbols_in(chords: Motif) -> tuple[tuple[Fraction, ChordSymbol], ...]:
    """Every chord symbol of a line, from its beginning on; refuses a line that has none."""
    found: list[tuple[Fraction, ChordSymbol]] = []
    now = Fraction(0)
    for event in chords.events:
        if event.marks.symbol is not None:
            found.append((now, event.marks.symbol))
        now += event.duration
    if not found:
        raise Refusal("V841", "there is no chord symbol to print", "no symbol", "write it as `chords(...)`", (0, 0))
    return tuple(found)


def no_note_for(symbol: ChordSymbol) -> Refusal:
    """For a chord that changes where no note begins to bear its symbol."""
    return Refusal(
        "V840", f"no note of {{subject}} begins where `{symbol}` does", "a note or rest goes on",
        "over bars, `PART bars 1 to 8: symbols of ...` divides a held note; a rest bears no symbol", (0, 0),
    )  # fmt: skip


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


def on_string(motif: Motif, notes: Selection | None, string: PitchClass | int) -> Motif:
    """These notes played on the string of that name, or of that number, counted from the highest."""
    return _on(motif, notes, Marks(string=str(string)))


def _on(motif: Motif, notes: Selection | None, marks: Marks) -> Motif:
    return _marked_at(motif, chosen(motif, notes), marks)


def _marked_at(motif: Motif, indices: Container[int], marks: Marks) -> Motif:
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
