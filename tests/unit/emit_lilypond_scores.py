"""Written scores built by hand, for the tests of the emitter: short, but with everything a page may have."""

from __future__ import annotations

from fractions import Fraction

from cavata.instruments.instrument import Instrument
from cavata.music.event import Marks
from cavata.music.pitch import Interval, parse_pitch
from cavata.notate.paper.layout import laid_out
from cavata.notate.written import (
    Accidental,
    Beam,
    Frame,
    Leaf,
    Tuplet,
    WrittenBar,
    WrittenHead,
    WrittenItem,
    WrittenMovement,
    WrittenPart,
    WrittenScore,
    WrittenStaff,
)
from cavata.score.score import Group, Header, Meter, Part, Tempo
from cavata.source import Source, Span

SPAN = Span(Source("three-watches.cavata", ""), 0, 0)
_FORCED = {"!": Accidental.SHOWN, "?": Accidental.COURTESY, "": Accidental.NONE}
_BEAMS = {
    "[": (Beam.BEGIN,), "-": (Beam.CONTINUE,), "]": (Beam.END,),
    "[[": (Beam.BEGIN, Beam.BEGIN), "--": (Beam.CONTINUE, Beam.CONTINUE), "]]": (Beam.END, Beam.END),
    "-]": (Beam.CONTINUE, Beam.END), "-[": (Beam.CONTINUE, Beam.BEGIN), "]<": (Beam.END, Beam.HOOK_BACKWARD),
    "[>": (Beam.BEGIN, Beam.HOOK_FORWARD), "-<": (Beam.CONTINUE, Beam.HOOK_BACKWARD), "": (),
}  # fmt: skip


def leaf(text: str, letters: str = "", clef: str = "", **marks: object) -> Leaf:
    """`F#4!+A4:8.[`: chord, printed sharp, dot, beam; `~` and `_` tie, `r` rests, `R` fills a bar."""
    pitches, _, value = text.partition(":")
    begins, ends = "~" in value, "_" in value
    value = value.strip("~_")
    number = value.rstrip("[]-<>")
    beams = value[len(number) :]
    base = number.rstrip(".")
    heads: tuple[WrittenHead, ...] = ()
    if pitches not in ("r", "R"):
        heads = tuple(
            WrittenHead(parse_pitch(one.rstrip("!?")), (), _FORCED[one[len(one.rstrip("!?")) :]], begins, ends)
            for one in pitches.split("+")
        )
    return Leaf(
        Fraction(1, int(base)) if base else Fraction(1), len(number) - len(base), heads,
        Marks(**marks), _BEAMS[beams], letters, clef, pitches == "R",  # type: ignore[arg-type]  # named by the tests
    )  # fmt: skip


def line(text: str) -> tuple[Leaf, ...]:
    """Leaves without marks, separated by spaces; `F4:4=T` has a letter under it."""
    made = []
    for one in text.split():
        note, _, letters = one.partition("=")
        made.append(leaf(note, letters))
    return tuple(made)


def bar(*items: WrittenItem, key: int | None = None) -> WrittenBar:
    """A bar of one voice."""
    return WrittenBar((items,), key)


REST = bar(leaf("R:"))


def frame(number: int, meter: str | None, duration: Fraction | None = None, **more: object) -> Frame:
    """A bar's frame; the meter as `6/8`."""
    top, bottom = (int(part) for part in (meter or "4/4").split("/"))
    made = Meter(top, bottom, (top,)) if meter else None
    values: dict[str, object] = {
        "shows_meter": False, "tempi": (), "section": "", "rehearsal": "", "pickup": False,
        "barline": "single" if meter else "none",
    } | more  # fmt: skip
    return Frame(number, duration or Fraction(top, bottom), made, **values)  # type: ignore[arg-type]  # as above


def tempo(beat: str, per_minute: str, words: str = "") -> Tempo:
    """A metronome mark."""
    return Tempo(Fraction(0), Fraction(beat), Fraction(per_minute), words)


def instrument(name: str, short: str, family: str, clefs: tuple[str, ...], unpitched: bool = False) -> Instrument:
    """An instrument whose ranges do not matter here."""
    low, high = parse_pitch("C1"), parse_pitch("C7")
    return Instrument(
        name.lower(), family, 0, name, short, name + "s", clefs, low, high, (low, high), Interval(0, 0), 0,
        76 if unpitched else None, ("right", "left") if len(clefs) == 2 else ("",),
        "test",
    )  # fmt: skip


