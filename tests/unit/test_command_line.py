"""What holds for the command line as a whole: many scripts at once, other programs that listen, hints, quiet, watching.

The forms for other programs are checked against what those publish: the schema of SARIF 2.1.0 (OASIS), whose required
fields are listed below, and the escapes of workflow commands in the toolkit of GitHub Actions (from memory). What a
shell completes is asked of that shell, and the manual page is set by groff, where they are installed.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from cavata import __version__
from cavata.cli import watch as watching
from cavata.cli.main import COMMANDS, main, parser
from cavata.cli.manpage import manual
from cavata.cli.reports import annotated, sarif
from cavata.diagnostics import Diagnostic, Severity
from cavata.source import Source, Span

ROOT = Path(__file__).resolve().parents[2]
GOOD = "language 2\nforces\n    flute = flute\nmovement first\n    flute: notes(1/1 D5)\n"
BAD = GOOD.replace("flute: notes", "flut: notes")
USES = GOOD.replace("notes(1/1 D5)", "tide").replace("forces", 'use tide from "shared.cavata"\nforces')


@pytest.fixture(autouse=True)
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name, text in (("good", GOOD), ("bad", BAD), ("old", GOOD.removeprefix("language 2\n"))):
        (tmp_path / f"{name}.cavata").write_text(text, "utf-8")
    return tmp_path


def codes(said: str) -> list[str]:
    return re.findall(r"^\S+  ([A-Z]\d{3})  ", said, re.MULTILINE)


# ------------------------------------------------------------------ several scripts


def test_several_scripts_are_checked(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "good.cavata"]) == 0
    assert main(["check", "good.cavata", "bad.cavata", "old.cavata", "bad.cavata"]) == 1
    said = capsys.readouterr().err
    assert re.findall(r"^(\w+)\.cavata:", said, re.MULTILINE) == ["bad", "old"] and codes(said)[1] == "N102"


def test_a_folder_is_its_piece_or_every_script_below(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "far" / "farther").mkdir(parents=True)
    (desk / "far" / ".hidden").mkdir()
    for place in ("far/farther/one.cavata", "far/two.cavata", "far/.hidden/three.cavata"):
        (desk / place).write_text(BAD, "utf-8")
    assert main(["check", "."]) == 1
    said = capsys.readouterr().err
    assert re.findall(r"^([\w/]+)\.cavata:", said, re.MULTILINE) == ["bad", "far/farther/one", "far/two", "old"]
    (desk / "far" / "far.cavata").write_text(GOOD, "utf-8")
    assert main(["check", "far"]) == 0, "a folder stands for the piece of its name"


def test_what_is_wrong_in_a_file_that_two_use_is_said_once(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "shared.cavata").write_text("language 2\nmotif tide = notes(1/1 D5) -> up\n", "utf-8")
    for name in ("one", "two"):
        (desk / f"{name}.cavata").write_text(USES, "utf-8")
    assert main(["check", "one.cavata", "two.cavata"]) == 1
    assert capsys.readouterr().err.count("shared.cavata:2:") == 1


def test_standard_input_stands_for_a_file(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def given(text: bytes, *words: str) -> int:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text)))
        return main(["check", "-", *words])

    assert given(GOOD.encode()) == 0
    assert given(BAD.encode()) == 1
    assert "standard-input.cavata:5:5  " in capsys.readouterr().err
    (desk / "deep").mkdir()
    (desk / "deep" / "shared.cavata").write_text("language 2\nmotif tide = notes(1/1 D5)\n", "utf-8")
    assert given(USES.encode(), "--as", "deep/new.cavata") == 0, capsys.readouterr().err
    assert given(USES.encode()) == 1, "the file that it uses is not here"
    assert given("language 2 -- é".encode("latin-1"), "--as", "x.cavata") == 1
    assert codes(capsys.readouterr().err)[-1] == "S100"
    assert main(["check", "good.cavata", "--as", "x"]) == 2 and main(["check", "-", "-"]) == 2


# ------------------------------------------------------------------ other programs

REQUIRED = {
    "": ("version", "runs"), "runs": ("tool",), "tool": ("driver",), "driver": ("name",), "rules": ("id",),
    "results": ("message",), "shortDescription": ("text",), "help": ("text",), "message": ("text",),
}  # fmt: skip
"""The fields that the schema demands of each kind of object, by the field in which it stands."""
KNOWN = {
    "": {"$schema", "version", "runs"},
    "runs": {"tool", "columnKind", "results"},
    "results": {"ruleId", "ruleIndex", "level", "message", "locations", "relatedLocations"},
    "locations": {"physicalLocation"}, "relatedLocations": {"physicalLocation", "message"},
    "physicalLocation": {"artifactLocation", "region"}, "artifactLocation": {"uri"},
    "region": {"startLine", "startColumn", "endLine", "endColumn"},
}  # fmt: skip
"""Of the fields that the schema knows those that are used here; it allows no others."""


def objects(value: Any, name: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(value, list):
        for each in value:
            yield from objects(each, name)
    elif isinstance(value, dict):
        yield name, value
        for key, each in value.items():
            yield from objects(each, key)


def test_sarif_has_what_its_schema_requires(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "bad.cavata", "old.cavata", "--sarif"]) == 1
    document = json.loads(capsys.readouterr().out)
    for name, value in objects(document):
        assert set(REQUIRED.get(name, ())) <= set(value), name
        assert set(value) <= KNOWN.get(name, set(value)), name
    (run,) = document["runs"]
    assert document["version"] == "2.1.0" and run["columnKind"] in ("utf16CodeUnits", "unicodeCodePoints")
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert len(set(rules)) == len(rules) == 2 and {result["level"] for result in run["results"]} == {"error", "warning"}
    for result in run["results"]:
        assert result["ruleId"] == rules[result["ruleIndex"]]
        place = result["locations"][0]["physicalLocation"]
        region, line = place["region"], Path(place["artifactLocation"]["uri"]).read_text("utf-8").splitlines()
        assert min(region.values()) >= 1 and region["startLine"] <= region["endLine"] <= len(line)


def test_annotations_lead_to_the_script(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "bad.cavata", "old.cavata", "--annotate", "--quiet"]) == 1
    told = capsys.readouterr()
    (line,) = told.out.splitlines()
    assert line.startswith("::error file=bad.cavata,line=5,endLine=5,col=5,endColumn=9,title=N223::")
    assert "%0Ato mend: " in line and codes(told.err) == ["N223"]


def test_annotations_escape_what_ends_them() -> None:
    span = Span(Source("a,b:c%.cavata", "x"), 0, 1)
    message = Diagnostic("N223", Severity.ERROR, "100%, or: `x`", span)
    Path("a,b:c%.cavata").write_text("x")
    assert annotated([(Path("z.cavata"), message)]) == (
        "::error file=a%2Cb%3Ac%25.cavata,line=1,endLine=1,col=1,endColumn=2,title=N223::100%25, or: `x`\n"
    )
    Path("a,b:c%.cavata").unlink()
    assert annotated([(Path("z.cavata"), message)]) == "::error title=N223::100%25, or: `x`\n"
    assert "locations" not in sarif([(Path("z.cavata"), message)])["runs"][0]["results"][0]


TELLING = (
    ["check"], ["build", "--to", "midi"], ["timings"], ["stats"], ["playing"], ["index"], ["map"], ["guide"],
    ["fit", "4 s"], ["recast", "flute", "oboe"],
)  # fmt: skip
"""Every command that tells of one script, with what it must be given besides."""


@pytest.mark.parametrize("words", [*TELLING, ["format"]], ids=lambda words: words[0])
def test_other_programs_are_told_by_every_command_that_tells_of_a_script(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    Path("bad.cavata").write_text(BAD.replace("(1/1 D5)", "(1/1 D5"), "utf-8")
    command = [words[0], "bad.cavata", *words[1:]]
    assert main([*command, "--annotate"]) == 1
    told = capsys.readouterr()
    assert re.findall(r"^::error file=bad\.cavata,line=5,", told.out, re.MULTILINE) and codes(told.err)
    assert main([*command, "--sarif"]) == 1
    told = capsys.readouterr()
    (run,) = json.loads(told.out)["runs"]
    places = [r["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for r in run["results"]]
    assert places and set(places) == {"bad.cavata"} and told.err == ""
    for one, other in (("--json", "--sarif"), ("--annotate", "--sarif"), ("--json", "--annotate")):
        assert main([*command, one, other]) == 2
        assert "not allowed with" in str(capsys.readouterr())


def test_every_command_that_has_these_forms_is_tested() -> None:
    top = parser()
    (commands,) = (action for action in top._actions if isinstance(action, argparse._SubParsersAction))
    assert {n for n, c in commands.choices.items() if "--sarif" in c._option_string_actions} == {
        words[0] for words in (*TELLING, ["format"])
    }


@pytest.mark.parametrize("words", [w for w in TELLING if w[0] not in ("map", "guide")], ids=lambda words: words[0])
@pytest.mark.parametrize("form", ["--json", "--sarif"])
def test_a_document_has_standard_output_for_itself(
    words: list[str], form: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever the terminal, and also when all is well; what is found stands in the document, or is not said."""
    monkeypatch.setenv("COLUMNS", "20")
    Path("good.cavata").write_text(GOOD.replace("movement first", "movement first\n    tempo 1/4 at 60"), "utf-8")
    assert main([words[0], "good.cavata", *words[1:], form]) == 0
    told = capsys.readouterr()
    assert isinstance(json.loads(told.out), dict) and told.err == ""


