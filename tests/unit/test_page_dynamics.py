"""Where dynamics stand: above for singers, once for both hands, and again after a rest. Source: common practice."""

from __future__ import annotations

import re

from compiling import score_from

from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.written import WrittenScore, leaves
from cavata.pipeline import written


def page(forces: str, *rows: str) -> WrittenScore:
    """The written score of one movement."""
    block = "\n".join(f"    {row}" for row in rows)
    return written(score_from(f"language 2\nforces\n    {forces}\nmovement one\n{block}\n"))


def dynamics(made: WrittenScore, staff: int = 0) -> list[str]:
    """What stands at the notes of a staff of the first part, `-` for nothing."""
    bars = made.movements[0].parts[0].staves[staff].bars
    found = (leaf.marks for bar in bars for voice in bar.voices for leaf in leaves(voice) if leaf.heads)
    return [" ".join(marks.loud) or marks.hairpin or ("end" if marks.hairpin_ends else "-") for marks in found]


def test_singers_have_their_dynamics_above_the_words() -> None:
    made = page("singer = soprano", 'singer: notes(1/4 C5 D5) -> crescendo p f -> sung "O sea"')
    text = lilypond_text(made)
    assert re.search(r"\\dynamicUp\s+c''4\s+\\p", text)
    places = re.findall(r'<direction placement="(\w+)"', musicxml_bytes(made, "one").decode())
    assert set(places) == {"above"}


def test_players_have_their_dynamics_below() -> None:
    made = page("player = oboe", "player: notes(1/4 C5 D5) -> crescendo p f")
    assert "\\dynamicUp" not in lilypond_text(made)
    assert '<direction placement="above"' not in musicxml_bytes(made, "one").decode()


def test_both_hands_are_told_once() -> None:
    rows = ("piano.right: notes(1/4 C5 D5 E5) -> crescendo p f", "piano.left: notes(1/4 C3 D3 E3) -> crescendo p f")
    made = page("piano = piano", *rows)
    assert dynamics(made) == ["p", "-", "f"]
    assert dynamics(made, 1) == ["-", "-", "-"]


def test_hands_that_differ_keep_their_own() -> None:
    rows = ("piano.right: notes(1/4 C5 D5) -> marked f", "piano.left: notes(1/4 C3 D3) -> marked p")
    made = page("piano = piano", *rows)
    assert (dynamics(made), dynamics(made, 1)) == (["f", "-"], ["p", "-"])


def test_dynamic_said_again_after_a_bar_of_rest_is_printed() -> None:
    again = "notes(1/1 C5) -> marked p, 1 bar rest, notes(1/1 C5) -> marked p, notes(1/1 C5) -> marked p"
    assert dynamics(page("a = violin", f"a: {again}")) == ["p", "p", "-"]


def test_dynamic_in_force_is_told_after_a_long_rest() -> None:
    assert dynamics(page("a = violin", "a: notes(1/1 C5) -> marked p, 1 bar rest, notes(1/1 C5)")) == ["p", "-"]
    assert dynamics(page("a = violin", "a: notes(1/1 C5) -> marked p, 2 bars rest, notes(1/1 C5)")) == ["p", "p"]


def test_dynamic_after_an_attack_that_leaves_another_in_force_is_printed() -> None:
    """After `sfp` and `fp` it is soft, after `sf` as loud as before. Source: common practice."""
    rows = "(notes(1/4 C5) -> marked f) + (notes(1/4 D5) -> marked {}) + (notes(1/4 E5 F5) -> marked f)"
    for attack, printed in (("sfp", "f"), ("fp", "f"), ("sf", "-")):
        made = page("a = violin", f"a: {rows.format(attack)}")
        assert dynamics(made) == ["f", attack, printed, "-"]


CUT_SHORT = "(notes(1/4 C5 D5 E5 F5) -> diminuendo mf pp -> first 3)"
"""A hairpin that has lost the dynamic at its end."""


