"""What three programs that are not this project's read in a MusicXML file: music21, Verovio, and LilyPond's converter.

Each gives sounds: part, onset, key and length in whole notes, ties merged, grace notes left out. LilyPond is asked what
it would perform of what its converter made, which sees written pitches.
"""

from __future__ import annotations

import os
import re
import subprocess
from collections import Counter, defaultdict
from collections.abc import Iterable
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import music21
import pytest
from lxml import etree

from cavata.lilypond.engrave import find_lilypond
from cavata.notate.frames import written_spans
from cavata.score.playing import played
from cavata.score.score import Movement, Score, ScoreEvent

Sound = tuple[int, Fraction, int, Fraction]
UNPITCHED = 71
"""Stands for the key of a note without pitch."""
MEI = "{http://www.music-encoding.org/ns/mei}"
ID = "{http://www.w3.org/XML/1998/namespace}id"


def sounds_of(score: Score, movement: Movement, as_written: bool = False, as_played: bool = False) -> Counter[Sound]:
    """Every sounding head of the score; `as_written` as the player reads it, `as_played` with repeats played out.

    Free time and upbeats of no plain length are made up by silence on the page, and what follows stands as much later.
    """
    found: Counter[Sound] = Counter()
    later = _made_up(movement)
    for index, staves in enumerate((played(movement) if as_played else movement).staves):
        instrument = score.parts[index].instrument
        down = instrument.transposition.semitones if as_written else 0
        for staff in staves:
            for voice in staff.voices:
                whole: list[list[Any]] = []
                for event in voice:
                    if event.tied_before:
                        whole[-1][1] = event.end
                    else:
                        whole.append([event.onset, event.end, event.event.heads])
                for onset, end, heads in whole:
                    for head in heads[:1] if instrument.unpitched else heads:
                        key = UNPITCHED if instrument.unpitched else head.pitch.midi - down
                        found[index, onset + sum(n for at, n in later if at <= onset), key, end - onset] += 1
    return found


def _made_up(movement: Movement) -> list[tuple[Fraction, Fraction]]:
    """Moments, and the silence that the page has there and the score has not."""
    spans = written_spans(movement)
    added = [(span.onset, span.lead) for span in spans] + [(span.end, span.tail) for span in spans]
    return [(moment, length) for moment, length in added if length]


def keys_meet(movement: Movement) -> frozenset[int]:
    """The parts on whose two staves the same key sounds at once: Verovio takes the ties of one for the other's."""
    found = set()
    for index, staves in enumerate(movement.staves):
        if len(staves) > 1:
            events = [[event for voice in staff.voices for event in voice] for staff in staves]
            if any(_meet(one, other) for upper, lower in combinations(events, 2) for one in upper for other in lower):
                found.add(index)
    return frozenset(found)


def _meet(one: ScoreEvent, other: ScoreEvent) -> bool:
    """Whether two events have a key in common and touch in time."""
    if other.onset > one.end or one.onset > other.end:
        return False
    return bool({head.pitch.midi for head in one.event.heads} & {head.pitch.midi for head in other.event.heads})


# ------------------------------------------------------------------ music21


def read_by_music21(document: bytes) -> Counter[Sound]:
    """By music21's reader of MusicXML, and its way from written to sounding pitch."""
    read = music21.converter.parse(document, format="musicxml")
    read.toSoundingPitch(inPlace=True)
    found: Counter[Sound] = Counter()
    part = -1
    for staff in read.parts:
        part += not re.search(r"-Staff[2-9]$", str(staff.id))  # further staves of one part are called so
        begun: dict[tuple[int, Fraction], list[Fraction]] = defaultdict(list)
        for note in sorted(staff.flatten().notes, key=lambda each: each.offset):
            if isinstance(note, music21.harmony.Harmony) or note.duration.isGrace:
                continue
            onset, end = _whole(note.offset), _whole(note.offset + note.quarterLength)
            for head in note.notes if note.isChord else (note,):
                key = head.pitch.midi if isinstance(head, music21.note.Note) else UNPITCHED
                tie = head.tie.type if head.tie else ""
                first = begun[key, onset].pop() if tie in ("stop", "continue") else onset
                if tie in ("start", "continue"):
                    begun[key, end].append(first)
                else:
                    found[part, first, key, end - first] += 1
        assert not any(begun.values())
    return found


def _whole(quarters: Any) -> Fraction:
    return Fraction(quarters).limit_denominator(20_000) / 4


# ------------------------------------------------------------------ Verovio