def test_quiet_leaves_warnings_out_of_every_form(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "old.cavata", "--json"]) == 0
    assert [message["code"] for message in json.loads(capsys.readouterr().out)["messages"]] == ["N102"]
    assert main(["check", "old.cavata", "--json", "--quiet"]) == 0
    assert json.loads(capsys.readouterr().out)["messages"] == []
    assert main(["timings", "old.cavata", "--sarif", "-q"]) == 0
    assert json.loads(capsys.readouterr().out)["runs"][0]["results"] == []


@pytest.mark.skipif(os.name == "nt", reason="no rights to take away")
@pytest.mark.parametrize("words", [["check"], ["timings"]], ids=lambda words: words[0])
def test_that_nothing_can_be_kept_is_said_in_every_form(
    words: list[str], desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (desk / "others" / "cavata").mkdir(parents=True)
    (desk / "others" / "cavata").chmod(0o777)
    monkeypatch.delenv("CAVATA_CACHE", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(desk / "others"))
    command = [*words, "good.cavata"]
    assert main([*command, "--json"]) == 0
    assert [message["code"] for message in json.loads(capsys.readouterr().out)["messages"]] == ["O112"]
    assert main([*command, "--sarif"]) == 0
    assert [result["ruleId"] for result in json.loads(capsys.readouterr().out)["runs"][0]["results"]] == ["O112"]
    assert main([*command, "--annotate"]) == 0
    assert "::warning title=O112::" in capsys.readouterr().out


def test_messages_of_a_file_used_lead_to_it_from_another_folder(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "deep").mkdir()
    (desk / "deep" / "shared.cavata").write_text("language 2\nmotif tide = notes(1/1 D5) -> up\n", "utf-8")
    (desk / "deep" / "deep.cavata").write_text(USES, "utf-8")
    assert main(["timings", "deep", "--annotate"]) == 1
    assert "::error file=deep/shared.cavata,line=2," in capsys.readouterr().out


def test_hooks_of_the_repository_are_commands() -> None:
    hooks = (ROOT / ".pre-commit-hooks.yaml").read_text("utf-8")
    entries = re.findall(r"^  entry: cavata (.+)$", hooks, re.MULTILINE)
    assert len(entries) == hooks.count("- id: ") == 2
    for words in entries:
        assert parser().parse_args([*words.split(), "a.cavata", "b.cavata"]).run
    assert re.findall(r"^  files: (.+)$", hooks, re.MULTILINE) == [r"\.cavata$"] * 2


# ------------------------------------------------------------------ words to whoever types


@pytest.mark.parametrize(
    ("words", "said", "cure"),
    [
        (["biuld", "x"], "there is no command `biuld`", "did you mean `build`?"),
        (["good.cavata"], "there is no command `good.cavata`", "`cavata check good.cavata` reads it"),
        (["sing"], "there is no command `sing`", "`cavata --help` shows every command"),
        (["version"], "there is no command `version`", "did you mean `--version`?"),
        (["show", "ledgr", "good.cavata"], "argument PASS: there is no `ledgr`", "did you mean `ledger`?"),
        (["completion", "dos"], "argument SHELL: there is no `dos`", "write one of bash, zsh"),
        (["timings", "good.cavata", "old"], "`old` is one word too many", "leave it out"),
        (["study", "BACH", "--from"], "argument --from: expected one argument", "`cavata study --help` shows what"),
        (["explore", "x", "y", "--top", "²"], "argument --top: `²` is no number from 1 to 60", "`cavata explore"),
        (["new"], "the following arguments are required: NAME", "`cavata new --help` shows what it takes"),
        (["build", "good.cavata", "--prats"], "there is no option `--prats`", "did you mean `--parts`?"),
        (["build", "good.cavata", "--sing"], "there is no option `--sing`", "`cavata build --help` shows every option"),
    ],
)
def test_mistyped_words_are_told(words: list[str], said: str, cure: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 2
    told = capsys.readouterr().err
    assert f"cavata  O100  {said}\n" in told and f"to mend: {cure}" in told


def test_a_word_that_is_no_code_is_looked_up_elsewhere(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", "divisi"]) == 2
    told = capsys.readouterr().err
    assert "there is no message `divisi`" in told and "`cavata handbook divisi` opens the pages" in told


def test_quiet_says_errors_only(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "old.cavata", "--to", "midi", "--quiet"]) == 0
    assert capsys.readouterr() == ("", "") and Path("old.mid").exists()
    assert main(["timings", "old.cavata", "-q"]) == 0
    told = capsys.readouterr()
    assert "begins" in told.out and told.err == ""
    assert main(["check", "bad.cavata", "-q"]) == 1 and codes(capsys.readouterr().err) == ["N223"]
    assert main(["check", "old.cavata"]) == 0 and codes(capsys.readouterr().err) == ["N102"], "the next run speaks"


@pytest.mark.parametrize(
    "words",
    [["check"], ["build", "--to", "midi"], ["format", "--check"], ["show", "score"], ["timings"], ["stats"], ["index"],
     ["map"], ["fit", "1 min"], ["explore", "tamsin"], ["trace", "BACH", "--by-ear"], ["study", "BACH"]],
    ids=lambda words: words[0],
)  # fmt: skip
def test_what_takes_time_says_what_it_does(
    words: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a terminal, in one line that is taken away again; nowhere else, and not with `--quiet`."""
    Path("piece.cavata").write_text(GOOD.replace("notes(1/1 D5)", "tamsin").replace("forces", NAMED), "utf-8")
    command = [words[0], *(["piece.cavata"] if words[0] != "study" else []), *words[1:]]
    if words[0] in ("show", "trace"):
        command = [words[0], *words[1:], "piece.cavata"]
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    main(command)
    said = capsys.readouterr().err
    assert re.search("\r\x1b\\[K[^\r]+ \\.\\.\\.", said) is not None
    main([*command, "--quiet"])
    assert "\r" not in capsys.readouterr().err
    monkeypatch.setattr("sys.stderr.isatty", lambda: False, raising=False)
    main(command)
    assert "\r" not in capsys.readouterr().err


NAMED = 'use french from ciphers\nname tamsin = "TAMSIN" by french\nforces'


def test_version_says_what_a_report_needs(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--version"])
    told = capsys.readouterr().out
    assert __version__ in told and f"Python {sys.version.split()[0]} on " in told


# ------------------------------------------------------------------ shells and manual


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not installed")
def test_bash_completes_commands_options_and_files(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", "bash"]) == 0
    Path("cavata.bash").write_text(capsys.readouterr().out, "utf-8")
    asked = """
        source cavata.bash
        complete=$(complete -p cavata); function=${complete#*-F }; function=${function%% *}
        for words in "cavata bu" "cavata build --watc" "cavata build goo" "cavata completion z"; do
            COMP_WORDS=($words); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); COMPREPLY=(); $function
            echo "${COMPREPLY[@]}"
        done
    """
    done = subprocess.run(["bash", "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n")[:4] == ["build", "--watch", "good.cavata", "zsh"], done.stderr


@pytest.mark.parametrize("shell", ["zsh", "fish", "tcsh", "powershell"])
def test_other_shells_are_told_every_command(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == 0
    told = capsys.readouterr().out
    assert [name for name in COMMANDS if name not in told] == []


def test_manual_page_has_every_command_and_option() -> None:
    top = parser()
    page = manual(top)
    (commands,) = (action for action in top._actions if isinstance(action, argparse._SubParsersAction))
    for name, command in commands.choices.items():
        assert f".SS cavata {name}\n".replace("-", r"\-") in page
        for option, action in command._option_string_actions.items():
            told = option not in ("-h", "--help") and action.help != argparse.SUPPRESS
            assert (rf"\fB{option}\fR".replace("-", r"\-") in page) == told, option
    assert argparse.SUPPRESS not in page


@pytest.mark.skipif(shutil.which("groff") is None, reason="groff is not installed")
def test_manual_page_is_set_without_a_warning() -> None:
    done = subprocess.run(
        ["groff", "-man", "-ww", "-Tutf8", "-z"], input=manual(parser()), text=True, capture_output=True, check=True
    )
    assert done.stderr == ""


# ------------------------------------------------------------------ watching


def test_watch_builds_again_after_each_change(
    desk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "shared.cavata").write_text("language 2\nmotif tide = notes(1/1 D5)\n", "utf-8")
    script = desk / "piece.cavata"
    script.write_text(USES, "utf-8")
    changes = iter([
        lambda: (desk / "shared.cavata").write_text("language 2\nmotif tide = notes(1/1 D5) -> up\n", "utf-8"),
        lambda: None,  # it is being written no more
        lambda: script.write_text(USES.replace("shared", "other"), "utf-8"),
        lambda: None,
        lambda: (desk / "other.cavata").write_text("language 2\nmotif tide = notes(1/2 E5 F5)\n", "utf-8"),
        lambda: None,
    ])  # fmt: skip
    builds: list[int] = []

    def pause(_: float) -> None:
        change = next(changes, None)
        if change is None:
            raise KeyboardInterrupt
        change()

    def build() -> int:
        builds.append(main(["build", "piece.cavata", "--to", "midi"]))
        return builds[-1]

    assert watching.watch(Path("piece.cavata"), None, build, pause) == 0
    assert builds == [0, 1, 1, 0]
    assert "watching piece.cavata" in capsys.readouterr().err
    monkeypatch.setattr(watching, "watch", lambda *_: 0)
    assert main(["build", "piece.cavata", "--watch"]) == 0
    assert main(["build", "piece.cavata", "--watch", "--json"]) == 2
    assert main(["build", "nowhere", "--watch"]) == 0, "a file that is not there yet is waited for"


# ------------------------------------------------------------------ what a newcomer types


@pytest.mark.parametrize(
    ("words", "status", "code", "cure"),
    [
        (["--hlep"], 2, "O100", "did you mean `--help`?"),
        (["playing"], 2, "O100", "`cavata playing --help` shows what it takes"),
        (["trace"], 2, "O100", "`cavata trace --help` shows what it takes"),
        (["trace", "--corpus"], 2, "O100", "`cavata trace --help` shows what it takes"),
        (["compare"], 2, "O100", "`cavata compare --help` shows what it takes"),
        (["fit", "good.cavata", "long"], 2, "O100", "`cavata fit --help` shows what it takes"),
        (["new", "lantern.cavata"], 2, "O104", "leave `.cavata` out: a folder is made"),
        (["check", "godo.cavata"], 1, "N106", "did you mean `good.cavata`?"),
        (["timings", "deep.cavata"], 1, "N106", "did you mean `deep/deep.cavata`?"),
        (["stats", "depe"], 1, "N106", "did you mean `deep`?"),
        (["check", "good"], 1, "N106", "did you mean `good.cavata`?"),
        (["build", "my", "piece.cavata"], 2, "O100", "what has a space in it stands in quotes: `'my piece.cavata'`"),
        (["my piece.cavata"], 2, "O100", "`cavata check 'my piece.cavata'` reads it, `cavata build 'my piece.cavata'` "
         "makes its score"),
        (["format", "empty"], 1, "O102", "name the script, or the folder it is in"),
        (["trace", "BACH", "empty.cavata"], 1, "O323", "name a folder that holds scores"),
        (["study", "BACH", "--from", "empty"], 1, "O102", "name the script, or the folder it is in"),
        (["trace", "BACH", "nowhere"], 1, "O323", "name a file or a folder, or say `--corpus`"),
        (["build", "good.cavata", "--to", "midi", "--out", "bad.cavata"], 1, "O109", "that is a file; name a folder"),
        (["map", "good.cavata", "--out", "bad.cavata"], 1, "O403", "`bad.cavata` is a file; name a folder"),
    ],
    ids=lambda words: " ".join(words) if isinstance(words, list) else "",
)
def test_slips_of_a_newcomer_are_answered(
    words: list[str], status: int, code: str, cure: str, desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for folder in ("deep", "empty", "empty.cavata"):
        (desk / folder).mkdir()
    for script in ("deep/deep.cavata", "my piece.cavata"):
        (desk / script).write_text(GOOD, "utf-8")
    assert main(words) == status
    told = capsys.readouterr().err
    assert f"  {code}  " in told and f"    to mend: {cure}\n" in told
    assert "PART" not in told.partition("O100")[2], "what may be left out is not called for"


def test_a_folder_of_scripts_is_formatted_whatever_else_is_in_it(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "folder.cavata").mkdir()
    assert main(["format", "--check", "."]) == 0, capsys.readouterr().err


def test_ciphers_come_from_a_folder_too(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "deep").mkdir()
    (desk / "deep" / "deep.cavata").write_text('language 2\ncipher mine\n    A = D\n    B = E\n', "utf-8")
    assert main(["study", "AB", "--from", "deep", "--by", "mine"]) == 0
    assert "mine" in capsys.readouterr().out


def test_a_piece_of_one_movement_is_counted_in_the_singular(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["stats", "good.cavata"]) == 0
    told = capsys.readouterr().out
    assert "bars        1 in 1 movement\n" in told and "1 note\n" in told


def test_a_version_without_music_has_no_errata(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "bare.cavata").write_text("language 2\n", "utf-8")
    assert main(["compare", "good.cavata", "bare.cavata", "--errata"]) == 0
    assert "O921" in capsys.readouterr().err
