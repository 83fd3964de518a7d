"""Long movements in stretches: where they are cut, and that the joined pages are those of the movement in one run."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
from emit_lilypond_scores import bar, frame, leaf, line, movement, part
from pypdf import PdfReader
from test_engrave_sheets import engraved, texts

from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving
from cavata.lilypond.sheets import sheets
from cavata.notate.paper import stretches
from cavata.notate.paper.layout import laid_out
from cavata.notate.paper.stretches import crossing, cuts, movement_stretch
from cavata.notate.written import SungText, WrittenBar, WrittenMovement, WrittenScore, WrittenStaff
from cavata.record import replace
from cavata.score.score import Header

PLAIN = bar(*line("D5:8[ E5:8- F5:8- G5:8]"), *line("A5:8[ G5:8- F5:8- E5:8]"))
REST = bar(leaf("R:"))


@dataclass
class Way:
    """How long stretches may be in a test."""

    bars: int


@pytest.fixture(autouse=True)
def short_stretches(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Way:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(stretches, "MOST_BARS", 30)
    return Way(30)


def of(*staves: tuple[WrittenBar, ...], sections: tuple[int, ...] = (), **more: object) -> WrittenMovement:
    """A movement of some staves, one part each; a section begins at the bars that are named."""
    frames = tuple(
        frame(number, "4/4", rehearsal="A" if number in sections else "", **(more if number == 1 else {}))
        for number in range(1, len(staves[0]) + 1)
    )
    clefs = ("treble", "bass")
    parts = [
        part(f"p{place}", f"Part {place}", f"P{place}", WrittenStaff(clefs[place], bars))
        for place, bars in enumerate(staves)
    ]
    return movement("first", "The First", frames, tuple(parts))


def scored(written: WrittenMovement) -> WrittenScore:
    return laid_out(Header("Three Watches"), (), (written,))


def test_what_leads_over_a_bar_line_is_counted() -> None:
    tied = bar(leaf("D5:1~")), bar(leaf("D5:1_"))
    slurred = bar(*line("D5:2"), leaf("E5:2", slur_begins=True)), bar(leaf("F5:2", slur_ends=True), *line("G5:2"))
    swelling = bar(leaf("D5:1", hairpin="crescendo")), PLAIN, bar(leaf("E5:1", hairpin_ends=True))
    sliding = bar(*line("D5:2"), leaf("E5:2", glides=True)), PLAIN
    pedal = bar(leaf("D5:1", pedal_begins=True)), PLAIN, bar(leaf("E5:1", pedal_ends=True)), PLAIN
    high = bar(replace(leaf("D5:1"), ottava=1)), PLAIN, bar(replace(leaf("D5:1"), ottava=0))
    sung = (
        bar(replace(leaf("D5:1"), sung=(SungText("a", goes_on=True, line="begins"),))),
        bar(replace(leaf("E5:1"), sung=(SungText("", line="ends"),))),
        bar(replace(leaf("F5:1"), sung=(SungText("men", comes_on=True),))),
        bar(replace(leaf("G5:1"), sung=(SungText("so"),))),
    )
    found = [crossing(of(bars)) for bars in (tied, slurred, swelling, sliding, pedal, high, sung, (PLAIN, REST))]
    assert found == [(0, 1), (0, 1), (0, 1, 1), (0, 1), (0, 1, 1, 0), (0, 1, 0), (0, 1, 1, 0), (0, 0)]
    assert crossing(of(tied, slurred)) == (0, 2)


def test_a_movement_is_cut_evenly_where_nothing_leads_over(short_stretches: Way) -> None:
    assert cuts(of((PLAIN,) * short_stretches.bars)) == ()
    assert cuts(of((PLAIN,) * 60)) == (30,)
    assert cuts(of((PLAIN,) * 90)) == (30, 60)
    bars = [PLAIN] * 60
    bars[27:32] = [bar(leaf("D5:1~")), *[bar(leaf("D5:1~_"))] * 3, bar(leaf("D5:1_"))]
    assert cuts(of(tuple(bars))) == (32,)


def test_a_movement_is_rather_cut_where_a_section_begins() -> None:
    assert cuts(of((PLAIN,) * 60, sections=(29,))) == (28,)
    assert cuts(of((PLAIN,) * 60, sections=(11,))) == (30,)


def test_stretches_have_every_bar_once_beside_what_is_thrown_away() -> None:
    slurred = bar(leaf("D5:2", slur_begins=True), *line("E5:2")), bar(leaf("F5:2"), leaf("G5:2", slur_ends=True))
    whole = of(slurred * 45, (REST,) * 90)
    under_way = crossing(whole)
    kept = []
    for first, end in pairwise((0, 31, 60, 90)):
        one = movement_stretch(whole, first, end, under_way)
        before, after = one.overlap
        assert under_way[first - before] == 0 and (end + after == 90 or under_way[end + after] == 0)
        assert len(one.frames) == len(one.parts[0].staves[0].bars) == before + end - first + after
        kept += [made.number for made in one.frames[before : len(one.frames) - after]]
    assert kept == list(range(1, 91))
    assert movement_stretch(whole, 31, 60, under_way).overlap == (1, 2)


def busy() -> WrittenMovement:
    """Sixty bars of two staves with something under way nearly everywhere; clef and signature change on the way."""
    slurred = bar(leaf("D5:2", slur_begins=True), *line("E5:2")), bar(leaf("F5:2", slur_ends=True), *line("G5:2"))
    tied = bar(*line("D3:2"), leaf("E3:2~")), bar(leaf("E3:2_"), leaf("F3:2", clef="tenor")), bar(*line("G3:2 A3:2"))
    upper = list(slurred * 30)
    upper[7] = replace(upper[7], key=2)
    swell = bar(leaf("D5:1", hairpin="crescendo", dynamic="p"))
    upper[8:52] = [swell, *(PLAIN,) * 42, bar(leaf("E5:1", hairpin_ends=True, dynamic="f"))]
    lower = [*(tied * 20)]
    lower[7] = replace(lower[7], key=2)
    return of(tuple(upper), tuple(lower), shows_meter=True)


def drawn(pdf: bytes) -> list[Counter[bytes]]:
    """How many curves and straight lines are drawn on each page, and how often each sign is set."""
    found = []
    for page in PdfReader(BytesIO(pdf)).pages:
        contents = page.get_contents()
        assert contents is not None
        strokes = Counter(word for word in contents.get_data().split() if word in (b"c", b"l", b"re"))
        found.append(strokes + Counter(sign.encode() for sign in page.extract_text() if not sign.isspace()))
    return found


def numbered(pdf: bytes) -> list[list[tuple[str, int, int]]]:
    """The numbers of bars and pages, with their places."""
    return [[one for one in page if one[0].isdigit()] for page in texts(pdf)]


@pytest.mark.slow
def test_the_joined_pages_are_those_of_one_run(monkeypatch: pytest.MonkeyPatch) -> None:
    """As many curves and lines (ties, slurs, swells), each sign as often and each number at the same place as where
    LilyPond itself sets the whole movement, told to begin a page at the cuts; and it has nothing to say of them."""
    monkeypatch.setattr(stretches, "MOST_BARS", 20)
    score = scored(busy())
    places = score.movements[0].cuts
    assert len(places) == 2
    assert len(sheets(score)) == 3
    made = engraved(score)
    assert made.remarks == (), "a slur or hairpin that is begun and not ended, and so is not on the page"
    joined = made.files[0].data
    frames = list(score.movements[0].frames)
    for place in places:
        frames[place - 1] = replace(frames[place - 1], ends_page=True)
    uncut = replace(score.movements[0], cuts=(), frames=tuple(frames))
    undivided = engrave(lilypond_text(replace(score, movements=(uncut,))), frozenset(("pdf",)))
    assert isinstance(undivided, Engraving)
    whole = undivided.files[0].data
    expected = numbered(whole)
    assert len(expected) >= 3
    assert numbered(joined) == expected
    assert drawn(joined) == drawn(whole)
