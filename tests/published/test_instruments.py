"""Ranges and transpositions against handbooks, and against the tables of music21 and Abjad.

Every place where a library says something else than our table is written down with the reason; a
new disagreement, or one that has gone, fails.
"""

from __future__ import annotations

import re
from typing import Any

import abjad
import abjad.instruments
import music21.instrument
import pytest

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import find, instruments
from cavata.music.pitch import parse_interval, parse_pitch

RANGES_TABLE = "Ranges of Orchestral Instruments, orchestralibrary.com, reference tables; written pitch"
APPENDIX = "orchestration appendix, studystack.com flashcard 697185; written pitch"


def known(words: str) -> Instrument:
    instrument = find(words)
    assert instrument is not None, words
    return instrument


def written(words: str) -> tuple[str, str]:
    """Lowest and highest note as the player reads them."""
    instrument = known(words)
    assert instrument.lowest is not None and instrument.highest is not None
    back = -instrument.transposition
    return str(instrument.lowest + back), str(instrument.highest + back)


@pytest.mark.parametrize(
    ("words", "lowest", "highest", "source"),
    [
        ("piccolo", "D4", "C7", RANGES_TABLE),
        ("flute", "C4", "D7", RANGES_TABLE),
        ("alto flute", "C4", "C7", RANGES_TABLE),
        ("oboe d'amore", "Bb3", "E6", RANGES_TABLE),
        ("english horn", "B3", "G6", RANGES_TABLE),
        ("clarinet in Bb", "E3", "C7", RANGES_TABLE),
        ("clarinet in A", "E3", "C7", RANGES_TABLE),
        ("clarinet in Eb", "E3", "C7", RANGES_TABLE),
        ("bass clarinet", "C3", "G6", RANGES_TABLE + ": E flat or C below"),
        ("oboe", "Bb3", "A6", "handbook extract, issuhub.com 5685 p. 198"),
        ("horn in F", "F#2", "C6", APPENDIX),
        ("trumpet in Bb", "F#3", "C6", APPENDIX),
        ("celesta", "C3", "C7", APPENDIX),
        ("xylophone", "F3", "C7", APPENDIX),
        ("vibraphone", "F3", "F6", APPENDIX),
        ("glockenspiel", "G3", "C6", "daviddarling.info, Glockenspiel: written pitch"),
        ("harp", "Cb1", "G#7", APPENDIX),
        ("piano", "A0", "C8", "MIDI keys 21 to 108, scribd.com 474598773"),
        ("violin", "G3", "A7", "musicalinstrumenthub"),
        ("viola", "C3", "E6", "handbook extract, issuhub.com 5120 p. 130"),
        ("cello", "C2", "A5", "handbook extract, issuhub.com 5120 p. 130"),
    ],
)
def test_written_range_is_the_handbooks(words: str, lowest: str, highest: str, source: str) -> None:
    assert written(words) == (lowest, highest), source


@pytest.mark.parametrize(
    ("words", "direction", "size", "source"),
    [
        ("piccolo", "up", "P8", RANGES_TABLE),
        ("alto flute", "down", "P4", RANGES_TABLE),
        ("oboe d'amore", "down", "m3", RANGES_TABLE),
        ("english horn", "down", "P5", RANGES_TABLE),
        ("clarinet", "down", "M2", RANGES_TABLE),
        ("clarinet in A", "down", "m3", RANGES_TABLE),
        ("clarinet in Eb", "up", "m3", RANGES_TABLE),
        ("bass clarinet", "down", "M9", RANGES_TABLE + ": a ninth lower in the treble clef"),
        ("contrabassoon", "down", "P8", APPENDIX),
        ("horn", "down", "P5", APPENDIX),
        ("trumpet", "down", "M2", APPENDIX),
        ("trumpet in D", "up", "M2", "common practice"),
        ("trumpet in Eb", "up", "m3", "common practice"),
        ("piccolo trumpet", "up", "m7", "common practice"),
        ("soprano saxophone", "down", "M2", "common practice"),
        ("alto saxophone", "down", "M6", APPENDIX),
        ("tenor saxophone", "down", "M9", APPENDIX),
        ("baritone saxophone", "down", "M13", APPENDIX),
        ("bass saxophone", "down", "M16", "common practice"),
        ("xylophone", "up", "P8", APPENDIX),
        ("celesta", "up", "P8", APPENDIX),
        ("glockenspiel", "up", "P15", "daviddarling.info, Glockenspiel"),
        ("crotales", "up", "P15", "common practice"),
        ("guitar", "down", "P8", APPENDIX),
        ("double bass", "down", "P8", "common practice; music21 agrees"),
        ("basset horn", "down", "P5", "common practice"),
        ("basset clarinet", "down", "m3", "common practice: in A"),
        ("alto clarinet", "down", "M6", "common practice: in E flat"),
        ("contralto clarinet", "down", "M13", "common practice: in E flat, an octave below the alto"),
        ("clarinet in D", "up", "M2", "common practice"),
        ("bass oboe", "down", "P8", "common practice"),
        ("heckelphone", "down", "P8", "common practice"),
        ("sopranino recorder", "up", "P8", "common practice"),
        ("tenor Wagner tuba", "down", "M2", "common practice: in B flat"),
        ("bass Wagner tuba", "down", "P5", "common practice: in F"),
        ("bass trumpet", "down", "M9", "common practice: in B flat"),
        ("alto horn", "down", "M6", "common practice: in E flat"),
        ("hand bells", "up", "P8", "common practice"),
    ],
)
def test_written_to_sounding(words: str, direction: str, size: str, source: str) -> None:
    interval = parse_interval(size)
    assert known(words).transposition == (interval if direction == "up" else -interval), source


