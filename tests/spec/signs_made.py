"""What each sign becomes in each output: the table in `grammar/exchange.md`, made by writing a short piece twice.

In: for each sign a line that has it, and the same line without. Out: for MusicXML the elements that only the first
has, for LilyPond the commands, for MIDI in what the two differ. Nothing is told that was not found in a file.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from itertools import chain
from pathlib import Path
from xml.etree import ElementTree

import mido

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.music.event import DIVISIONS
from cavata.musicxml.document import musicxml_bytes
from cavata.perform.perform import perform
from cavata.pipeline import compile_script, written
from cavata.sound.midi import midi_bytes

BEGIN, END = "<!-- made by writing each sign -->\n", "<!-- until here -->\n"
LINE = "notes(1/4 D5 D5 D5 D5, 1/2 E5 F5, 1/1 G5, 1/4 rest A5 A5 A5)"
EVEN = "notes(1/8 D5) x 28"
CHORDS = "notes(1/2 chord(D4 A4) chord(E4 B4), 1/1 chord(D4 A4))"
WORDS = "notes(1/2 D5 E5 F5 G5)"


@dataclass(frozen=True)
class Sample:
    """A sign as a script says it, and the rows of a piece with it and without."""

    said: str
    rows: tuple[str, ...]
    plain: tuple[str, ...]
    forces: str = "violin = violin"


def _step(step: str, line: str = LINE, forces: str = "violin = violin") -> Sample:
    """A transform after an arrow."""
    part = forces.split(" ")[0]
    return Sample(f"-> {step}", (f"{part}: {line} -> {step}",), (f"{part}: {line}",), forces)


def _row(row: str, *plain: str) -> Sample:
    """A row of the movement, and what stands in its place."""
    return Sample(row, (row, f"violin: {EVEN}"), (*plain, f"violin: {EVEN}"))


def _sections(said: str, *rows: Sequence[str], titles: Sequence[str] = ("", "", "")) -> Sample:
    """Sections of two bars, each with its rows."""
    names = ("one", "two", "three")[: len(rows)]
    plain = [(f"section {name}", "    violin: notes(1/1 D5 E5)") for name in names]
    made = [
        (f"{head} {title}".rstrip(), *(f"    {row}" for row in own), line)
        for (head, line), own, title in zip(plain, rows, titles, strict=False)
    ]
    return Sample(said, tuple(chain.from_iterable(made)), tuple(chain.from_iterable(plain)))


_THREE = "violin: notes(1/1 D5 E5 F5)"
_PIANO, _VOICE, _TRUMPET, _GUITAR = "piano = piano", "voice = soprano", "trumpet = trumpet", "guitar = guitar"
_ARTICULATIONS = (
    "staccato", "staccatissimo", "tenuto", "accent", "marcato", "portato", "upbow", "downbow", "open", "harmonic",
    "let_ring", "breath", "caesura",
)  # fmt: skip
_OF_STRINGS = ("pizzicato", "muted", "solo", "divisi", "sul_tasto", "sul_ponticello")
_OF_WINDS = (
    "straight_mute", "cup_mute", "harmon_mute", "plunger", "practice_mute", "double_tongue", "triple_tongue",
    "flutter_tongue",
)  # fmt: skip
_OF_ORGANS = (
    "manual_1", "manual_2", "manual_3", "manual_4", "great_manual", "swell_manual", "choir_manual",
)  # fmt: skip
SAMPLES = (
    *(_step(f"marked {word}") for word in ("p", "sfz", "fp")),
    _step("crescendo p f"), _step("crescendo nothing f"), _step("diminuendo p nothing"),
    *(_step(f"marked {word}") for word in _ARTICULATIONS), _step("marked stopped", forces="horn = horn"),
    _step("fermata last"), _step("slurred 1..4"), _step("trill 1"), _step("trill 1 to m2"), _step("turn 1"),
    _step("mordent 1"), _step("tremolo 1"), _step("tremolo 1 1/16"), _step("rolled 1", CHORDS, _PIANO),
    _step("glissando 1", WORDS), _step("graced 1 by notes(1/8 C5)"), _step("graced 1 by notes(1/8 B4 C5)"),
    *(_step(f"marked {word}") for word in _OF_STRINGS),
    *(_step(f"marked {word}", forces=_TRUMPET) for word in _OF_WINDS),
    *(_step(f"marked {word}", forces="organ = organ") for word in _OF_ORGANS),
    _step('marked "calm"'), _step('labeled 1 "R"'), _step("optional 1"), _step('figured "6/4"'),
    _step("symbols of blaze", "notes(1/1 D5)"), _step("sul 1 A"), _step("harmonic touching P4", "notes(1/1 D6)"),
    _step("harmonic on E", "notes(1/1 E6)"), _step("played 1 on string 3", "notes(1/1 C4)", _GUITAR),
    _step("sustain_pedal 1..2", CHORDS, _PIANO),
    _step('sung "sing and sing on"', WORDS, _VOICE), _step('sung "lan-tern lan-tern"', WORDS, _VOICE),
    _step('sung "sing _ and on"', WORDS, _VOICE), _step('sung "glo~in and sing on"', WORDS, _VOICE),
    _step('spoken "sing and sing on"', WORDS, _VOICE), _step("chant", WORDS, _VOICE),
    *(_step(f"division 1 {kind}", WORDS, _VOICE) for kind in DIVISIONS),
    Sample("3/4 D5, 1/2 E5 (over a bar line)", ("violin: notes(3/4 D5, 1/2 E5, 3/4 F5)",),
           ("violin: notes(3/4 D5, 1/4 E5, 1/4 E5, 3/4 F5)",)),
    Sample("1/2 G7 A7 B7 C8 (two octaves higher)", ("violin: notes(1/2 G7 A7 B7 C8)",),
           ("violin: notes(1/2 G5 A5 B5 C6)",)),
    Sample("1/12 D5 D5 D5 (a triplet)", ("violin: notes(1/12 D5 D5 D5, 3/4 E5)",), ("violin: notes(1/4 D5, 3/4 E5)",)),
    _row("meter 3/4"), _row("meter 7/8 as 3+2+2", "meter 7/8"), _row("meter common time"),
    _row("meter alla breve", "meter 2/2"), _row("meter none"), _row("key E major"), _row("tempo 1/4 at 96"),
    _row('tempo 1/4 at 60, "Calm"'), _row("tempo at bar 2: broadening to 1/4 at 40 over 1 bar"), _row("attacca"),
    _sections('section one "the harbor"', (), (), titles=('"the harbor"', "")),
    _sections("repeated", ("repeated",), ()), _sections("repeated 3 times", ("repeated 3 times",), ()),
    Sample("ending 1 bar 2",
           ("section one", "    repeated", "    ending 1 bar 2", "    ending 2 bar 3", f"    {_THREE}"),
           ("section one", "    repeated", f"    {_THREE}")),
    _sections("segno ... dal segno", ("segno",), ("dal segno",)),
    _sections("fine ... da capo al fine", ("fine",), ("da capo al fine",)),
    _sections("to coda ... da capo al coda ... coda", ("to coda",), ("da capo al coda",), ("coda",)),
    Sample("flute bars 1 to 1: on piccolo", ("flute: notes(1/1 D6 E6)", "flute bars 1 to 1: on piccolo"),
           ("flute: notes(1/1 D6 E6)",), "flute = flute, doubling piccolo"),
    Sample("violin ossia: ITEM", ("violin: notes(1/1 D5 E5)", "violin ossia: notes(1/2 D5 A5)"),
           ("violin: notes(1/1 D5 E5)",)),
)  # fmt: skip


# ---------------------------------------------------------------- the three outputs of a piece


@dataclass(frozen=True)
class Outputs:
    """What was found in the files of a piece."""

    elements: Counter[str]
    commands: Counter[str]
    midi: mido.MidiFile


@cache
def outputs(rows: tuple[str, ...], forces: str) -> Outputs:
    text = "\n".join((
        "language 2", "motif blaze = chords(1/1 Dm)", "forces", f"    {forces}", "movement first",
        *(f"    {row}" for row in rows), "",
    ))  # fmt: skip
    made = compile_script(Path("sign.cavata"), "sign.cavata", text=text)
    assert made.score is not None, (text, [message.message for message in made.bag.ordered()])
    page = written(full_score(made.score))
    return Outputs(
        Counter(_elements(musicxml_bytes(page, "first"))), Counter(map(str.strip, lilypond_text(page).splitlines())),
        mido.MidiFile(file=BytesIO(midi_bytes(made.score, perform(made.score))), charset="utf-8"),
    )  # fmt: skip


# ---------------------------------------------------------------- MusicXML

_TOLD = (
    "type", "pizzicato", "niente", "tempo", "segno", "coda", "dalsegno", "tocoda", "dacapo", "fine", "direction",
    "symbol", "print-object", "size", "parentheses",
)  # fmt: skip
_VALUES = ("bar-style", "syllabic", "stem", "notehead", "mute", "staff-type", "beats")
_TOLD_WHOLE = frozenset(("tuplet", "time-modification", "figured-bass", "harmony", "transpose", "clef", "metronome"))
_OUTER = re.compile(r"^(note|direction)/(notations/|direction-type/)?")
_TELLS_NOTHING = re.compile(
    r"(note/(duration|type|dot|voice|staff|rest|chord|pitch.*|lyric/text|beam.*)|backup.*|direction/(staff|sound))\Z"
)
"""What comes along with many signs, as another order of things."""


def _elements(document: bytes) -> Iterator[str]:
    """The path of every element in the measures, with the attributes and values that tell one sign from another."""
    for measure in ElementTree.fromstring(document).iter("measure"):
        for child in measure:
            yield from _paths(child, "")


def _paths(element: ElementTree.Element, above: str) -> Iterator[str]:
    said = "".join(f' {name}="{element.get(name)}"' for name in _TOLD if element.get(name) not in (None, "no"))
    said = re.sub(r'(?<=tempo=")[^"]*', "...", said)
    value = f" {element.text}" if element.tag in _VALUES and element.text else ""
    path = f"{above}{element.tag}{said}{value}"
    yield path
    for child in element if element.tag not in _TOLD_WHOLE else ():
        yield from _paths(child, f"{path}/")


def in_musicxml(found: Outputs, plain: Outputs) -> str:
    new = [path for path in found.elements if found.elements[path] > plain.elements[path]]
    deepest = [path for path in new if not any(other.startswith(f"{path}/") for other in new)]
    return _listed(_OUTER.sub("", path) for path in deepest if not _TELLS_NOTHING.match(path))


def _listed(words: Iterable[str]) -> str:
    return ", ".join(f"`{word}`" for word in dict.fromkeys(words)) or "-"


# ---------------------------------------------------------------- LilyPond

_COMMAND = re.compile(
    r"\\(?:set|tweak|omit|override) (?:[A-Za-z]+\.)?[A-Za-z-]+(?:\.[A-Za-z-]+)?|\\[A-Za-z]+|\\[0-9<>!]|"
    r'^[()~]$|--|__|:\d+|"[^"]*"'
)
_WRAPPING = frozenset((
    "\\new", "\\with", "\\context", "\\concat", "\\hspace", "\\once", "\\default", "\\raise", "\\fontsize", "\\line",
    "\\lyricmode", "\\undo", "\\small", '""',
))  # fmt: skip


def in_lilypond(found: Outputs, plain: Outputs) -> str:
    words: list[str] = []
    for line in found.commands:
        if found.commands[line] > plain.commands[line] and not line.startswith(("\\override", "\\set associated")):
            words += [word for word in _COMMAND.findall(line) if word not in _WRAPPING and '"P1S' not in word]
    return _listed(words)


# ---------------------------------------------------------------- MIDI


def in_midi(found: Outputs, plain: Outputs) -> str:
    one, other = sorted(_played(found.midi)), sorted(_played(plain.midi))
    told = []
    new = Counter(kind for kind, _ in one) - Counter(kind for kind, _ in other)
    told += sorted(kind for kind in new if kind not in ("note", "set_tempo"))
    notes, before = ([said for kind, said in side if kind == "note"] for side in (one, other))
    if len(notes) != len(before):
        told.append("other notes")
    else:
        names = ("time", "pitch", "loudness", "length")
        told += [name for place, name in enumerate(names)
                 if [note[place] for note in notes] != [note[place] for note in before]]  # fmt: skip
    if [said for kind, said in one if kind == "set_tempo"] != [said for kind, said in other if kind == "set_tempo"]:
        told.append("tempo")
    return ", ".join(told) or "-"


def _played(file: mido.MidiFile) -> Iterator[tuple[str, tuple[int, ...]]]:
    """Every message by its kind; a note with its onset, key, velocity and length."""
    for track in file.tracks:
        now = 0
        begun: dict[int, tuple[int, int]] = {}
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                begun[message.note] = now, message.velocity
            elif message.type in ("note_on", "note_off"):
                if message.note in begun:
                    onset, velocity = begun.pop(message.note)
                    yield "note", (onset, message.note, velocity, now - onset)
            elif message.type == "control_change":
                yield f"control {message.control}", (now, message.value)
            elif message.type == "program_change":
                yield "another sound", (now, message.program)
            elif message.type == "set_tempo":
                yield "set_tempo", (now, message.tempo)
            elif message.type not in ("end_of_track", "track_name"):
                yield message.type.replace("_", " "), (now,)


def table() -> str:
    """The table."""
    rows = ["| a script says | MusicXML | LilyPond | MIDI differs in |", "|---|---|---|---|"]
    for sample in SAMPLES:
        found, plain = outputs(sample.rows, sample.forces), outputs(sample.plain, sample.forces)
        cells = in_musicxml(found, plain), in_lilypond(found, plain), in_midi(found, plain)
        rows.append(f"| `{sample.said}` | {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |")
    return "\n".join(rows) + "\n"
