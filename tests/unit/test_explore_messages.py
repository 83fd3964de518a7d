"""What `explore` says of bad input: each message as its page has it, and never a traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from discovery_pages import holds_or_updates

from cavata.cli.main import main

LANTERN = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
name keepers = "THE KEEPERS" by french
motif hail = tamsin -> from F3
motif hush = notes(1/4 rest)
"""


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lantern.cavata").write_text(LANTERN)
    return tmp_path


CASES = [
    ("O330", ["keepers", "--inflections", "5", "--octaves", "2..6"]),
    ("O331", ["tamsin", "--require", "first letter sharp, in F major"]),
    ("O332", ["tamsen"]),
    ("O333", ["tamsin", "--near", "hush"]),
    ("O334", ["tamsin", "--require", "sings well"]),
]


@pytest.mark.parametrize(("code", "words"), CASES)
def test_message_is_the_one_of_its_page(
    code: str, words: list[str], desk: Path, capsys: pytest.CaptureFixture[str], request: pytest.FixtureRequest
) -> None:
    assert main(["explore", "lantern.cavata", *words]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert holds_or_updates(code, told.err, request.config.getoption("--update"))


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["tamsin", "--mode", "D minr"], "O334", "D minor"),
        (["tamsin", "--mode", "Q minor"], "O334", "no note to found"),
        (["tamsin", "--for", "clarinett"], "O334", "clarinet"),
        (["tamsin", "--for", "triangle"], "O334", "no pitches"),
        (["tamsin", "--prefer", "singeable 3"], "O334", "singable"),
        (["tamsin", "--prefer", "near 2"], "O334", "--near"),
        (["tamsin", "--require", "fits kazoo"], "O334", "kazoo"),
        (["tamsin", "--require", "no leap over P3"], "O334", "P3"),
        (["tamsin", "--require", "letter 9 sharp"], "O331", "letter 9 sharp"),
        (["tamsin", "--opening", "nobody"], "O332", "nobody"),
        (["tamsin", "--octaves", "9..9", "--for", "flute", "--require", "fits flute"], "O331", "fits flute"),
    ],
)
def test_bad_wishes_are_named(
    words: list[str], code: str, said: str, desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["explore", "lantern.cavata", *words, "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert [m["code"] for m in document["messages"]] == [code]
    assert said in json.dumps(document["messages"], ensure_ascii=False)


@pytest.mark.parametrize("words", [["--octaves", "5..3"], ["--octaves", "x"], ["--top", "0"], ["--motif", "A!"]])
def test_wrong_usage_is_said(words: list[str], desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explore", "lantern.cavata", "tamsin", *words]) == 2
    assert "O100" in capsys.readouterr().err


def test_a_broken_piece_says_its_own_mistakes(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "broken.cavata").write_text('language 2\nname tamsin = "TAMSIN" by frensh\n')
    assert main(["explore", "broken.cavata", "tamsin"]) == 1
    assert "frensh" in capsys.readouterr().err


def test_every_message_has_a_case() -> None:
    assert {code for code, _ in CASES} == {"O330", "O331", "O332", "O333", "O334"}
