"""What `study` and `trace` say of bad input: each message as its page has it, and never a traceback."""

from __future__ import annotations

import json
import re
import struct
import zipfile
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.foreign import reading
from cavata.foreign.foreign_score import read_foreign
from cavata.foreign.score_file import Unreadable
from cavata.resources import folder
from cavata.trace import tracing

FENCE = re.compile(r"^```\n((?:(?!```).*\n)*)```$", re.MULTILINE)
NOTE = "<note><pitch><step>A</step><octave>4</octave></pitch><duration>1</duration></note>"
MUSICXML = (
    "<score-partwise><part-list><score-part id='P1'><part-name>Flute</part-name></score-part></part-list>"
    "<part id='P1'><measure number='1'><attributes><divisions>1</divisions></attributes>{}</measure></part>"
    "</score-partwise>"
)


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    return furnished(tmp_path)


def furnished(folder: Path) -> Path:
    """The folder, with a script and two scores in it."""
    lines = "language 2\n\nforces\n    flute = flute\n\nmovement first\n    flute: notes(1/4 D5 E5 F5 G5)\n"
    (folder / "lantern.cavata").write_text(lines)
    (folder / "printed").write_text("")
    (folder / "plain.musicxml").write_text(MUSICXML.format(NOTE * 4))
    (folder / "empty.musicxml").write_text(MUSICXML.format(""))
    return folder


def compare(code: str, said: str, request: pytest.FixtureRequest) -> None:
    page = folder("grammar") / "messages" / f"{code}.md"
    text = page.read_text("utf-8")
    if request.config.getoption("--update"):
        page.write_text(FENCE.sub(lambda _: f"```\n{said}```", text, count=1), "utf-8")
        return
    assert FENCE.findall(text) == [said]


SENTENCE = "all the keepers of the lamp at the end of the quay and those before them"


