"""Scripts of edition 1, renewed, mean what they meant: what stands beside them, and the scores that they had.

The suites and scores are those of the compiler of edition 1; see `README.md`.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

import pytest
from rounds import everyday

sys.path.insert(0, str(Path(__file__).parent.parent / "spec"))
from literate import Case, _cases_of, score_line, value_text

from cavata.cli.main import main
from cavata.cli.renew import renewed
from cavata.diagnostics import Diagnostics, Severity, as_text
from cavata.names.program import Identity
from cavata.pipeline import compile_script
from cavata.score.score import score_text
from cavata.source import Source
from cavata.syntax.format import format_script
from cavata.syntax.renew import renewal

FOLDER = Path(__file__).parent
SCORES: dict[str, str] = json.loads((FOLDER / "scripts" / "scores.json").read_text("utf-8"))
PIECES = [path.as_posix() for path in everyday(map(Path, SCORES))]
BEFORE = "language 1\nuse french, german from ciphers\n"
"""Stood before a script of the suites that does not begin with `language`."""


def old_cases() -> Iterator[Case]:
    """The scripts of the suites that had no error."""
    for path in sorted((FOLDER / "suites").glob("*.md")):
        for case in _cases_of(path):
            if not any(kind == "!" for _, kind, _, _ in case.messages()):
                bare = case.script.removeprefix("language 2\nuse french, german from ciphers\n")
                yield replace(case, script=bare if bare.startswith("language") else BEFORE + bare)


CASES = list(old_cases())


def rests_after(value: str) -> str:
    """The value of a rhythm as it is written now: `1/4 rest` for `rest 1/4`."""
    return re.sub(r"rest (\d+/\d+)", r"\1 rest", value)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_script_of_the_old_suites_means_what_stands_beside_it(case: Case, tmp_path: Path) -> None:
    path = tmp_path / "suite.cavata"
    path.write_text(case.script, "utf-8")
    script = renewed([path], Diagnostics())[path.resolve()]
    compiled = compile_script(path, text=script)
    assert not compiled.bag.has_errors, script + as_text(compiled.bag.ordered())
    assert compiled.plan is not None
    expected = {name: rests_after(text) for name, text in replace(case, script=script).values()}
    values = {name: compiled.plan.values[Identity(compiled.plan.main, name)] for name in expected}
    assert {name: value_text(values[name], text) for name, text in expected.items()} == expected
    for line in filter(None, map(str.strip, case.score.splitlines())):
        assert compiled.score is not None
        what, _, text = line.partition(": ")
        assert f"{what}: {score_line(compiled.score, what, text)}" == f"{what}: {' '.join(text.split())}"


@lru_cache
def of_piece(path: Path) -> dict[Path, str]:
    """A piece and the modules that it uses, renewed without a message."""
    bag = Diagnostics()
    found = renewed([path], bag)
    assert bag.is_empty, as_text(bag.ordered())
    return found


@pytest.mark.slow
@pytest.mark.parametrize("name", PIECES)
def test_piece_has_the_score_that_it_had(name: str) -> None:
    path = (FOLDER / "scripts" / name).resolve()
    compiled = compile_script(path, texts={str(file): text for file, text in of_piece(path).items()})
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    assert sha256(score_text(compiled.score).encode()).hexdigest() == SCORES[name]


def test_there_is_enough_to_try() -> None:
    assert len(CASES) > 80 and len(SCORES) > 20


# ---------------------------------------------------------------- what it writes

HEAD = """language 1
forces
    violin = violin
    viola  = viola
    drum   = snare drum
motif tune = notes(1/4 D4 E4)

