"""The document of a whole piece is read by other programs as its movements one after another, and so is a packed one.

Sources: `musicxml.xsd` of MusicXML 4.0, and the readers of music21, Verovio and LilyPond (`foreign_readers.py`).
"""

from __future__ import annotations

import os
import re
import sys
from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_STORED, ZipFile

import music21
import pytest
from foreign_readers import Sound, VerovioReading, read_by_converter, read_by_music21, sounds_of
from lxml import etree
from musicxml_schema import faults

# The pieces by chance stand beside the laws.
sys.path.append(str(Path(__file__).resolve().parent.parent / "properties"))

from random_pieces import compiled_piece

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.edition.struck import with_struck_notes
from cavata.foreign.score_file import open_score
from cavata.musicxml.document import musicxml_bytes
from cavata.musicxml.packed import mxl_archive
from cavata.musicxml.whole import whole_bytes
from cavata.notate.written import WrittenScore
from cavata.pipeline import Build, build, compile_script, written
from cavata.score.score import Score

PIECES = range(int(os.environ.get("CAVATA_PIECES", "3")))
PIECE = """language 2
piece "Three Days"
    composer "A. Lind"
forces
    flute  = flute, doubling piccolo
    horn   = horn
    organ  = organ
    violin = violin
movement first "Sunday"
    key D major
    meter 3/4
    section one 4 bars
        repeated
        flute: notes(1/4 D5 E5 F#5) x 4
        horn: notes(3/4 D4) x 4
    section two 3 bars
        flute: notes(3/4 D5 A5 D6)
        violin: notes(1/4 D4, 1/12 E4 F#4 G4, 1/4 A4)
        flute bars 2 to 3: on piccolo
movement second "Monday"
    section one 2 bars
        repeated
        horn: notes(1/1 C4 D4)
        organ: notes(1/2 C5 D5) x 2
        organ.pedal: notes(1/1 C2 D2)
    section two 1 bars
        flute: notes(1/1 C5)
        violin: notes(1/8 C5 D5 E5 F5 G5 A5 B5 C6)
        violin ossia: notes(1/2 C5 G5)
cadenza alone
    flute: notes(1/4 C5 D5, 1/2 E5)
movement third
    key Eb major
    meter 7/8 as 2+2+3
    organ: notes(7/8 Eb5)
    violin: notes(1/8 Eb5 F5 G5 Ab5 Bb5 C6 D6)
"""


def compiled(text: str = PIECE) -> tuple[Score, WrittenScore]:
    made = compile_script(Path("days.cavata"), "days.cavata", text=text)
    assert made.score is not None, [message.message for message in made.bag.ordered()]
    return made.score, written(full_score(made.score))


HEARD = PIECE.replace("        violin ossia: notes(1/2 C5 G5)\n", "")
"""Without what never sounds, which some readers play."""
SCORE, PAGE = compiled(HEARD)
DOCUMENTS = {movement.name: musicxml_bytes(PAGE, movement.name) for movement in PAGE.movements}
WHOLE = whole_bytes(PAGE, DOCUMENTS)


def expected(score: Score, page: WrittenScore, as_written: bool = False) -> Counter[Sound]:
    """The sounds of the movements one after another, as they stand on the page."""
    found: Counter[Sound] = Counter()
    begin = Fraction(0)
    for movement, bars in zip(score.movements, page.movements, strict=True):
        for (part, onset, key, length), count in sounds_of(score, movement, as_written).items():
            found[part, begin + onset, key, length] += count
        begin += sum(frame.duration for frame in bars.frames)
    return found


def test_the_whole_holds_against_the_schema() -> None:
    assert faults(WHOLE) == []


def test_what_is_in_a_movement_is_in_the_whole() -> None:
    """Note for note under its id; the staff of an ossia and of a pedal board, which a part has in some movements only,
    are there in all, so that staves are numbered as they are there."""
    _, page = compiled()
    documents = {movement.name: musicxml_bytes(page, movement.name) for movement in page.movements}
    joined = whole_bytes(page, documents)
    assert faults(joined) == []
    whole = etree.fromstring(joined)
    known = {element.get("id"): etree.tostring(element) for element in whole.iter("note", "measure")}
    assert len(known) == len(list(whole.iter("note", "measure")))
    for part, staves in zip(whole.findall("part"), (None, None, "3", "2"), strict=True):
        assert part.findtext("measure/attributes/staves") == staves
    for document in documents.values():
        for note in etree.fromstring(document).iter("note"):
            for moved in (*note.findall("voice"), *note.findall("staff")):
                note.remove(moved)
            held = etree.fromstring(known[note.get("id")])
            for moved in (*held.findall("voice"), *held.findall("staff")):
                held.remove(moved)
            assert etree.tostring(held).strip() == etree.tostring(note).strip()