@pytest.mark.parametrize(
    ("code", "arguments"),
    [
        ("O310", ["study", "日本"]),
        ("O311", ["study", "TAMSIN", "--from", "lantern.cavata"]),
        ("O312", ["study", SENTENCE]),
        ("O345", ["study", "TAM\x07SIN"]),
        ("O314", ["study", "TAMSIN", "--by", "french", "--sheet", "printed/tamsin.pdf"]),
        ("O320", ["trace", "--notes", "Bb A C H", "lantern.cavata"]),
        ("O321", ["study", "TAMSIN", "--by", "frensh"]),
        ("O322", ["trace", "AL", "lantern.cavata"]),
        ("O323", ["trace", "TAMSIN"]),
    ],
)
def test_command_gives_the_message_of_its_page(
    code: str, arguments: list[str], desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    assert main(arguments) == 1
    compare(code, capsys.readouterr().err, request)


def test_missing_engraver_leaves_the_table_and_says_so(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_LILYPOND", "no-such-program")
    assert main(["study", "TAMSIN", "--sheet", "tamsin.pdf"]) == 1
    told = capsys.readouterr()
    assert "F A F E B G" in told.out and not (desk / "tamsin.pdf").exists()
    compare("O315", told.err, request)


def test_no_hit_is_a_warning(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    assert main(["trace", "BACH", "lantern.cavata", "--sheet", "bach.pdf"]) == 0
    compare("O324", capsys.readouterr().err, request)


def test_cache_that_cannot_be_written(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    (desk / "scores").mkdir()
    (desk / "scores" / "plain.musicxml").write_text(MUSICXML.format(NOTE))
    monkeypatch.setenv("CAVATA_CACHE", str(desk / "printed"))
    assert main(["trace", "BACH", "scores"]) == 1
    compare("O325", capsys.readouterr().err, request)


# ------------------------------------------------------------------ files that are no scores


def archive(path: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in members.items():
            packed.writestr(name, data)
    return path


def external(path: Path, secret: Path, encoding: str = "utf-8") -> Path:
    doctype = f'<!DOCTYPE score-partwise [<!ENTITY leak SYSTEM "{secret.as_uri()}">]>'
    head = f'<?xml version="1.0" encoding="{encoding}"?>'
    path.write_text(head + doctype + MUSICXML.format(NOTE).replace("Flute", "&leak;"), encoding)
    return path


def bad_files(desk: Path) -> dict[str, str]:
    """Each bad file with the code that it gives."""
    secret = desk / "secret.txt"
    secret.write_text("nobody may read this")
    score = MUSICXML.format(NOTE).encode()
    archive(desk / "bomb.mxl", {"score.xml": b" " * 70_000_000 + score})
    archive(desk / "ratio.mxl", {"score.xml": score + b" " * 30_000_000})
    archive(desk / "hollow.mxl", {"readme.txt": b"no score"})
    archive(desk / "many.mxl", {f"{n}.xml": b"" for n in range(1500)})
    external(desk / "leak.musicxml", secret)
    external(desk / "leak16.musicxml", secret, "utf-16")
    archive(desk / "leak.mxl", {"score.xml": (desk / "leak.musicxml").read_bytes()})
    laughs = "".join(f'<!ENTITY a{n + 1} "{f"&a{n};" * 10}">' for n in range(9))
    (desk / "laughs.xml").write_text(f'<!DOCTYPE x [<!ENTITY a0 "ha">{laughs}]><score-partwise>&a9;</score-partwise>')
    good = archive(desk / "good.mxl", {"score.xml": score}).read_bytes()
    (desk / "cut.mxl").write_bytes(good[: len(good) // 2])
    (desk / "noise.mxl").write_bytes(b"PK\x03\x04" + bytes(range(256)) * 4)
    middle = bytearray(good)
    middle[60:90] = b"\xff" * 30
    (desk / "middle.mxl").write_bytes(middle)
    (desk / "html.xml").write_text("<html><body/></html>")
    (desk / "half.musicxml").write_text("<score-partwise><part>")
    (desk / "noise.mid").write_bytes(bytes(range(64)))
    (desk / "cut.mid").write_bytes(b"MThd" + struct.pack(">IHHH", 6, 1, 1, 480) + b"MTrk\0\0")
    (desk / "odd.krn").write_text("**kern\n\t\t\n=1\t\n4zzq\n")
    (desk / "odd.abc").write_text("X:1\nK:\n|||")
    (desk / "blank.krn").write_text("\n")
    (desk / "empty.abc").write_text("")
    (desk / "deep.musicxml").write_text(f"<score-partwise>{'<a>' * 50_000}{'</a>' * 50_000}</score-partwise>")
    # A track of forty bytes that lasts for years, and a note of 65,536 units.
    track = b"".join(b"\xff\xff\xff\x7f" + bytes((0x90, 60, 64 * n)) for n in (1, 0)) + b"\0\xff\x2f\0"
    head = b"MThd" + struct.pack(">IHHH", 6, 0, 1, 1)
    (desk / "years.mid").write_bytes(head + b"MTrk" + struct.pack(">I", len(track)) + track)
    (desk / "long.abc").write_text("X:1\nT:Long\nM:4/4\nL:1/4\nK:C\nd65536B|\n")
    container = b"<?xml version='1.0' encoding='UTF-9'?><container/>"
    archive(desk / "utf9.mxl", {"META-INF/container.xml": container, "score.xml": b"<?xml version='1.0' "
            b"encoding='UTF-9'?>" + score})  # fmt: skip
    (desk / "picture.png").write_bytes(b"\x89PNG")
    return {
        "nothing.mid": "O301", "absent/score.xml": "O301", "picture.png": "O302", "html.xml": "O302",
        "half.musicxml": "O302", "noise.mid": "O302", "hollow.mxl": "O302", "cut.mxl": "O303", "noise.mxl": "O303",
        "middle.mxl": "O303", "leak.musicxml": "O304", "leak16.musicxml": "O304", "leak.mxl": "O304",
        "laughs.xml": "O304", "bomb.mxl": "O305", "ratio.mxl": "O305", "many.mxl": "O305", "empty.musicxml": "O306",
        "cut.mid": "O30", "odd.krn": "O30", "odd.abc": "O30", "blank.krn": "O302", "empty.abc": "O302",
        "deep.musicxml": "O30", "years.mid": "O307", "long.abc": "O307", "utf9.mxl": "O302",
    }  # fmt: skip


@pytest.fixture(scope="module")
def all_bad(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """A folder with every bad file, written once, for some are large before they are packed; and their codes."""
    folder = furnished(tmp_path_factory.mktemp("bad"))
    return folder, bad_files(folder)


@pytest.fixture
def bad_desk(desk: Path, all_bad: tuple[Path, dict[str, str]], monkeypatch: pytest.MonkeyPatch) -> dict[str, str]:
    """At work in that folder."""
    monkeypatch.chdir(all_bad[0])
    return all_bad[1]


@pytest.mark.slow
def test_every_bad_file_has_its_message_and_none_a_traceback(
    bad_desk: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    """All in one run, so that their readers are loaded once; each stands for itself among the messages."""
    assert main(["trace", "--notes", "Bb A C B", *bad_desk, "--json"]) == 1
    told = capsys.readouterr()
    messages = json.loads(told.out)["messages"]
    assert len(messages) == len(bad_desk)
    for name, code in bad_desk.items():
        told_of = [each for each in messages if Path(name).name in each["message"] and each["code"].startswith(code)]
        assert len(told_of) == 1, (name, messages)
        message = told_of[0]
        assert message["severity"] == "error"
        assert not re.search(r"Error|Exception|object|<", message["message"]), message["message"]
    assert "nobody may read this" not in told.out + told.err


@pytest.mark.slow
def test_a_bad_file_does_not_keep_the_good_one_from_being_read(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["trace", "--notes", "A A A", "nothing.mid", "plain.musicxml", "--all"]) == 1
    told = capsys.readouterr()
    assert "O301" in told.err and "plain.musicxml" in told.out and "A4 A4 A4" in told.out


def test_an_archive_that_hides_its_size_is_stopped_while_reading(desk: Path) -> None:
    """The directory says ten bytes; what comes out is cut off there and refused."""
    from cavata.foreign.score_file import Unreadable, open_score

    path = archive(desk / "liar.mxl", {"score.xml": MUSICXML.format(NOTE * 50).encode()})
    data = bytearray(path.read_bytes())
    directory = data.rindex(b"PK\x01\x02")
    data[directory + 24 : directory + 28] = struct.pack("<I", 10)
    path.write_bytes(data)
    with pytest.raises(Unreadable) as refused:
        open_score(path)
    assert refused.value.code in ("O302", "O303", "O305")


@pytest.mark.slow
@pytest.mark.parametrize("option", [["--between", "1"], ["--notes", "Bb A C B"], ["--strict"]])
def test_scores_may_stand_after_an_option(
    option: list[str], desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tracing, "read_score", read_foreign)
    assert main(["trace", "TAMSIN", *option, "plain.musicxml"]) == 0
    assert "plain.musicxml" in capsys.readouterr().out
    assert main(["trace", "TAMSIN", *option, "plain.musicxml", "--nothing"]) == 2


def test_a_name_cannot_steer_a_terminal(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for arguments in (["study", "A\x1b[2JB"], ["trace", "B\x1b[2JACH", "plain.musicxml"], ["study", "A\nB"]):
        assert main(arguments) == 1
        told = capsys.readouterr()
        assert "\x1b" not in told.out + told.err and "O345" in told.err


# ------------------------------------------------------------------ files that lead their reader astray

ASTRAY = "X:1\nT:Astray\nM:1/64\nL:1/1\nK:C\n" + "c999|" * 400 + "\n"
"""Lengths that are believed one by one, and bars without end."""


@pytest.mark.slow
def test_a_reader_that_takes_too_long_is_ended(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading, "_SECONDS", 1)
    (desk / "tune.abc").write_text(ASTRAY)
    assert main(["trace", "--notes", "Bb A C B", "tune.abc"]) == 1
    compare("O307", capsys.readouterr().err, request)


STANDS_STILL = """
import json, sys
sys.path[:] = json.loads(sys.argv[1])
from pathlib import Path
from cavata.foreign import foreign_score
from cavata.foreign.heard import HeardScore
from cavata.foreign.reading import answer
from cavata.foreign.score_file import Unreadable

def read(path):
    while path.name == "tune.abc":
        pass
    if path.name == "html.xml":
        raise Unreadable("O302", "no score", "")
    return (HeardScore(path.stem, ()),)

foreign_score.read_foreign = read
answer(sys.argv[2], sys.argv[3:])
"""
"""A child whose reader is loaded at once, and stands still at one of the files."""


@pytest.mark.slow
def test_the_files_beside_one_that_is_too_much_are_read(desk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "_SECONDS", 1)
    monkeypatch.setattr(reading, "_CHILD", STANDS_STILL)
    paths = [desk / name for name in ("plain.musicxml", "tune.abc", "html.xml", "last.musicxml")]
    through: list[None] = []
    found = list(reading.read_scores(paths, told=lambda: through.append(None)))
    assert [path for path, _ in found] == paths and len(through) == 4
    (_, plain), (_, astray), (_, html), (_, last) = found
    assert isinstance(astray, Unreadable) and astray.code == "O307"
    assert isinstance(html, Unreadable) and html.code == "O302"
    assert isinstance(plain, tuple) and isinstance(last, tuple)
    assert [scores[0].title for scores in (plain, last)] == ["plain", "last"]


@pytest.mark.slow
def test_a_reader_has_so_much_memory_and_no_more(desk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With hardly more than the interpreter needs, no score can be read; the command says so and lives."""
    monkeypatch.setattr(reading, "MEMORY", 60 << 20)
    ((_, found),) = reading.read_scores([desk / "plain.musicxml"])
    assert isinstance(found, Unreadable) and found.code in ("O307", "O302")


@pytest.mark.slow
def test_what_a_child_reads_is_what_is_read_here(desk: Path) -> None:
    tunes = "X:1\nT:Quay\nM:3/4\nL:1/4\nK:C\nc (3d/e/f/ [eg]|_B2 z|\n\nX:2\nT:Lamp\nK:G\nF G A|\n"
    (desk / "tune.abc").write_text(tunes)
    for name in ("plain.musicxml", "tune.abc"):
        assert reading.read_score(desk / name) == read_foreign(desk / name)