"""


def turned(rows: str, folder: Path, bag: Diagnostics | None = None) -> str:
    """The rows as they are after renewing, the head taken off."""
    path = folder / "piece.cavata"
    path.write_text(HEAD + rows, "utf-8")
    found = Diagnostics() if bag is None else bag
    made = renewed([path], found)[path.resolve()]
    assert bag is not None or found.is_empty, as_text(found.ordered())
    return made.removeprefix(HEAD.replace("language 1", "language 2"))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("motif a = tune -> repeated 2", "motif a = tune x 2"),
        ("motif a = tune -> repeated to 3/4 -> up m3", "motif a = tune for 3/4 -> up m3"),
        ("motif a = tune -> cut to 3/8", "motif a = tune for 3/8"),
        ("motif a = chord(D4 F4) -> lasting 1/2", "motif a = chord(D4 F4) held 1/2"),
        ("motif a = tune -> held last to 1/2", "motif a = tune -> lengthened last to 1/2"),
        ("motif a = tune -> notes 1 to 2", "motif a = tune -> notes 1..2"),
        ("motif a = tune -> sharp 1 to 2 last", "motif a = tune -> sharp 1..2 last"),
        ("motif a = tune -> marked 1 to 2 p fermata staccato", "motif a = tune -> marked 1..2 p staccato -> fermata 2"),
        ("motif a = tune -> marked fermata", "motif a = tune -> fermata last"),
        ('motif a = tune -> marked 1 "M" fermata', 'motif a = tune -> marked 1 "M" -> fermata 1'),
        ("motif a = tune -> graced by tune before 1 to 2", "motif a = tune -> graced 1..2 by tune"),
        ("motif a = chords(Dm 1/2, rest 1/4, A7 1/4)", "motif a = chords(1/2 Dm, 1/4 rest, 1/4 A7)"),
        ('motif a = tune -> sung "o-pen"', 'motif a = tune -> sung "o-pen" unslurred'),
        ("rhythm a = (1/8 rest 1/8 1/4)", "rhythm a = (1/8 1/8 rest 1/4)"),
        ("motif held = tune\nmotif a = held -> up m2",
         "motif held_notes = tune\nmotif a          = held_notes -> up m2"),
        ("motif a = tune    -- rest 1/4 -> repeated 2\n    -> lasting_long 2\ntransform lasting_long(m, n) = m",
         "motif a = tune                                  -- rest 1/4 -> repeated 2\n    -> lasting_long 2\n"
         "transform lasting_long(m, n) = m"),
        ("transform repeated(m, n) = m\nmotif a = tune -> repeated 2",
         "transform repeated(m, n) = m\nmotif a = tune -> repeated 2"),
        ("transform bell(m, d) = m -> lasting d", "transform bell(m, d) = m held d"),
    ],
)  # fmt: skip
def test_statement_is_written_anew(old: str, new: str, tmp_path: Path) -> None:
    assert turned(f"{old}\n", tmp_path) == f"{new}\n"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("violin: rest 2 bars, tune, rest 1/4", "violin: 2 bars rest, tune, 1/4 rest"),
        ("violin: rest to bar 3, tune", "violin: rest to bar 3, tune"),
        ("violin: chord(D4) for 2 bars", "violin: chord(D4) held 2 bars"),
        ("violin: tune -> first 1 until end", "violin: tune -> first 1 held until end"),
        ("violin: tune for 2 bars", "violin: tune for 2 bars"),
        ("drum: (1/4) for 2 bars", "drum: (1/4) for 2 bars"),
        ("violin, viola: together(tune -> first 1, tune -> last 1) for 1 bar",
         "violin, viola: together(tune -> first 1, tune -> last 1) held 1 bar"),
        ("violin: tune -> repeated 2", "violin: tune x 2"),
        ('violin: tune -> sung "O _"', 'violin: tune -> sung "O _" unslurred'),
        ('violin: tune -> marked "calm" -> repeated 2', 'violin: (tune -> marked "calm" x 2)'),
        ("violin bars 1 to 2: marked p fermata",
         "violin bars 1 to 2: marked p\n        violin bars 1 to 2: fermata last"),
    ],
)  # fmt: skip
def test_row_is_written_anew(old: str, new: str, tmp_path: Path) -> None:
    begin = "movement first\n    section one 4 bars\n        viola: tune\n        "
    made = turned(f"{begin}{old}\n", tmp_path)
    assert [" ".join(line.split()) for line in made.splitlines()] == [
        " ".join(line.split()) for line in f"{begin}{new}".splitlines()
    ]


PASSAGE = "passage far(who, m)\n    who: m for 2 bars\nmovement first\n"


def test_passage_is_decided_where_it_is_placed(tmp_path: Path) -> None:
    held = PASSAGE + "    passage far(violin, tune -> first 1)\n    passage far(viola, chord(D4 F4))\n"
    assert "who: m held 2 bars" in turned(held, tmp_path)
    assert "who: m for 2 bars" in turned(PASSAGE + "    passage far(violin, tune)\n", tmp_path)


@pytest.mark.parametrize(
    "rows", ["    violin: tune\n", "    passage far(violin, tune)\n    passage far(viola, chord(D4))\n"]
)
def test_what_nobody_can_decide_is_said(rows: str, tmp_path: Path) -> None:
    bag = Diagnostics()
    assert "who: m for 2 bars" in turned(PASSAGE + rows, tmp_path, bag)
    (message,) = bag.ordered()
    assert (message.code, message.severity) == ("S811", Severity.WARNING)
    assert message.span is not None and (message.span.line, message.span.text) == (9, "m")


def test_section_made_from_another_counts_too(tmp_path: Path) -> None:
    """What is a line in one section is a chord in the other: only the composer knows."""
    rows = "movement first\n    section one 4 bars\n        violin: tune until end\n    section two = one -> as chord\n"
    bag = Diagnostics()
    turned(rows, tmp_path, bag)
    assert [message.code for message in bag.ordered()] == ["S811"]


def test_a_text_over_bars_is_told_whatever_it_finds_there(tmp_path: Path) -> None:
    bag = Diagnostics()
    turned('movement first\n    violin: tune\n    violin bars 1 to 1: sung "a b"\n', tmp_path, bag)
    assert [(m.code, m.span.text) for m in bag.ordered() if m.span] == [("S811", 'sung "a b"')]


def test_a_text_that_replaced_another_and_is_a_verse_now_is_said(tmp_path: Path) -> None:
    """Directly after the other, or under a tune that has words elsewhere; not where a tune has its first text."""
    rows = (
        'motif worded = tune -> sung "one two"\nmotif again = worded -> sung "three four"\n'
        'movement first\n    violin: worded, again\n    viola: tune -> sung "a b" -> sung "c d"\n'
    )
    bag = Diagnostics()
    turned(rows, tmp_path, bag)
    found = [(message.code, message.span.text) for message in bag.ordered() if message.span]
    assert found == [("S811", 'sung "three four"'), ("S811", 'sung "c d"')]


# ---------------------------------------------------------------- the command


def test_command_renews_a_piece_with_the_files_it_uses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    bells = "language 1\nrhythm knell = (rest 1/2 1/4)\n"
    piece = HEAD.replace("forces", 'use knell from "bells.cavata"\nforces')
    piece += "movement first\n    drum: knell until end\n    violin: tune\n"
    Path("bells.cavata").write_text(bells)
    Path("piece.cavata").write_text(piece)
    assert main(["format", "--renew", "--check", "piece.cavata"]) == 1
    assert Path("bells.cavata").read_text() == bells and Path("piece.cavata").read_text() == piece
    capsys.readouterr()
    assert main(["format", "--renew", "piece.cavata"]) == 0
    assert capsys.readouterr().out == "piece.cavata\nbells.cavata\n"
    assert Path("bells.cavata").read_text() == "language 2\nrhythm knell = (1/2 rest 1/4)\n"
    assert main(["check", "piece.cavata"]) == 0
    capsys.readouterr()
    assert main(["format", "--renew", "piece.cavata", "bells.cavata"]) == 0
    assert capsys.readouterr().out == ""


def test_format_alone_leaves_an_old_script(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("piece.cavata").write_text("language 1\nmotif  a=notes(1/4 D4)\n")
    assert main(["format", "piece.cavata"]) == 1
    told = capsys.readouterr()
    assert "N101" in told.err and "format --renew piece.cavata" in told.err
    assert Path("piece.cavata").read_text() == "language 1\nmotif  a=notes(1/4 D4)\n"


@pytest.mark.slow
@pytest.mark.parametrize("name", PIECES)
def test_comments_and_strings_stay(name: str) -> None:
    path = (FOLDER / "scripts" / name).resolve()
    old, new = path.read_text("utf-8"), of_piece(path)[path]
    told = re.compile(r'"(?:\\.|[^"\\\n])*"|--.*')
    assert [m[0].rstrip() for m in told.finditer(old)] == [m[0].rstrip() for m in told.finditer(new)]
    assert format_script(new).text == new


def test_old_grammar_reads_every_statement() -> None:
    for path in sorted((FOLDER / "scripts").rglob("*.cavata")):
        assert renewal(Source(path.name, path.read_text("utf-8"))).unread == ()