def test_music21_reads_every_sound_of_the_whole() -> None:
    read, ours = read_by_music21(WHOLE), expected(SCORE, PAGE)
    assert (sorted((ours - read).items()), sorted((read - ours).items())) == ([], [])


def hold_against_verovio(documents: Iterable[bytes], whole: bytes) -> None:
    """It plays the whole as the movements in turn."""
    begin, found = 0.0, []
    for document in documents:
        reading = VerovioReading(document)
        found += [(part, key, begin + onset) for part, key, onset in reading.strikes()]
        begin += reading.length
    played = VerovioReading(whole).strikes()
    assert [strike[:2] for strike in sorted(found)] == [strike[:2] for strike in played]
    assert [onset for *_, onset in played] == pytest.approx([onset for *_, onset in sorted(found)], abs=1e-6)


def test_verovio_plays_the_whole_as_the_movements_in_turn() -> None:
    """Repeats played out: a repeat of the second movement does not go back into the first."""
    hold_against_verovio(DOCUMENTS.values(), WHOLE)


@pytest.mark.slow
@pytest.mark.parametrize("number", PIECES)
def test_the_whole_of_a_piece_by_chance_is_read(number: int) -> None:
    score = compiled_piece(number).score
    assert score is not None
    if len(score.movements) < 2:
        pytest.skip("chance made one movement")
    page = written(full_score(score))
    documents = {movement.name: musicxml_bytes(page, movement.name) for movement in page.movements}
    whole = whole_bytes(page, documents)
    assert faults(whole) == []
    if not score.shared:
        read, ours = read_by_music21(whole), expected(with_struck_notes(score), page)
        assert (sorted((ours - read).items()), sorted((read - ours).items())) == ([], [])
    hold_against_verovio(documents.values(), whole)


@pytest.mark.slow
def test_lilyponds_converter_reads_every_sound_of_the_whole() -> None:
    """It gives written pitches, which another instrument in hand would change."""
    score, page = compiled(HEARD.replace("        flute bars 2 to 3: on piccolo\n", ""))
    whole = whole_bytes(page, {movement.name: musicxml_bytes(page, movement.name) for movement in page.movements})
    read, ours = read_by_converter(whole), expected(score, page, as_written=True)
    assert (sorted((ours - read).items()), sorted((read - ours).items())) == ([], [])


def test_what_held_in_a_movement_holds_no_longer_in_the_next() -> None:
    """By hand: the key, the instrument in hand, and the place that a repeat goes back to."""
    flute, horn, organ, _ = etree.fromstring(WHOLE).findall("part")
    begins = [measure for measure in flute.findall("measure") if measure.find("attributes/divisions") is not None]
    assert [measure.findtext("attributes/key/fifths") for measure in begins] == ["2", "0", "0", "-3"]
    piccolo, flutes = "73", "74"
    assert [sound.text for sound in flute.iterfind("measure/sound/midi-instrument/midi-program")] == [
        piccolo, flutes, flutes, flutes
    ]  # fmt: skip
    assert [measure.findtext("attributes/transpose/chromatic") for measure in begins] == [None, "0", "0", "0"]
    assert [horn.findtext("measure/attributes/transpose/chromatic")] == ["-7"]
    assert [repeat.get("direction") for repeat in flute.iter("repeat")] == ["backward", "forward", "backward"]
    titles = [m.findtext("direction/direction-type/words") for m in begins if m.find("direction") is not None]
    assert titles == ["Sunday", "Monday"]
    assert [measure.find("print").get("new-system") for measure in begins] == [None, "yes", "yes", "yes"]
    clefs = [[clef.findtext("sign") for clef in part.iter("clef")] for part in (flute, organ)]
    assert clefs == [["G"], ["G", "F", "F"]]


FORMS = """language 2
forces
    flute = flute
movement first
    section one
        segno
        fine
        flute: notes(1/1 D5 E5)
    section two
        dal segno al fine
        flute: notes(1/1 F5 G5)
movement flute
    section one
        segno
        fine
        flute: notes(1/1 D5 E5)
    section two
        dal segno al fine
        flute: notes(1/1 F5 G5)
"""


def test_a_jump_leads_to_the_sign_of_its_own_movement() -> None:
    _, page = compiled(FORMS)
    whole = etree.fromstring(whole_bytes(page, {m.name: musicxml_bytes(page, m.name) for m in page.movements}))
    signs = [(name, sound.get(name)) for sound in whole.iter("sound") for name in ("segno", "dalsegno")]
    jumps = [(name, said) for name, said in signs if said]
    assert jumps == [("segno", "segno"), ("dalsegno", "segno"), ("segno", "flute"), ("dalsegno", "flute")]


