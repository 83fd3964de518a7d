"""What an editor is told at single places of a short piece, half-written and wrong rows among them."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.editor import completion, mending, names, structure
from cavata.editor.page import ScriptPage
from cavata.pipeline import compile_script
from cavata.source import Source

HOUSE = """\
language 2

motif bell = notes(1/4 D4 A4 D5)
"""
PIECE = """\
language 2

piece "Places"
    composer "A. Composer"

use french from ciphers
use bell from "house.cavata"

cipher own = french
    H = B
name anna = "ANNA" by french
transform echo(theme, gap) = theme -> up gap

forces
    flute = flute
    organ = organ

movement first
    section opening 4 bars
        flute: bell for 2 bars, canon(bell, after 1/4)
        organ.right: anna for 2 bars
"""


@pytest.fixture
def page(tmp_path: Path) -> ScriptPage:
    return page_of(tmp_path, PIECE)


def page_of(folder: Path, text: str) -> ScriptPage:
    (folder / "house.cavata").write_text(HOUSE, "utf-8")
    path = folder / "piece.cavata"
    return ScriptPage(Source(path.name, text), str(path), compile_script(path, text=text))


def offered(page: ScriptPage, before: str, begun: str = "") -> list[str]:
    """What may stand after a text that stands once in the page; `begun` of it is written already."""
    assert page.source.text.count(before) == 1
    return [
        offer.word for offer in completion.offers(page, page.source.text.index(before) + len(before))
        if offer.begun == begun
    ]  # fmt: skip


def test_names_are_offered_where_they_may_stand(page: ScriptPage, tmp_path: Path) -> None:
    assert {"theme", "bell", "anna"} <= {*offered(page, "gap) = ")}
    assert "gap" in offered(page, "-> up ")
    assert offered(page, "organ.") == ["right", "left", "pedal"]
    assert {"french", "own"} <= {*offered(page, "cipher own = ")}
    assert "bell" in offered(page, 'use bell from "house'.partition("bell")[0] + "be", "be")
    assert "house" in offered(page_of(tmp_path, PIECE.replace("from ciphers", "from hous")), "from hous", "hous")
    # A number or a length can only be a parameter: no motif, no combination.
    assert not {"bell", "canon("} & {*offered(page, "flute: bell for ")}
    assert "bell" in offered(page_of(tmp_path, PIECE.replace('use bell from "house.cavata"', "use be")), "use be", "be")
    required = page_of(tmp_path, PIECE + "\nrequire\n    an\n")
    assert offered(required, "require\n    an", "an") == ["anna"]


def test_what_may_not_stand_there_is_not_offered(tmp_path: Path) -> None:
    """Words of other steps after a step, what follows a step inside one, markings where it is done."""

    def after(item: str) -> set[str]:
        page = page_of(tmp_path, PIECE.replace("bell for 2 bars", f"{item} , bell"))
        return {*offered(page, f"flute: {item} ")}

    assert after("bell -> up P8") == {"x", "for", "held", "until", "over"}
    assert "by" in after("bell -> sequence 3") and not {"x", "for"} & after("bell -> sequence 3")
    assert {"mf", "x"} <= after("bell -> marked p") and "at" not in after("bell -> marked p")
    assert "mf" not in after("bell -> marked p x")
    # Of a file that the row names what that has, not what the library has.
    assert offered(page_of(tmp_path, PIECE.replace("use bell from", "use  from")), "ciphers\nuse ") == ["bell"]


def test_an_instrument_of_several_words_is_offered_whole(tmp_path: Path) -> None:
    begun = page_of(tmp_path, PIECE.replace("flute = flute", "flute = bass tr"))
    found = offered(begun, "flute = bass tr", "bass tr")
    assert "bass trombone" in found and all(word.startswith("bass tr") for word in found)
    # What is offered is read by the language: of a key the letter is a capital.
    assert "bass trumpet in Bb" in found


@pytest.mark.parametrize(
    ("row", "part"),
    [
        ("bell -> sequence ", "COUNT"), ("bell -> sequence 3 by ", "INTERVAL"),
        ("bell -> sequence 3 by M2 ", "up|down"),
        ("bell -> harmonized in C major with ", "thirds|sixths|triads"), ("canon(bell, ", "at INTERVAL above|below"),
        ("canon(bell, after ", "after SPAN"), ("canon(bell, after 1/4, voices ", "voices COUNT"),
        ("weave(bell, bell, bell, ", "..."), ("weave(bell, bell, cycle", "cycle"), ("echo(bell, ", "gap"),
        ("bell -> echo ", "gap"),
    ],
)  # fmt: skip
def test_the_argument_under_way_is_told(tmp_path: Path, row: str, part: str) -> None:
    page = page_of(tmp_path, PIECE.replace("canon(bell, after 1/4)", row))
    written = completion.written(page, page.source.text.index(row) + len(row))
    assert part in {each.parts[each.now] for each in written if each.now is not None}


@pytest.mark.parametrize(
    ("right", "wrong", "others"),
    [
        ('"house.cavata"', '"huse.cavata"', []), ("section", "secton", []), ("bell for", "bel for", []),
        ("flute = flute", "flute = flutte", ["fruste", "lute"]), ("by french", "by frensh", []),
    ],
)  # fmt: skip
def test_a_misspelled_word_is_mended_where_it_stands(
    tmp_path: Path, right: str, wrong: str, others: list[str]
) -> None:
    """One word of a piece is misspelled; one of the mendings of the first message gives the piece again."""
    text = PIECE.replace(right, wrong)
    message = page_of(tmp_path, text).compiled.bag.ordered()[0]
    found = mending.instead(message)
    assert PIECE in [text[: span.start] + new + text[span.end :] for span, new in found]
    assert [new for _, new in found][1:] == others


def test_a_limit_of_players_is_mended_and_what_follows_it_stays(tmp_path: Path) -> None:
    text = PIECE + "\nprofile mine\n    keybord hand 12 semitones\n"
    (message,) = [each for each in page_of(tmp_path, text).compiled.bag.ordered() if each.code == "I391"]
    ((span, new),) = mending.instead(message)
    assert text[: span.start] + new + text[span.end :] == text.replace("keybord", "keyboard")


def test_behind_a_mistake_a_row_is_read_on(tmp_path: Path) -> None:
    page = page_of(tmp_path, PIECE.replace("bell for 2 bars, canon", "bell ) 𝄞, bell -> , canon"))
    text = page.source.text
    row = text.index("flute: bell")
    colors = {text[start:end]: kind for start, end, kind in structure.classes(page) if start > row}
    assert (colors["canon"], colors["1/4"]) == (structure.Class.STEP, structure.Class.NUMBER)
    uses = [span.start for _, span in names.uses(page, row + len("flute: "))]
    assert len([start for start in uses if start > row]) == 3
    assert {"up", "retrograde"} <= {*offered(page, "𝄞, bell -> ")}
    assert {"bell", "anna", "canon("} <= {*offered(page, "𝄞, ")}
