"""Material for a talk: numbered pictures, sounds and sentences, and what the speaker's notes say of each."""

from __future__ import annotations

import io
import re
from pathlib import Path

import html5lib
import mido
import pytest
from lxml import etree
from PIL import Image

from cavata.cli.main import main

pytestmark = pytest.mark.slow

SCRIPT = """\
language 2
piece "Lantern <b>"
use french from ciphers
name tamsin = "TAMSIN" by french
motif hail = tamsin -> sharp 1 -> in (1/4. 1/8 1/4)
motif lamp = hail -> as chord
motif tide = notes(1/2. D4 | 1/4 F4, 1/2 E4)
forces
    violin = violin
movement first "First"
    tempo 1/4 at 60
    violin: hail x 12, lamp -> marked p, tide
"""


@pytest.fixture(scope="module")
def talk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("talk")
    (place / "lantern.cavata").write_text(SCRIPT, "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CAVATA_CACHE", str(place / "cache"))
        assert main(["guide", str(place / "lantern.cavata"), "--talk", str(place / "out")]) == 0
    return place / "out"


def test_every_step_has_a_picture_a_sound_and_a_sentence(talk: Path) -> None:
    """A name, two steps of one theme, one of the next, a tune: five."""
    stems = sorted({path.stem for path in talk.iterdir()})
    assert stems == ["00-speakers-notes", "01-tamsin", "02-hail", "03-hail", "04-lamp", "05-tide"]
    for stem in stems[1:]:
        kinds = {path.suffix for path in talk.glob(f"{stem}.*")}
        assert kinds >= {".svg", ".png", ".mid", ".txt"} and kinds <= {".svg", ".png", ".mid", ".mp3", ".txt"}
        assert etree.parse(talk / f"{stem}.svg").getroot().tag.endswith("svg")
        assert Image.open(talk / f"{stem}.png").size[0] == 2496


def test_sentences_tell_the_steps_in_their_order(talk: Path) -> None:
    said = [(talk / f"{stem}.txt").read_text("utf-8").strip() for stem in ("02-hail", "03-hail", "04-lamp", "05-tide")]
    assert said == [
        "The composer raises note 1 by a semitone.",
        "It takes on a rhythm of a dotted quarter note, an eighth note and a quarter note.",
        "All its notes sound at once, as a chord.",
        "This is a tune that no name gave.",
    ]  # fmt: skip


def test_sound_has_the_notes_of_the_step(talk: Path) -> None:
    """TAMSIN by the French cipher is F A F E B G, from F4; then with F sharp. Read by mido."""

    def keys(stem: str) -> list[int]:
        file = mido.MidiFile(file=io.BytesIO((talk / f"{stem}.mid").read_bytes()))
        return [message.note for message in file if message.type == "note_on" and message.velocity]

    assert keys("01-tamsin") == [65, 69, 65, 64, 59, 55]
    assert keys("02-hail") == [66, 69, 65, 64, 59, 55]


def test_notes_have_the_clock_time_of_each_place(talk: Path) -> None:
    """Twelve times six quarters at 60 are 72 s, so the chord comes at 1:12; 3/8 later, at 73.5 s, the tune."""
    page = (talk / "00-speakers-notes.html").read_text("utf-8")
    html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    said = " ".join("".join(html5lib.parse(page, namespaceHTMLElements=False).itertext()).split())
    assert "Speaker’s notes: Lantern <b>" in said
    lamp = said[said.index("4. Lamp") : said.index("5. Tide")]
    assert re.search(r"To be heard in the piece at: 1:12, First, bar 19", lamp)
    assert "1:14, First, bar 19" in said[said.index("5. Tide") :]


def test_folder_that_cannot_be_written(
    talk: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(talk.parent / "cache"))  # all is drawn there
    (tmp_path / "lantern.cavata").write_text(SCRIPT, "utf-8")
    (tmp_path / "taken").write_text("a file, no folder")
    assert main(["guide", str(tmp_path / "lantern.cavata"), "--talk", str(tmp_path / "taken")]) == 1
    assert "O403" in capsys.readouterr().err
