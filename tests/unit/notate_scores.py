"""Small scores for the notation tests, written as a line of text: `C4:4 r:8 C4+E4:4. D4:1/12`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction as F

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import find
from cavata.music.event import UNMARKED, Event, Head, Letter, Marks, Origin
from cavata.music.mode import Mode
from cavata.music.pitch import parse_pitch, parse_pitch_class
from cavata.notate.notate import notate
from cavata.notate.text import bar_text
from cavata.notate.written import Frame, Leaf, WrittenMovement, WrittenScore, leaves
from cavata.score.score import Header, Meter, Movement, Part, Score, ScoreBar, ScoreEvent, Section, Staff, Tempo
from cavata.source import Source, Span

SPAN = Span(Source("watch.cavata", "TAMSIN"), 0, 6)
VALUES = {"1": F(1), "2": F(1, 2), "4": F(1, 4), "8": F(1, 8), "16": F(1, 16), "32": F(1, 32)}


def origin(letter: str = "") -> Origin:
    return Origin(Letter("tamsin", letter, 1, "french") if letter else None, SPAN)


def length(text: str) -> F:
    """`4.` is a dotted quarter, `1/12` a fraction of a whole note."""
    if "/" in text:
        return F(text)
    dots = text.count(".")
    return VALUES[text.rstrip(".")] * (2 - F(1, 2**dots))


def events(line: str, onset: F = F(0)) -> tuple[ScoreEvent, ...]:
    """`C4:4 r:8 C4+E4:8. F4:1/12` as events; a `_X` after a pitch gives it the letter X."""
    found = []
    for word in line.split():
        pitches, duration = word.split(":")
        if pitches != "r":
            heads = []
            for text in pitches.split("+"):
                name, *letters = text.split("_")
                heads.append(Head(parse_pitch(name), tuple(map(origin, letters)) or (origin(),)))
            found.append(ScoreEvent(onset, Event(length(duration), tuple(heads)), SPAN))
        onset += length(duration)
    return tuple(found)


def marked(voice: Sequence[ScoreEvent], marks: dict[int, Marks]) -> tuple[ScoreEvent, ...]:
    return tuple(
        replace(event, event=event.event.marked(marks.get(index, UNMARKED))) for index, event in enumerate(voice)
    )


def meter(text: str) -> Meter:
    """`6/8`, or `7/8:2+2+3`; compound meters have groups of three, others of one."""
    sign, _, groups = text.partition(":")
    numerator, denominator = map(int, sign.split("/"))
    if groups:
        return Meter(numerator, denominator, tuple(map(int, groups.split("+"))), True)
    compound = denominator >= 8 and numerator % 3 == 0
    return Meter(numerator, denominator, (3,) * (numerator // 3) if compound else (1,) * numerator)


def key(text: str) -> Mode | None:
    tonic, _, name = text.partition(" ")
    return Mode(parse_pitch_class(tonic), name) if text else None


def bars_for(total: F, meters: Sequence[Meter], keys: Sequence[Mode | None], pickup: F = F(0)) -> tuple[ScoreBar, ...]:
    """Bars through the given meters and keys, the last going on until the total is reached."""
    bars: list[ScoreBar] = []
    onset = F(0)
    if pickup:
        bars.append(ScoreBar(0, onset, pickup, meters[0], keys[0], 0, 0))
        onset = pickup
    count = 0
    while onset < total or count < max(len(meters), len(keys)):
        current, mode = meters[min(count, len(meters) - 1)], keys[min(count, len(keys) - 1)]
        count += 1
        bars.append(ScoreBar(count, onset, current.duration, current, mode, 0, count))
        onset += current.duration
    return tuple(bars)


def free_bar(duration: F) -> tuple[ScoreBar, ...]:
    return (ScoreBar(1, F(0), duration, None, None, 0, 1),)


def movement(
    staves: Sequence[Sequence[Staff]], bars: Sequence[ScoreBar], tempi: Sequence[Tempo] = (),
    sections: Sequence[Section] = (), attacca: bool = False,
) -> Movement:  # fmt: skip
    end = bars[-1].onset + bars[-1].duration
    return Movement(
        "first", "First Watch", False, attacca, end, tuple(bars), tuple(sections), tuple(tempi),
        tuple(map(tuple, staves)), SPAN,
    )  # fmt: skip


def part(instrument: Instrument) -> Part:
    return Part(instrument.key.replace(" ", "_"), instrument, instrument.name, instrument.abbreviation, False, SPAN)


def instrument(words: str) -> Instrument:
    found = find(words)
    assert isinstance(found, Instrument), words
    return found


def score(movements: Sequence[Movement], instruments: Sequence[Instrument], concert: bool = False) -> Score:
    header = Header("Three Watches", concert_score=concert)
    return Score(header, tuple(map(part, instruments)), (), tuple(movements))


def written(
    *voices: str | Sequence[ScoreEvent], meters: str = "4/4", keys: str = "", player: str = "flute",
    pickup: F = F(0), concert: bool = False,
) -> WrittenScore:  # fmt: skip
    """One staff of one part; meters and keys are parted by commas, one for each bar, the last going on."""
    lines = [events(voice) if isinstance(voice, str) else tuple(voice) for voice in voices]
    total = max((line[-1].end for line in lines if line), default=F(0))
    signs = [meter(text.strip()) for text in meters.split(",")]
    bars = bars_for(total, signs, [key(text.strip()) for text in keys.split(",")], pickup)
    return notate(score([movement([[Staff("", tuple(lines))]], bars)], [instrument(player)], concert))


def free(line: str | Sequence[ScoreEvent], duration: F | None = None) -> WrittenScore:
    voice = events(line) if isinstance(line, str) else tuple(line)
    bars = free_bar(duration or voice[-1].end)
    return notate(score([movement([[Staff("", (voice,))]], bars)], [instrument("flute")]))


def shown(result: WrittenScore, staff: int = 0) -> list[str]:
    """Each bar of a staff of the first part as text."""
    return [bar_text(bar) for bar in result.movements[0].parts[0].staves[staff].bars]


def rhythm(*voices: str, **options: str) -> str:
    """The bars with every pitch left out, parted by bar lines; `n` for a note."""
    text = " | ".join(shown(written(*voices, **options)))  # type: ignore[arg-type]  # only text options are passed on
    return text.replace("C4:", "").replace("C4!:", "")


def all_leaves(result: WrittenScore) -> list[Leaf]:
    bars = result.movements[0].parts[0].staves[0].bars
    return [leaf for bar in bars for voice in bar.voices for leaf in leaves(voice)]


def frames(result: WrittenScore) -> tuple[Frame, ...]:
    first: WrittenMovement = result.movements[0]
    return first.frames