def test_files_have_names_of_their_own() -> None:
    """Also where a movement is called as a part is, of which there is a whole too."""
    made = compile_script(Path("days.cavata"), "days.cavata", text=FORMS)

    def files(*formats: str, movement: str | None = None) -> list[str]:
        order = Build(formats, WantedCopies(parts=None), "days", movement=movement)
        return list(build(made, order, made.bag, lambda said: None))

    assert files("musicxml") == [
        "days-first.musicxml", "days-flute.musicxml", "days.musicxml",
        "days-first-flute.musicxml", "days-flute-flute.musicxml", "days--flute.musicxml",
    ]  # fmt: skip
    assert files("mxl", movement="first") == ["days-first.mxl", "days-first-flute.mxl"]


def test_titles_are_seen_in_other_programs() -> None:
    """Verovio draws them, and music21 has them in the head of the score."""
    verovio = pytest.importorskip("verovio")
    kit = verovio.toolkit()
    texts = (WHOLE, ("Three Days", "A. Lind", "Sunday")), (DOCUMENTS["second"], ("Three Days", "Monday"))
    for document, seen in texts:
        assert kit.loadData(document.decode())
        drawn = re.sub(r"<[^>]*>|\s+", "", kit.renderToSVG(1))
        assert [text for text in seen if text.replace(" ", "") not in drawn] == []
    head = music21.converter.parse(WHOLE, format="musicxml").metadata
    assert (head.title, head.composer) == ("Three Days", "A. Lind")
    score = compile_script(Path("days.cavata"), "days.cavata", text=PIECE).score
    assert score is not None
    part = next(copy.score for copy in copies(score, WantedCopies(False, parts=("horn",)), Diagnostics()))
    first = etree.fromstring(musicxml_bytes(written(part), "first"))
    credits = {credit.findtext("credit-type"): credit for credit in first.findall("credit")}
    assert list(credits) == ["part name", "title", "composer", "movement title"]
    for credit in credits.values():
        words = credit.find("credit-words")
        assert credit.get("page") == "1" and words is not None and words.get("default-x") and words.get("default-y")


def test_verovio_keeps_the_ids() -> None:
    """Of notes and rests in the picture and in its timemap, and of measures, which it calls as those of the first part;
    a chord's group has an id of Verovio's own, around notes that keep theirs."""
    verovio = pytest.importorskip("verovio")
    kit = verovio.toolkit()
    kit.setOptions({"condense": "none"})  # else it leaves out staves that are silent in a system
    assert kit.loadData(WHOLE.decode())
    drawn = set(re.findall(r' id="([^"]*)"', "".join(kit.renderToSVG(n + 1) for n in range(kit.getPageCount()))))
    whole = etree.fromstring(WHOLE)
    ids = [element.get("id") for element in (*whole.iter("note"), *whole.find("part").iter("measure"))]
    assert [identifier for identifier in ids if identifier not in drawn] == []
    sounding = {identifier.split("-rend")[0] for moment in kit.renderToTimemap() for identifier in moment.get("on", ())}
    assert sounding == {note.get("id") for note in whole.iter("note") if note.find("rest") is None}


# ---------------------------------------------------------------- packed


def test_a_packed_document_is_read_by_others(tmp_path: Path) -> None:
    """By music21, by Verovio, and by our own reader of other programs' scores."""
    verovio = pytest.importorskip("verovio")
    document = DOCUMENTS["third"]
    path = tmp_path / "days-third.mxl"
    path.write_bytes(mxl_archive(document, "days-third.musicxml"))
    assert open_score(path).content == document
    read = music21.converter.parse(path)
    assert read.metadata.movementName == "third"
    kit = verovio.toolkit()
    assert kit.loadFile(str(path))
    assert "third-violin-notes-1" in kit.getMEI()


def test_an_archive_is_as_the_format_says_and_the_same_every_time() -> None:
    """Source: MusicXML 4.0, Compressed .MXL Files: `mimetype` is the first file, and it is not packed."""
    made = mxl_archive(DOCUMENTS["third"], "days-é-third.musicxml")
    assert made == mxl_archive(DOCUMENTS["third"], "days-é-third.musicxml")
    with ZipFile(BytesIO(made)) as archive:
        first, container, document = archive.infolist()
        assert (first.filename, first.compress_type) == ("mimetype", ZIP_STORED)
        assert archive.read(first) == b"application/vnd.recordare.musicxml"
        assert made[30:38] == b"mimetype"  # nothing but its name before it, so that others find it at a fixed place
        root = etree.fromstring(archive.read(container)).find("rootfiles/rootfile")
        assert (container.filename, root.get("full-path")) == ("META-INF/container.xml", document.filename)
        assert {member.date_time for member in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert document.file_size > 4 * document.compress_size