def test_dynamic_after_a_hairpin_to_nothing_is_printed() -> None:
    """After it nobody knows how loud it is, so that the dynamic before the hairpin is said again. Once is enough."""
    made = page("a = violin", f"a: {CUT_SHORT}, notes(1/4 G5 A5) -> marked mf, notes(1/1 B5) -> marked mf")
    assert dynamics(made) == ["mf", "-", "end", "mf", "-", "-", "-"]


def test_long_rest_after_a_hairpin_to_nothing_brings_no_dynamic_back() -> None:
    """After a long rest the player is told what is in force: here nothing is, elsewhere the goal of the hairpin."""
    made = page("a = violin", f"a: {CUT_SHORT}, 1/4 rest, 3 bars rest, notes(1/1 G5)")
    assert dynamics(made) == ["mf", "-", "end", "-"]
    whole = "notes(1/4 C5 D5 E5) -> diminuendo mf pp"
    assert dynamics(page("a = violin", f"a: {whole}, 1/4 rest, 3 bars rest, notes(1/1 G5)")) == ["mf", "-", "pp", "pp"]


def test_soft_again_at_the_end_of_a_hairpin_is_printed() -> None:
    """The hairpin led away from the `p` at its beginning, so that its end is no repetition. Source: common practice."""
    rows = ("a: notes(1/4 C5 D5 E5 F5) -> crescendo p f", "a at bar 1 beat 4 replace: notes(1/4 F5) -> marked p")
    assert dynamics(page("a = violin", *rows)) == ["p", "-", "-", "p"]


LINE = "notes(1/4 C5 D5 E5 F5)"


def test_attack_stands_at_every_note_it_is_said_for() -> None:
    """An attack is its note's own and no state: what comes back has it again. Source: common practice."""
    assert dynamics(page("a = violin", "a: notes(1/2 C5 D5) -> marked fp x 3")) == ["fp", "-"] * 3
    assert dynamics(page("a = violin", f"a: {LINE} -> marked 2..4 sfz")) == ["-", "sfz", "sfz", "sfz"]
    assert dynamics(page("a = violin", f"a: {LINE} -> marked 2 sfz -> marked p x 2")) == [
        "p", "sfz", "-", "-", "-", "sfz", "-", "-",
    ]  # fmt: skip


def test_attack_and_dynamic_at_one_note_are_both_printed() -> None:
    made = page("a = violin", "a: notes(1/2 C5 D5) -> marked p -> marked 1 sfz, notes(1/2 C5 D5) -> marked rf")
    assert dynamics(made) == ["sfz p", "-", "rf", "-"]
    text = lilypond_text(made)
    assert '(make-dynamic-script "sfz p")' in text and '(make-dynamic-script "rf")' in text
    document = musicxml_bytes(made, "one").decode()
    assert all(element in document for element in ("<sfz />", "<p />", "<rf />"))


def test_hairpin_begins_at_an_attack_and_goes_on_past_one() -> None:
    """`fp` says the `p` from which it grows; of a hairpin an `sfz` is not the end. Source: common practice."""
    assert dynamics(page("a = violin", f"a: {LINE} -> marked fp -> crescendo p ff")) == ["fp", "-", "-", "ff"]
    made = page("a = violin", f"a: {LINE} -> crescendo p ff -> marked 2..3 sfz")
    assert dynamics(made) == ["p", "sfz", "sfz", "ff"]
    text = lilypond_text(made)
    assert text.count('_\\markup \\dynamic "sfz"') == 2 and "\\sfz" not in text
    kinds = re.findall(r'<wedge[^>]*type="(\w+)"|<(sfz|ff|p) />', musicxml_bytes(made, "one").decode())
    assert sorted(wedge or loud for wedge, loud in kinds) == ["crescendo", "ff", "p", "sfz", "sfz", "stop"]
    assert [wedge for wedge, _ in kinds if wedge] == ["crescendo", "stop"]
    assert [wedge or loud for wedge, loud in kinds].index("stop") > 3


def test_attack_that_says_its_dynamic_takes_the_place_of_another() -> None:
    assert dynamics(page("a = violin", "a: notes(1/2 C5 D5) -> marked mf -> marked fp")) == ["fp", "-"]
    assert dynamics(page("a = violin", "a: notes(1/2 C5 D5) -> marked fp -> marked p")) == ["fp", "-"]