AT_CONCERT_PITCH = (
    "flute", "oboe", "bassoon", "trumpet in C", "trombone", "bass trombone", "tuba", "timpani", "vibraphone",
    "marimba", "harp", "piano", "harpsichord", "organ", "violin", "viola", "cello", "soprano", "tenor",
)  # fmt: skip


@pytest.mark.parametrize("words", AT_CONCERT_PITCH)
def test_instruments_that_sound_as_written(words: str) -> None:
    """Source: common practice. The tenor's clef has the octave in it, so its notes are written as they sound."""
    assert known(words).transposition.semitones == 0


@pytest.mark.parametrize(
    ("words", "open_strings", "source"),
    [
        ("violin", "G3 D4 A4 E5", "tunings.pbworks.com 22530667"),
        ("viola", "C3 G3 D4 A4", "tunings.pbworks.com 22530667"),
        ("cello", "C2 G2 D3 A3", "tunings.pbworks.com 22530667"),
    ],
)
def test_lowest_note_is_the_lowest_open_string(words: str, open_strings: str, source: str) -> None:
    assert str(known(words).lowest) == open_strings.split()[0], source


def test_double_bass_reaches_below_its_fourth_string_to_c() -> None:
    """E1 A1 D2 G2 sounding (Britannica, stringed instrument); the extension's C1 as in Abjad."""
    bass = known("double bass")
    assert str(bass.lowest) == "C1"
    assert bass.comfortable is not None and str(bass.comfortable[0]) == "E1"


CHORAL = [
    ("soprano", "C4", "G5", "scribd.com 76595948, fiveable.me and quia.com 1780955 agree"),
    ("alto", "G3", "C5", "scribd.com 76595948 and quia.com 1780955; fiveable.me has D5"),
    ("tenor", "C3", "G4", "scribd.com 76595948, fiveable.me and quia.com 1780955 agree"),
    ("bass voice", "E2", "C4", "scribd.com 76595948 and quia.com 1780955; fiveable.me has D4"),
]


@pytest.mark.parametrize(("words", "lowest", "highest", "source"), CHORAL)
def test_comfortable_voice_is_the_choral_range(words: str, lowest: str, highest: str, source: str) -> None:
    assert known(words).comfortable == (parse_pitch(lowest), parse_pitch(highest)), source


# ------------------------------------------------------------------------------------------ music21

