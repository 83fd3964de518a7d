"""`cavata fit`. Sources: arithmetic written beside it; lengths measured again by `timings` on the script as written."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.diagnostics import Diagnostics, as_text
from cavata.names.loader import load
from cavata.pipeline import compile_script
from cavata.revise.changes import ChangeSort, in_tree
from cavata.revise.fit import Aim, FitLimits, FitWay, FoundWays, fitting
from cavata.revise.fit_shown import edits_of
from cavata.score.clock import length
from cavata.syntax import tree as t
from cavata.syntax.edits import applied
from cavata.tell.timings import timings

HEAD = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
name corwen = "CORWEN" by french
motif tune = tamsin -> in (1/4)
motif low = corwen -> from C3 -> in (1/4)
forces
    violin = violin
    cello = cello
"""
STEADY = HEAD + "movement first\n    meter 3/4\n    tempo 1/4 at 60 fixed\n"
MANY = HEAD + """\
movement first "First"
    meter 3/4
    tempo 1/4 at 84, "With the tide"        -- a comment
    section opening 8 bars
        repeated                            -- as they asked
        violin: tune x 2, tune -> up m2 until end
        cello: low until end
    section waltz "Waltz" 16 bars
        tempo 1/4. at 50 fixed, "Faster"
        violin at bar 3: tune -> slurred, 1 bar rest, tune -> up P4
        cello: low + low -> marked p until end
    section closing 4 bars
        tempo 1/4 at 91
        tempo at bar 2: broadening to 1/4 at 60 over 2 bars
        repeated 3 times
        violin: tune
        cello: low for 4 bars
movement second
    tempo 1/4 at 60.5
    violin: tune x 6, corwen
    cello: low until end
require
    corwen heard in second
    length of second 20 s to 50 s
"""
WHOLE = FitLimits(Fraction(3, 20))


def found(text: str, tmp_path: Path, aim: Aim, limits: FitLimits = WHOLE, version: str = "") -> FoundWays:
    path = tmp_path / "piece.cavata"
    path.write_text(text, "utf-8")
    bag = Diagnostics()
    loaded = load(path, path.name, bag)
    assert loaded is not None
    result = fitting(loaded, version, aim, limits, bag)
    assert result is not None, as_text(bag.ordered())
    return result


def seconds(least: int, most: int = 0, movement: str = "") -> Aim:
    return Aim(Fraction(least), Fraction(most or least), movement)


def rewritten(text: str, way: FitWay) -> str:
    return applied(text, edits_of(way.outcome.changes))


# ------------------------------------------------------------------ arithmetic


def test_tempo_is_the_nearest_whole_number(tmp_path: Path) -> None:
    """16 bars of 3/4 are 48 quarters: at 88 32.73 s, at 89 32.36 s, which is nearer to 32.5 s."""
    text = HEAD + "movement first\n    meter 3/4\n    tempo 1/4 at 80\n    violin: tune x 8\n"
    (way,) = found(text, tmp_path, Aim(Fraction(65, 2), Fraction(65, 2))).ways
    assert way.outcome.seconds == Fraction(48 * 60, 89)
    assert "tempo 1/4 at 89\n" in rewritten(text, way)


def test_repeat_is_played_fewer_times(tmp_path: Path) -> None:
    """4 bars at 60 are 12 s; three times 36 s, twice 24 s."""
    text = STEADY + "    section a\n        repeated 3 times\n        violin: tune x 2\n"
    (way,) = found(text, tmp_path, seconds(24)).ways
    assert way.outcome.seconds == 24 and "        repeated\n" in rewritten(text, way)
    (way,) = found(text, tmp_path, seconds(12)).ways
    assert way.outcome.seconds == 12 and "repeated" not in rewritten(text, way)


def test_section_that_goes_round_loses_whole_rounds(tmp_path: Path) -> None:
    """A round of six quarters is two bars of 3/4, 6 s at 60; of 20 bars, 60 s, nine rounds are 54 s."""
    text = STEADY + "    section a 20 bars\n        violin: tune until end\n"
    ways = found(text, tmp_path, seconds(54)).ways
    assert [way.outcome.seconds for way in ways] == [54]
    assert "section a 18 bars" in rewritten(text, ways[0])
    assert ways[0].fewer == (("tamsin", 10, 9),)


