"""What stands in the systems of a score: who is left out where silent, and nobody where the piece says so.

Source of what is left out: common practice; that nothing is, the language reference (`show every staff`).
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from io import BytesIO
from xml.etree import ElementTree

import pytest
from compiling import score_from
from pypdf import PdfReader

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave, find_lilypond
from cavata.lilypond.engraving import Engraving
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore
from cavata.pipeline import written
from cavata.score.score import Score

VIOLINS = "".join(f"    v{n} = violins\n" for n in range(10))
ORCHESTRA = f"forces\n    solo = flute, soloist\n{VIOLINS}    p = piano\n"
TUNE = "movement first\n    v1: notes(1/1 D5) x 8\n"
SHOWN = 'piece "P"\n    show every staff\n'
RUN = "notes(1/8 D5 E5 F5 G5 A5 G5 F5 E5) x 12"
TRIO = (
    "forces\n    flute = flute\n    oboe = oboe\n    cello = cello\n"
    f"movement first\n    flute: {RUN}\n    cello: notes(1/4 D3 E3 F3 G3) x 12\n"
    f"movement second\n    flute: {RUN}\n"
)
"""The oboe never plays, the cello in the first movement only; each movement has several systems."""
NAMES = {"Flute": "flute", "Fl.": "flute", "Oboe": "oboe", "Ob.": "oboe", "Cello": "cello", "Vc.": "cello"}


def score(script: str) -> Score:
    return score_from("language 2\n" + script)


def page(script: str) -> WrittenScore:
    return written(full_score(score(script)))


def hidden(shown: WrittenScore, movement: int = 0) -> set[str]:
    """The parts that may be left out of systems of a movement."""
    parts = shown.movements[movement].parts
    assert all(len({staff.hides for staff in part.staves}) == 1 for part in parts)
    return {part.part.name for part in parts if part.staves[0].hides}


def printed(shown: WrittenScore, movement: int) -> list[str]:
    return [part.part.name for part in shown.movements[movement].printed]


def music(shown: WrittenScore) -> str:
    """The .ly from its first movement on; settings before it let the line of letters be left out, which is no staff."""
    _, score, text = lilypond_text(shown).partition("\\score\n")
    assert score
    return score + text


def test_silent_staves_are_left_out_of_full_scores_of_many() -> None:
    """All but the soloist; the two staves of the piano count with the ten of the violins."""
    shown = page(ORCHESTRA + TUNE)
    assert hidden(shown) == {"p", *(f"v{n}" for n in range(10))}
    assert music(shown).count("remove-empty = ##t") == 12


def test_nine_staves_are_not_many() -> None:
    rows = "".join(f"    v{n} = violins\n" for n in range(8))
    music = "movement first\n" + "".join(f"    v{n}: notes(1/1 D5) x 8\n" for n in range(8))
    nine, ten = (f"forces\n{rows}{more}{music}" for more in ("    f = flute\n", "    p = piano\n"))
    assert hidden(page(nine)) == {"f"}
    assert hidden(page(ten)) == {"p", *(f"v{n}" for n in range(8))}


@pytest.mark.parametrize(
    ("rows", "hides"),
    [
        ("v1: notes(1/1 D5), 3 bars rest, notes(1/1 D5)", True),
        ("v1: notes(1/1 D5), 4 bars rest, notes(1/1 D5)", False),
        ("v1: notes(1/1 D5), 3 bars rest, notes(1/1 D5), 3 bars rest, notes(1/1 D5)", True),
        ("v1: notes(6/1 D5), notes(1/1 D5)", True),
        ("v1: notes(6/1 D5)\n    v2: 1 bar rest, notes(1/1 C5), 4 bars rest, notes(1/1 C5)", True),
        ("section one 5 bars\n        v1: notes(1/1 D5)", False),
        ("section one 4 bars\n        v1: notes(1/1 D5)", True),
        ("section one 6 bars\n        v1 at bar 5: notes(1/1 D5)", False),
        ("section one 6 bars\n        v1 at bar 4: notes(1/1 D5)", True),
    ],
    ids=[
        "three bars", "four bars", "twice three bars", "held_notes", "held beside another", "four at the end",
        "three at the end", "four at the beginning", "three at the beginning",
    ],
)  # fmt: skip
def test_who_plays_is_hidden_where_no_silence_is_as_long_as_a_system(rows: str, hides: bool) -> None:
    """Four bars of nobody might be a system without a staff; a note that is held is no silence."""
    assert ("v1" in hidden(page(f"{ORCHESTRA}movement first\n    {rows}\n"))) is hides


def test_part_that_never_plays_is_left_out_of_smaller_scores_too() -> None:
    shown = page(TRIO)
    assert printed(shown, 0) == ["flute", "oboe", "cello"] and hidden(shown) == {"oboe"}
    assert printed(shown, 1) == ["flute"]


def test_movement_in_which_nobody_plays_shows_everybody() -> None:
    silent = page(TRIO + "movement third\n    flute: 9 bars rest\n")
    assert printed(silent, 2) == ["flute", "oboe", "cello"] and hidden(silent, 2) == set()


@pytest.mark.parametrize("script", [ORCHESTRA + TUNE + TUNE.replace("first", "second"), TRIO], ids=["many", "three"])
def test_every_staff_is_shown_where_the_piece_says_so(script: str) -> None:
    """In no system and no movement, of no copy, is a staff left out."""
    made = score(SHOWN + script)
    soloist = made.parts[0].name
    for copy in copies(made, WantedCopies(parts=(), short=True, rehearsal=((soloist,),)), Diagnostics()):
        shown = written(copy.score)
        everybody = [part.name for part in copy.score.parts]
        for number in range(len(shown.movements)):
            assert printed(shown, number) == everybody and hidden(shown, number) == set(), copy.suffix
        text = music(shown)
        assert "remove-empty = ##t" not in text
        assert "remove-empty = ##t" in music(page(script))
        staves = sum(len(part.staves) for part in shown.movements[0].parts)
        for block in text.split("\\score")[1:]:
            assert len(re.findall(r"\\context (?:Rhythmic)?Staff = ", block)) == staves, copy.suffix


def test_every_part_is_in_musicxml_and_none_is_hidden() -> None:
    """`print-object` takes a staff off the page (MusicXML 4.0, element `staff-details`)."""
    for script in (TRIO, SHOWN + TRIO):
        shown = page(script)
        for movement in shown.movements:
            document = musicxml_bytes(shown, movement.name)
            root = ElementTree.fromstring(document)
            assert [name.text for name in root.iter("part-name")] == ["Flute", "Oboe", "Cello"]
            assert [len(part.findall("measure")) for part in root.findall("part")] == [12, 12, 12]
            assert b'print-object="no"' not in document


@lru_cache
def engraved(script: str) -> Engraving:
    made = engrave(lilypond_text(page(script)), frozenset(("pdf", "svg")))
    assert isinstance(made, Engraving), made
    return made


def systems(script: str) -> list[list[str]]:
    """The parts named before each system of an engraved page, from the top."""
    found: list[tuple[float, str]] = []

    def visit(text: str, ctm: list[float], tm: list[float], *_: object) -> None:
        if text.strip() in NAMES:
            found.append((tm[4] * ctm[1] + tm[5] * ctm[3] + ctm[5], NAMES[text.strip()]))

    (sheet,) = PdfReader(BytesIO(engraved(script).of("pdf")[0].data)).pages
    sheet.extract_text(visitor_text=visit)
    made: list[list[str]] = []
    for _, name in sorted(found, reverse=True):
        if name == "flute":  # it plays everywhere, so that each system begins with it
            made.append([])
        made[-1].append(name)
    return made


def staves(script: str) -> int:
    """How many staves of five lines a page has: lines as wide as the page less its margins, all but the names' room."""
    svg = engraved(script).of("svg")[0].data.decode()
    lines = re.findall(r'd="M ([-\d.]+) ([-\d.]+) L ([-\d.]+) ([-\d.]+) "', svg)
    long = [high for left, high, right, end in lines if high == end and float(right) - float(left) > 50]
    assert len(long) % 5 == 0
    return len(long) // 5


