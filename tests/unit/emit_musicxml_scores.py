"""Written scores made by hand, for the tests of the MusicXML emitter."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

from cavata.instruments.table import find
from cavata.music.event import Marks
from cavata.music.mode import Mode
from cavata.music.pitch import parse_pitch, parse_pitch_class
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

NOWHERE = Span(Source("", ""), 0, 0)
COMMON = Meter(4, 4, (1, 1, 1, 1))
SEVEN = Meter(7, 8, (2, 2, 3), as_given=True)


def note(text: str, base: F = F(1, 4), dots: int = 0, **more: object) -> Leaf:
    """`note("F#4! A4")`: `!` shows a pitch's accidental, `?` puts it in brackets, `~` ties on, `_` ends a tie."""
    signs = {"!": Accidental.SHOWN, "?": Accidental.COURTESY}
    heads = tuple(
        WrittenHead(
            parse_pitch(word.rstrip("!?~_")),
            (),
            next((kind for sign, kind in signs.items() if sign in word), Accidental.NONE),
            "~" in word,
            "_" in word,
        )
        for word in text.split()
    )
    return Leaf(base, dots, heads, **more)  # type: ignore[arg-type]  # the fields of Leaf, passed on


def rest(base: F = F(1, 4), **more: object) -> Leaf:
    return Leaf(base, 0, **more)  # type: ignore[arg-type]  # the fields of Leaf, passed on


def full() -> Leaf:
    return Leaf(F(1), 0, whole_bar=True)


def frame(number: int, meter: Meter | None = COMMON, **more: object) -> Frame:
    given: dict[str, object] = {
        "duration": meter.duration if meter else F(1),
        "shows_meter": number <= 1,
        "tempi": (),
        "section": "",
        "rehearsal": "",
        "pickup": False,
        "barline": "single",
    }
    return Frame(number=number, meter=meter, **(given | more))  # type: ignore[arg-type]  # the fields of Frame


def part(words: str, *staves: list[WrittenBar], name: str = "", clefs: tuple[str, ...] = ()) -> WrittenPart:
    instrument = find(words)
    assert instrument is not None
    clefs = clefs or instrument.clefs
    made = Part(name or words, instrument, instrument.name, instrument.abbreviation, False, NOWHERE)
    return WrittenPart(made, tuple(WrittenStaff(c, tuple(b)) for c, b in zip(clefs, staves, strict=False)), False)


def bar(*items: WrittenItem, key: int | None = None) -> WrittenBar:
    return WrittenBar((items,), key)


def score(frames: list[Frame], *parts: WrittenPart, header: Header | None = None, **more: object) -> WrittenScore:
    movement = WrittenMovement("first", "First Watch", False, False, tuple(frames), parts)
    groups = more.pop("groups", ())
    return laid_out(header or Header("Three Watches"), groups, (replace(movement, **more),))


def one_bar(*items: WrittenItem, **more: object) -> WrittenScore:
    return score([frame(1)], part("flute", [bar(*items)]), **more)  # type: ignore[arg-type]  # as in score


def full_of_signs() -> WrittenScore:
    """One movement with everything an emitter may meet."""
    flute = [
        bar(note("D5", F(1, 4), marks=Marks("mf", words=("dolce",))), key=-1),
        bar(
            note("F#5!", marks=Marks("p", ("staccato", "accent"), hairpin="crescendo", slur_begins=True), letters="T"),
            Tuplet(
                3,
                2,
                F(1, 8),
                (
                    note("G5", F(1, 8), beams=(Beam.BEGIN,)),
                    note("A5", F(1, 8), beams=(Beam.CONTINUE,)),
                    note("Bb5", F(1, 8), beams=(Beam.END,)),
                ),
            ),
            note("F5?", marks=Marks("f", ("fermata",), hairpin_ends=True, slur_ends=True)),
            note("C5~", F(1, 4)),
        ),
        bar(
            note("C5_", F(1, 2)),
            Tuplet(
                5,
                4,
                F(1, 8),
                (
                    note("D5", F(1, 8)),
                    Tuplet(3, 2, F(1, 16), tuple(note(p, F(1, 16)) for p in ("E5", "F5", "G5"))),
                    rest(F(1, 8)),
                    note("C5", F(1, 4)),
                ),
            ),
        ),
        bar(full()),
    ]
    clarinet = [
        bar(rest(F(1, 4)), key=1),
        bar(note("B3 D4 F#4", F(1, 1))),
        WrittenBar(
            (
                (note("D5", F(1, 2)), note("E5", F(1, 2), marks=Marks(hairpin="diminuendo"))),
                (note("B4", F(1, 4)), note("G4", F(1, 2), 1)),
            )
        ),
        bar(full()),
    ]
    right = [
        bar(rest(), key=-1),
        bar(note("D5", F(1))),
        WrittenBar(((note("C5", F(1)),), (note("E4", F(1)),))),
        bar(full()),
    ]
    left = [
        bar(rest(), key=-1),
        bar(note("D3", F(1, 2)), note("A4", F(1, 2), clef="treble")),
        bar(note("C3", F(1), clef="bass")),
        bar(full()),
    ]
    drum = [
        bar(rest()),
        bar(*(note("B4") for _ in range(4))),
        bar(note("B4", F(1, 2), marks=Marks("ff", ("marcato",))), rest(F(1, 2))),
        bar(full()),
    ]
    frames = [
        frame(0, duration=F(1, 4), pickup=True, shows_meter=True, key=Mode(parse_pitch_class("D"), "minor"),
              tempi=((F(0), Tempo(F(0), F(3, 8), F(72), "With the tide")),)),
        frame(1, section="two names across the water", rehearsal="A", barline="double"),
        frame(2, tempi=((F(1, 4), Tempo(F(1, 2), F(1, 4), F(145, 2))),)),
        frame(3, SEVEN, shows_meter=True, barline="final"),
    ]  # fmt: skip
    return score(
        frames,
        part("flute", flute),
        part("clarinet", clarinet),
        part("harp", right, left),
        part("snare drum", drum),
        header=Header("Three Watches", "for five", "A. Composer", "for the keepers of the lamp", show_letters=True),
        groups=(Group("winds", ("flute", "clarinet")),),
        attacca=True,
    )


def free_time() -> WrittenScore:
    """A cadenza: two bars without meter, a harp that is silent on both staves, tempi that are not printed."""
    slow, quick = Tempo(F(0), F(1, 4), F(60), "", False), Tempo(F(1, 2), F(1, 8), F(90), "", False)
    frames = [
        frame(1, None, duration=F(7, 8), barline="none", tempi=((F(0), slow), (F(1, 2), quick))),
        frame(2, None, duration=F(1, 3), barline="final"),
    ]
    third = Tuplet(3, 2, F(1, 4), (note("A3", F(1, 4)), note("G3", F(1, 4))))
    silent = [bar(full()), bar(full())]
    return score(
        frames,
        part("bassoon", [bar(note("F3", F(1, 2), 1), note("Bb2", F(1, 8))), bar(third)]),
        part("harp", silent, silent),
    )
