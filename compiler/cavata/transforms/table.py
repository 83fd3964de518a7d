"""Every step and combination of the kernel: how it is written, what it does, what computes it.

Names, signatures and texts here feed the name pass, the messages and the reference. What can be
said in the language itself is not here but in `stdlib/transforms.cavata`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property

from cavata.music.event import Motif, Texture
from cavata.transforms import (
    chord_voices,
    chords,
    combinations,
    dress,
    figuration,
    figures,
    order,
    pitches,
    respelling,
    sung,
    time,
    voicing,
)
from cavata.transforms.signature import PatternPart, read_pattern


@dataclass(frozen=True)
class Transform:
    """A step of the kernel. Its function takes the line and then the arguments of its pattern."""

    pattern: str
    does: str
    """One sentence for the reference."""
    apply: Callable[..., object]
    family: str
    on_rhythm: bool = False
    """It makes sense of a rhythm too, which has no pitches."""
    on_lines: Callable[..., tuple[Motif, ...]] | None = None
    """For a transform that looks at all lines of a texture together: what computes it on them."""
    on_texture: Callable[..., Motif | Texture] | None = None
    """For one that gives other lines than a texture has, or fewer: what computes it on the whole."""
    keeps_places: bool = False
    """Though told among those of time it moves no bar line, so that an upbeat stays."""
    gathers: bool = False
    """It makes one chord of several notes, so that it takes the place of signs that a chord cannot have."""

    @property
    def word(self) -> str:
        """The word after the arrow; patterns that share it differ in what follows."""
        return self.pattern.split()[0]

    @cached_property
    def parts(self) -> tuple[PatternPart, ...]:
        """The pattern after its word."""
        return read_pattern(self.pattern)


class Operands(Enum):
    """What a combination takes for one of its parameters."""

    LINE = "one value, a line"
    LINES = "all further values, each of them a line"
    TEXTURE = "one value, a line or a texture of which it is known how long it lasts"
    VALUES = "all further values, lines and textures"


@dataclass(frozen=True)
class Combination:
    """A combination of the kernel: `word(a, b, ...)`, with words and clauses that may stand among its values.

    Its function takes everything by name: the values by the names in `operands`, a clause by the name beside its
    pattern, and `True` for each word of `options` that stands there.
    """

    pattern: str
    does: str
    """One sentence for the reference."""
    apply: Callable[..., object]
    operands: Mapping[str, Operands]
    """The parameters that values are given to, in their order."""
    clauses: Mapping[str, str] = field(default_factory=dict)
    """Patterns of arguments that begin with a word, as `at INTERVAL above|below`, each at most once, and the parameter
    that each is given to: as what its slot holds, as a tuple where it has several, and as `True` where it has none. A
    pattern of one capital word is a constant in the place of a value."""
    options: tuple[str, ...] = ()
    needs: Mapping[str, str] = field(default_factory=dict)
    """The clauses that cannot be left out, each with what a message says is not known without it."""
    least: int = 2
    """How many values it takes at least."""
    most: int | None = None
    """And at most; None for any number."""

    @property
    def word(self) -> str:
        """The word before the bracket."""
        return self.pattern.partition("(")[0]


_TABLE = (
    Transform("up INTERVAL", "every note higher by the interval, spelled as it says", pitches.up, "pitch"),
    Transform("down INTERVAL", "every note lower by the interval, spelled as it says", pitches.down, "pitch"),
    Transform("step up COUNT in MODE", "every note so many degrees of the mode higher", pitches.step_up, "pitch"),
    Transform("step down COUNT in MODE", "every note so many degrees of the mode lower", pitches.step_down, "pitch"),
    Transform("inverted about PITCH", "inversion: what lay above the pitch lies as far below it", pitches.inverted, "pitch"),
    Transform("inverted in MODE about PITCH", "inverted by degrees of the mode", pitches.inverted_in, "pitch"),
    Transform("from PITCH", "moved by octaves so that the first note is the pitch", pitches.from_pitch, "pitch"),
    Transform("within RANGE", "moved by octaves until it fits; only if none fits, single notes are folded in", lambda m, r: pitches.within(m, *r), "pitch"),
    Transform("closest", "the octaves chosen anew, each note as close as can be to the one before", pitches.closest, "pitch"),
    Transform("ascending", "the octaves chosen anew, each note above the one before", pitches.ascending, "pitch"),
    Transform("descending", "the octaves chosen anew, each note below the one before", pitches.descending, "pitch"),
    Transform("expanded COUNT", "every interval from the first note so many times as wide", pitches.expanded, "pitch"),
    Transform("sharp [NOTES]", "the notes get a sharp and keep their place on the staff", pitches.sharp, "pitch"),
    Transform("flat [NOTES]", "the notes get a flat and keep their place on the staff", pitches.flat, "pitch"),
    Transform("natural [NOTES]", "the notes lose their accidental", pitches.natural, "pitch"),
    Transform("raised [NOTES]", "the notes a semitone higher, whatever sign they had", pitches.raised, "pitch"),
    Transform("lowered [NOTES]", "the notes a semitone lower, whatever sign they had", pitches.lowered, "pitch"),
    Transform("respelled simply in MODE", "every note by the name that fits its line, which begins in the mode", respelling.respelled_simply, "pitch", on_lines=respelling.respelled_together),
    Transform("respelled simply", "every note by the name that fits its line and the key the line is in", respelling.respelled_simply, "pitch", on_lines=respelling.respelled_together),
    Transform("respelled NOTES as CLASS", "the notes written by another name that sounds the same", pitches.respelled, "pitch"),
    Transform("retrograde", "from the last event to the first, durations included", order.retrograde, "order", True),
    Transform("rotated COUNT", "so many first events sent to the end, or with a negative number the last to the front", order.rotated, "order", True),
    Transform("first COUNT", "the line up to its note of that number", order.first, "order", True),
    Transform("last COUNT", "the line from that many notes before its end", order.last, "order", True),
    Transform("notes NOTES", "only these notes", order.notes, "order", True),
    Transform("without NOTES", "the line without these notes; what follows moves up", order.without, "order"),
    Transform("sequence COUNT by INTERVAL up|down", "the line so many times in all, each an interval higher or lower", order.sequence, "order"),
    Transform("diminution RATIO", "every duration divided by the ratio", time.diminution, "time", True),
    Transform("augmentation RATIO", "every duration multiplied by the ratio", time.augmentation, "time", True),
    Transform("in RHYTHM [cycle]", "the rhythm's values given to the events in turn; with `cycle` until both end together", figures.taken_in, "time", on_texture=figures.taken_in_together),
    Transform("tied [NOTES]", "notes that come again at once are held on", time.tied, "time", keeps_places=True, on_lines=time.lines_tied),
    Transform("lengthened [NOTES] to DURATION", "these notes with that duration, the others as they are", time.lengthened, "time", True),
    Transform("as chord", "all notes of the line together, for the duration of its first", chords.as_chord, "vertical", gathers=True),
    Transform("broken ascending|descending", "each chord note by note, each as long as the chord", chords.broken, "vertical"),
    Transform("bass", "the lowest note of each chord, as a line", chord_voices.bass, "vertical", on_texture=chord_voices.bass_of),
    Transform("top", "the highest note of each chord, as a line", chord_voices.top, "vertical", on_texture=chord_voices.top_of),
    Transform("upper", "each chord without its lowest note", chord_voices.upper, "vertical", on_texture=chord_voices.upper_of),
    Transform("inner", "each chord without its lowest and its highest note", chord_voices.inner, "vertical", on_texture=chord_voices.inner_of),
    Transform("voice COUNT", "one voice of each chord as a line, counted from the bass", chord_voices.voice, "vertical", on_texture=chord_voices.voice_of),
    Transform("voiced close|open", "each chord in close or open position above its lowest note", chords.voiced, "vertical"),
    Transform("doubled at INTERVAL above|below", "every note together with another at that interval", chords.doubled, "vertical"),
    Transform("harmonized in MODE with thirds|sixths|triads above|below", "every note with others in parallel, by degrees of the mode", chords.harmonized_in, "vertical"),
    Transform("harmonized with MOTIF", "every note on top of the next of the motif's chords, taken in turn", chords.harmonized_with, "vertical"),
    Transform("voiced across PARTS below MOTIF", "each chord spread over the parts as `voiced across` does, and under all that the line plays while it sounds", voicing.voiced_below, "vertical"),
    Transform("voiced across PARTS", "each chord spread over the parts, so that all lie well and move little", voicing.voiced_across, "vertical"),
    Transform("neighbors in MODE", "a note of a quarter or longer goes to the mode's note above and back", figuration.neighbors, "ornament"),
    Transform("passing in MODE", "each leap of a third filled with the mode's note between", figuration.passing, "ornament"),
    Transform("marked [NOTES] MARKINGS", "a dynamic, words and techniques on the first note, an articulation on each, a breath or caesura after the last", dress.marked, "dress"),
    Transform("crescendo [NOTES] DYNAMIC DYNAMIC", "growing from the first note to the last", dress.crescendo, "dress"),
    Transform("diminuendo [NOTES] DYNAMIC DYNAMIC", "falling from the first note to the last", dress.diminuendo, "dress"),
    Transform("sung [NOTES] TEXT [unslurred]", "the syllables of the text under the notes in turn, rests left out", sung.sung, "dress"),
    Transform("sung [NOTES] verse COUNT TEXT [unslurred]", "the syllables of the text under the notes in turn, as the verse of that number", sung.sung_verse, "dress"),
    Transform("spoken [NOTES] TEXT", "the syllables of the text under the notes in turn, to be spoken", sung.spoken, "dress"),
    Transform("spoken [NOTES] verse COUNT TEXT", "the syllables of the text under the notes in turn, to be spoken, as the verse of that number", sung.spoken_verse, "dress"),
    Transform("chant [NOTES]", "each of these notes without its stem, to be sung freely", dress.chant, "dress"),
    Transform("division NOTES quarter|half|full|double", "a division of chant after each of these notes", dress.division, "dress"),
    Transform("figured [NOTES] TEXT", "the figures of the text under the notes in turn, as in a figured bass", dress.figured, "dress"),
    Transform("labeled [NOTES] TEXT", "the words of the text at the notes in turn, as a sticking", dress.labeled, "dress"),
    Transform("optional [NOTES]", "these notes small, since the player may leave them out", dress.optional, "dress"),
    Transform("slurred [NOTES]", "one slur over each run of notes that no rest parts, or over each range of notes", dress.slurred, "dress"),
    Transform("trill [NOTES] to INTERVAL", "a trill with the note at that interval above", dress.trill_to, "dress"),
    Transform("trill [NOTES]", "a trill with the next note above, as the signature has it", dress.trill, "dress"),
    Transform("turn [NOTES]", "a turn around each of these notes", dress.turn, "dress"),
    Transform("mordent [NOTES]", "a mordent on each of these notes, with the note below", dress.mordent, "dress"),
    Transform("tremolo [NOTES] DURATION", "each of these notes repeated in that value, as a tremolo", dress.tremolo, "dress"),
    Transform("tremolo [NOTES]", "each of these notes repeated as fast as can be", dress.tremolo, "dress"),
    Transform("rolled [NOTES]", "every chord broken quickly from its lowest note", dress.rolled, "dress"),
    Transform("glissando [NOTES]", "a glissando from each of these notes to the next one", dress.glissando, "dress"),
    Transform("graced [NOTES] by MOTIF", "the motif's notes as grace notes before each of these notes", dress.graced, "dress"),
    Transform("fermata NOTES by DURATION", "a fermata on each of these notes, which holds it longer by the duration", dress.fermata, "dress"),
    Transform("fermata NOTES", "a fermata on each of these notes", dress.fermata, "dress"),
    Transform("symbols of MOTIF", "the chord symbols of the motif over the notes that begin where its chords do", dress.symbols_of, "dress"),
    Transform("harmonic [NOTES] touching INTERVAL", "these notes as harmonics, of a stopped note touched at the interval above it", dress.harmonic_touching, "dress"),
    Transform("harmonic [NOTES] on CLASS", "these notes as natural harmonics of the open string of that name", dress.harmonic_on, "dress"),
    Transform("sul [NOTES] CLASS", "these notes on the string of that name", dress.on_string, "dress"),
    Transform("played [NOTES] on string COUNT", "these notes on the string of that number, counted from the highest", dress.on_string, "dress"),
    Transform("on INSTRUMENT", "played on another instrument that the player takes up", dress.on, "dress"),
    Transform("without symbols", "the chord symbols over the notes are not printed", dress.without_symbols, "dress"),
    Transform("sustain_pedal [NOTES]", "the pedal down at the first note, and up at the end of the last", dress.sustain_pedal, "dress"),
)  # fmt: skip

_LATER = {"after SPAN": "when the next voice enters"}

_COMBINATIONS = (
    Combination(
        "weave(a, b, ... [, cycle])", "events of the lines in turn as they stand",
        combinations.weave, {"lines": Operands.LINES}, options=("cycle",),
    ),
    Combination(
        "together(a, b, ...)", "lines that begin together, as a texture: the leader first",
        combinations.together, {"values": Operands.VALUES},
    ),
    Combination(
        "canon(m, [at INTERVAL above|below,] after SPAN [, voices COUNT] [, in MODE] [, by ...])",
        "a line and its answers, each made from the one before and entering after it",
        combinations.canon_of, {"line": Operands.LINE},
        {
            "at INTERVAL [above|below]": "at", "after SPAN": "after", "voices COUNT": "voices", "in MODE": "mode",
            "by inversion": "inverted", "by retrograde": "retrograde", "by augmentation RATIO": "longer",
            "by diminution RATIO": "shorter",
        },
        needs=_LATER, least=1, most=1,
    ),
    Combination(
        "stretto(m, after SPAN [, voices COUNT])", "a line against itself, each entry before the one before it is done",
        combinations.stretto, {"line": Operands.LINE}, {"after SPAN": "after", "voices COUNT": "voices"},
        needs=_LATER, least=1, most=1,
    ),
    Combination(
        "dialogue(m [, by phrase|by SPAN] [, voices COUNT])",
        "a line in turns: each phrase, or so much of it, by the next player, while the others rest",
        combinations.dialogue, {"line": Operands.LINE},
        {"by phrase": "phrases", "by SPAN": "length", "voices COUNT": "voices"}, least=1, most=1,
    ),
    Combination(
        "hocket(a, b, ... [, voices COUNT])",
        "events of the lines in turn, each in its own voice, while the others rest",
        combinations.hocket_of, {"lines": Operands.LINES}, {"voices COUNT": "voices"}, least=1,
    ),
    Combination(
        "pedal_point(m, PITCH)", "a line with one note or chord held under it as long as it lasts",
        combinations.pedal_point, {"over": Operands.TEXTURE, "held": Operands.LINE}, {"PITCH": "held"}, most=2,
    ),
    Combination(
        "ostinato(m, figure)", "a line over a figure that repeats as long as the line lasts",
        combinations.ostinato, {"over": Operands.TEXTURE, "figure": Operands.LINE}, most=2,
    ),
)


def _by_word() -> dict[str, tuple[Transform, ...]]:
    found: dict[str, tuple[Transform, ...]] = {}
    for transform in _TABLE:
        found[transform.word] = (*found.get(transform.word, ()), transform)
    return found


_LENGTHS = (
    Transform("x COUNT", "so many times in all", order.repeated, "length", True, time.lines_repeated),
    Transform("for DURATION", "again and again, cut where the duration is full", time.filling, "length", True, time.lines_filling),
    Transform("held DURATION", "one note or chord, sustained for that duration", time.held, "length", True),
)  # fmt: skip

LENGTHS: dict[str, Transform] = {transform.word: transform for transform in _LENGTHS}
"""What says how often or how long, by its word. It stands without an arrow."""

TRANSFORMS: dict[str, tuple[Transform, ...]] = _by_word()
"""For each word the transforms written with it, tried in order."""

COMBINATIONS: dict[str, Combination] = {combination.word: combination for combination in _COMBINATIONS}
