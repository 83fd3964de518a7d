"""A hairpin over bars for several parts is one swell: one beginning, one end, and late entries at the level reached.

Source: common practice.
"""

from __future__ import annotations

import re
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import mido
import pytest
from compiling import clean_score_from, score_from

from cavata.diagnostics import as_text
from cavata.evaluate.text import event_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import Compiled, compile_script, written
from cavata.score.score import Score
from cavata.sound.dynamics import LEVELS
from cavata.sound.midi import midi_bytes

FORCES = (
    "language 2\nforces\n    trumpet = trumpet\n    horn = horn\n    tuba = tuba\n"
    "group brass = trumpet, horn, tuba\n"
)


def compiled(*rows: str) -> Compiled:
    block = "".join(f"        {row}\n" for row in rows)
    return compile_script(Path("x.cavata"), text=f"{FORCES}movement first\n    section one\n{block}")


def lines(*rows: str) -> list[str]:
    found = compiled(*rows)
    assert found.score is not None and not found.bag.ordered(), as_text(found.bag.ordered())
    return [
        " ".join(f"{e.onset}={event_text(e.event)}" for e in staves[0].voices[0] if e.event.marks)
        for staves in found.score.movements[0].staves
    ]


def test_late_entry_comes_in_at_the_level_that_is_reached() -> None:
    found = lines(
        "trumpet: notes(1/1 C5) x 8", "horn at bar 5: notes(1/1 C4) x 4", "tuba at bar 8: notes(1/1 C3)",
        "brass bars 1 to 8: crescendo pp ff",
    )  # fmt: skip
    assert found == [
        "0=C5:1[pp,crescendo] 7=C5:1[ff,hairpin-ends]", "4=C4:1[mf,crescendo] 7=C4:1[ff,hairpin-ends]", "7=C3:1[ff]",
    ]  # fmt: skip


def test_all_are_at_the_end_at_one_moment() -> None:
    """Who holds a note there has it divided; it is a moment at which the fewest do."""
    found = lines(
        "trumpet: notes(1/1 C5) x 2", "horn: notes(1/4 C4 D4 E4 F4) x 2", "brass bars 1 to 2: diminuendo f p",
        "tuba: notes(2/1 C3)",
    )  # fmt: skip
    assert found == [
        "0=C5:1[f,diminuendo] 7/4=C5:1/4[p,hairpin-ends]", "0=C4:1/4[f,diminuendo] 7/4=F4:1/4[p,hairpin-ends]",
        "0=C3:7/4[f,diminuendo] 7/4=C3:1/4[p,hairpin-ends]",
    ]  # fmt: skip


def test_who_is_done_sooner_ends_where_the_swell_is_then() -> None:
    found = lines(
        "trumpet: notes(1/1 C5) x 5", "horn: notes(1/1 C4) x 3", "tuba at bar 2: notes(1/1 C3)",
        "brass bars 1 to 5: crescendo p ff",
    )  # fmt: skip
    assert found == [
        "0=C5:1[p,crescendo] 4=C5:1[ff,hairpin-ends]", "0=C4:1[p,crescendo] 2=C4:1[mf,hairpin-ends]",
        "1=C3:1[mp,crescendo,hairpin-ends,at mf]",
    ]  # fmt: skip


def test_a_triplet_at_the_end_divides_no_held_note() -> None:
    rows = ("trumpet: notes(1/1 C5)", "horn: notes(1/2 C4, 1/6 D4 E4 F4)", "trumpet, horn bars 1 to 1: crescendo p f")
    found = lines(*rows)
    assert found[0] == "0=C5:1/2[p,crescendo] 1/2=C5:1/2[f,hairpin-ends]"


def test_a_hairpin_under_another_gives_way_and_is_told() -> None:
    found = compiled(
        "horn: notes(1/4 C4 D4 E4 F4) -> crescendo p f x 2", "horn bars 1 to 2: crescendo pp ff",
    )  # fmt: skip
    assert [message.code for message in found.bag.ordered()] == ["P140"]
    assert found.score is not None
    marked = [event_text(e.event) for e in found.score.movements[0].events if e.event.marks]
    assert marked == ["C4:1/4[pp,crescendo]", "F4:1/4[ff,hairpin-ends]"]


@pytest.mark.parametrize("second", ["horn bars 2 to 2: diminuendo f p", "horn, tuba bars 2 to 2: diminuendo f p"])
def test_a_hairpin_that_begins_where_another_ends_stays(second: str) -> None:
    found = compiled("horn: notes(1/1 C4) x 3", "tuba: notes(1/1 C3) x 3", "horn bars 1 to 2: crescendo p f", second)
    assert found.score is not None
    assert [message.code for message in found.bag.ordered()] in ([], ["P140"])


