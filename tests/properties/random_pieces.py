"""Whole pieces by chance, as scripts: a number makes a piece, the same one always.

Everything that a page can show is there often: tuplets in tuplets, two voices on a staff, two staves, transposing and
unpitched parts, grace notes and ornaments, repeats with endings, upbeats, words, chord symbols, tempo bends, free time.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

from cavata.diagnostics import Severity
from cavata.pipeline import Compiled, compile_script

HEAD = """language 2

use french, german from ciphers

name tamsin = "TAMSIN" by french
name corwen = "CORWEN" by french
name hedda  = "HEDDA"  by german
rhythm uneven = (1/8 1/12 1/12 rest 1/12 1/4.)
rhythm knock  = (1/8 1/8 rest 1/16 1/16 1/8)

"""
FORCES = """forces
    flute    = flute
    clarinet = clarinet in A
    horn     = horn
    voice    = soprano
    piano    = piano
    violin   = violin
    bass     = double bass
    drum     = snare drum
group strings = violin, bass

"""
PITCHES = ["D4", "E4", "F4", "G4", "A4", "Bb4", "B4", "C5", "C#5", "D5", "Eb5", "E5", "F#5", "G5"]
FIGURES = (
    "1/4 {} {}", "1/2 {}", "1/8 {} {} {}", "1/4. {}, 1/8 {}", "1/4.. {}, 1/16 {}", "1/16 {} {} rest {}",
    "1/12 {} {} {}", "1/6 {} {}, 1/12 {} rest", "1/20 {} {} {} {} {}", "1/28 {} {} {} {} {} {} {}",
    "1/20 {} {}, 1/60 {} {} {}, 1/20 {} {}", "1/12 {}, 1/60 {} {} {} {} {}, 1/12 {}", "1/24 {} {} {}, 1/12 {} {}",
    "1/44 {} {} {} {} {} {} {} {} {} {} {}", "rest {}", "5/8 {}", "1/1 {}", "1/10 {} {} {} {} {}", "7/32 {}, 1/32 {}",
)  # fmt: skip
STEPS = (
    "up m3", "down M2", "retrograde", "diminution 2", "augmentation 3:2", "augmentation 2:3", "in uneven", "rotated 1",
    "inverted about A4", "first 3", "x 2", "sharp 1", "sequence 2 by m2 up", "up aug1", "lengthened last to 3/8",
)  # fmt: skip
DRESS = (
    "slurred", "crescendo p f", "diminuendo f pp", "marked mf staccato", 'marked p "calm"', "marked pizzicato ff",
    "trill 1", "turn last", "mordent 1", "tremolo 1/32", "tremolo", "glissando 1", "graced 1 by notes(1/8 C4)",
    "graced last by notes(1/8 B4 C5 D5)", "fermata last by 1/4", "marked tenuto accent", "marked fp",
    "marked muted", "marked upbow", "trill last to m2",
)  # fmt: skip
METERS = ("4/4", "3/4", "6/8", "7/8 as 3+2+2", "5/8", "2/2", "5/16", "12/8")
KEYS = ("D minor", "Eb major", "A major", "none", "F# minor")
SYMBOLS = ["Dm", "Gm7", "A7", "Bbmaj7", "C/E", "F#dim", "Esus4", "Cadd9", "Am7b5"]
HEADINGS = ("", "", "", " -> up m2", " -> down M2", " -> up P4 -> down m3", " -> step up 1 in D minor")


def linked(step: str) -> str:
    """A step after its arrow; a length stands without one."""
    return f" {step}" if step.split()[0] in ("x", "for", "held") else f" -> {step}"


class _Making:
    """One piece."""

    def __init__(self, number: int) -> None:
        self._by = Random(number)
        self._whole = Random(f"whole {number}")
        """For what goes over a whole movement or section, so that all else is as it would be without."""
        self._motifs: list[str] = []

    def script(self) -> str:
        motifs = "".join(self._motif(f"line{n}") for n in range(self._by.randint(3, 6)))
        piece = 'piece "Number"\n    composer "By Chance"\n' + self._maybe("    show letters\n", 3) + "\n"
        movements = "".join(self._movement(f"watch{n}") for n in range(self._by.randint(1, 2)))
        return HEAD + piece + motifs + "\n" + FORCES + movements

    def _maybe(self, text: str, one_in: int = 2) -> str:
        return text if self._by.randrange(one_in) == 0 else ""

    def _motif(self, name: str) -> str:
        if self._by.randrange(4):
            groups = ", ".join(self._figure() for _ in range(self._by.randint(1, 4)))
            made = f"notes({groups})"
        else:
            made = self._by.choice(["tamsin", "corwen", "hedda", "hedda -> doubled at m3 above", "tamsin -> as chord"])
            made += " -> ascending"
        for _ in range(self._by.randint(0, 2)):
            made += linked(self._by.choice(STEPS))
        self._motifs.append(name)
        return f"motif {name} = {made}\n"

    def _figure(self) -> str:
        figure = self._by.choice(FIGURES)
        if figure.startswith("rest"):
            return f"1/8 rest {self._by.choice(PITCHES)}"
        return figure.format(*(self._sound() for _ in range(figure.count("{}"))))

    def _sound(self) -> str:
        low, high = sorted(self._by.sample(range(len(PITCHES)), 2))
        return f"chord({PITCHES[low]} {PITCHES[high]})" if self._by.randrange(8) == 0 else PITCHES[low]

    def _line(self, shift: str = "") -> str:
        dressed = self._by.choice(self._motifs) + shift
        for step in self._by.sample(DRESS, self._by.randint(0, 2)):
            dressed += f" -> {step}"
        return dressed

    def _movement(self, name: str) -> str:
        free = self._by.randrange(5) == 0
        heading = self._whole.choice(HEADINGS)
        rows = [f'{"cadenza" if free else "movement"} {name} "Movement"{heading}']
        if not free:
            rows += [f"    meter {self._by.choice(METERS)}", f"    key {self._by.choice(KEYS)}"]
            rows += [self._maybe("    pickup 1/8", 3)]
        rows.append(f"    tempo 1/4 at {self._by.randint(40, 132)}, \"So\"")
        for section in range(self._by.randint(1, 3)):
            rows += self._section(f"s{section}", section == 0, free)
        return "\n".join(row for row in rows if row) + "\n\n"

    def _section(self, name: str, first: bool, free: bool) -> list[str]:
        rows = [f"    section {name}" + ("" if free else " 8 bars") + self._whole.choice(HEADINGS)]
        if not free:
            rows += [self._maybe(f"        meter {self._by.choice(METERS)}", 3) if not first else ""]
            rows += self._repeat()
            rows += [self._maybe("        tempo at bar 2: broadening to 1/4 at 30 over 2 bars", 3)]
        for part in ("flute", "clarinet", "horn", "voice", "violin", "drum", "bass", "piano"):
            if self._by.randrange(4):
                rows.append(f"        {self._part(part)}" + ("" if free else " for 8 bars"))
                if not free and part != "drum" and not self._whole.randrange(8):
                    rows.append(f"        {part} bars 2 to 5: {self._whole.choice(('down P8', 'up M2', 'raised 1'))}")
        return rows

    def _repeat(self) -> list[str]:
        return self._by.choice([
            [], [], ["        repeated"], ["        repeated 3 times"],
            ["        repeated", "        ending 1 bar 7", "        ending 2 bar 8"],
        ])  # fmt: skip

    def _part(self, part: str) -> str:
        match part:
            case "voice":
                return f'voice: {self._line()} x 6 -> sung "o-pen _ sea, o-_"'
            case "drum":
                return f"drum: {self._by.choice(['knock', 'uneven', self._line()])}"
            case "violin":
                two = f"together({self._line(' -> up P5')}, {self._line(' -> down P4')})"
                return f"violin: {self._by.choice([two, self._line()])}"
            case "bass":
                return f"bass: {self._line(' -> down P15')}"
            case "piano":
                return f"piano: {self._piano()}"
            case _:
                return f"{part}: {self._line()}"

    def _piano(self) -> str:
        lengths = ("1/4", "1/2", "3/8", "1/12")
        symbols = ", ".join(f"{self._by.choice(lengths)} {self._by.choice(SYMBOLS)}" for _ in range(3))
        high, low = self._line(), self._line(" -> down P8")
        return self._by.choice([
            f"chords({symbols})", f"together({high}, {low})", f"{high} -> sustain_pedal",
            f"together({high} -> up P8, {self._line()}, {low}, {self._line(' -> down P15')})",
            f"together(chords({symbols}) -> rolled, {low})",
        ])  # fmt: skip


def script_of_piece(number: int) -> str:
    """The script of the piece of that number."""
    return _Making(number).script()


RIGHTLY_REFUSED = frozenset(("V203", "V211"))
"""What chance may write though no piece can have it: more notes than a line has, a note below all that are written."""
NEXT = 1_000_000
"""How far it is to the number of the piece that stands in for one that is refused."""


def compiled_piece(number: int) -> Compiled:
    """The piece, through all passes; for one that is rightly refused another stands in, always the same."""
    made = compile_script(Path("chance.cavata"), "chance.cavata", text=script_of_piece(number))
    refused = {message.code for message in made.bag.ordered() if message.severity is Severity.ERROR}
    return compiled_piece(number + NEXT) if refused and refused <= RIGHTLY_REFUSED else made