MUSIC21 = {
    "Piccolo": "piccolo", "Flute": "flute", "Oboe": "oboe", "EnglishHorn": "english horn", "Clarinet": "clarinet",
    "BassClarinet": "bass clarinet", "SopranoSaxophone": "soprano saxophone", "AltoSaxophone": "alto saxophone",
    "TenorSaxophone": "tenor saxophone", "BaritoneSaxophone": "baritone saxophone", "Bassoon": "bassoon",
    "Contrabassoon": "contrabassoon", "Horn": "horn", "Trumpet": "trumpet", "Trombone": "trombone",
    "BassTrombone": "bass trombone", "Tuba": "tuba", "Timpani": "timpani", "Glockenspiel": "glockenspiel",
    "Xylophone": "xylophone", "Vibraphone": "vibraphone", "Marimba": "marimba", "TubularBells": "tubular bells",
    "Celesta": "celesta", "Piano": "piano", "Harpsichord": "harpsichord", "PipeOrgan": "organ",
    "ReedOrgan": "harmonium", "Harp": "harp", "Guitar": "guitar", "ElectricGuitar": "electric guitar",
    "ElectricBass": "bass guitar", "Mandolin": "mandolin", "Soprano": "soprano", "MezzoSoprano": "mezzo-soprano",
    "Alto": "alto", "Tenor": "tenor", "Baritone": "baritone", "Bass": "bass voice", "Violin": "violin",
    "Viola": "viola", "Violoncello": "cello", "Contrabass": "double bass", "Recorder": "alto recorder",
    "Clavichord": "clavichord", "ElectricPiano": "electric piano", "Accordion": "accordion", "Banjo": "banjo",
    "Ukulele": "ukulele", "Lute": "lute", "Dulcimer": "cimbalom", "SteelDrum": "steel drum",
}  # fmt: skip

MUSIC21_TRANSPOSES_OTHERWISE = {
    "Contrabassoon": "none given: it would sound an octave too high",
    "Glockenspiel": "none given: sounding notation",
    "Xylophone": "none given: sounding notation",
    "Celesta": "none given: sounding notation",
    "Guitar": "none given: its lowest note is the sounding one",
    "ElectricGuitar": "none given: its lowest note is the sounding one",
    "ElectricBass": "none given: its lowest note is the sounding one",
}

MUSIC21_STARTS_OTHERWISE = {
    "BassClarinet": "E flat; ours has the extension to C, which the reference table allows",
    "BaritoneSaxophone": "no low A key",
    "Horn": "written C2, a tritone below the appendix's F sharp, in the region of pedal notes",
    "Guitar": "sounding E2, ours is written E3",
    "ElectricGuitar": "sounding E2, ours is written E3",
    "ElectricBass": "sounding E1, ours is written E2",
    "Harp": "C1; with the pedals up the lowest string gives C flat",
    "Contrabass": "four strings; ours has the extension to C",
    "Accordion": "F3 is the right hand's lowest; Abjad and ours have the basses of the left hand",
    "Banjo": "sounding C3, though it gives a transposition; ours is written C4",
}

MUSIC21_PROGRAMS_OTHERWISE = {
    "Mandolin": "48 is a string ensemble in General MIDI; ours is a steel guitar",
    "Ukulele": "48 is a string ensemble in General MIDI; ours is a nylon guitar",
    "ElectricPiano": "2 is the electric grand; 4 is the first electric piano of General MIDI",
}


def music21_instrument(name: str) -> Any:
    return getattr(music21.instrument, name)()


def test_transpositions_of_music21() -> None:
    differing = set()
    for name, words in MUSIC21.items():
        theirs = music21_instrument(name).transposition
        steps = (theirs.generic.staffDistance, int(theirs.semitones)) if theirs else (0, 0)
        ours = known(words).transposition
        if steps != (ours.steps, ours.semitones):
            differing.add(name)
    assert differing == set(MUSIC21_TRANSPOSES_OTHERWISE)


def test_lowest_notes_of_music21() -> None:
    """Its lowest notes are written pitches, but sounding ones for plucked strings."""
    differing = set()
    for name, words in MUSIC21.items():
        lowest = music21_instrument(name).lowestNote
        if lowest is not None and lowest.nameWithOctave.replace("-", "b") != written(words)[0]:
            differing.add(name)
    assert differing == set(MUSIC21_STARTS_OTHERWISE)


def test_programs_of_music21() -> None:
    differing = {
        name for name, words in MUSIC21.items() if music21_instrument(name).midiProgram != known(words).program
    }
    assert differing == set(MUSIC21_PROGRAMS_OTHERWISE)


MUSIC21_DRUMS = {
    "BassDrum": "bass drum", "BongoDrums": "bongos", "CongaDrum": "congas", "Cowbell": "cowbell",
    "CrashCymbals": "cymbals", "Maracas": "maracas", "SnareDrum": "snare drum", "Tambourine": "tambourine",
    "Timbales": "timbales", "Triangle": "triangle", "Vibraslap": "vibraslap", "Woodblock": "wood block",
    "Agogo": "agogo bells",
}  # fmt: skip


