"""The ledger of a page, whole: what became of every sign of a small piece, and of a page that lacks some.

What ought to become of each sign is what the reference says of them ("What becomes of the signs at notes").
"""

from __future__ import annotations

from fractions import Fraction as F
from pathlib import Path

import pytest

from cavata.edition.copies import full_score
from cavata.music.event import UNMARKED, Head, Marks, Ornament, Syllable
from cavata.music.pitch import parse_pitch
from cavata.notate.ledger import leaf_signs, ledger_text, movement_counts, page_ledger
from cavata.notate.written import Leaf, SungText, WrittenHead, WrittenScore
from cavata.pipeline import Compiled, compile_script, written
from cavata.record import replace
from cavata.score.ledger import Fate, ledger
from cavata.score.score import Score

SCRIPT = """language 2
forces
    flute  = flute
    horn   = horn
    voice  = soprano
    piano  = piano
    violin = violin
movement first
    tempo 1/4 at 60
    flute: notes(1/4 D4 E4 F4 G4 | 1/1 A4) -> marked p -> slurred 1..2 -> slurred 2..4
    flute bars 1 to 1: marked f
    flute at bar 3: notes(1/2 D4 E4, 1/2 rest F4, 1/2 rest G4) -> fermata 2 -> marked 3 p -> marked 4 p
    horn at bar 3: notes(1/4 D4 E4 F4 G4, 1/1 A4 A4) -> fermata 4
    horn: notes(1/1 D4) -> symbols of chords(1/1 Dm7)
    voice: notes(1/4 D4 E4 F4 G4) -> sung "la _ lu-la" -> sung verse 2 "o _"
    voice at bar 2: notes(1/4 D4 E4 rest G4) -> sung "so _ _"
    piano: notes(1/2 chord(D3 A3 D5 F5) D5) -> rolled -> marked p
    piano at bar 2: notes(1/16 D5 E5, 1/8 F5, 3/4 G5) -> tremolo 1/16
    piano at bar 3: chord(1/1 D2 A2 D5 F5) -> sustain_pedal -> crescendo p f
    violin: notes(1/1 D5 E5, 1/2 F5 G5) -> sul A -> slurred
    violin at bar 4: notes(3/2 D6) -> harmonic touching P4 -> optional
    violin at bar 6: notes(1/1 D5, 1/2 D5) -> tremolo -> tied
    violin at bar 7 beat 3: notes(1/4 D5 E5) -> trill -> graced 1 by notes(1/8 C5) -> glissando 1
"""
WHOLE = """\
kind            said  written  replaced  in force  shared  cut  reported  lost  added  full score
--------------  ----  -------  --------  --------  ------  ---  --------  ----  -----  ----------
dynamic            7        5         1         1                                   1           5
hairpin            1        1                                                                   1
end of hairpin     1        1                                                                   1
fermata            2        2                                                                   6
slur               3        3                                                       2           5
end of slur        3        3                                                       2           5
ornament           3        3                                                       1           4
tremolo            5        5                                                                   4
syllable          11       11                                                                  11
grace note         1        1                                                                   1
glissando          1        1                                                                   1
pedal              1                                    1                           1           1
end of pedal       1                                    1                           1           1
chord symbol       1        1                                                                   1
optional note      1        1                                                                   2
string             4        4                                                                   4
harmonic           1        1                                                                   1
tie                                                                                             3
end of tie                                                                                      3
hyphen                                                                                          1
extender                                                                                        3
replaced: dynamic p, line 10: marked p by line 11: marked f
"""
"""Everybody waits for a fermata; slurs are added over the notes of a syllable; each hand has a roll, and one the pedal
for both; each of two tied notes has its tremolo and is small."""


def made(script: str) -> tuple[Compiled, Score, WrittenScore]:
    """A script, its full score and the page of that."""
    compiled = compile_script(Path("signs.cavata"), "signs.cavata", text=script)
    assert compiled.score is not None and not compiled.bag.has_errors
    copy = full_score(compiled.score)
    return compiled, copy, written(copy)


def told(copy: Score, page: WrittenScore) -> list[str]:
    """The entries of a page but for those that stand there, and how many stand there."""
    entries = page_ledger(copy, page)
    return [f"{sum(entry.fate is Fate.WRITTEN for entry in entries)} written"] + [
        f"{e.fate.value}: {e.kind} {e.what}, {e.part}{f'.{e.staff}' if e.staff else ''} at {e.onset}".replace(" ,", ",")
        for e in entries if e.fate is not Fate.WRITTEN
    ]  # fmt: skip


