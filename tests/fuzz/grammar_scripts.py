"""Whole scripts by chance, built by the grammar, with extremes of everything that has a size.

A number makes a script, the same one always. Durations, onsets, meters, tuplets, tempi, octaves, repeats and the number
of parts go from the smallest that can be written to the largest; most scripts have no mistake, so that their outputs
can be asked for.
"""

from __future__ import annotations

from random import Random

PITCHED = (
    "flute", "piccolo", "clarinet in A", "clarinet", "horn", "trumpet", "tuba", "violin", "viola", "cello",
    "double bass", "piano", "harp", "organ", "celesta", "soprano", "bass voice", "marimba", "glockenspiel",
    "alto saxophone",
    "contrabassoon", "guitar", "timpani",
)  # fmt: skip
UNPITCHED = ("snare drum", "bass drum", "triangle", "cymbals", "tam tam")
KEYBOARDS = frozenset(["piano", "harp", "organ", "celesta", "marimba"])
METERS = (
    "4/4", "3/4", "2/2", "6/8", "7/8 as 2+2+3", "5/8", "5/16", "1/64", "63/64", "64/1", "1/1", "3/1", "13/32", "11/4",
    "12/8", "9/16", "1/2", "64/64", "17/8", "none",
)  # fmt: skip
KEYS = ("D minor", "Cb major", "C# major", "A# minor", "Ab minor", "F# phrygian", "none", "B locrian", "Eb lydian")
WORDS = ('"calm"', '"\\"\\\\"', '"日本 שלום"', '""', '"<b>&amp;{}#"', '"é😀"', f'"{"long " * 30}"', '"%}"')
ODD, POWERS = (1, 1, 1, 3, 3, 5, 7, 9, 11, 13, 15, 21, 25, 45, 75, 91, 143, 225), (1, 2, 4, 8, 16, 32, 64, 128, 256)
FINEST = (512, 1024)
STEPS = (
    "up P8", "down P8", "up aug4", "down dim5", "up P15", "retrograde", "inverted about A4", "rotated 1", "x 3",
    "ascending", "descending", "closest", "from F#4", "from Bb2", "sharp last", "flat 1", "natural 1",
    "raised 1", "lowered last", "respelled simply", "as chord", "broken ascending", "voiced open", "voiced close",
    "bass", "top", "upper", "inner", "voice 2", "in pulse",
    "doubled at P8 below", "doubled at m3 above", "diminution 2", "diminution 64", "diminution 13", "augmentation 64",
    "augmentation 3:2", "augmentation 7:5", "diminution 9:8", "augmentation 225:224", "lengthened last to 3/8",
    "as chord held 1000/1", "as chord held 1/1024", "for 1/12", "for 1/512", "first 1", "last 2",
    "without 1",
    "inverted in D dorian about D4", "step up 2 in D minor", "within C3..C5", "in knock", "in dust", "in dust cycle",
    "sequence 3 by m2 up", "marked fff staccato", "marked ppp", "marked fp \"x\"", "slurred", "crescendo ppp fff",
    "crescendo nothing pppp", "diminuendo p nothing",
    "diminuendo f p", "trill 1", "trill last to m2", "turn 1", "mordent last", "tremolo", 
    "tremolo 1/32", "glissando 1", "fermata last by 7/3", "fermata 1 by 1/1024", "sustain_pedal", "rolled",
    "without symbols",
    "graced 1 by notes(1/8 C4 D4 E4)", "graced last by notes(1/1024 B9)", 'sung "o-pen _ sea"',
    'spoken "o-pen _"', "chant", "division last half", 'sung verse 2 "o-pen _"', 'sung verse 0 "o"', 'sung verse 3 "_"',
    'sung ""', "expanded 3", "marked muted", "marked pizzicato", "marked upbow harmonic",
    "held 3/4", "slurred 1..2", "tremolo 1 1/16", "crescendo 1..last p f", "for 3/1",
)  # fmt: skip
TEMPI = ("1", "1000", "60", "1.5", "300.25", "999", "13.7")
PITCHES = tuple(f"{name}{octave}" for name in ("C", "F#", "Bb", "E", "G##", "Abb", "D") for octave in range(3, 7))
EXTREME_PITCHES = ("G9", "C0", "B8", "Abb1", "B##7")
NAMES = ("TAMSIN", "HEDDA", "O", "Corwen of the Hill", "ÉÆß", "ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def linked(step: str) -> str:
    """A step after its arrow; a length stands without one."""
    return f" {step}" if step.split()[0] in ("x", "for", "held") else f" -> {step}"


class _Making:
    def __init__(self, by: Random) -> None:
        self._by = by
        self._motifs: list[str] = []
        self._parts: list[tuple[str, str]] = []

    def script(self) -> str:
        head = ["language 2", "use french, german, vowels from ciphers", *self._piece()]
        head += [f'name who{n} = "{self._by.choice(NAMES)}" by french' for n in range(2)]
        head.append("figure pulse = (1/8 bass, 1/4 1 3, 1/8 rest) with (1/4 rest, 1/16 upper)")
        head += [f"rhythm knock = ({self._beats()})", f"rhythm dust = ({self._beats()})"]
        motifs = [self._motif(f"line{n}") for n in range(self._by.randint(1, 4))]
        body = [row for n in range(self._by.choice((1, 1, 1, 2))) for row in self._movement(f"watch{n}")]
        return "\n".join([*head, *motifs, *self._forces(), *body]) + "\n"

    def _one_in(self, number: int) -> bool:
        return self._by.randrange(number) == 0

    def _piece(self) -> list[str]:
        if self._one_in(2):
            return []
        rows = (f"    subtitle {self._by.choice(WORDS)}", "    show letters", "    concert score", "    show colors",
                "    title page", "    show every staff", f"    dedication {self._by.choice(WORDS)}", "    paper B4",
                "    names in German", "    length 1 s to 90 min", "    rehearsal piano",
                "    letters through movements", "    show harp settings", "    show no timpani tuning")  # fmt: skip
        return [f"piece {self._by.choice(WORDS)}", *self._by.sample(rows, self._by.randint(0, 3))]

    def duration(self) -> str:
        """A duration, now and then at the edge of what can be written."""
        match self._by.randrange(12):
            case 0:
                return f"{self._by.choice((1, 3, 7))}/{self._by.choice(FINEST)}"
            case 1:
                return f"{self._by.choice((5, 9, 17, 33))}/{self._by.choice((1, 2, 16, 128))}"
            case 2:
                return f"1/{self._by.choice(ODD) * self._by.choice(POWERS)}"
            case 3:
                return f"{self._by.choice((2, 4, 5, 7))}/{self._by.choice(ODD) * self._by.choice(POWERS[:5])}"
            case _:
                return self._by.choice(("1/4", "1/8", "1/16", "1/12", "1/20", "1/2", "1/4.", "1/8..", "1/28", "1/24"))

    def _beats(self) -> str:
        return " ".join(self.duration() + (" rest" if self._one_in(4) else "") for _ in range(self._by.randint(1, 5)))

    def _sound(self) -> str:
        pitches = EXTREME_PITCHES if self._one_in(40) else PITCHES
        if self._one_in(8):
            return "rest"
        one = self._by.choice(pitches)
        return f"chord({one} {self._by.choice(pitches)})" if self._one_in(8) else one

    def _notes(self) -> str:
        groups = []
        for _ in range(self._by.randint(1, 4)):
            length, count = self.duration(), self._by.choice((1, 1, 2, 3, 5, 7))
            groups.append(f"{length} {' '.join(self._sound() for _ in range(count))}")
        return f"notes({', '.join(groups)})"

    def _motif(self, name: str) -> str:
        earlier = self._by.choice(self._motifs) if self._motifs else "who1"
        made = self._by.choice([
            self._notes(), self._notes(), self._notes(), "who0", "who1", f"{earlier} + {self._notes()}",
            f"weave({earlier}, who0)", f"together({earlier}, {self._notes()})", "chords(1/4 Dm, 1/12 rest, 3/8 G7/B)",
            f"canon({earlier}, at P5 above, after {self.duration()})", f"weave(who0, {earlier}, cycle)",
            "(who0 -> as chord)",
        ])  # fmt: skip
        for _ in range(self._by.choice((0, 0, 1, 1, 2, 3))):
            made += linked(self._by.choice(STEPS))
        self._motifs.append(name)
        return f"motif {name} = {made}"

    def _forces(self) -> list[str]:
        count = self._by.choice((0, 1, 1, 2, 3, 4, 8, 20)) if self._one_in(3) else self._by.choice((1, 2, 3))
        self._parts = [
            (f"part{n}", self._by.choice(UNPITCHED if self._one_in(8) else PITCHED)) for n in range(count)
        ]
        rows = [f"    {name} = {what}" + (", soloist" if self._one_in(9) else "") for name, what in self._parts]
        groups = [f"group all = {', '.join(name for name, _ in self._parts)}"] if count > 1 and self._one_in(2) else []
        if count > 1 and self._parts[0][1] == self._parts[1][1]:
            groups.append("staff shared = part0, part1")
        return (["forces", *rows] if rows or self._one_in(2) else []) + groups

    def _movement(self, name: str) -> list[str]:
        free = self._one_in(5)
        title = f" {self._by.choice(WORDS)}" if self._one_in(2) else ""
        rows = [f"{'cadenza' if free else 'movement'} {name}{title}", *self._settings("    ", free)]
        if self._one_in(5):
            return [*rows, *self._lines("    ", free)]
        for number in range(self._by.randint(1, 3)):
            length = "" if free or self._one_in(2) else f" {self._by.choice((1, 2, 7, 40))} bars"
            rows.append(f"    section s{number}{length}")
            if self._one_in(3):
                rows += self._settings("        ", free)
            if self._one_in(5) and not free:
                rows.append(self._by.choice(("        repeated", "        repeated 9 times")))
            rows += self._lines("        ", free)
        return rows

    def _settings(self, indent: str, free: bool) -> list[str]:
        rows = [f"tempo {self.duration()} at {self._by.choice(TEMPI)}", f"key {self._by.choice(KEYS)}"]
        if not free:
            rows += [f"meter {self._by.choice(METERS)}", f"pickup {self.duration()}"][: 1 + self._one_in(4)]
        return [indent + row for row in self._by.sample(rows, self._by.randint(0, len(rows)))]

    def _lines(self, indent: str, free: bool) -> list[str]:
        some = self._by.sample(self._parts, self._by.randint(0, len(self._parts)))
        rows = [f"{self._target(name, what)}{self._place(free)}: {self._items()}" for name, what in some]
        return [indent + row for row in rows]

    def _target(self, name: str, what: str) -> str:
        return f"{name}.{self._by.choice(('left', 'right'))}" if what in KEYBOARDS and self._one_in(3) else name

    def _place(self, free: bool) -> str:
        if self._one_in(3):
            return f" after {self.duration()}"
        if not free and self._one_in(4):
            return f" at bar {self._by.choice((1, 1, 2, 3))} beat 1" + (f" + {self.duration()}" * self._one_in(2))
        return ""

    def _items(self) -> str:
        items = []
        for _ in range(self._by.choice((1, 1, 2, 3))):
            if self._one_in(5):
                items.append(f"{self.duration()} rest")
                continue
            step = linked(self._by.choice(STEPS)) if self._one_in(3) else ""
            tail = self._by.choice(("", "", "", " x 2", " x 30", f" for {self.duration()}", " for 1 bar"))
            items.append(f"{self._by.choice(self._motifs)}{step}{tail}")
        return ", ".join(items)


def grammar_script(by: Random) -> str:
    """A script that the grammar allows."""
    return _Making(by).script()
