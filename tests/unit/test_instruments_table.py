"""The table of instruments: words that find a row, printed names, and what every row must have."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from cavata.instruments.foreign import printed_name
from cavata.instruments.instrument import Instrument
from cavata.instruments.table import asks_for_section, find, instruments, suggestions, table_of
from cavata.resources import folder

EVERY = sorted(set(instruments().values()), key=lambda instrument: instrument.order)
PITCHED = [instrument for instrument in EVERY if not instrument.unpitched]
CLEFS = {"treble", "bass", "alto", "tenor", "treble_8", "percussion"}


def known(words: str) -> Instrument:
    instrument = find(words)
    assert instrument is not None, words
    return instrument


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("violin", "violin"),
        ("violins", "violin"),
        ("double basses", "double bass"),
        ("Double  Basses", "double bass"),
        ("contrabass", "double bass"),
        ("celli", "cello"),
        ("clarinet", "clarinet"),
        ("clarinets in Bb", "clarinet"),
        ("clarinet in B♭", "clarinet"),
        ("clarinet in A", "clarinet in A"),
        ("clarinets in A", "clarinet in A"),
        ("clarinet in Eb", "clarinet in Eb"),
        ("horns in F", "horn"),
        ("french horns", "horn"),
        ("cors anglais", "English horn"),
        ("trumpet in C", "trumpet in C"),
        ("alto sax", "alto saxophone"),
        ("alto saxes", "alto saxophone"),
        ("mezzo soprano", "mezzo soprano"),
        ("mezzo-sopranos", "mezzo soprano"),
        ("oboe d'amore", "oboe damore"),
        ("oboe damore", "oboe damore"),
        ("tamtam", "tam tam"),
        ("tam-tam", "tam tam"),
    ],
)
def test_words_find_their_instrument(words: str, key: str) -> None:
    assert known(words).key == key


@pytest.mark.parametrize("words", ["", "violinist", "first violins", "clarinet in", "bass", "saxophone", "drum"])
def test_other_words_find_none(words: str) -> None:
    assert find(words) is None


@pytest.mark.parametrize(
    ("words", "plural", "name"),
    [
        ("violin", False, "Violin"),
        ("violin", True, "Violins"),
        ("double bass", True, "Double basses"),
        ("clarinet", False, "Clarinet in B♭"),
        ("clarinet", True, "Clarinets in B♭"),
        ("clarinet in Eb", False, "Clarinet in E♭"),
        ("clarinet in A", True, "Clarinets in A"),
        ("horn", True, "Horns in F"),
        ("english horn", True, "English horns"),
        ("mezzo soprano", True, "Mezzo-sopranos"),
        ("oboe damore", False, "Oboe d'amore"),
        ("timpani", True, "Timpani"),
        ("bass voice", False, "Bass"),
    ],
)
def test_printed_name(words: str, plural: bool, name: str) -> None:
    assert printed_name(known(words), plural) == name


@pytest.mark.parametrize(
    ("words", "section"),
    [("violins", True), ("violin", False), ("horns in F", True), ("celli", True), ("timpani", False), ("kazoo", False)],
)
def test_plural_words_ask_for_a_section(words: str, section: bool) -> None:
    assert asks_for_section(words) is section


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("volin", ("violin",)),
        ("basoon", ("bassoon",)),
        ("clarient in A", ("clarinet in A", "clarinet in C", "clarinet in D")),
        ("bass", ("double bass", "bass voice")),
        ("kazoo", ()),
    ],
)
def test_suggestions(words: str, meant: tuple[str, ...]) -> None:
    assert suggestions(words) == meant


def test_every_word_offered_for_an_ambiguous_one_is_an_instrument() -> None:
    table = tomllib.loads((folder("stdlib") / "instruments.toml").read_text(encoding="utf-8"))
    for word, offered in table["ambiguous"].items():
        assert find(word) is None
        assert offered
        for words in offered:
            assert find(words) is not None, words


def test_no_word_belongs_to_two_instruments() -> None:
    """Every instrument is found by its own key and plural, so no later row hides behind an earlier one."""
    for instrument in EVERY:
        assert find(instrument.key) is instrument
        assert find(instrument.plural) is instrument


def test_there_are_enough_instruments_for_an_orchestra() -> None:
    families = {instrument.family for instrument in EVERY}
    assert families == {"woodwind", "brass", "percussion", "keyboard", "plucked", "voice", "strings"}
    assert 150 <= len(EVERY) <= 180


@pytest.mark.parametrize("instrument", PITCHED, ids=lambda instrument: instrument.key)
def test_ranges_are_in_order(instrument: Instrument) -> None:
    assert instrument.lowest and instrument.highest and instrument.comfortable
    assert instrument.extreme
    (least, most), (low, high) = instrument.extreme, instrument.comfortable
    keys = [pitch.midi for pitch in (least, instrument.lowest, low, high, instrument.highest, most)]
    assert keys == sorted(keys)
    assert high.midi - low.midi >= 12
    assert keys[0] >= 21 and keys[-1] <= 108 + 12


SECTIONS = [instrument for instrument in PITCHED if instrument.section]


@pytest.mark.parametrize("instrument", SECTIONS, ids=lambda instrument: instrument.key)
def test_section_is_held_to_no_more_than_one_player_and_to_an_octave_at_least(instrument: Instrument) -> None:
    assert instrument.section and instrument.lowest and instrument.highest
    low, high = instrument.section
    assert instrument.lowest.midi <= low.midi and low.midi + 12 <= high.midi <= instrument.highest.midi


def test_orchestral_strings_and_choir_have_a_range_for_the_section() -> None:
    assert {known(words) for words in ("violin", "viola", "cello", "double bass")} <= set(SECTIONS)
    voices = {instrument for instrument in PITCHED if instrument.family == "voice"}
    assert {known(words) for words in ("soprano", "alto", "tenor", "bass voice")} <= voices & set(SECTIONS)


def test_doublings_are_instruments_of_the_same_player() -> None:
    """Flute and piccolo, oboe and English horn, bassoon and contrabassoon, and so on. Source: common practice."""
    for usual, other in (
        ("flute", "piccolo"), ("flute", "alto flute"), ("oboe", "English horn"), ("clarinet", "bass clarinet"),
        ("clarinet", "clarinet in Eb"), ("bassoon", "contrabassoon"), ("trumpet", "piccolo trumpet"),
    ):  # fmt: skip
        assert other in known(usual).doubles
    for instrument in EVERY:
        for other in instrument.doubles:
            assert known(other) is not instrument
            assert known(other).family == instrument.family


def test_kept_table_is_the_table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    read = [table_of.__wrapped__("instruments") for _ in range(2)]
    assert read[0] == read[1] == tomllib.loads((folder("stdlib") / "instruments.toml").read_text(encoding="utf-8"))
    (copy,) = (tmp_path / "cavata" / "tables").iterdir()
    copy.write_bytes(b"damaged")
    assert table_of.__wrapped__("instruments") == read[0]
    assert copy.read_bytes() != b"damaged"


@pytest.mark.parametrize("instrument", EVERY, ids=lambda instrument: instrument.key)
def test_every_row_is_complete(instrument: Instrument) -> None:
    assert instrument.name and instrument.abbreviation and instrument.plural and instrument.source
    assert len(instrument.abbreviation) <= len(instrument.name) + 4
    assert instrument.clefs and set(instrument.clefs) <= CLEFS
    assert 0 <= instrument.program <= 127
    assert instrument.hands in (("",), ("right", "left"))
    assert instrument.third in ("", "middle", "pedal")
    if len(instrument.hands) == 2:
        assert instrument.clefs == ("treble", "bass")


def test_unpitched_instruments_have_a_key_of_the_drum_map_and_no_range() -> None:
    unpitched = [instrument for instrument in EVERY if instrument.unpitched]
    assert len(unpitched) >= 20
    for instrument in unpitched:
        assert instrument.percussion_key is not None and 27 <= instrument.percussion_key <= 87
        assert instrument.lowest is None and instrument.highest is None and instrument.comfortable is None
        assert instrument.clefs == ("percussion",)


def test_score_order_follows_the_families() -> None:
    """Woodwind, brass, percussion, keyboard, plucked, voices, strings. Source: common practice."""
    order = ["piccolo", "flute", "oboe", "clarinet", "bassoon", "horn", "trumpet", "trombone", "tuba", "timpani"]
    order += ["triangle", "piano", "harp", "soprano", "bass voice", "violin", "viola", "cello", "double bass"]
    places = [known(words).order for words in order]
    assert places == sorted(places)


def test_the_table_is_read_without_the_engraving_libraries() -> None:
    program = (
        "import sys; from cavata.instruments.table import find; assert find('violin');"
        "print(sorted({'abjad', 'music21', 'mido', 'numpy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