# ------------------------------------------------------------------ hands and voices of one player

PIANO = "language 2\nforces\n    piano = piano\nmovement first\n    section one\n"


def piano(*rows: str) -> str:
    return PIANO + "".join(f"        {row}\n" for row in rows)


def loudness(score: Score) -> list[tuple[Fraction, int, int]]:
    """Onset, key and velocity of everything struck."""
    file = mido.MidiFile(file=BytesIO(midi_bytes(score)))
    now, found = 0, []
    for message in file.tracks[1]:
        now += message.time
        if message.type == "note_on":
            found.append((Fraction(now, 4 * file.ticks_per_beat), message.note, message.velocity))
    return sorted(found)


def wedges(score: Score) -> list[tuple[str, str]]:
    """Kind and staff of each end of a hairpin in MusicXML."""
    return re.findall(
        r'<wedge type="(\w+)"[^>]*/></direction-type><staff>(\d)', musicxml_bytes(written(score), "first").decode()
    )


def test_both_hands_swell_and_the_hairpin_stands_once() -> None:
    """Also where each hand has a dynamic of its own before; levels in between are the nearest dynamics."""
    score = clean_score_from(piano(
        "piano.right: notes(1/4 C5 D5 E5 F5) -> marked p", "piano.left: notes(1/2 C3, 1/2 D3) -> marked p",
        "piano.right at bar 2: notes(1/4 C5 D5 E5 F5)", "piano.left at bar 2: notes(1/1 C3)",
        "piano bars 1 to 2: crescendo p ff",
    ))  # fmt: skip
    assert wedges(score) == [("crescendo", "1"), ("stop", "1")]
    assert musicxml_bytes(written(score), "first").decode().count("<dynamics>") == 2
    struck = loudness(score)
    for key in (48, 50):
        for onset, velocity in [(onset, velocity) for onset, other, velocity in struck if other == key and onset]:
            assert velocity == pytest.approx(next(v for o, k, v in struck if o == onset and k >= 72), abs=7)
    assert [velocity for _, key, velocity in struck if key < 60] == sorted(v for _, key, v in struck if key < 60)


def test_hand_without_the_hairpin_keeps_what_is_its_own() -> None:
    """An attack at the note with which it joins, and a dynamic that a later row says there."""
    score = clean_score_from(piano(
        "piano.right: notes(1/2 C5 D5 E5 F5)", "piano.left: notes(1/2 C3 D3 E3 F3) -> marked 1 last sfz",
        "piano bars 1 to 2: crescendo p ff", "piano.left bars 2 to 2: marked mf",
    ))  # fmt: skip
    left = musicxml_bytes(written(score), "first").decode().split("<staff>2</staff>")
    assert re.findall(r"<dynamics><(\w+) ?/>", "".join(left)) == ["p", "sfz", "ff", "mf", "sfz"]


def test_hairpin_of_both_hands_lasts_as_long_as_either_plays() -> None:
    """It stands at the hand that plays all along, and where neither does each has its share."""
    along = clean_score_from(piano(
        "piano.right: notes(1/1 C5)", "piano.left: notes(1/1 C3 D3 E3)", "piano bars 1 to 3: crescendo p f",
    ))  # fmt: skip
    assert wedges(along) == [("crescendo", "2"), ("stop", "2")]
    turns = score_from(piano(
        "piano.right: notes(1/1 C5 D5)", "piano.left at bar 3: notes(1/1 C3 D3)", "piano bars 1 to 4: crescendo p ff",
    ))  # fmt: skip
    assert wedges(turns) == [("crescendo", "1"), ("stop", "1"), ("crescendo", "2"), ("stop", "2")]
    levels = [velocity for _, _, velocity in loudness(turns)]
    assert levels == sorted(levels) and levels[0] == LEVELS["p"] and levels[-1] == LEVELS["ff"]


def test_lower_voice_with_a_hairpin_of_its_own_goes_its_own_way() -> None:
    """From the dynamic that stands for both to its own goal, whatever the upper voice comes to meanwhile."""
    score = clean_score_from(piano(
        "piano.right: together(notes(1/1 C5 D5) -> crescendo p f, notes(1/1 C4 D4 E4 F4) -> crescendo p ff)",
    ))  # fmt: skip
    lower = [velocity for _, key, velocity in loudness(score) if key < 72]
    assert lower[0] == LEVELS["p"] and lower[-1] == LEVELS["ff"]
    steps = [b - a for a, b in zip(lower, lower[1:], strict=False)]
    assert max(steps) - min(steps) <= 2