def test_ledger_of_a_piece() -> None:
    compiled, _, page = made(SCRIPT)
    assert compiled.score is not None
    found = ledger_text(ledger(compiled.score, compiled.bag), page)
    assert [line.rstrip() for line in found.splitlines()] == WHOLE.splitlines()


def test_what_is_not_on_the_page_has_its_reason() -> None:
    """A tremolo of sixteenths draws nothing through sixteenths; the hands of a pianist share a dynamic."""
    _, copy, page = made(SCRIPT)
    assert told(copy, page) == [
        "52 written", "in force: tremolo tremolo, piano.right at 1", "in force: tremolo tremolo, piano.right at 17/16",
        "shared: dynamic p, piano.left at 0",
    ]  # fmt: skip


ALONE = "language 2\nforces\n    flute = flute\nmovement first\n    flute: "


def test_a_page_that_lacks_a_sign_has_lost_it_and_another_has_added_it() -> None:
    """The page of one part against the music of the same part with other signs."""
    plain = "notes(1/4 D4 E4, 1/2 F4, 1/1 G4)"
    signs = ' -> marked f "so" accent -> slurred 1..2 -> graced 3 by notes(1/8 C5) -> trill last -> fermata last'
    _, bare, bare_page = made(f"{ALONE}{plain}\n")
    _, rich, rich_page = made(f"{ALONE}{plain}{signs}\n")
    places = [
        "dynamic f, flute at 0", "articulation accent, flute at 0", "slur, flute at 0", "text so, flute at 0",
        "articulation accent, flute at 1/4", "end of slur, flute at 1/4", "articulation accent, flute at 1/2",
        "grace note C5, flute at 1/2", "articulation accent, flute at 1", "fermata fermata, flute at 1",
        "ornament trill, flute at 1",
    ]  # fmt: skip
    assert told(bare, bare_page) == ["0 written"] and told(rich, rich_page) == ["11 written"]
    assert told(rich, bare_page) == ["0 written", *(f"lost: {place}" for place in places)]
    assert told(bare, rich_page) == ["0 written", *(f"added: {place}" for place in places)]


def test_what_is_lost_is_told_with_its_place_and_how_often() -> None:
    compiled, *_ = made(f"{ALONE}notes(1/4 D4 E4) -> marked accent -> marked p\n")
    _, _, page = made(f"{ALONE}notes(1/4 D4 E4)\n")
    assert compiled.score is not None
    entries = ledger(compiled.score, compiled.bag)
    told_as = {Fate.LOST: "lost", Fate.CUT: "cut", Fate.REPORTED: "reported", Fate.REPLACED: "replaced"}
    for fate, word in told_as.items():
        lines = ledger_text([replace(entry, fate=fate) for entry in entries], page).splitlines()
        assert [line.split()[:2] for line in lines[2:4]] == [["dynamic", "1"], ["articulation", "2"]]
        assert lines[4:] == [
            f"{word}: dynamic p, line 5: marked p", f"{word}: articulation accent, line 5: marked accent, 2 times",
        ] or sorted(lines[4:]) == [
            f"{word}: articulation accent, line 5: marked accent, 2 times", f"{word}: dynamic p, line 5: marked p",
        ]  # fmt: skip
    for fate in (Fate.WRITTEN, Fate.NEEDLESS, Fate.SHARED):
        assert len(ledger_text([replace(entry, fate=fate) for entry in entries], page).splitlines()) == 4


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ('notes(1/4 D4 E4) -> sung "la _"', ["4 written"]),
        ('notes(1/4 D4 E4) -> sung "la _" -> retrograde', ["1 written", "cut: syllable _, voice at 0"]),
        ('notes(1/4 D4 E4 F4) -> sung 1..2 "la _" -> rotated 1', ["1 written", "cut: syllable _, voice at 0"]),
        ('notes(1/4 D4 E4 F4) -> sung 1..2 "la _" -> rotated 2', ["4 written"]),
        ('notes(1/4 D4 E4 F4) -> sung verse 2 "la _ lu" -> retrograde', ["5 written"]),
    ],
)
def test_a_syllable_that_is_held_by_nothing_is_cut(line: str, expected: list[str]) -> None:
    """Where a step takes the notes of a word apart, `_` holds what comes before it, or nothing."""
    _, copy, page = made(f"language 2\nforces\n    voice = soprano\nmovement first\n    voice: {line}\n")
    assert told(copy, page) == expected


