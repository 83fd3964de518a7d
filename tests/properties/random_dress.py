"""Whole pieces by chance in which notes are dressed first and changed afterward, by every step of the language.

A number makes a piece, the same one always. Beside the steps it has every combination, passages, sections that are
varied, lines that replace others, shared staves, markings over bars of a part, a group and a hand, and two verses.
"""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

from random_pieces import linked
from written_transforms import EXAMPLES

from cavata.pipeline import Compiled, compile_script

_CHANGES = (
    "up m3", "down M2", "step up 1 in D minor", "step down 1 in D minor", "inverted about A4",
    "inverted in D dorian about A4", "from A4", "within C4..C6", "closest", "ascending", "descending", "expanded 1",
    "sharp 1", "flat last", "natural 1", "raised 1", "lowered last", "respelled simply in D minor", "respelled simply",
    "retrograde", "rotated 1", "first 3", "last 3", "notes 1..3", "without 2", "for 2/1", "x 2",
    "sequence 2 by m2 up", "diminution 2", "augmentation 3:2", "in uneven", "in knock cycle", "in pulse",
    "as chord held 1/2",
    "for 3/4", "lengthened last to 3/8", "as chord", "broken ascending", "voiced close", "doubled at m3 above", "bass",
    "upper", "top", "inner", "voice 1",
    "neighbors in D minor", "passing in D minor",
)  # fmt: skip
SIGNS = (
    "marked mf staccato", "marked fp", "marked sfz accent", "marked ff tenuto marcato", 'marked p "calm"',
    "marked breath", "marked last caesura", "marked let_ring",
    "marked cup_mute double_tongue", "marked flutter_tongue p", "first 1 -> symbols of blaze",
    "without symbols", 'figured "6/4"', "optional", "optional last", 'labeled "R"', 'labeled last "L"',
    "crescendo nothing f", "diminuendo p nothing",
    "marked pizzicato", "marked arco mp", "marked upbow", "marked muted", "marked portato solo", "marked harmonic",
    "marked pp staccatissimo", "fermata last", "crescendo p f", "diminuendo f pp", "slurred", "trill 1 to M2",
    "trill last", "turn 2", "mordent 1", "tremolo 1/32", "tremolo", "glissando 1", "graced 1 by notes(1/8 C5)",
    "graced last by notes(1/8 B4 C5 D5)", "fermata last by 1/4", "sustain_pedal", "as chord -> rolled",
    "slurred 1..2", "tremolo 1 last 1/16", "crescendo 1..last p f", "marked 1..2 tenuto",
    "fermata last", "trill", "turn", "mordent", "glissando", "sustain_pedal 1..2",
    "chant", "division last half", "division 1 quarter -> division last double", 'spoken "say"', 'spoken verse 2 "so"',
)  # fmt: skip
VERSES = ("", ' -> sung "two lamps, _ two"', ' -> sung verse 3 "la-_-la" -> sung "lu _ lu, l\'u la~lu-la"')
APART = frozenset(("harmonized", "voiced across", "respelled NOTES", "sung", "on"))
"""Steps that stand in rows of their own below."""
COMBINED = (
    "weave({a}, {b})", "weave({a}, {b}, cycle)", "together({a}, {b})", "canon({a}, at P5 below, after 1/2)",
    "stretto({a}, after 1/4)", "hocket({a}, {b})", "pedal_point({a}, D4)", "ostinato({a}, {b})",
    "{a} -> harmonized in D minor with thirds below", "{a} -> harmonized with {b}", "dialogue({a}, by 1/2)",
    "dialogue({a}, by 1 bar)", "notes(1/4 D4 D4 E4, 1/2 E4) -> tied + {a}",
)  # fmt: skip
ON_STRINGS = (
    "solo: notes(1/4 D6 E6, 1/2. F#6, 1/1 D6) -> slurred -> harmonic touching P4 -> marked p for 3 bars",
    "solo: notes(1/8 D5 E5 rest F5, 1/1 E5) -> sul 1..3 A -> rotated 1 for 3 bars",
    "plucked: notes(1/8 A3 C4 D4, 1/2. E4) -> played 2 on string 3 -> played last on string 2 for 3 bars",
    "solo: notes(1/4 E5 B5 rest E6, 1/1. G#6) -> harmonic on E -> retrograde for 3 bars",
    "plucked: notes(1/4 E4 B4, 1/1 E5) -> played on string 6 -> harmonic on E -> marked mf for 3 bars",
)  # fmt: skip
"""What is said of strings: rows for the instruments that have them. Natural harmonics, the last two, bear no
transposition."""
_WORDS = frozenset(re.findall(r"\w+", " ".join((*_CHANGES, *SIGNS, *APART, *COMBINED, *ON_STRINGS))))
CHANGES = (*_CHANGES, *(step for step in EXAMPLES.values() if step.split()[0] not in _WORDS))
"""Those above, and any step that stands in none of these lists, as the other tests write it."""
_FIGURES = ("1/4 {} {}", "1/2 {}", "1/8 {} {} {} {}", "1/4. {}, 1/8 {}", "1/12 {} {} {}", "1/1 {}", "1/4 rest {}")
_PITCHES = ("D4", "E4", "F4", "G4", "A4", "Bb4", "C5", "D5", "E5", "chord(D4 A4)", "chord(D4 F4 A4)")
_HEAD = """language 2

use french from ciphers

name tamsin = "TAMSIN" by french
motif blaze   = chords(1/4 Dm Gm7)
rhythm uneven = (1/8 1/12 1/12 rest 1/12 1/4.)
rhythm knock  = (1/8 1/8 rest 1/16 1/16 1/8)
figure pulse  = (1/8 bass, 1/16 upper, 1/16 rest)
"""
_FORCES = """
forces
    flute1  = flute, doubling piccolo
    flute2  = flute
    horn    = horn
    voice   = soprano
    piano   = piano
    violin1 = violin
    violin2 = violin
    cello   = cello
    drum    = snare drum
    solo    = violin, tuned A3 E4 A4 E5
    plucked = guitar
group strings = violin1, violin2
staff flutes = flute1, flute2

passage call(who, m)
    who: m
    who bars 1 to 1: marked "calling"
"""


