"""A copy engraved sheet by sheet: how it is divided, joined and numbered."""

from __future__ import annotations

from fractions import Fraction
from io import BytesIO
from pathlib import Path

import pytest
from emit_lilypond_scores import bar, frame, line, movement, part
from fake_engravers import DRAWS, FAILS, SAYS, engrave_with
from pypdf import PdfReader

from cavata.lilypond.copies import Engravers
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving, Failure
from cavata.lilypond.sheets import sheets
from cavata.names.paper import Paper
from cavata.notate.paper.layout import laid_out
from cavata.notate.written import WrittenMovement, WrittenScore, WrittenStaff
from cavata.score.score import CopyKind, Header

PDF = frozenset(("pdf",))
_MM = 72 / 25.4


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache" / "cavata" / "pages"


def played(name: str, bars: int) -> WrittenMovement:
    """A movement for one violin: so many bars of quavers."""
    notes = bar(*line("D5:8[ E5:8- F5:8- G5:8]"), *line("A5:8[ G5:8- F5:8- E5:8]"))
    frames = tuple(frame(number, "4/4") for number in range(1, bars + 1))
    violin = part("v", "Violin", "Vln.", WrittenStaff("treble", (notes,) * bars))
    return movement(name, f"The {name}", frames, (violin,))


def piece(*bars: int, **header: object) -> WrittenScore:
    """A piece of movements of so many bars."""
    names = ("first", "second", "third", "fourth", "fifth", "sixth")
    movements = tuple(played(name, count) for name, count in zip(names, bars, strict=False))
    return laid_out(Header("Three Watches", **header), (), movements)  # type: ignore[arg-type]  # its fields


LONG, SHORT = 90, 3


def runs(score: WrittenScore) -> list[str]:
    """The movements of each sheet, by their initials."""
    return ["".join(one.name[0] for one in sheet.movements) for sheet in sheets(score)]


def engraved(score: WrittenScore, formats: frozenset[str] = PDF, fresh: bool = False) -> Engraving:
    """A copy that must succeed."""
    with Engravers(formats, 2, fresh) as engravers:
        made = engravers.deliver(engravers.order(score))
    assert isinstance(made, Engraving), made
    return made


def test_a_long_movement_begins_a_sheet_and_short_ones_go_on_with_it() -> None:
    assert runs(piece(SHORT, SHORT, SHORT)) == ["fst"]
    assert runs(piece(LONG, LONG)) == ["f", "s"]
    assert runs(piece(SHORT, LONG, SHORT, LONG)) == ["fst", "f"]


def test_sheets_of_other_movements_stay_when_one_grows() -> None:
    before, after = sheets(piece(LONG, LONG, SHORT, LONG)), sheets(piece(LONG, LONG + 20, SHORT, LONG))
    assert len(before) == len(after) == 3
    assert before[0] == after[0] and before[1] != after[1] and before[2] == after[2]


def test_a_players_part_is_one_sheet() -> None:
    assert len(sheets(piece(LONG, LONG, kind=CopyKind.PART))) == 1


def texts(pdf: bytes) -> list[list[tuple[str, int, int]]]:
    """What is written on each page, with its place in points from the left and from the top."""
    result = []
    for page in PdfReader(BytesIO(pdf)).pages:
        found: list[tuple[str, int, int]] = []

        def visit(text: str, ctm: list[float], tm: list[float], *_: object, found: list[tuple[str, int, int]] = found,
                  height: float = float(page.mediabox.height)) -> None:  # fmt: skip
            x, y = tm[4] * ctm[0] + tm[5] * ctm[2] + ctm[4], tm[4] * ctm[1] + tm[5] * ctm[3] + ctm[5]
            if text.strip():
                found.append((text.strip(), round(x), round(height - y)))

        page.extract_text(visitor_text=visit)
        result.append(sorted(found))
    return result


Texts = list[list[tuple[str, int, int]]]


def heads(pages: Texts) -> Texts:
    """What stands in the uppermost 15 mm of each page."""
    return [[one for one in page if one[2] < 15 * _MM] for page in pages]


