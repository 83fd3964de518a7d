"""What if: cards that a desk offers, each seen as the piece would be, taken into the script and taken back.

What a card says is held against what the command of its own says of the same piece; notes against the table of a cipher
on its page, and against arithmetic.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from desks import SCRIPT

from cavata.desk import offers
from cavata.desk.desk import Desk
from cavata.desk.routes import DEEDS, VIEWS
from cavata.desk.sound.differing import first_change
from cavata.desk.views import NotThere
from cavata.record import replace
from cavata.score.clock import length
from cavata.score.score import Score, events_of

TWO = SCRIPT.replace("motif hail", "motif reply = notes(1/4 C4 D4 | 1/1 E4)\nmotif hail")


@pytest.fixture
def desk(script: Path) -> Desk:
    script.write_text(TWO, "utf-8")
    desk = Desk(script, script.name)
    assert desk.state.is_good, desk.state.messages
    return desk


def cards(desk: Desk, **wanted: str) -> list[dict[str, Any]]:
    return offers.looked_for(desk, desk.state, wanted)


def tried(desk: Desk, card: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(offers.offer(desk, desk.state, {"card": str(card["card"])}).body)
    return found


def score_of(desk: Desk, number: int) -> Score:
    state = desk.find(number)
    assert state is not None and state.score is not None
    return state.score


def line(score: Score, part: int) -> list[str]:
    events = events_of(score.movements[0].staves[part])
    return [" ".join(str(head.pitch) for head in event.event.heads) for event in events]


def test_what_can_be_asked_about(desk: Desk) -> None:
    told = json.loads(offers.choices(desk, desk.state, {}).body)
    assert told["names"] == ["tamsin"] and told["motifs"] == ["tamsin", "reply", "hail"]
    assert told["parts"] == [{"name": "violin", "instrument": "violin"}, {"name": "cello", "instrument": "cello"}]
    assert told["movements"] == ["first"]


def test_a_name_by_another_cipher_sounds_wherever_it_is_used(desk: Desk) -> None:
    """The German cipher: A is A, S is E flat, other letters of the name are silent (grammar/ciphers.md)."""
    found = cards(desk, kind="cipher", name="tamsin")
    assert not any(" by french" in card["rows"][0] for card in found)
    every = [card for card in found if card["rows"][0].endswith("by german")]
    german = every[0] if every else next(c for c in _all_ciphers(desk) if c["rows"][0].endswith("by german"))
    told = tried(desk, german)
    assert (told["movement"], told["bar"], told["wrong"]) == ("first", 1, [])
    pitches = {pitch.rstrip("0123456789") for pitch in line(score_of(desk, told["state"]), 0)}
    assert pitches == {"A", "Eb"}


def _all_ciphers(desk: Desk) -> list[dict[str, Any]]:
    before, offers._MOST = offers._MOST, 1000
    try:
        return cards(desk, kind="cipher", name="tamsin")
    finally:
        offers._MOST = before


def test_a_reading_stands_in_the_place_of_the_name(desk: Desk, script: Path) -> None:
    card = cards(desk, kind="reading", name="tamsin")[0]
    told = tried(desk, card)
    assert told["wrong"] == [] and told["movement"] == "first"
    told_pitches = card["facts"][0].split()
    assert [pitch[:-1] for pitch in line(score_of(desk, told["state"]), 0)[:6]] == [p[:-1] for p in told_pitches]
    assert script.read_text("utf-8") == TWO  # nothing is written before it is taken


def test_a_line_over_another_is_put_into_a_part(desk: Desk) -> None:
    found = cards(desk, kind="together", motif="hail", other="reply", part="cello")
    told = tried(desk, found[0])
    assert told["wrong"] == [] and found[0]["rows"][0].startswith("cello replace:")
    before, now = (line(score, 1) for score in (score_of(desk, 1), score_of(desk, told["state"])))
    assert before != now and line(score_of(desk, told["state"]), 0) == line(score_of(desk, 1), 0)
    with pytest.raises(NotThere, match="no row of another part than `cello` begins with `reply`"):
        cards(desk, kind="together", motif="reply", other="hail", part="cello")


def test_another_instrument_in_its_best_octave(desk: Desk) -> None:
    (card,) = cards(desk, kind="instrument", part="cello", instrument="viola")
    assert card["title"] == "Cello: viola"
    told = tried(desk, card)
    score = score_of(desk, told["state"])
    assert score.parts[1].instrument.name == "Viola"
    assert line(score, 1)[:6] == line(score_of(desk, 1), 0)[:6]  # an octave higher than the cello had it
    with pytest.raises(NotThere, match="did you mean"):
        cards(desk, kind="instrument", part="cello", instrument="violla")


def test_another_length(desk: Desk) -> None:
    """Six bars of three quarters at 84 take 18 * 60 / 84 seconds."""
    assert float(length(score_of(desk, 1).movements[0])) == pytest.approx(18 * 60 / 84)
    card = cards(desk, kind="length", length="14 s")[0]
    assert float(length(score_of(desk, tried(desk, card)["state"]).movements[0])) == pytest.approx(14, abs=0.7)
    for asked, answer in (("50 min", "it comes as near as"), ("soon", "write a length as"), ("", "choose a length")):
        with pytest.raises(NotThere, match=answer):
            cards(desk, kind="length", length=asked)


def test_what_is_taken_is_written_and_taken_back(desk: Desk, script: Path) -> None:
    card = cards(desk, kind="length", length="14 s")[0]
    trial = desk.find(tried(desk, card)["state"])
    assert json.loads(DEEDS["take"](desk, {"card": card["card"]}).body) == {"taken": card["title"]}
    written = script.read_text("utf-8")
    assert written != TWO and card["rows"][0] in written
    assert trial is not None and desk.state.number == 2 and desk.state.texts == trial.texts
    DEEDS["undo"](desk, {})
    assert script.read_text("utf-8") == TWO


def test_nothing_is_taken_over_a_script_that_changed_meanwhile(desk: Desk, script: Path) -> None:
    card = cards(desk, kind="length", length="14 s")[0]
    changed = TWO.replace("1/4 at 84", "1/4 at 90")
    script.write_text(changed, "utf-8")
    with pytest.raises(NotThere):  # the desk has not seen it yet
        offers.take(desk, {"card": card["card"]})
    desk.save()
    with pytest.raises(NotThere, match="changed since"):
        offers.take(desk, {"card": card["card"]})
    assert script.read_text("utf-8") == changed


@pytest.mark.parametrize("wanted", [{"kind": "luck"}, {"kind": "reading", "name": "bea"}, {"kind": "cipher"}], ids=str)
def test_what_cannot_be_offered_is_said(wanted: dict[str, str], desk: Desk) -> None:
    with pytest.raises(NotThere):
        cards(desk, **wanted)
    told = json.loads(VIEWS["offers"](desk, desk.state, wanted).body)
    assert told["cards"] == [] and told["said"]
    with pytest.raises(NotThere, match="not kept any more"):
        VIEWS["offer"](desk, desk.state, {"card": "999"})


def test_what_would_not_compile_says_why(desk: Desk) -> None:
    text = TWO.replace("violin: hail x 2", "violin: hail x 2\n        cello at bar 9 beat 1: reply")
    assert desk.save({str(desk.path): text}).score is None
    with pytest.raises(NotThere, match="mistakes"):
        cards(desk, kind="length", length="14 s")


def test_a_movement_without_bars_has_no_place_to_be_heard(desk: Desk) -> None:
    """No script has one, but a place is looked for in any score."""
    score = desk.state.score
    assert score is not None
    bare = replace(score.movements[0], bars=())
    other = tuple(replace(part, instrument=score.parts[0].instrument) for part in score.parts)
    now = replace(score, parts=other, movements=(bare, *score.movements))
    place = first_change(score, now)
    assert place is not None and place.bar == score.movements[0].bars[0].number
    assert first_change(score, replace(now, movements=(bare,))) is None