@pytest.mark.parametrize("name", MUSIC21_DRUMS)
def test_percussion_keys_of_music21(name: str) -> None:
    assert known(MUSIC21_DRUMS[name]).percussion_key == music21_instrument(name).percMapPitch


MUSIC21_STRINGS = (
    "Violin", "Viola", "Violoncello", "Contrabass", "Guitar", "ElectricGuitar", "ElectricBass", "Mandolin", "Ukulele",
    "Banjo",
)  # fmt: skip


@pytest.mark.parametrize("name", MUSIC21_STRINGS)
def test_open_strings_of_music21(name: str) -> None:
    """Its open strings are sounding pitches."""
    theirs = [pitch.nameWithOctave.replace("-", "b") for pitch in music21_instrument(name).stringPitches]
    assert [str(string) for string in known(MUSIC21[name]).strings] == theirs


def test_tunings_that_no_library_has() -> None:
    """Six courses of the lute in G, the viols in D and G, a viola d'amore in D. Source: common practice."""
    for words, strings in {
        "lute": "G2 C3 F3 A3 D4 G4", "treble viol": "D3 G3 C4 E4 A4 D5", "tenor viol": "G2 C3 F3 A3 D4 G4",
        "bass viol": "D2 G2 C3 E3 A3 D4", "viola d'amore": "A2 D3 A3 D4 F#4 A4 D5",
    }.items():  # fmt: skip
        assert " ".join(map(str, known(words).strings)) == strings


def test_every_bowed_and_fretted_instrument_has_its_strings_within_its_range() -> None:
    stringed = {i for i in instruments().values() if i.family in ("strings", "plucked")} - {known("harp")}
    for instrument in stringed - {known("cimbalom")}:
        assert 4 <= len(instrument.strings) <= 14
        assert instrument.extreme
        low, high = instrument.extreme
        assert all(low.midi <= string.midi <= high.midi for string in instrument.strings)


def test_drums_of_the_timpani() -> None:
    """A set of four from D2 to A3 (inmusica.fr), the smallest drum to C4 (vsl.co.at); a fifth each: from memory."""
    drums = known("timpani").drums
    assert str(drums[0].lowest) == "D2" and str(drums[3].highest) == "A3" and str(drums[-1].highest) == "C4"
    assert [drum.lowest.midi for drum in drums] == sorted(drum.lowest.midi for drum in drums)
    assert all(7 <= drum.highest.midi - drum.lowest.midi <= 8 for drum in drums)


# ------------------------------------------------------------------------------------------ Abjad

ABJAD = {
    "Piccolo": "piccolo", "Flute": "flute", "AltoFlute": "alto flute", "BassFlute": "bass flute", "Oboe": "oboe",
    "EnglishHorn": "english horn", "ClarinetInBFlat": "clarinet", "ClarinetInA": "clarinet in A",
    "ClarinetInEFlat": "clarinet in Eb", "BassClarinet": "bass clarinet", "ContrabassClarinet": "contrabass clarinet",
    "SopranoSaxophone": "soprano saxophone", "AltoSaxophone": "alto saxophone", "TenorSaxophone": "tenor saxophone",
    "BaritoneSaxophone": "baritone saxophone", "BassSaxophone": "bass saxophone", "Bassoon": "bassoon",
    "Contrabassoon": "contrabassoon", "FrenchHorn": "horn", "Trumpet": "trumpet in C", "AltoTrombone": "alto trombone",
    "TenorTrombone": "trombone", "BassTrombone": "bass trombone", "Tuba": "tuba", "Glockenspiel": "glockenspiel",
    "Xylophone": "xylophone", "Vibraphone": "vibraphone", "Marimba": "marimba", "Harp": "harp", "Piano": "piano",
    "Harpsichord": "harpsichord", "Guitar": "guitar", "SopranoVoice": "soprano", "MezzoSopranoVoice": "mezzo-soprano",
    "AltoVoice": "alto", "TenorVoice": "tenor", "BaritoneVoice": "baritone", "BassVoice": "bass voice",
    "Violin": "violin", "Viola": "viola", "Cello": "cello", "Contrabass": "double bass",
    "SopraninoSaxophone": "sopranino saxophone", "Accordion": "accordion",
}  # fmt: skip
"""Its contrabass flute is not among them: it stands in G, an eleventh below; ours in C, two octaves below."""