def test_length_in_bars_at_the_end_of_a_line_goes_with_its_section(tmp_path: Path) -> None:
    """The tune is two bars; of `2 bars rest, tune for 10 bars` and 12 bars, 10 bars are 30 s at 60."""
    text = STEADY + (
        "    section a 12 bars\n"
        "        violin: 2 bars rest, tune for 10 bars\n        cello: low until end\n"
    )
    (way,) = found(text, tmp_path, seconds(30, 33)).ways[:1]
    assert way.outcome.seconds == 30
    assert "section a 10 bars" in rewritten(text, way) and "tune for 8 bars" in rewritten(text, way)


def test_fixed_tempo_stays_in_versions_too(tmp_path: Path) -> None:
    text = HEAD + (
        "movement first\n    tempo 1/4 at 60\n    violin: tune x 2\nmovement second\n    tempo 1/4 at 60 fixed\n"
        '    violin: tune x 2\nversion fast "fast"\n    tempi x 2:1\n'
    )
    path = tmp_path / "piece.cavata"
    path.write_text(text, "utf-8")
    compiled = compile_script(path, version="fast")
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    assert [length(movement) for movement in compiled.score.movements] == [6, 12]


# ------------------------------------------------------------------ laws


AIMS = (
    (seconds(105), WHOLE), (seconds(150), WHOLE), (seconds(110), FitLimits(Fraction(0))),
    *(
        pytest.param(aim, WHOLE, marks=pytest.mark.slow)
        for aim in (seconds(95), seconds(80, 100), seconds(60, 70, "first"))
    ),
    (seconds(110), FitLimits(Fraction(1, 10), repeats=False)), (seconds(30), FitLimits(Fraction(1, 2), bars=False)),
    (seconds(35, 0, "second"), FitLimits(Fraction(1, 2))),
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize(("aim", "limits"), AIMS)
def test_every_way_keeps_what_it_says(aim: Aim, limits: FitLimits, tmp_path: Path) -> None:
    """The script as written has the length that was said, measured by `timings`; it differs in its rows alone."""
    result = found(MANY, tmp_path, aim, limits)
    path = tmp_path / "piece.cavata"
    bag = Diagnostics()
    for way in result.ways:
        text = rewritten(MANY, way)
        path.write_text(text.split("require\n")[0], "utf-8")  # what it requires may be broken: the way says so
        score = compile_script(path).score
        assert score is not None
        told = timings(score)
        measured = next((m.taken for m in told.movements if m.name == aim.movement), told.taken)
        assert measured.seconds == way.outcome.seconds and told.taken.seconds == way.outcome.piece
        assert aim.is_met(way.outcome.seconds, limits.within)
        path.write_text(text, "utf-8")
        loaded, before = load(path, "piece.cavata", bag), load(path, "piece.cavata", bag, MANY)
        assert loaded is not None and before is not None
        expected = in_tree(before.modules[before.main], way.outcome.changes)
        assert _plain(loaded.modules[loaded.main]) == _plain(expected)
        for change in way.outcome.changes:
            assert change.sort is not ChangeSort.TEMPO or abs(change.ratio - 1) <= limits.tempi
            assert change.sort is not ChangeSort.REPEAT or limits.repeats
            assert change.sort not in (ChangeSort.SECTION, ChangeSort.ITEM) or limits.bars
        assert "tempo 1/4. at 50 fixed" in text and text.count("--") == MANY.count("--")


def _plain(node: object) -> object:
    """A tree without its places."""
    if isinstance(node, tuple):
        return tuple(_plain(each) for each in node)
    if hasattr(node, "__slots__") and type(node).__module__.startswith("cavata.syntax"):
        names = [name for name in type(node).__slots__ if name not in ("span", "source")]
        return (type(node).__name__, *(_plain(getattr(node, name)) for name in names))
    return node


def test_no_ratio_comes_nearer(tmp_path: Path) -> None:
    """All tempi from 85 to 115 percent, in thousandths, rounded by hand; as whole numbers are."""
    text = HEAD + (
        "movement first\n    tempo 1/4 at 77\n    violin: tune x 4\nmovement second\n    tempo 1/4 at 53\n"
        "    violin: tune x 2\n"
    )
    for wanted in (Fraction(29), Fraction(32), Fraction(36)):
        result = found(text, tmp_path, Aim(wanted, wanted), FitLimits(Fraction(3, 20), within=Fraction(1, 10)))
        best = min(
            abs(Fraction(24 * 60, a) + Fraction(12 * 60, b) - wanted)
            for n in range(8500, 11501)
            for a, b in [[(2 * rate * n + 10000) // 20000 for rate in (77, 53)]]
            if abs(Fraction(a, 77) - 1) <= Fraction(3, 20) and abs(Fraction(b, 53) - 1) <= Fraction(3, 20)
        )
        assert abs(result.nearest.seconds - wanted) == best


def test_names_and_promises_lost_are_told(tmp_path: Path) -> None:
    """Six times the tune are twelve bars of 3/4, 36 s at 60; the second name comes after them."""
    text = STEADY + (
        "    section a 24 bars\n"
        "        violin: (tune x 6) + corwen until end\n"
        "require\n    corwen heard in first\n    length of piece 60 s to 80 s\n"
    )
    ways = found(text, tmp_path, seconds(34, 36)).ways
    assert ways and ways[0].lost == ("corwen",)
    assert {message.code for message in ways[0].broken} == {"R101", "R104"}
    ways = found(text, tmp_path, seconds(70, 71), FitLimits(Fraction(3, 20), within=Fraction(1, 100))).ways
    assert all("R104" not in [m.code for m in way.broken] for way in ways)


def test_way_written_is_the_way_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    script = Path("piece.cavata")
    script.write_bytes(b"\xef\xbb\xbf" + MANY.replace("\n", "\r\n").encode())
    script.chmod(0o640)
    assert main(["fit", "piece.cavata", "1:45", "--keep-bars", "--json"]) == 0
    ways = json.loads(capsys.readouterr().out)["ways"]
    assert main(["fit", "piece.cavata", "1:45", "--keep-bars", "--write", "2"]) == 0
    assert capsys.readouterr().out == "piece.cavata\n"
    content = script.read_bytes()
    assert content.startswith(b"\xef\xbb\xbf") and content.count(b"\r\n") == content.count(b"\n")
    assert script.stat().st_mode & 0o777 == 0o640
    lines = content.decode("utf-8-sig").split("\r\n")
    for row in ways[1]["rows"]:
        assert not row["row"] or any(line.strip().startswith(row["row"]) for line in lines)
    main(["timings", "piece.cavata", "--json"])
    assert json.loads(capsys.readouterr().out)["exact_seconds"] == ways[1]["length"]["exact"]


def test_piece_that_fits_already(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("piece.cavata").write_text(MANY, "utf-8")
    assert main(["fit", "piece.cavata", "1 min to 3 min"]) == 0
    assert "as long as that already" in capsys.readouterr().out


def test_version_has_its_own_length(tmp_path: Path) -> None:
    """Eight bars of 3/4 at 60 are 24 s, and 12 s in the version that is twice as fast; rows at 72 make that 10 s."""
    text = HEAD + (
        "movement first\n    meter 3/4\n    tempo 1/4 at 60\n    violin: tune x 4\n"
        'version fast "fast"\n    tempi x 2:1\n'
    )
    result = found(text, tmp_path, seconds(10), FitLimits(Fraction(1, 5)), "fast")
    assert result.now.seconds == 12 and [way.outcome.seconds for way in result.ways] == [10]
    assert "tempo 1/4 at 72\n" in rewritten(text, result.ways[0])


def test_piece_without_a_tempo_is_told_to_have_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without a tempo a quarter is taken at 60, and no row says a number that could change."""
    monkeypatch.chdir(tmp_path)
    Path("piece.cavata").write_text(HEAD + "movement first\n    violin: tune x 4\n", "utf-8")
    assert main(["fit", "piece.cavata", "20 s"]) == 1
    assert "give it a tempo" in capsys.readouterr().err


def test_tree_without_changes_is_the_same(tmp_path: Path) -> None:
    path = tmp_path / "piece.cavata"
    path.write_text(MANY, "utf-8")
    loaded = load(path, path.name, Diagnostics())
    assert loaded is not None
    module = loaded.modules[loaded.main]
    assert in_tree(module, ()) == module and isinstance(module, t.Module)
