"""Scores made by hand and by chance, at concert pitch, for the tests of the emitters."""

from __future__ import annotations

from fractions import Fraction as F

from hypothesis import strategies as st

from cavata.instruments.table import find
from cavata.music.event import ARTICULATIONS, ATTACKS, LASTING, Event, Head, Letter, Marks, Origin, told
from cavata.music.mode import Mode
from cavata.music.pitch import Pitch, parse_pitch, parse_pitch_class
from cavata.score.score import Group, Header, Meter, Movement, Part, Score, ScoreBar, ScoreEvent, Section, Staff, Tempo
from cavata.source import Source, Span

NOWHERE = Span(Source("", ""), 0, 0)
METERS = {
    "4/4": Meter(4, 4, (1, 1, 1, 1)),
    "3/4": Meter(3, 4, (1, 1, 1)),
    "6/8": Meter(6, 8, (3, 3)),
    "7/8": Meter(7, 8, (2, 2, 3), as_given=True),
    "5/16": Meter(5, 16, (3, 2)),
    "2/2": Meter(2, 2, (1, 1)),
}
MINUTE = Tempo(F(0), F(1, 4), F(60))


def heads(text: str, letter: str = "") -> tuple[Head, ...]:
    origin = Origin(Letter("tamsin", letter, 1, "french") if letter else None, NOWHERE)
    return tuple(Head(parse_pitch(word), (origin,)) for word in text.split())


def line(text: str, onset: F = F(0)) -> tuple[ScoreEvent, ...]:
    """`C4 1/4, E4+G4 1/8 staccato p, rest 1/2`: events one after another."""
    found: list[ScoreEvent] = []
    for item in text.split(","):
        pitches, length, *words = item.split()
        duration = F(length)
        if pitches != "rest":
            event = Event(duration, heads(pitches.replace("+", " ")), marks(words))
            found.append(ScoreEvent(onset, event, NOWHERE))
        onset += duration
    return tuple(found)


def marks(words: list[str]) -> Marks:
    loud = told(next((w for w in words if w not in (*ARTICULATIONS, *"<>!()")), ""))
    return Marks(
        dynamic=loud.dynamic,
        attack=loud.attack,
        articulations=tuple(w for w in words if w in ARTICULATIONS),
        hairpin="crescendo" if "<" in words else "diminuendo" if ">" in words else "",
        hairpin_ends="!" in words,
        slur_begins="(" in words,
        slur_ends=")" in words,
    )


def staff(*voices: tuple[ScoreEvent, ...]) -> Staff:
    return Staff("", voices or ((),))


def part(words: str, name: str = "") -> Part:
    instrument = find(words)
    assert instrument is not None
    return Part(name or words, instrument, instrument.name, instrument.abbreviation, False, NOWHERE)


def movement(
    bars: int,
    staves: tuple[tuple[Staff, ...], ...],
    meter: str = "4/4",
    pickup: F = F(0),
    key: Mode | None = None,
    tempi: tuple[Tempo, ...] = (MINUTE,),
    name: str = "first",
    attacca: bool = False,
) -> Movement:
    shape = METERS[meter]
    made = [ScoreBar(0, F(0), pickup, shape, key, 0, 0)] if pickup else []
    for index in range(bars):
        made.append(
            ScoreBar(index + 1, pickup + index * shape.duration, shape.duration, shape, key, 0, index + 1)
        )  # fmt: skip
    sections = (Section("hailing", "two names across the water", F(0), 0),)
    whole = made[-1].onset + made[-1].duration
    return Movement(name, "First Watch", False, attacca, whole, tuple(made), sections, tempi, staves, NOWHERE)


def score(parts: tuple[Part, ...], *movements: Movement, header: Header | None = None) -> Score:
    return Score(header or Header("Three Watches", composer="A. Composer"), parts, (), movements)


def one_line(text: str, words: str = "flute", bars: int = 4, **more: object) -> Score:
    """One part, one voice, 4/4 and a quarter a second unless said otherwise."""
    return score(
        (part(words),),
        movement(bars, ((staff(line(text)),),), **more),  # type: ignore[arg-type]  # the words of `movement`
    )