def part(name: str, label: str, short: str, *staves: WrittenStaff, soloist: bool = False, unpitched: bool = False,
         silent: bool = False) -> WrittenPart:  # fmt: skip
    """A part with its staves."""
    family = "keyboard" if len(staves) == 2 else "strings"
    kind = instrument(label, short, family, tuple(staff.clef for staff in staves), unpitched)
    return WrittenPart(Part(name, kind, label, short, soloist, SPAN), staves, silent)


def movement(name: str, title: str, frames: tuple[Frame, ...], parts: tuple[WrittenPart, ...], attacca: bool = False,
             cadenza: bool = False) -> WrittenMovement:  # fmt: skip
    """A movement."""
    return WrittenMovement(name, title, cadenza, attacca, frames, parts)


def quintet_and_soloist(bars: int = 12) -> WrittenScore:
    """A soloist over a bracketed group of strings and a harp under a brace: chords, hairpins, letters, sections."""
    hail = (
        bar(leaf("F3:4.", "T", dynamic="mf", slur_begins=True), *line("A3:8=A F#3!:4=M"), key=-1),
        bar(leaf("E3:4", "S", hairpin="crescendo"), *line("B3!:4=I"), leaf("G3:4", "N", slur_ends=True)),
        bar(leaf("F3:2.~", "T", dynamic="f", hairpin_ends=True, words=("calm and very far away",))),
        bar(leaf("F3:4_", hairpin="diminuendo"), *line("C4:8[=C A3:8]=A"), leaf("D4:4", "D", clef="tenor")),
        bar(leaf("D4:4", "H", dynamic="p", hairpin_ends=True, articulations=("fermata",)), *line("r:2")),
        REST,
    )
    chord = bar(leaf("A4:2.", "T", dynamic="pp", articulations=("tenuto", "accent")))
    moving = bar(*line("D5:8[ E5:8- F5:8-"), *line("G5:8- F5:16--  E5:16-- D5:8]"))

    def of(pattern: tuple[WrittenBar, ...], clef: str, key: int | None = -1) -> WrittenStaff:
        made = [pattern[index % len(pattern)] for index in range(bars)]
        first = WrittenBar(made[0].voices, key)
        return WrittenStaff(clef, (first, *(WrittenBar(one.voices) for one in made[1:])))

    low = bar(*line("D3:4. A2:4."))
    parts = (
        part("bassoon", "Bassoon", "Bn.", of(hail, "bass"), soloist=True),
        part(
            "harp", "Harp", "Hp.",
            of((bar(leaf("D5+F5+A5:4", "THA", dynamic="mp"), *line("r:4 r:4")), REST), "treble"),
            of((bar(*line("r:4 D3:4 A2:4")), REST), "bass"), soloist=True,
        ),
        part("violin1", "Violin I", "Vln. I", of((REST, chord, moving), "treble")),
        part("violin2", "Violin II", "Vln. II", of((chord, REST), "treble")),
        part("violas", "Violas", "Vlas.", of((REST, bar(*line("D4:4 F4:4 A4:4"))), "alto")),
        part("cellos", "Cellos", "Vcs.", of((bar(leaf("D3:2.", dynamic="p")), low), "bass")),
        part("basses", "Double Basses", "Dbs.", of((bar(leaf("D3:2.", dynamic="p")),), "bass")),
    )  # fmt: skip
    frames = tuple(
        frame(
            index + 1, "3/4", shows_meter=index == 0, barline="final" if index == bars - 1 else "single",
            tempi=((Fraction(0), tempo("1/4", "96", "With the tide")),) if index == 0
            else ((Fraction(1, 2), tempo("3/8", "185/2", "A little slower")),) if index == 4 else (),
            section="two names across the water" if index == 0 else "rocking on" if index == 6 else "",
            rehearsal="A" if index == 0 else "B" if index == 6 else "",
        )
        for index in range(bars)
    )  # fmt: skip
    header = Header(
        "Three Watches", "for bassoon, harp and strings", "A. Composer", "for the keepers of the lamp",
        show_letters=True,
    )  # fmt: skip
    groups = (Group("strings", ("violin1", "violin2", "violas", "cellos", "basses")),)
    return laid_out(header, groups, (movement("first", "First Watch", frames, parts, attacca=True),))


