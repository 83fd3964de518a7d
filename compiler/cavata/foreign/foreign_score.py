"""A foreign score through music21's readers, as lines of notes.

In: a file's content, already found harmless by `score_file`. Out: one `HeardScore` for the piece, or one for each tune
of a collection. The readers are called on content, never on a path, so that they open no file and no archive. Of an
onset that music21 gives as a binary fraction the exact value is taken. Pitches are as they sound.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from cavata.foreign.heard import HeardBar, HeardLine, HeardNote, HeardScore
from cavata.foreign.score_file import ScoreFile, Unreadable, open_score
from cavata.music.pitch import LETTERS, Pitch


def read_foreign(path: Path) -> tuple[HeardScore, ...]:
    """Every piece of a file; raises Unreadable where it is no score, or holds no note."""
    file = open_score(path)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            scores = tuple(_heard(score, title) for title, score in _pieces(_stream(file)))
    except MemoryError:
        raise Unreadable(
            "O307", f"reading `{path.name}` takes too much memory",
            "look for lengths beyond all measure in it, or save it again as MusicXML, a movement a file",
        ) from None  # fmt: skip
    except RecursionError:
        raise _refused(path, "it is nested too deeply") from None
    except Exception as error:  # a reader of foreign formats may raise anything at all
        raise _refused(path, _in_words(error)) from None
    if not any(line.notes for score in scores for line in score.lines):
        raise Unreadable("O306", f"`{path.name}` holds no note", "give a score with notes in it")
    return scores


def _in_words(error: Exception) -> str:
    """What a reader says, as far as it is words: what is inside of it means nothing to a composer."""
    said = " ".join(str(error).split()).split(". ")[0].rstrip(".")
    is_inner = isinstance(error, (AttributeError, KeyError, IndexError, TypeError, AssertionError))
    return said[:160] if said and not is_inner and "<" not in said else "its reader does not understand it"


def _refused(path: Path, why: str) -> Unreadable:
    why = " ".join(why.split())
    return Unreadable("O302", f"`{path.name}` is no score that can be read ({why})", "save it again as MusicXML")


def _stream(file: ScoreFile) -> Any:
    from music21.converter import subConverters

    match file.format:
        case "musicxml":
            from music21.musicxml.xmlToM21 import MusicXMLImporter

            importer = MusicXMLImporter()
            importer.xmlText = file.content
            importer.parseXMLText()
            return importer.stream
        case "midi":
            converter = subConverters.ConverterMidi()
            converter.parseData(file.content)
        case "abc":
            converter = subConverters.ConverterABC()
            converter.parseData(_text(file.content))
        case _:
            converter = subConverters.ConverterHumdrum()
            converter.parseData(_text(file.content))
    return converter.stream


def _text(content: bytes) -> str:
    """UTF-8, else Latin-1, as old text formats have it."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("latin-1")


def _pieces(stream: Any) -> Iterator[tuple[str, Any]]:
    from music21.stream import Opus

    if not isinstance(stream, Opus):
        yield "", stream
        return
    for number, score in enumerate(stream.scores, start=1):
        told = getattr(score.metadata, "number", None) if score.metadata is not None else None
        title = (getattr(score.metadata, "title", None) or "") if score.metadata is not None else ""
        yield f"no. {told or number} {title}".strip(), score


def _heard(score: Any, title: str) -> HeardScore:
    lines: list[HeardLine] = []
    parts = list(score.parts) or [score]
    names = [_part_name(part, number) for number, part in enumerate(parts, start=1)]
    for number, part in enumerate(parts):
        _sound(part)
        name = names[number]
        if names.count(name) > 1:
            name = f"{name} ({number + 1})"
        for voice, notes in enumerate(_voices(part), start=1):
            line = tuple(_joined(notes))
            if line:
                lines.append(HeardLine(name, voice, line, number + 1))
    return HeardScore(title, tuple(lines), tuple(names), tuple(_bars(parts[0])))


def _bars(part: Any) -> Iterator[HeardBar]:
    """The bars of a part; each lasts until the next one begins."""
    measures = [(_bar_name(m), _exact(m.offset), m) for m in part.getElementsByClass("Measure")]
    for place, (name, onset, measure) in enumerate(measures):
        following = measures[place + 1][1] if place + 1 < len(measures) else None
        yield HeardBar(name, onset, _exact(measure.duration.quarterLength) if following is None else following - onset)


def _bar_name(measure: Any) -> str:
    """The number of a bar as printed."""
    return f"{measure.number}{measure.numberSuffix or ''}"


def _sound(part: Any) -> None:
    """Bring the part of a transposing instrument from written to sounding pitch."""
    if any(instrument.transposition is not None for instrument in part.recurse().getElementsByClass("Instrument")):
        part.toSoundingPitch(inPlace=True)


def _part_name(part: Any, number: int) -> str:
    name = getattr(part, "partName", None) or (part.id if isinstance(part.id, str) else "")
    return " ".join(str(name).split())[:60] or f"part {number}"


_Raw = tuple[Fraction, Any, str]


def _voices(part: Any) -> list[list[_Raw]]:
    """The notes of each voice with onset and bar; what stands outside voices goes with the first."""
    voices: dict[int, list[_Raw]] = {}
    measures = list(part.getElementsByClass("Measure"))
    if not measures:
        flat = part.flatten()
        voices[0] = [(_exact(n.offset), n, "") for n in flat.notes]
    for measure in measures:
        bar = _bar_name(measure)
        # Made exact before they are added: a binary fraction and an exact one sum to a binary one.
        start = _exact(measure.offset)
        inner = list(measure.voices)
        voices.setdefault(0, []).extend((start + _exact(n.offset), n, bar) for n in measure.notes)
        for number, voice in enumerate(inner):
            shift = start + _exact(voice.offset)
            voices.setdefault(number, []).extend((shift + _exact(n.offset), n, bar) for n in voice.notes)
    return [sorted(notes, key=lambda raw: raw[0]) for _, notes in sorted(voices.items())]


def _exact(quarters: float | Fraction) -> Fraction:
    return Fraction(quarters) / 4


def _joined(raw: list[_Raw]) -> Iterator[HeardNote]:
    """Tied notes made one; grace notes and signs without a pitch left out."""
    held: HeardNote | None = None
    for onset, note, bar in raw:
        pitches = _pitches(note)
        if not pitches or note.duration.isGrace:
            continue
        duration = _exact(note.quarterLength)
        if held is not None and _continues(note) and held.end == onset and held.pitches == pitches:
            held = HeardNote(held.onset, held.duration + duration, held.pitches, held.bar, held.after_rest)
            continue
        if held is not None:
            yield held
        held = HeardNote(onset, duration, pitches, bar, held is not None and onset > held.end)
    if held is not None:
        yield held


def _continues(note: Any) -> bool:
    """Whether every pitch of it is tied from before."""
    members = note.notes if note.isChord else (note,)
    return all(member.tie is not None and member.tie.type in ("stop", "continue") for member in members)


def _pitches(note: Any) -> tuple[Pitch, ...]:
    if "ChordSymbol" in note.classes or not hasattr(note, "pitches"):
        return ()
    return tuple(sorted({_pitch(pitch) for pitch in note.pitches}, key=lambda p: (p.midi, p.position)))


def _pitch(pitch: Any) -> Pitch:
    """The spelled pitch; a quarter tone goes to the semitone below."""
    octave = pitch.octave if pitch.octave is not None else pitch.implicitOctave
    return Pitch(7 * octave + LETTERS.index(pitch.step), int(pitch.alter // 1))