@pytest.fixture(scope="module")
def both_ways(tmp_path_factory: pytest.TempPathFactory) -> tuple[Texts, Texts]:
    """What is written in a piece of two long movements: on sheets that were joined, and on LilyPond's own pages of
    the whole. The paper is so small that few bars are long."""
    score = piece(24, 24, paper=Paper("small", Fraction(150), Fraction(120)))
    assert len(sheets(score)) == 2
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CAVATA_CACHE", str(tmp_path_factory.mktemp("cache")))
        undivided = engrave(lilypond_text(score), PDF)
        assert isinstance(undivided, Engraving)
        return texts(engraved(score).files[0].data), texts(undivided.files[0].data)


@pytest.mark.slow
def test_pages_are_numbered_as_in_one_run(both_ways: tuple[Texts, Texts]) -> None:
    """The joined pages bear the same heads at the same places as LilyPond's own pages of the undivided copy."""
    divided, undivided = map(heads, both_ways)
    assert len(divided) == len(undivided) >= 4
    assert divided == undivided
    assert any(str(len(divided)) == text for text, _, _ in divided[-1])


@pytest.mark.slow
def test_left_pages_keep_their_distance_from_the_binding(both_ways: tuple[Texts, Texts]) -> None:
    """Set as if all lay on the right, joined: the clefs stand as far from the edge as on LilyPond's own pages."""
    clefs = [[min(x for text, x, _ in page if text >= "\ue000") for page in pages] for pages in both_ways]
    assert clefs[0] == clefs[1] and len(set(clefs[0])) == 2


def test_unchanged_copy_is_not_engraved_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    engrave_with("echo x >> " + str(tmp_path / "runs") + "\n" + DRAWS, tmp_path, monkeypatch)
    runs = tmp_path / "runs"
    score = piece(SHORT)
    first = engraved(score)
    assert engraved(score) == first and runs.read_text().count("x") == 1
    engraved(piece(SHORT + 1))
    assert runs.read_text().count("x") == 2
    engraved(score, fresh=True)
    assert runs.read_text().count("x") == 3


def test_another_engraver_engraves_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    engrave_with(DRAWS, tmp_path, monkeypatch)
    first = engraved(piece(SHORT))
    engrave_with(DRAWS.replace("1.4", "1.5"), tmp_path, monkeypatch)
    assert engraved(piece(SHORT)) != first


def test_missing_letters_and_remarks_are_told_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said = SAYS.format("warning: no glyph for character U+65E5 in font x") + SAYS.format("warning: too loud")
    engrave_with(DRAWS + said, tmp_path, monkeypatch)
    first = engraved(piece(SHORT))
    assert [glyph.code_point for glyph in first.missing] == ["U+65E5"] and first.remarks == ("too loud",)
    assert engraved(piece(SHORT)) == first


def test_damaged_page_is_made_anew(own_cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whichever byte is lost or changed, the page is engraved again, and the same comes out."""
    engrave_with("echo x >> " + str(tmp_path / "runs") + "\n" + DRAWS, tmp_path, monkeypatch)
    first = engraved(piece(SHORT))
    (entry,) = own_cache.iterdir()
    whole = entry.read_bytes()
    places = (0, 31, 32, 40, len(whole) - 1)
    for damaged in (b"", whole[:20], whole[:-1], *(changed(whole, place) for place in places)):
        entry.write_bytes(damaged)
        assert engraved(piece(SHORT)) == first
    assert (tmp_path / "runs").read_text().count("x") == 1 + 3 + len(places)


def changed(data: bytes, place: int) -> bytes:
    """The data with one byte changed."""
    return data[:place] + bytes((data[place] ^ 1,)) + data[place + 1 :]


def test_cache_that_cannot_be_written_is_done_without(
    own_cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    engrave_with(DRAWS, tmp_path, monkeypatch)
    own_cache.parent.mkdir(parents=True)
    own_cache.write_bytes(b"no folder")
    assert engraved(piece(SHORT)).files[0].data


def test_failure_of_one_sheet_is_the_copys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    engrave_with(FAILS, tmp_path, monkeypatch)
    with Engravers(PDF, 2) as engravers:
        made = engravers.deliver(engravers.order(piece(LONG, LONG)))
    assert isinstance(made, Failure) and "not today" in made.message