class VerovioReading:
    """What Verovio makes of a document; it plays repeats out."""

    def __init__(self, document: bytes) -> None:
        verovio = pytest.importorskip("verovio")
        verovio.enableLog(verovio.LOG_OFF)
        # It performs broken chords and grace notes, and takes their time from the notes after them.
        plain = re.sub(rb"<arpeggiate[^>]*/>|<note [^>]*><grace .*?</note>\n", b"", document)
        self._toolkit, whole = verovio.toolkit(), verovio.toolkit()
        for toolkit in (self._toolkit, whole):
            toolkit.setOptions({"breaks": "none"})  # how the pages would look is not asked
        assert self._toolkit.loadData(plain.decode())
        self._music = etree.fromstring(self._toolkit.getMEI().encode())
        self._part_of = {
            note.get("id"): number
            for number, part in enumerate(etree.fromstring(document).findall("part")) for note in part.iter("note")
        }  # fmt: skip
        assert whole.loadData(document.decode())
        self.notes = len(re.findall(r"<note\b", whole.getMEI()))
        """How many heads there are in the document, grace notes and tied ones too."""

    @property
    def length(self) -> float:
        """How long it plays, in whole notes."""
        return float(self._toolkit.renderToTimemap()[-1]["qstamp"]) / 4

    def strikes(self) -> list[tuple[int, int, float]]:
        """Part, key and onset of all that is struck."""
        transposed = {
            staff.get("n"): int(staff.get("trans.semi", "0")) for staff in self._music.iter(f"{MEI}staffDef")
        }
        staves = self._music.iter(f"{MEI}staff")
        staff_of = {note.get(ID): staff.get("n") for staff in staves for note in staff.iter(f"{MEI}note")}
        tied = {tie.get("endid").lstrip("#") for tie in self._music.iter(f"{MEI}tie")}
        notes = {note.get(ID): note for note in self._music.iter(f"{MEI}note")}
        # It looks for a note through the whole piece, which takes long: it is asked once for all notes that are alike.
        keys: dict[tuple[tuple[str, str], ...], int] = {}
        found = []
        for moment in self._toolkit.renderToTimemap():
            for sounding in moment.get("on", ()):
                note = sounding.split("-rend")[0]  # what it calls the later times through a repeat
                if note not in tied:
                    spelled = _spelled(notes[note])
                    if spelled not in keys:
                        keys[spelled] = self._toolkit.getMIDIValuesForElement(sounding)["pitch"]
                    key = keys[spelled] + transposed[staff_of[note]]
                    found.append((self._part_of[note], key, moment["qstamp"] / 4))
        return sorted(found)


def _spelled(note: Any) -> tuple[tuple[str, str], ...]:
    """Whatever MEI says of a note and of its accidentals, but for their ids: notes alike in all of it have one key."""
    told = (pair for one in (note, *note.iter(f"{MEI}accid")) for pair in one.attrib.items())
    return tuple((name, what) for name, what in told if name != ID)


# ------------------------------------------------------------------ LilyPond's converter

LISTENING = r"""
#(define heard (open-output-file "heard.txt"))
#(define (whole moment) (ly:moment-main moment))
#(define (note-heard context event)
   (let ((now (ly:context-current-moment context)) (pitch (ly:event-property event 'pitch)))
     (format heard "~a ~a ~a ~a ~a\n" (ly:context-id context) (whole now) (ly:moment-grace now)
       (if (ly:pitch? pitch) (+ 60 (* 2 (ly:pitch-tones pitch))) 71)
       (whole (ly:duration-length (ly:event-property event 'duration))))))
#(define (tie-heard context)
   (format heard "~a ~a\n" (ly:context-id context) (whole (ly:context-current-moment context))))
#(define (listening context)
   (make-performer (listeners
     ((note-event performer event) (note-heard context event)) ((tie-event performer event) (tie-heard context)))))
"""
DIGITS = ("Zero", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")


def read_by_converter(document: bytes) -> Counter[Sound]:
    """By `musicxml2ly`, as LilyPond performs what it writes; keys are those of the written pitches."""
    program = find_lilypond()
    if not isinstance(program, str):
        pytest.skip("LilyPond is not installed")
    converter = Path(program).with_name("musicxml2ly")
    if not converter.exists():
        pytest.skip("LilyPond's converter is not installed")
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "score.musicxml").write_bytes(document)
        path = os.pathsep.join((str(converter.parent), os.environ.get("PATH", "")))
        told: Any = {"cwd": folder, "capture_output": True, "check": True, "timeout": 1200}
        told["env"] = {**os.environ, "PATH": path}
        subprocess.run([converter, "-o", "score.ly", "score.musicxml"], **told)
        text = (folder / "score.ly").read_text("utf-8")
        head, layout, tail = text.rpartition("\\layout {}")
        assert layout
        performed = f"{head}\\midi {{ \\context {{ \\Voice \\consists #listening }} }}{tail}"
        (folder / "heard.ly").write_text(re.sub(r'(\\version ".*")', lambda m: m[1] + LISTENING, performed, count=1))
        subprocess.run([program, "--loglevel=ERROR", "-o", "heard", "heard.ly"], **told)
        return _merged((folder / "heard.txt").read_text().splitlines())


def _merged(lines: Iterable[str]) -> Counter[Sound]:
    notes: dict[str, list[tuple[Fraction, int, Fraction]]] = defaultdict(list)
    ties: set[tuple[str, Fraction]] = set()
    for words in map(str.split, lines):
        voice, onset = words[0], Fraction(words[1])
        if len(words) == 2:
            ties.add((voice, onset))
        elif words[2] == "0":
            notes[voice].append((onset, int(words[3]), Fraction(words[4])))
    found: Counter[Sound] = Counter()
    for voice, heard in notes.items():
        part = _part(voice)
        held: dict[tuple[int, Fraction], Fraction] = {}
        for onset, key, length in sorted(heard):
            first = held.pop((key, onset), onset)
            if (voice, onset) in ties:
                held[key, onset + length] = first
            else:
                found[part, first, key, onset + length - first] += 1
        for (key, end), first in held.items():
            found[part, first, key, end - first] += 1
    return found


def _part(voice: str) -> int:
    """`PartPOneZeroVoiceOne` is of the tenth part."""
    digits = re.findall(r"[A-Z][a-z]+", re.match(r"PartP(.*)Voice", voice)[1])  # type: ignore[index]
    return int("".join(str(DIGITS.index(digit)) for digit in digits)) - 1


def seconds_by_music21(document: bytes) -> float:
    """How long the first part takes by the tempi that music21 reads in it."""
    part = music21.converter.parse(document, format="musicxml").parts[0]
    return sum((end - begin) * 60 / mark.getQuarterBPM() for begin, end, mark in part.metronomeMarkBoundaries())
