"""Scores of music21's corpus as scores of this project, for the looks at what players can do.

In: a file of the corpus. Out: one movement with its parts, every note at its exact onset; ties, dynamics, slurs,
trills, tremolos, pizzicato and mutes as far as the file has them. A chord of which only some notes are tied counts as
struck. The instrument is that of the part's place in a string quartet, since the files often have a wrong one. What is
notated as grace notes is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from music21 import converter, corpus, dynamics, expressions, note, spanner, stream, tempo

from cavata.instruments.table import find
from cavata.music.event import LASTING, UNMARKED, Event, Head, Marks, Ornament
from cavata.music.pitch import Pitch, parse_pitch
from cavata.names.program import Part
from cavata.playing.line import Timing, player_lines
from cavata.score.score import Header, Meter, Movement, Score, ScoreBar, ScoreEvent, Section, Staff, Tempo
from cavata.source import Source, Span

QUARTET = ("violin", "violin", "viola", "cello")
_COMPOSERS = ("haydn", "mozart", "beethoven")
_NOWHERE = Span(Source("corpus", ""), 0, 0)
_WORDS = {
    "pizz": "pizzicato", "arco": "arco", "con sord": "muted", "senza sord": "unmuted", "div": "divisi",
    "unis": "unison",
}  # fmt: skip
_USUAL_PACE = (Fraction(1, 4), Fraction(100))


def quartets() -> list[Path]:
    """All string quartets of the corpus, one encoding of each."""
    paths = [Path(path) for path in corpus.getPaths() if any(name in str(path) for name in _COMPOSERS)]
    packed = {path.with_suffix("") for path in paths if path.suffix == ".mxl"}
    return [path for path in paths if path.suffix == ".mxl" or path.with_suffix("") not in packed]


def quartet(path: Path) -> Score | None:
    """A file as a score for two violins, viola and cello; None if it is for others."""
    read = converter.parse(path)
    if not isinstance(read, stream.Score) or len(read.parts) != len(QUARTET):
        return None
    parts = tuple(_part(f"{name}{number}", name) for number, name in enumerate(QUARTET))
    staves = tuple((Staff("", tuple(_voices(part))),) for part in read.parts)
    end = max((event.end for staff in staves for voice in staff[0].voices for event in voice), default=Fraction(1))
    movement = Movement(
        path.stem, "", False, False, end, tuple(_bars(read.parts[0], end)), (Section("", "", Fraction(0), 0),),
        tuple(_tempi(read.parts[0])), staves, _NOWHERE,
    )  # fmt: skip
    return Score(Header(path.stem), parts, (), (movement,))


def _part(name: str, instrument: str) -> Part:
    found = find(instrument)
    assert found is not None
    return Part(name, found, name, name, False, _NOWHERE)


def _length(quarters: float | Fraction) -> Fraction:
    """Whole notes, exactly: what the file has as a float lies in a grid of tuplets."""
    return Fraction(quarters).limit_denominator(960) / 4


def _bars(part: stream.Part, end: Fraction) -> Iterator[ScoreBar]:
    measures = list(part.getElementsByClass(stream.Measure))
    onsets = [_length(measure.offset) for measure in measures]
    for number, (measure, onset, following) in enumerate(zip(measures, onsets, [*onsets[1:], end], strict=True), 1):
        meter = Meter(4, 4, (1, 1, 1, 1))
        if following > onset:
            yield ScoreBar(measure.number or number, onset, following - onset, meter, None, 0, number)


def _tempi(part: stream.Part) -> Iterator[Tempo]:
    yield Tempo(Fraction(0), *_USUAL_PACE)
    for mark in part.flatten().getElementsByClass(tempo.MetronomeMark):
        quarters = mark.getQuarterBPM()
        if quarters:
            onset = _length(mark.offset)
            yield Tempo(onset, Fraction(1, 4), Fraction(quarters).limit_denominator(100))


def _voices(part: stream.Part) -> list[tuple[ScoreEvent, ...]]:
    """The events of a part, in as many voices as sound at once, each in order and without overlap."""
    flat = part.flatten()
    begun, ended = _slurred(part)
    voices: list[list[ScoreEvent]] = []
    words = _said(flat)
    for element in flat.notes:
        onset, duration = _length(element.offset), _length(element.duration.quarterLength)
        if not duration:
            continue
        heads = tuple(Head(pitch, ()) for pitch in sorted(_pitches(element), key=lambda pitch: pitch.midi))
        marks = Marks(
            dynamic=words.get(("dynamic", onset), ""),
            techniques=tuple(filter(None, [words.get(("technique", onset), "")])),
            ornaments=tuple(_ornaments(element)), slur_begins=element.id in begun, slur_ends=element.id in ended,
        )  # fmt: skip
        ties = [one.tie.type if one.tie else "" for one in getattr(element, "notes", [element])]
        event = ScoreEvent(
            onset, Event(duration, heads, marks or UNMARKED), _NOWHERE,
            tied_before=all(tie in ("stop", "continue") for tie in ties),
            tied_after=any(tie in ("start", "continue") for tie in ties),
        )  # fmt: skip
        voice = next((voice for voice in voices if voice[-1].end <= onset), None)
        if voice is None:
            voices.append([event])
        else:
            voice.append(event)
    return [tuple(voice) for voice in voices]


def _pitches(element: note.NotRest) -> Iterator[Pitch]:
    for pitch in element.pitches:
        yield parse_pitch(pitch.nameWithOctave.replace("-", "b"))


def _slurred(part: stream.Part) -> tuple[frozenset[int | str], frozenset[int | str]]:
    """The notes at which slurs begin and end."""
    slurs = list(part.recurse().getElementsByClass(spanner.Slur))
    ends = [(slur.getFirst(), slur.getLast()) for slur in slurs]
    return frozenset(first.id for first, _ in ends if first), frozenset(last.id for _, last in ends if last)


def _said(part: stream.Part) -> dict[tuple[str, Fraction], str]:
    """Dynamics and techniques by their onset."""
    found: dict[tuple[str, Fraction], str] = {}
    for element in part.getElementsByClass((dynamics.Dynamic, expressions.TextExpression)):
        onset = _length(element.offset)
        if isinstance(element, dynamics.Dynamic):
            if element.value in LASTING:
                found["dynamic", onset] = element.value
        else:
            text = str(element.content).lower()
            word = next((technique for said, technique in _WORDS.items() if text.startswith(said)), "")
            if word:
                found["technique", onset] = word
    return found


def _ornaments(element: note.NotRest) -> Iterator[Ornament]:
    for expression in element.expressions:
        if isinstance(expression, expressions.Tremolo):
            yield Ornament("tremolo")
        elif isinstance(expression, expressions.Trill):
            yield Ornament("trill")
        elif isinstance(expression, expressions.ArpeggioMark):
            yield Ornament("rolled")


def struck(score: Score) -> Iterator[int]:
    """For each moment of each part at which something is struck the number of notes that sound."""
    for movement in score.movements:
        timing = Timing(movement)
        for part, staves in zip(score.parts, movement.staves, strict=True):
            for line in player_lines(part, movement, staves, timing):
                yield from (len(moment.sounding) for moment in line.moments)