@pytest.mark.slow
@pytest.mark.skipif(not isinstance(find_lilypond(), str), reason="LilyPond is not installed")
def test_second_system_of_an_engraved_score_has_every_staff_or_those_that_play() -> None:
    """The names before the systems are read from the PDF by pypdf, and the staves in the SVG counted by their lines."""
    usual, every = systems(TRIO), systems(SHOWN + TRIO)
    assert usual[:2] == [["flute", "oboe", "cello"], ["flute", "cello"]] and usual[-1] == ["flute"]
    assert len(every) >= 4 and every == [["flute", "oboe", "cello"]] * len(every)
    assert staves(TRIO) == sum(map(len, usual))
    assert staves(SHOWN + TRIO) == 3 * len(every)


def test_a_bar_too_full_for_a_line_may_be_broken() -> None:
    """Elsewhere a line ends with a bar; here where no beam goes on. Common practice; what is too full is our own."""
    full = "notes(1/32 D5 E5 F5 G5) -> crescendo p f x 8"
    quarters = (Fraction(1, 4), Fraction(1, 2), Fraction(3, 4))
    for notes, breaks in (("notes(1/32 D5 E5 F5 G5) x 8", ()), (full, quarters)):
        page = written(score_from(f"forces\n    flute = flute\nmovement first\n    flute: {notes}\n"))
        ((places,),) = (movement.line_breaks for movement in page.movements)
        assert places == breaks
