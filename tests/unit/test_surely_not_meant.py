"""What a script can say and surely does not mean is told: empty bars, and a key that no note is in."""

from __future__ import annotations

from pathlib import Path

import pytest

from cavata.pipeline import compile_script

FORCES = "language 2\nforces\n    violin = violin\n    cello = cello\n    drum = snare drum\n"


def told(*rows: str) -> list[tuple[str, str]]:
    text = FORCES + "movement first\n" + "".join(f"    {row}\n" for row in rows)
    bag = compile_script(Path("x.cavata"), text=text).bag
    return [(message.code, message.message) for message in bag.ordered()]


LINE = "violin: notes(1/1 D5 E5)"


@pytest.mark.parametrize(("rows", "said"), [
    (("section one 4 bars", f"    {LINE}"), " in bars 3 and 4 of `one`"),
    (("section one", f"    {LINE}", "    cello at bar 5: notes(1/1 D3)"), ""),
    (("section one 3 bars", f"    {LINE}", "section two", f"    {LINE}"), " in bar 3 of `one`"),
    (("section one 4 bars", f"    {LINE}, 2 bars rest"), ""),
    (("section one 4 bars", f"    {LINE}", "    cello: rest to bar 5"), ""),
    (("section one", f"    {LINE}, rest to bar 5, notes(1/1 D5)"), ""),
    (("section one", "    cello at bar 3: notes(1/1 D3)"), ""),
    (("section one 3 bars", f"    {LINE} x 2 over", "section two 2 bars", "    cello at bar 2: notes(1/1 D3)"), ""),
])  # fmt: skip
def test_bars_in_which_nobody_plays(rows: tuple[str, ...], said: str) -> None:
    found = [message for code, message in told(*rows) if code == "P142"]
    assert found == ([f"nobody plays{said}"] if said else [])


SIX = "violin: notes(1/4 F4 C5 F5 C5 F4 C4, 1/2 G4)"


@pytest.mark.parametrize(("rows", "count"), [
    (("key D major", SIX), 1),
    (("key D major", SIX.replace("F4 C5", "F#4 C5")), 0),
    (("key Bb major", SIX), 0),
    (("key D minor", "violin: notes(1/4 B4 A4) x 23"), 0),
    (("key D minor", "violin: notes(1/4 B4 A4) x 24"), 1),
    (("key D major", "violin: notes(1/4 F4 C5 G4 A4)"), 0),
    (("key D major", "drum: (1/4) x 8", "violin: notes(1/1 G4) x 2"), 0),
    (("section one", "    key D major", f"    {SIX.replace('F', 'F#').replace('C', 'C#')}",
      "section two", "    key A major", f"    {SIX}"), 1),
])  # fmt: skip
def test_key_that_no_note_is_in(rows: tuple[str, ...], count: int) -> None:
    assert len([code for code, _ in told(*rows) if code == "P144"]) == count


TUNE = "violin: notes(1/4 D5 E5 F5 G5)"


@pytest.mark.parametrize(("rows", "count"), [
    (("section one", f"    {TUNE}", "    violin bars 1 to 1: marked p", "    violin bars 1 to 1: marked f"), 1),
    (("section one", f"    {TUNE} -> marked p", "    violin bars 1 to 1: marked f"), 0),
    (("section one", f"    {TUNE} -> marked p -> marked f"), 1),
    (("section one", f"    {TUNE} -> marked p -> marked 2 f"), 0),
    (("section one", f"    {TUNE}", f"    {TUNE.replace('violin', 'cello')}".replace("5", "3"),
      "    violin, cello bars 1 to 1: marked p", "    violin bars 1 to 1: marked f"), 0),
    (("section one", f"    {TUNE} -> crescendo p f", "    violin bars 1 to 1: marked mf"), 0),
])  # fmt: skip
def test_dynamic_that_another_one_replaces_everywhere(rows: tuple[str, ...], count: int) -> None:
    assert len([code for code, _ in told(*rows) if code == "P868"]) == count


@pytest.mark.parametrize(("music", "count"), [
    ("notes(1/32 D5 E5) -> tremolo", 1), ("notes(1/16 D5 E5) -> tremolo", 0), ("notes(1/16 D5) -> tremolo 1/16", 0),
    ("notes(1/32 D5) -> tremolo 1/16", 1), ("notes(1/8 D5, 1/32 E5) -> tremolo 1", 0),
])  # fmt: skip
def test_note_too_short_for_its_tremolo(music: str, count: int) -> None:
    assert len([code for code, _ in told(f"violin: {music}") if code == "P867"]) == count