FORCES = ("flute", "clarinet", "horn", "bass clarinet", "piccolo", "harp", "double bass", "snare drum")
PLAIN = tuple(F(n, 16) for n in (1, 2, 3, 4, 6, 8, 12, 16, 20))
GROUPS = ((3, F(1, 12)), (3, F(1, 6)), (5, F(1, 20)), (7, F(1, 28)), (6, F(1, 24)), (11, F(1, 44)))
KEYS = tuple(
    Mode(parse_pitch_class(tonic), name)
    for tonic, name in (("D", "minor"), ("Eb", "major"), ("A", "major"), ("G", "dorian"), ("B", "minor"))
)


@st.composite
def voices(draw: st.DrawFn, whole: F, pitched: bool, lowest: int, marked: bool = False) -> tuple[ScoreEvent, ...]:
    """A voice that fills its movement with notes, chords, rests and tuplets."""
    found: list[ScoreEvent] = []
    now = F(0)
    while now < whole:
        count, length = draw(st.one_of(st.sampled_from(GROUPS), st.tuples(st.just(1), st.sampled_from(PLAIN))))
        for _ in range(count):
            duration = min(length, whole - now)
            if duration > 0 and draw(st.integers(0, 5)):
                event = Event(duration, draw(_heads(pitched, lowest)), draw(_MARKS) if marked else Marks())
                found.append(ScoreEvent(now, event, NOWHERE))
            now += length
    return tuple(found)


@st.composite
def _heads(draw: st.DrawFn, pitched: bool, lowest: int) -> tuple[Head, ...]:
    origin = (Origin(None, NOWHERE),)
    if not pitched:
        return (Head(Pitch(34, 0), origin),)
    positions = draw(st.sets(st.integers(lowest, lowest + 6), min_size=1, max_size=3))
    pitches = (Pitch(place, draw(st.sampled_from((-1, 0, 0, 1)))) for place in sorted(positions))
    keys = {pitch.midi: pitch for pitch in pitches}  # no key twice: readers sound it once
    return tuple(Head(pitch, origin) for pitch in keys.values())


@st.composite
def scores(draw: st.DrawFn, forces: tuple[str, ...] = FORCES, marked: bool = False) -> Score:
    """A movement of a few bars for one to three parts, with a pickup now and then, in any key."""
    meter = draw(st.sampled_from(sorted(METERS)))
    pickup = draw(st.sampled_from((F(0), F(1, 8), F(1, 4))))
    bars = draw(st.integers(1, 3))
    whole = pickup + bars * METERS[meter].duration
    names = draw(st.lists(st.sampled_from(forces), min_size=1, max_size=3))
    parts = tuple(part(words, f"part{index}") for index, words in enumerate(names))
    staves = tuple(
        tuple(
            Staff(name, tuple(draw(voices(whole, not each.instrument.unpitched, low, marked)) for low in draw(_VOICES)))
            for name in each.instrument.staves
        )
        for each in parts
    )
    key = draw(st.one_of(st.none(), st.sampled_from(KEYS)))
    tempo = Tempo(F(0), draw(st.sampled_from((F(1, 4), F(3, 8), F(1, 2)))), F(draw(st.integers(30, 180))), "Still")
    group = (Group("all", tuple(each.name for each in parts)),)
    made = score(parts, movement(bars, staves, meter, pickup, key, (tempo,)))
    return Score(made.header, made.parts, group, made.movements)


_MARKS = st.one_of(
    st.just(Marks()),
    st.builds(
        Marks,
        st.sampled_from(("", *LASTING)),
        st.lists(st.sampled_from(ARTICULATIONS), max_size=3, unique=True).map(tuple),
        st.lists(st.text(min_size=1, max_size=8), max_size=1).map(tuple),
        st.sampled_from(("", "crescendo", "diminuendo")),
        st.booleans(),
        st.booleans(),
        st.booleans(),
        attack=st.sampled_from(("", "", *ATTACKS)),
    ),
)
"""Marks in any disorder: lines that end before they begin, or never."""
_VOICES = st.sampled_from(((28,), (24,), (32,), (34, 24)))
"""The lowest staff positions of each voice. Voices keep apart: readers join ties by pitch, whatever the voice."""