class _Making:
    """One piece."""

    def __init__(self, number: int) -> None:
        self._by = Random(number)

    def script(self) -> str:
        motifs = [f"motif line{number} = {self._line()}" for number in range(4)]
        return "\n".join([_HEAD, 'piece "Dressed"', *motifs, _FORCES, *self._movement()]) + "\n"

    def _line(self) -> str:
        figures = []
        for _ in range(self._by.randint(2, 4)):
            figure = self._by.choice(_FIGURES)
            figures.append(figure.format(*(self._by.choice(_PITCHES) for _ in range(figure.count("{}")))))
        return self._stepped(f"notes({', '.join(figures)})" if self._by.randrange(4) else "tamsin -> ascending")

    def _stepped(self, line: str) -> str:
        steps = [self._by.choice(SIGNS) for _ in range(self._by.randint(0, 3))]
        steps += [self._by.choice(CHANGES) for _ in range(self._by.randint(0, 2))]
        if self._by.randrange(3) == 0:
            self._by.shuffle(steps)
        return line + "".join(map(linked, steps))

    def _movement(self) -> list[str]:
        rows = ["movement first", "    meter 4/4", "    key D minor", '    tempo 1/4 at 72, "So"']
        rows += ["    section one 8 bars", *self._section(True), *self._markings()]
        if self._by.randrange(2):
            rows += ["    section two = one -> up M2"]
        rows += ["    section three 6 bars", *(["        repeated"] if self._by.randrange(2) else [])]
        return rows + self._section(False)

    def _section(self, varied: bool) -> list[str]:
        a, b = (self._by.choice(("line0", "line1", "line2", "line3")) for _ in range(2))
        combined = self._by.choice(COMBINED).format(a=a, b=b)
        second = self._by.choice((f"flute2: {self._by.choice((a, b))} for 5 bars", "passage call(flute2, line2)"))
        rows = [
            f"flute1: {a} for 5 bars", second, f"horn: {self._stepped(b)} for 4 bars",
            f'voice: {a} x 6 -> sung "o-pen _ sea, o-pen"{self._by.choice(VERSES)} for 5 bars',
            f"piano: {combined} for 4 bars",
            f"violin1: {self._stepped(a)} for 6 bars", f"violin2: {a} for 2 bars, 1/4 rest, {b} for 2 bars",
            "drum: knock for 4 bars",
        ]  # fmt: skip
        replacing = ["violin2 at bar 3 replace: notes(1/4 G4) -> marked sf"] * self._by.randrange(2)
        strings = self._by.choice(ON_STRINGS[:3] if varied else ON_STRINGS)
        return [f"        {row}" for row in [*self._by.sample(rows, 6), *replacing, strings]]

    def _markings(self) -> list[str]:
        rows = [
            "strings bars 1 to 3: crescendo pp ff", "flute1 bars 2 to 3: marked f",
            'horn bars 1 to 2: marked "broad" p',
            "flute1 bars 6 to 8: on piccolo", "piano bars 1 to 2: diminuendo f p", "piano.left bars 1 to 1: marked mf",
            "violin1 bars 1 to 2: slurred", "violin1 bars 1 to 1: tremolo 1/16", "piano bars 1 to 2: sustain_pedal",
            "drum bars 1 to 2: marked mp accent",
            "cello doubles violin1 bars 2 to 4 -> down P8",
            "flute1, flute2 bars 1 to 4: crescendo p f",
            "strings bars 2 to 4: crescendo nothing f", "flute1, flute2 bars 1 to 2: diminuendo mf nothing",
        ]  # fmt: skip
        return [f"        {row}" for row in self._by.sample(rows, 4)]


def script_of_dressed(number: int) -> str:
    """The script of the piece of that number."""
    return _Making(number).script()


def compiled_dressed(number: int) -> Compiled:
    """The piece, through all passes."""
    return compile_script(Path("dressed.cavata"), "dressed.cavata", text=script_of_dressed(number))
