"""The catalog of messages holds, word for word and column for column, and says everything that can be said.

What a page shows under `## The message` is what `cavata check` prints; `pytest --update` writes it anew.
"""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from fake_engravers import DRAWS, FAILS, HAS_NO_ROOM, IS_KILLED, SAYS, SLEEPS, engrave_with
from lark import Lark
from message_pages import FOLDER, SHOWN, SKETCH, Page, codes_in_source, messages_of, pages, said_of

from cavata.child import ChildLimits
from cavata.cli.main import main
from cavata.diagnostics import Severity, as_text, closest, messages_json
from cavata.lilypond.engrave import how_to_get_it
from cavata.lilypond.engraving import EngravingFault, Failure
from cavata.pipeline import compile_script
from cavata.resources import folder as resource
from cavata.source import Source
from cavata.syntax.words import describe
from cavata.transforms.table import TRANSFORMS

PAGES = {page.code: page for page in pages()}
FAILING = [script for page in PAGES.values() for script in page.failing]
PARTS = "forces\n    flute = flute\n\nmovement first\n"


def named(chosen: list[Page]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("page", chosen, ids=[page.code for page in chosen])


# ------------------------------------------------------------------ the catalog as a whole


def test_every_code_has_a_page_and_every_page_a_code() -> None:
    assert sorted(PAGES) == sorted(codes_in_source())


def test_the_page_that_lists_the_steps_has_them_all(request: pytest.FixtureRequest) -> None:
    page = FOLDER / "N206.md"
    patterns = [transform.pattern for each in TRANSFORMS.values() for transform in each]
    listed = f"The transforms are: {', '.join(f'`{pattern}`' for pattern in patterns)}."
    made = re.sub(r"^The transforms are: .*$", lambda _: listed, page.read_text("utf-8"), count=1, flags=re.MULTILINE)
    if request.config.getoption("--update"):
        page.write_text(made, "utf-8", newline="\n")
    assert listed in page.read_text("utf-8").splitlines(), "N206.md is old: pytest --update"


def test_pages_have_the_fixed_shape() -> None:
    for page in PAGES.values():
        has_the_fixed_shape(page)


def has_the_fixed_shape(page: Page) -> None:
    assert re.fullmatch(rf"# {page.code}: \S.*[^.]", page.title)
    headings = [name for name, _ in page.parts]
    if "When it comes" in headings:
        assert headings == ["When it comes"], page.code
        assert len(page.fences("When it comes")) == 1, page.code
    else:
        pairs = len(page.failing)
        assert pairs >= 1, page.code
        assert headings == ["Goes wrong", "The message"] * pairs + ["Mended"], page.code
        assert len(page.messages) == pairs and len(page.mended) == 1, page.code
    assert page.code[0] not in "OX" or headings == ["When it comes"], page.code
    assert all(len(line) <= 120 for fence in page.failing + page.mended for line in fence.splitlines()), page.code


# ------------------------------------------------------------------ scripts that go wrong, and mended ones


@named([page for page in PAGES.values() if page.failing])
def test_failing_script_gives_the_message_of_its_page(
    page: Page, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    said = tuple(said_of(script, tmp_path) for script in page.failing)
    if request.config.getoption("--update"):
        path = FOLDER / f"{page.code}.md"  # read anew, since another test may have written it
        path.write_text(Page(page.code, path.read_text("utf-8")).with_messages(said), "utf-8", newline="\n")
    else:
        assert said == page.messages
    assert all(f"  {page.code}  " in text for text in said)


def test_marks_of_a_failing_script_fit_its_text(tmp_path: Path) -> None:
    """The JSON form says the same place as the text: its columns cut out the marked characters, under `~`."""
    for script in FAILING:
        messages = messages_of(script, tmp_path).ordered()
        lines = script.replace("\t", " ").replace("\u202e", "\ufffd").splitlines()
        for message, record in zip(messages, messages_json(messages), strict=True):
            place = record["place"]
            begin, end = place["column"] - 1, place["end_column"] - 1
            assert place["line"] == place["end_line"], script
            assert lines[place["line"] - 1][begin:end] == place["text"] != ""
            shown = as_text([replace(message, also=())]).splitlines()
            assert shown[0].startswith(f"{SHOWN}:{place['line']}:{place['column']}  {message.code}  ")
            assert shown[1] == "    " + lines[place["line"] - 1]
            assert re.match(rf" {{{begin + 4}}}~{{{end - begin}}}(?!~)", shown[2])


@named([page for page in PAGES.values() if page.mended])
def test_mended_script_compiles_without_the_message(page: Page, tmp_path: Path) -> None:
    for script in page.mended:
        found = messages_of(script, tmp_path)
        assert not found.has_errors, as_text(found.ordered())
        assert page.code not in {message.code for message in found.ordered()}


def test_label_does_not_repeat_the_message(tmp_path: Path) -> None:
    for script in FAILING:
        for message in messages_of(script, tmp_path).ordered():
            assert message.label != message.cure or not message.label
            assert not message.label or message.label not in message.message
            assert "{" not in message.message + message.label + message.cure
            assert not message.message[0].isupper() or re.match(r"[A-G][#b]*\d?\b", message.message)


# ------------------------------------------------------------------ scripts too long for a page


def _chain(count: int) -> str:
    own = "".join(f"transform t{n}(m) = m -> t{n + 1}\n" for n in range(count))
    return f"{own}transform t{count}(m) = m -> up m3\nmotif tide = notes(1/4 D5) -> t0\n"


LONG_SCRIPTS: dict[str, Callable[[], str]] = {
    "S107": lambda: f"motif tide = notes(1/4 {'D5 ' * 40_000})\n",
    "N107": lambda: "-- watch\n" * 300_000,
    "N212": lambda: f"motif tide = notes(1/4 D5)\nmotif long = tide {'+ tide ' * 1001}\n",
    "N222": lambda: "forces\n" + "".join(f"    flute{n} = flute\n" for n in range(1, 202)),
    "N404": lambda: (
        "motif tide = notes(1/4 D5)\nforces\n    flute = flute\npassage p0(who)\n    who: tide\n    who: tide\n"
        + "".join(f"passage p{n}(who)\n" + f"    passage p{n - 1}(who)\n" * 2 for n in range(1, 14))
        + "movement first\n    section one 1 bar\n        passage p13(flute)\n"
    ),
    "N410": lambda: (
        f"{PARTS}    section s0\n        flute: notes(1/1 D5)\n"
        + "".join(f"    section s{n} = s{n - 1}\n" for n in range(1, 42))
    ),
    "V302": lambda: "".join(  # said again they count as much, and take no time
        f"motif tide{n} = {'tide1' if 1 < n < 24 else 'notes(1/4 D5) x 200000'}\n" for n in range(1, 25)
    ),
    "V303": lambda: _chain(60),
    "P116": lambda: (
        "forces\n    flute = flute\n    oboe = oboe\n    horn = horn\n\nmovement first\n    meter 8/1\n"
        "    flute, oboe, horn: notes(1/64 D5 E5) x 30000\n"
    ),
}
"""Made here, since nobody would read them on a page."""


@pytest.mark.slow
@pytest.mark.parametrize("code", LONG_SCRIPTS)
def test_long_script_gives_the_message_of_its_page(code: str, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    found = messages_of("language 2\n\n" + LONG_SCRIPTS[code](), tmp_path).ordered()
    chosen = [message for message in found if message.severity is Severity.ERROR]
    assert [message.code for message in chosen] == [code]
    compare(code, as_text(chosen), request)


def test_foreign_encoding_gives_the_message_of_its_page(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    path = tmp_path / SHOWN
    path.write_bytes('language 2\n\nuse french from ciphers\n\nname renée = "RENÉE" by french\n'.encode("latin-1"))
    compare("S100", as_text(compile_script(path, SHOWN).bag.ordered()), request)


def compare(code: str, said: str, request: pytest.FixtureRequest) -> None:
    """The only fence of a page without scripts is what was said."""
    page = PAGES[code]
    if request.config.getoption("--update"):
        (FOLDER / f"{code}.md").write_text(page.with_messages((said,), "When it comes"), "utf-8")
    else:
        assert page.fences("When it comes") == (said,)


# ------------------------------------------------------------------ commands that go wrong


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to work in: a piece of one movement, a script without any, and two names that are taken."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lantern.cavata").write_text(f"language 2\n{PARTS}    flute: notes(1/1 D5)\n")
    (tmp_path / "house.cavata").write_text("language 2\nrhythm rocking = (1/4 1/8)\n")
    (tmp_path / "sketches").mkdir()
    (tmp_path / "printed").write_text("")
    return tmp_path


def said_by(arguments: list[str], status: int, capsys: pytest.CaptureFixture[str]) -> str:
    """What a command says beside its usage line, having ended with a status."""
    assert main(arguments) == status
    told = capsys.readouterr()
    assert told.out == ""
    return re.sub(r"\Ausage:.*\n(?: .*\n)*(?=cavata  )", "", told.err)


@pytest.mark.parametrize(
    ("code", "arguments", "status"),
    [
        ("O100", ["check"], 2),
        ("O102", ["check", "sketches"], 1),
        ("O103", ["why", "V2003"], 2),
        ("O104", ["new", "what?"], 2),
        ("O107", ["build", "house.cavata"], 1),
        ("O108", ["build", "lantern.cavata", "--movement", "last"], 1),
        ("O143", ["build", "lantern.cavata", "--practice", "flute", "--section", "last"], 1),
        ("O881", ["build", "lantern.cavata", "--for", "cello"], 1),
        ("O121", ["build", "lantern.cavata", "--part", "flut"], 1),
        ("O960", ["playing", "lantern.cavata", "--by", "amateur"], 1),
        ("P131", ["build", "lantern.cavata", "--rehearsal", "flute"], 1),
        ("O109", ["build", "lantern.cavata", "--out", "printed", "--to", "midi"], 1),
        ("O401", ["check", "lantern.cavata", "--library", "my_library"], 0),
    ],
)
def test_command_gives_the_message_of_its_page(
    code: str, arguments: list[str], status: int, desk: Path, capsys: pytest.CaptureFixture[str],
    request: pytest.FixtureRequest,
) -> None:  # fmt: skip
    compare(code, said_by(arguments, status, capsys), request)


@pytest.mark.parametrize(
    ("code", "rows"),
    [
        ("S811", "passage far(who, m)\n    who: m for 2 bars\n"),
        ("S812", "motif tide = notes(1/4 D5\n"),
    ],
)
def test_renewing_gives_the_message_of_its_page(
    code: str, rows: str, desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    script = desk / "lantern.cavata"
    script.write_text(f"language 1\n{PARTS}    flute: notes(1/1 D5)\n{rows}", "utf-8")
    assert main(["format", "--renew", "lantern.cavata"]) == 1
    told = capsys.readouterr()
    assert told.out == "lantern.cavata\n"
    compare(code, told.err, request)
    assert script.read_text("utf-8") == f"language 2\n{PARTS}    flute: notes(1/1 D5)\n{rows}"


WAV = ["build", "lantern.cavata", "--to", "wav"]


def test_missing_synthesizer_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "midirenderer", None)
    compare("O140", said_by(WAV, 1, capsys), request)
    assert not (desk / "lantern.wav").exists()


def test_no_protocol(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    monkeypatch.delitem(sys.modules, "cavata.editor.server", raising=False)
    monkeypatch.setitem(sys.modules, "pygls", None)
    monkeypatch.delitem(sys.modules, "pygls.lsp.server", raising=False)
    assert main(["language-server"]) == 1
    compare("O950", capsys.readouterr().err, request)


def test_no_server(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    for name in [name for name in sys.modules if name.startswith(("cavata.desk.server", "starlette"))]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "starlette", None)
    compare("O951", said_by(["desk", "lantern.cavata"], 1, capsys), request)


def test_taken_port(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    pytest.importorskip("starlette")
    pytest.importorskip("watchfiles")

    def taken(*_: object) -> None:
        raise OSError(errno.EADDRINUSE, os.strerror(errno.EADDRINUSE))

    monkeypatch.setattr("cavata.desk.server.socket.create_server", taken)
    compare("O952", said_by(["desk", "lantern.cavata", "--port", "8000"], 1, capsys), request)


def test_no_completion(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    monkeypatch.setitem(sys.modules, "shtab", None)
    compare("O970", said_by(["completion", "bash"], 1, capsys), request)


def test_missing_soundfont_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("midirenderer")
    (desk / "bells.txt").write_text("ding dong")
    monkeypatch.setenv("CAVATA_SOUNDFONT", "bells.txt")
    compare("O141", said_by(WAV, 1, capsys), request)
    assert not (desk / "lantern.wav").exists()


def test_full_disk_for_the_sound_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("midirenderer")

    def full() -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("cavata.sound.audio.TemporaryFile", full)
    compare("O142", said_by(WAV, 1, capsys), request)
    assert not (desk / "lantern.wav").exists()


def test_part_without_notes_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    script = desk / "lantern.cavata"
    script.write_text(script.read_text().replace("flute = flute\n", "flute = flute\n    oboe = oboe\n"))
    assert main(["build", "lantern.cavata", "--parts", "--to", "musicxml"]) == 0
    told = capsys.readouterr()
    assert told.out == "lantern-first.musicxml\nlantern-first-flute.musicxml\n"
    compare("O120", told.err, request)


def test_new_touches_nothing_that_exists(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    (desk / "lantern").write_text("a file")
    compare("O106", said_by(["new", "lantern"], 1, capsys), request)
    (desk / "lantern").unlink()
    (desk / "lantern").mkdir()
    (desk / "lantern" / "lantern.cavata").write_text("mine")
    compare("O105", said_by(["new", "lantern"], 1, capsys), request)
    assert (desk / "lantern" / "lantern.cavata").read_text() == "mine"


@pytest.mark.skipif(os.name != "posix", reason="the stand-ins for LilyPond are shell scripts")
@pytest.mark.parametrize(
    ("code", "commands"),
    [
        ("O202", SLEEPS),
        ("O203", IS_KILLED),
        ("O204", FAILS),
        ("O205", HAS_NO_ROOM),
    ],
)
def test_failing_engraver_gives_the_message_of_its_page(
    code: str, commands: str, desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    engrave_with(commands, desk, monkeypatch)
    monkeypatch.setattr(
        "cavata.lilypond.engrave.ChildLimits", lambda: ChildLimits(seconds=0.5 if code == "O202" else 300)
    )
    said = said_by(["build", "lantern.cavata", "--to", "pdf"], 1, capsys)
    compare(code, said.replace("0.5 seconds", f"{ChildLimits().seconds} seconds"), request)
    assert not (desk / "lantern.pdf").exists()


def test_missing_engraver_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_LILYPOND", "no-such-program")
    compare("O201", said_by(["build", "lantern.cavata", "--to", "pdf"], 1, capsys), request)


@pytest.mark.skipif(os.name != "posix", reason="the stand-ins for LilyPond are shell scripts")
@pytest.mark.parametrize(
    ("code", "remark"),
    [("O206", "warning: no glyph for character U+65E5"), ("O207", "warning: cannot find room")],
)
def test_engravers_remark_gives_the_message_of_its_page(
    code: str, remark: str, desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    engrave_with(DRAWS + SAYS.format(remark), desk, monkeypatch)
    monkeypatch.setenv("CAVATA_TRACE", "1")
    assert main(["build", "lantern.cavata", "--to", "pdf"]) == 0
    told = capsys.readouterr()
    assert told.out == "lantern.pdf\n"
    compare(code, told.err, request)


@pytest.mark.slow
def test_draft_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("sys.platform", "darwin")
        patch.setattr("platform.machine", lambda: "arm64")
        missing = Failure(EngravingFault.MISSING, "", how_to_get_it())
    monkeypatch.delenv("CAVATA_LILYPOND", raising=False)
    monkeypatch.setattr("cavata.draft.engravers.find_lilypond", lambda: missing)
    assert main(["build", "lantern.cavata", "--to", "svg"]) == 0
    told = capsys.readouterr()
    assert told.out == "lantern.svg\n"
    compare("O208", told.err, request)


@pytest.mark.skipif(os.name != "posix", reason="the stand-ins for LilyPond are shell scripts")
def test_staves_too_small_to_read_give_the_message_of_the_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    engrave_with(DRAWS, desk, monkeypatch)
    rows = "".join(f"    v{number} = violin\n" for number in range(30))
    (desk / "many.cavata").write_text(f"language 2\nforces\n{rows}movement one\n    v0: notes(1/1 C5)\n", "utf-8")
    assert main(["build", "many.cavata", "--to", "pdf"]) == 0
    compare("O130", capsys.readouterr().err, request)
    assert main(["build", "many.cavata", "--to", "pdf", "--paper", "A3"]) == 0
    assert capsys.readouterr().err == ""


def test_proof_copy_asks_for_the_dynamic_of_an_entry(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    entry = "language 2\nforces\n    violin = violin\nmovement first\n    violin at bar 2: notes(1/1 C5)"
    (desk / "bare.cavata").write_text(f"{entry}\n", "utf-8")
    assert main(["build", "bare.cavata", "--to", "ly", "--proof"]) == 0
    compare("O131", capsys.readouterr().err, request)
    assert main(["build", "bare.cavata", "--to", "ly"]) == 0
    assert capsys.readouterr().err == ""
    (desk / "bare.cavata").write_text(f"{entry} -> marked p\n", "utf-8")
    assert main(["build", "bare.cavata", "--to", "ly", "--proof"]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.skipif(os.name != "posix", reason="the stand-ins for LilyPond are shell scripts")
def test_what_the_engraver_would_have_liked_is_told_to_developers_only(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    engrave_with(DRAWS + SAYS.format("warning: cannot find room"), desk, monkeypatch)
    monkeypatch.delenv("CAVATA_TRACE", raising=False)
    assert main(["build", "lantern.cavata", "--to", "pdf"]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.skipif(os.name != "posix", reason="the stand-ins for LilyPond are shell scripts")
def test_turn_while_playing_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    script = desk / "lantern.cavata"
    script.write_text(script.read_text().replace("notes(1/1 D5)", "notes(1/1 D5) x 40"))
    systems = [f"warning: layout {page} system {page} {page * 10 - 10} {page * 10} 140.0" for page in range(1, 5)]
    reports = "".join(SAYS.format(text) for text in ("warning: layout 0 room 150.0", *systems))
    engrave_with(DRAWS + reports, desk, monkeypatch)
    assert main(["build", "lantern.cavata", "--part", "flute", "--to", "pdf"]) == 0
    told = capsys.readouterr()
    assert told.out == "lantern-flute.pdf\n"
    compare("O122", told.err, request)


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no disk here that is always full")
def test_full_disk_gives_the_message_of_its_page(desk: Path, request: pytest.FixtureRequest) -> None:
    for words in (["timings", "lantern.cavata"], ["check", "lantern.cavata", "--json"], ["why", "N201"]):
        with open("/dev/full", "wb") as full:
            command = [sys.executable, "-m", "cavata.cli.main", *words]
            run = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False, cwd=desk)
        assert run.returncode == 1
        compare("O110", run.stderr, request)


def test_python_without_docstrings_gives_the_message_of_its_page(desk: Path, request: pytest.FixtureRequest) -> None:
    command = [sys.executable, "-OO", "-m", "cavata.cli.main", "build", "lantern.cavata"]
    run = subprocess.run(command, capture_output=True, text=True, check=False, cwd=desk)
    assert (run.returncode, run.stdout) == (1, "")
    compare("O111", run.stderr, request)


@pytest.mark.skipif(os.name != "posix", reason="owners and rights as POSIX has them")
def test_cache_that_others_may_write_to_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = desk / "ada" / ".cache" / "cavata"
    folder.mkdir(parents=True)
    folder.chmod(0o775)
    for name, value in (("HOME", str(desk / "ada")), ("XDG_CACHE_HOME", ""), ("CAVATA_CACHE", "")):
        monkeypatch.setenv(name, value)
    said = said_by(["check", "lantern.cavata"], 0, capsys)
    compare("O112", said.replace(str(desk), "/home"), request)
    assert not list(folder.iterdir())
    monkeypatch.setenv("CAVATA_CACHE", str(desk / "ada" / ".cache"))
    assert said_by(["check", "lantern.cavata"], 0, capsys) == "", "whoever chose it knows"


def test_interruption_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("cavata.cli.check.compile_script", stopping(KeyboardInterrupt()))
    compare("O101", said_by(["check", "lantern.cavata"], 130, capsys), request)


def test_internal_fault_gives_the_message_of_its_page(
    desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("cavata.cli.check.compile_script", stopping(ValueError("what should never be")))
    said = said_by(["check", "lantern.cavata"], 70, capsys)
    compare("X001", re.sub(r" at test_messages.py:\d+", " at notes.py:12", said), request)


def stopping(error: BaseException) -> Callable[..., object]:
    def stop(*given: object, **named: object) -> object:
        raise error

    return stop


# ------------------------------------------------------------------ one JSON document, whatever happens


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["check", "lantern.cavata", "--json"], 0),
        (["check", "--json", "nothing.cavata"], 1),
        (["check", "sketches", "--json"], 1),
        (["check", "--json"], 2),
        (["check", "--json", "--jso", "x"], 2),
        (["walk", "--json"], 2),
        (["build", "lantern.cavata", "--to", "midi,ly", "--json"], 0),
        (["build", "lantern.cavata", "--to", "midi", "--out", "printed", "--json"], 1),
        (["build", "house.cavata", "--json"], 1),
        (["build", "lantern.cavata", "--to", "gif", "--json"], 2),
    ],
)
def test_json_is_one_document(
    arguments: list[str], status: int, desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == status
    told = capsys.readouterr()
    assert told.err == ""
    document = json.loads(told.out)
    assert sorted(document) == ["messages", "written"]
    assert bool(document["messages"]) == (status != 0)
    for message in document["messages"]:
        assert sorted(message) == ["also", "code", "cure", "label", "message", "place", "severity"]
    assert all(Path(path).exists() for path in document["written"])


@pytest.mark.parametrize(("error", "status"), [(KeyboardInterrupt(), 130), (ValueError("what"), 70)])
def test_json_is_one_document_after_a_fault(
    error: BaseException, status: int, desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("cavata.cli.check.compile_script", stopping(error))
    assert main(["check", "lantern.cavata", "--json"]) == status
    told = capsys.readouterr()
    assert told.err == "" and len(json.loads(told.out)["messages"]) == 1


# ------------------------------------------------------------------ how messages speak


LANGUAGE_PAGE_LINE = "motif hail    = tamsin -> sharp 9 -> flat last"


def test_message_of_the_language_page_stands_word_for_word(tmp_path: Path) -> None:
    """A note that is not there, on line 20, marked at column 33; source: the language's description by example."""
    head = 'language 2\nuse french from ciphers\nname tamsin = "TAMSIN" by french\n'
    script = f"{head}{chr(10) * 16}{LANGUAGE_PAGE_LINE}\n"
    path = tmp_path / "three-watches.cavata"
    path.write_text(script)
    assert as_text(compile_script(path).bag.ordered()) == (
        "three-watches.cavata:20:33  V203  `tamsin` has no note 9\n"
        "    motif hail    = tamsin -> sharp 9 -> flat last\n"
        "                                    ~ notes run 1 to 6: F A F E B G\n"
        "    to mend: `sharp last` is the G\n"
    )


def test_five_mistakes_show_in_one_run(tmp_path: Path) -> None:
    script = (
        "language 2\n"
        "motif one = notes(1/4 H4)\n"
        "motif two = notes(1/4 D5) -> up P3\n"
        "motif three = nowhere -> up m3\n"
        "motif four = notes(1/4 D5) -> sharp 9\n"
        f"{PARTS}    section opening 1 bar\n        flute: notes(1/1 D5 E5)\n"
    )
    messages = messages_of(script, tmp_path).ordered()
    assert [(m.code, m.span.line if m.span else 0) for m in messages if m.severity is Severity.ERROR] == [
        ("S101", 2), ("S201", 3), ("N204", 4), ("V203", 5), ("P101", 11),
    ]  # fmt: skip


def test_every_terminal_has_words() -> None:
    """No name of a terminal, which means nothing to a composer, can be in a message."""
    grammar = (resource("grammar") / "cavata.lark").read_text("utf-8")
    starts = [
        "declaration", "piece_row", "cipher_row", "force_row", "movement_row", "section_row", "remark", "passage_row",
        "require_row",
    ]  # fmt: skip
    parser = Lark(grammar, parser="lalr", lexer="contextual", start=starts)
    for terminal in parser.terminals:
        if terminal.name in parser.ignore_tokens:
            continue
        words = describe(terminal.name, terminal.pattern.value if terminal.pattern.type == "str" else None)
        literal = terminal.pattern.type == "str" and words == f"`{terminal.pattern.value}`"
        assert literal or (terminal.pattern.type == "re" and re.match(r"(a|an|the) [a-z]", words)), terminal


def test_messages_hold_no_name_of_a_terminal() -> None:
    for page in PAGES.values():
        for text in page.messages:
            assert not re.search(r"__ANON|\$END|\b[A-Z]{3,}_[A-Z]+\b", text)


def test_suggestions_do_not_hang_on_order() -> None:
    known = ["tide", "tile", "time", "side", "tied"]
    assert {closest("tidr", order, 2) for order in (known, known[::-1], sorted(known))} == {("tide",)}
    assert closest("tixe", known, 3) == closest("tixe", known[::-1], 3) == ("tide", "tile", "time")


@pytest.mark.slow
def test_messages_are_the_same_under_another_hash_seed(tmp_path: Path) -> None:
    """As on their pages, with which all other runs of this file compare them, each under a seed that chance gave it."""
    scripts = {page.code: script for page in PAGES.values() for script in page.failing[:1]}
    (tmp_path / "scripts.json").write_text(json.dumps(scripts))
    shutil.copy(SKETCH, tmp_path)
    (tmp_path / SHOWN).touch()
    program = (
        "import json, sys\nfrom pathlib import Path\nfrom cavata.diagnostics import as_text\n"
        "from cavata.pipeline import compile_script, compile_versions\n"
        "for code, script in json.load(open(sys.argv[1])).items():\n"
        f"    made = compile_script(Path('{SHOWN}'), '{SHOWN}', script)\n"
        "    compile_versions(made)\n"
        "    print(code, as_text(made.bag.ordered()))\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path / "scripts.json")], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONHASHSEED": "1"}, cwd=tmp_path,
    )  # fmt: skip
    expected = "".join(f"{code} {PAGES[code].messages[0]}\n" for code in scripts if code != "N108")
    assert re.sub(r"^N108 .*?\n\n", "", run.stdout, flags=re.M | re.S) == expected


def test_colors_only_on_a_terminal(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    main(["check", "nothing.cavata"])
    assert "\x1b" not in capsys.readouterr().err
    monkeypatch.setattr("cavata.cli.speaking.in_color", lambda: True)
    main(["check", "nothing.cavata"])
    assert "\x1b" in capsys.readouterr().err


def test_a_script_cannot_steer_a_terminal(tmp_path: Path) -> None:
    said = said_of('language 2\npiece "\x1b[2J\u202e" oops\x07\n', tmp_path)
    assert all(sign.isprintable() or sign == "\n" for sign in said)


@pytest.mark.parametrize("code", ["V203", "v203"])
def test_why_prints_the_page(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", code]) == 0
    assert capsys.readouterr().out == PAGES["V203"].text


def test_lines_and_columns_count_characters() -> None:
    source = Source("x", "é日\n𝄞b\n")
    assert [(source.line_of(i), source.column_of(i)) for i in (0, 1, 3, 4)] == [(1, 1), (1, 2), (2, 1), (2, 2)]