ABJAD_STARTS_OTHERWISE = {
    "ClarinetInEFlat": "F3 is a tone below the written E3, which sounds G3",
    "BassSaxophone": "A flat 2 is an octave above the written B flat 3, which sounds A flat 1",
    "BassTrombone": "C2; ours goes to the B flat of the second valve, as music21's",
    "Xylophone": "C4 is a written note: as a sounding one it lies an octave low, and models begin at F",
    "Marimba": "F2; ours is the five-octave instrument",
    "BaritoneVoice": "A2; ours a tone lower, from memory",
    "Harpsichord": "C2; music21 and ours have F1",
}

ABJAD_ENDS_OTHERWISE = {
    "ClarinetInEFlat": "C7 sounding; ours is the written C7, a minor third higher",
    "BassClarinet": "G5 is the written A6; the reference table ends at G6",
    "BaritoneSaxophone": "A flat 4, the written F6",
    "BassSaxophone": "E4 is the written F sharp 6",
    "Contrabassoon": "B flat 4 would be the written B flat 5",
    "Trumpet": "D6; ours is the written C6 on every trumpet",
    "AltoTrombone": "B flat 5; ours stops at F5",
    "BassTrombone": "F4; ours goes to B flat",
    "Xylophone": "C7 is a written note, as for the lowest",
    "Harpsichord": "C7; music21's lowest note fits an instrument of F1 to F6",
    "Guitar": "E5; ours has the nineteenth fret's B",
    "SopranoVoice": "E6, a solo voice; ours C6",
    "MezzoSopranoVoice": "C6; ours A5",
    "TenorVoice": "D5; ours C5",
    "Violin": "G7; musicalinstrumenthub has A7",
    "Viola": "D6; the handbook has E6",
    "Cello": "G5; the handbook has A5",
    "SopraninoSaxophone": "F sharp 6 is a written note; ours is the written F6",
}


def abjad_range(name: str) -> tuple[int, int]:
    """Lowest and highest sounding note as MIDI keys. Texts are methods in newer versions."""
    text = getattr(abjad.instruments, name)().pitch_range.range_string
    lowest, highest = re.findall(r"[A-G][#b]?\d", text() if callable(text) else text)
    return parse_pitch(lowest).midi, parse_pitch(highest).midi


def test_lowest_notes_of_abjad() -> None:
    """Its ranges are sounding pitches; compared by key, since its harp starts at B0 for C flat 1."""
    differing = {name for name, words in ABJAD.items() if abjad_range(name)[0] != sounding(words)[0]}
    assert differing == set(ABJAD_STARTS_OTHERWISE)


def test_highest_notes_of_abjad() -> None:
    differing = {name for name, words in ABJAD.items() if abjad_range(name)[1] != sounding(words)[1]}
    assert differing == set(ABJAD_ENDS_OTHERWISE)


def sounding(words: str) -> tuple[int, int]:
    instrument = known(words)
    assert instrument.lowest is not None and instrument.highest is not None
    return instrument.lowest.midi, instrument.highest.midi


def test_transpositions_of_abjad() -> None:
    """The sounding pitch of a written middle C, for every instrument that both tables have."""
    for name, words in ABJAD.items():
        instrument = getattr(abjad.instruments, name)()
        theirs = instrument.middle_c_sounding_pitch.name
        assert (theirs() if callable(theirs) else theirs) == lilypond_name(words), name


def lilypond_name(words: str) -> str:
    pitch = parse_pitch("C4") + known(words).transposition
    marks = pitch.octave - 3
    accidental = {-1: "f", 0: "", 1: "s"}[pitch.alter]
    return "cdefgab"[pitch.letter] + accidental + ("'" * marks if marks > 0 else "," * -marks)


def test_every_row_that_follows_a_library_is_compared_with_it() -> None:
    compared = {"abjad": set(ABJAD.values()), "music21": set(MUSIC21.values())}
    following = {
        (library, instrument.key)
        for instrument in instruments().values()
        for library in compared
        if re.match(rf"(lowest note )?as in .*{library}", instrument.source.casefold())
    }
    assert len(following) >= 6
    for library, key in following:
        assert find(key) in {find(words) for words in compared[library]}, (library, key)