def piano_with_drum() -> WrittenScore:
    """Two staves in 6/8 after a pickup, tuplets of all sorts, two voices, and a drum on one line."""
    triplet = Tuplet(3, 2, Fraction(1, 16), line("C5:16[[ D5:16-- E5:16]]"))
    duplet = Tuplet(2, 3, Fraction(1, 8), line("C5:8[ D5:8]"))
    nested = Tuplet(5, 4, Fraction(1, 8), (*line("C5:8[ D5:8]"), Tuplet(3, 2, Fraction(1, 8), line("E5:8 F5:8 G5:8")),
                                           *line("A5:8")))  # fmt: skip
    eleven = Tuplet(11, 8, Fraction(1, 16), line("C5:16[[ " + "D5:16-- " * 9 + "C5:16]]"))
    right = WrittenStaff(
        "treble",
        (
            bar(leaf("G4:8", dynamic="mf"), key=3),
            bar(*line("C#5:8[ D5:8- E5:8]"), triplet, *line("r:8 r:8")),
            bar(duplet, *line("C#5+E5+A5:4.")),
            bar(*line("C5!:16[[ D5:16-- E5:16-- F5:16-] E5:16-[ D5:16]] A4:8.[ B4:16-< C#5?:8]")),
            WrittenBar((line("A5:4. G#5:4."), line("C#5:8[ E5:8- C#5:8] D5:4."))),
            bar(nested, *line("r:4 ")),
            bar(eleven, *line("r:4")),
        ),
    )
    left = WrittenStaff(
        "bass",
        (
            bar(*line("r:8"), key=3),
            bar(*line("A2:4. E3:4.~")), bar(leaf("E3:4._", clef="treble"), leaf("A4:4.", clef="bass")), REST,
            bar(leaf("A2+E3+A3:2.", attack="sfz", articulations=("staccato", "marcato"))), REST, REST,
        ),
    )  # fmt: skip
    drum = WrittenStaff(
        "percussion",
        (
            REST,
            bar(leaf("B4:4", "H", dynamic="p"), *line("B4:8 B4:8[ B4:8- B4:8]")), REST,
            bar(*line("B4:16[[ B4:16-- B4:16-- B4:16]] r:8 B4:4.")), REST, REST, REST,
        ),
    )  # fmt: skip
    sixths = Fraction(3, 4)
    frames = (
        frame(0, "6/8", Fraction(1, 8), shows_meter=True, pickup=True,
              tempi=((Fraction(0), tempo("3/8", "60", "Rocking")),)),
        *(frame(number, "6/8", sixths, barline="double" if number == 4 else "single") for number in (1, 2, 3, 4)),
        frame(5, "3/4", sixths, shows_meter=True), frame(6, "3/4", sixths, barline="final"),
    )  # fmt: skip
    parts = (part("drum", "Side Drum", "S.D.", drum, unpitched=True), part("piano", "Piano", "Pno.", right, left))
    return laid_out(Header("Rocking", show_letters=True), (), (movement("first", "", frames, parts),))


def cadenza_between() -> WrittenScore:
    """Three movements: everyone, one alone in free time, and a silent part left out of the last."""
    first = quintet_and_soloist(6)
    opening = first.movements[0]
    free = [
        bar(
            leaf("F3:4", "T", dynamic="p", words=("freely",)), *line("A3:8[=A F#3:8-=M E3:8]=S B3:2=I"),
            Tuplet(3, 2, Fraction(1, 8), line("G3:8[=N A3:8- B3:8]")), *line("C4:1"), key=0,
        ),
        bar(*line("D4:4 " * 14 + "r:2"), leaf("D4:2", articulations=("fermata",))),
    ]  # fmt: skip
    durations = (Fraction(19, 8), Fraction(9, 2))
    alone = tuple(
        WrittenPart(
            one.part,
            tuple(
                WrittenStaff(staff.clef, tuple(free) if one.part.name == "bassoon" else (REST, REST))
                for staff in one.staves
            ),
            one.part.name != "bassoon",
        )
        for one in opening.parts
    )
    free_frames = (
        frame(1, None, durations[0], tempi=((Fraction(0), tempo("1/4", "60", "Alone")),)),
        frame(2, None, durations[1], barline="final"),
    )
    resting = tuple(WrittenStaff(clef, (REST,) * 6) for clef in ("treble", "bass"))
    last_parts = tuple(
        WrittenPart(one.part, resting, True) if one.part.name == "harp" else one for one in opening.parts
    )
    return laid_out(
        first.header, first.groups,
        (
            opening,
            movement("alone", "Alone on the gallery", free_frames, alone, cadenza=True),
            movement("last", "Last Watch", opening.frames, last_parts),
        ),
    )  # fmt: skip