def test_signs_of_a_movement_are_counted_with_those_of_an_ossia() -> None:
    script = f"{ALONE}notes(1/2 D4 E4) -> marked accent\n    flute ossia: notes(1/2 F4 G4) -> marked p\n"
    _, _, page = made(script)
    assert dict(movement_counts(page.movements[0])) == {
        ("articulation", "accent"): 2, ("dynamic", "p"): 1, ("text", "ossia"): 1,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("both", "expected"),
    [
        ("crescendo p f", ["4 written", "shared: dynamic p, piano.left at 0",
        "shared: hairpin crescendo, piano.left at 0",
                           "shared: dynamic f, piano.left at 1/2", "shared: end of hairpin, piano.left at 1/2"]),
        ("sustain_pedal", ["2 written"]),
    ],
)  # fmt: skip
def test_signs_of_another_staff_are_shared(both: str, expected: list[str]) -> None:
    _, copy, page = made(
        f"language 2\nforces\n    piano = piano\nmovement first\n    piano.right: notes(1/2 D5 E5) -> {both}\n"
        f"    piano.left: notes(1/2 D3 E3) -> {both}\n"
    )
    assert told(copy, page) == expected


def heads(*ties: tuple[bool, bool]) -> tuple[WrittenHead, ...]:
    """Heads that begin a tie or end one."""
    return tuple(WrittenHead(parse_pitch("C4"), (), tie_begins=begins, tie_ends=ends) for begins, ends in ties)


SUNG = Marks(sung=(Syllable("la"), Syllable("lu", verse=2)), articulations=("accent",))
STRUCK = Marks(string="A", harmonic="P4", articulations=("accent",), optional=True, spoken=True, division="half")
GRACED = Marks(graces=((Head(parse_pitch("C5"), ()),),), ornaments=(Ornament("tremolo"), Ornament("trill")))


@pytest.mark.parametrize(
    ("leaf", "expected"),
    [
        (Leaf(F(1), 0, heads((False, False)), SUNG), "accent"),
        (Leaf(F(1), 0, heads((False, False)), SUNG, sung=(SungText("la"),)), "accent la"),
        (Leaf(F(1), 0, heads((False, False)), SUNG, sung=(SungText("lu", verse=2),)), "accent 2. lu"),
        (Leaf(F(1), 0, heads((False, False)), SUNG, sung=(SungText("la", goes_on=True, line="begins"),)),
         "accent la hyphen extender"),
        (Leaf(F(1), 0, heads((False, False)), SUNG, sung=(SungText("la", comes_on=True, line="ends"),)), "accent la"),
        (Leaf(F(1), 0, heads((False, False)), STRUCK), "accent optional A P4 spoken half"),
        (Leaf(F(1), 0, heads((False, True)), STRUCK), "accent optional spoken half end"),
        (Leaf(F(1), 0, heads((False, True), (False, False)), STRUCK), "accent optional A P4 spoken half end"),
        (Leaf(F(1), 0, heads((True, True), (True, False)), UNMARKED), "tie tie end"),
        (Leaf(F(1), 0, heads((False, False)), GRACED), "trill"),
        (Leaf(F(1), 0, heads((False, False)), GRACED, strokes=1), "tremolo trill"),
        (Leaf(F(1), 0, heads((False, False)), GRACED, graces=(heads((False, False)),)), "trill C5"),
    ],
)  # fmt: skip
def test_signs_that_are_printed_at_a_leaf(leaf: Leaf, expected: str) -> None:
    """Not words that another leaf has, nor what is said where a note is struck at what goes on from a tie."""
    shown = {"tie": "tie", "end of tie": "end", "hyphen": "hyphen", "extender": "extender", "optional note": "optional"}
    found = [shown.get(kind, what) for kind, what in leaf_signs(leaf)]
    assert sorted(" ".join(found).split()) == sorted(expected.split())


def test_counts_of_a_kind_that_only_the_page_has() -> None:
    """Ties are nobody's words: their row has a number in the last column only."""
    _, copy, page = made(f"{ALONE}notes(5/4 D4)\n")
    rows = ledger_text(page_ledger(copy, page), page).splitlines()[2:]
    assert [row.split() for row in rows] == [["tie", "1"], ["end", "of", "tie", "1"]]
    assert {len(row) for row in rows} == {93}  # the last column ends below the word `full score`
