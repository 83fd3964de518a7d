"""The score of a desk: its systems, what is kept of them, and what they say of a note.

Checked against the emitter's own document of the whole movement, read by its elements; against Verovio's reading of it;
and, as the comments say, against common practice.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette", reason="the extra `desk` is not installed")
pytest.importorskip("verovio", reason="the extra `desk` is not installed")

from cavata.desk.desk import Desk
from cavata.desk.score import came, mapped, names, origin, seen
from cavata.desk.score.breaks import broken
from cavata.desk.score.engraved import drawn_and_kept
from cavata.desk.score.systems import PageSystem, changed_bars, changed_ids
from cavata.edition.copies import full_score
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import KeptNotation, notate
from cavata.record import replace

PIECE = """\
language 2

piece "Two Lamps"

use french, german from ciphers

name tamsin = "TAMSIN" by french
name bach = "Ba-ch" by german

motif hail = tamsin -> from F4 -> in (1/4)
motif long = bach -> from Bb4 -> in (1/2)
motif woven = weave(hail, long -> in (1/4)) -> in (1/4) -> up M2

forces
    clarinet = clarinet
    violin = violin
    cello = cello

movement first "First"
    meter 3/4
    key D minor
    tempo 1/4 at 84
    section opening 24 bars
        clarinet: hail -> slurred 1..6 -> crescendo 1..6 p f x 12
        violin: long for 12 bars, notes(1/4 D4) held 12 bars
        cello: notes(1/6 D3 E3 F3, 1/4 G3) x 24
    section closing
        key E minor
        clarinet: woven x 2
        cello: hail -> down P8

movement second "Second"
    meter 4/4
    section only 2 bars
        violin: hail -> retrograde
"""


def desk_of(tmp_path: Path, text: str = PIECE) -> Desk:
    path = tmp_path / "lamps.cavata"
    path.write_text(text, "utf-8")
    desk = Desk(path)
    assert desk.save().is_good, [each.message for each in desk.state.messages]
    return desk


def asked(view: Any, desk: Desk, **wanted: str) -> Any:
    return json.loads(view(desk, desk.last_good, wanted).body)


def edited(desk: Desk, text: str) -> None:
    assert desk.save({str(desk.path): text}).is_good, [each.message for each in desk.state.messages]


# ---------------------------------------------------------------- what is kept

EDITS = (
    PIECE,
    PIECE.replace("retrograde", "retrograde -> marked f"),
    "-- a remark\n" + PIECE.replace("retrograde", "retrograde -> marked f"),
    PIECE.replace("24 bars", "20 bars").replace("x 12", "x 10").replace("x 24", "x 20").replace("for 12", "for 8"),
    PIECE.replace("meter 3/4", "meter 6/8"),
    PIECE.replace("E minor", "A major"),
    PIECE.replace("= clarinet\n", "= oboe\n"),
    PIECE.replace("movement second", "movement third"),
    PIECE,
)


def test_notation_that_is_kept_is_what_a_fresh_one_is(tmp_path: Path) -> None:
    kept = KeptNotation()
    desk = desk_of(tmp_path)
    for text in EDITS:
        edited(desk, text)
        assert desk.state.score is not None
        score = full_score(desk.state.score)
        assert notate(score, kept) == notate(score)


def test_an_edit_makes_the_systems_new_that_it_touches_and_no_others(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    before = [each["number"] for each in asked(seen.score, desk)["systems"]]
    edited(desk, PIECE.replace("retrograde", "retrograde -> marked f"))
    told = asked(seen.score, desk, since="1")
    after = [each["number"] for each in told["systems"]]
    assert after[:-1] == before[:-1] and after[-1] not in before
    assert told["changed"] == ["second-violin-only-hail-1"]


def test_a_line_above_everything_changes_no_system(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    before = asked(seen.score, desk)["systems"]
    edited(desk, "-- a remark\n\n" + PIECE)
    told = asked(seen.score, desk, since="1")
    assert told["systems"] == before and told["changed"] == []


def test_what_is_new_or_other_is_changed_and_what_moved_is_not(tmp_path: Path) -> None:
    """Ids count within a section and a voice, so bars put before another section change nothing there."""
    desk = desk_of(tmp_path)
    with desk.still:
        before = seen.layout(desk, desk.state, "score", "wide")
    edited(desk, PIECE.replace("24 bars", "26 bars").replace("x 12", "x 13"))
    with desk.still:
        now = seen.layout(desk, desk.state, "score", "wide")
    ids = changed_ids(before, now)
    assert "first-clarinet-opening-hail.13-1" in ids
    assert "first-clarinet-opening-hail.12-6" not in ids
    assert not [each for each in ids if "closing" in each or each.startswith("second")]


def test_bars_with_another_tempo_or_key_are_changed(tmp_path: Path) -> None:
    """What stands at a bar for all staves; no note is another by it. 24 bars stand before the change of key."""
    desk = desk_of(tmp_path)
    with desk.still:
        before = seen.layout(desk, desk.state, "score", "wide")
    edited(desk, PIECE.replace("1/4 at 84", "1/4 at 60").replace("key E minor", "key A minor"))
    with desk.still:
        now = seen.layout(desk, desk.state, "score", "wide")
    assert [*changed_bars(before, now)] == [("first", 1), ("first", 25)] and changed_ids(before, now) == ()
    assert [*changed_bars(now, now)] == []


def test_what_is_only_called_otherwise_is_not_changed(tmp_path: Path) -> None:
    """Sections and a movement get other names; every note stands where it stood, and so does every break."""
    desk = desk_of(tmp_path)
    with desk.still:
        before = seen.layout(desk, desk.state, "score", "wide")
    edited(desk, PIECE.replace("section opening", "section dawn").replace("movement second", "movement finale"))
    with desk.still:
        now = seen.layout(desk, desk.state, "score", "wide")
    assert now.ids[0] != before.ids[0] and now.ids[1] != before.ids[1]
    assert changed_ids(before, now) == () and [*changed_bars(before, now)] == []
    assert [(each.first, each.end) for each in now.systems] == [(each.first, each.end) for each in before.systems]


@pytest.mark.parametrize(
    ("widths", "kept", "starts"),
    [
        ([4, 4, 4, 4, 4], [None] * 5, (0, 2, 4)),  # as full as they can be
        ([4, 4, 4, 4, 4], [True, False, None, None, None], (0, 2, 4)),  # and so are those that are new
        ([4, 4, 4, 4, 4], [True, False, True, False, True], (0, 2, 4)),
        ([4, 5, 4, 4, 4], [True, False, True, False, True], (0, 2, 4)),  # a little too full: the break stays
        ([4, 9, 4, 4, 4], [True, False, True, False, True], (0, 1, 2, 4)),  # much too full
        ([3, 3, 3, 3, 3, 4], [True, False, False, False, False, True], (0, 3, 5)),  # no bar of it is left alone
        ([4, 4, 4, 4, 4, 4], [True, False, False, True, False, True], (0, 2, 3, 5)),  # a bar was put in
        ([2, 4, 4, 4], [True, True, False, True], (0, 1, 3)),  # nearly empty, but the next one is full
        ([2, 4, 4, 4], [True, True, True, False], (0, 2)),  # both have room together
        ([], [], ()),
    ],
)
def test_breaks_stay_while_bars_change(widths: list[float], kept: list[bool | None], starts: tuple[int, ...]) -> None:
    assert broken(widths, [True] * len(widths), kept, 8.5) == starts


def test_no_system_begins_within_a_rest_of_several_bars() -> None:
    assert broken([6, 6, 6], [True, False, True], [None] * 3, 8.0) == (0, 2)


# ---------------------------------------------------------------- pictures

_ID = re.compile(r'data-id="([^"]+)"(?: data-more="(\w+)")?[^>]*class="note"')


@pytest.mark.slow
@pytest.mark.parametrize("room", ["wide", "narrow"])
def test_every_note_of_the_document_stands_in_one_system(tmp_path: Path, room: str) -> None:
    """Read by Verovio, beside the emitter's document of the whole movement, which music21 wrote."""
    desk = desk_of(tmp_path)
    state = desk.state
    drawn: Counter[str] = Counter()
    for place in range(len(asked(seen.score, desk, room=room)["systems"])):
        picture = seen.system(desk, state, {"room": room, "system": str(place)}).body.decode()
        drawn.update(one + more for one, more in _ID.findall(picture))
    written = state.written()
    wanted: Counter[str] = Counter()
    for movement in written.movements:
        document = musicxml_bytes(written, movement.name).decode()
        for note in re.findall(r'<note [^>]*id="([^"]+)"[^>]*>(?!<rest|(?:<grace ?/>)?<rest)', document):
            wanted[note] += 1
    assert drawn == wanted


@pytest.mark.slow
def test_what_reaches_into_a_system_is_drawn_there(tmp_path: Path) -> None:
    """Common practice: a slur, a hairpin and a tie that go over the end of a line are drawn on both lines; a clef and a
    signature stand at the beginning of each, and the meter only where it changes."""
    desk = desk_of(tmp_path)
    with desk.still:
        now = seen.layout(desk, desk.state, "score", "wide")
    system = PageSystem(0, 7, 12, 0)  # the slurs are of two bars each, and so lead into a frame whose number is odd
    picture = now.picture(system, now.cut(system))
    first_bar = picture[: picture.index('class="measure"', picture.index('class="measure"') + 1)]
    assert first_bar.count('class="clef"') == 3
    assert first_bar.count('class="keyAccid"') == 1 + 1 + 1  # D minor: a flat each, and one sharp for the clarinet
    assert 'class="meterSig"' not in first_bar
    bars = system.end - system.first
    assert picture.count('class="slur') == bars // 2 + 1
    assert picture.count('class="hairpin') == bars // 2 + 1


@pytest.mark.slow
def test_a_system_that_is_too_full_stays_one_line(tmp_path: Path) -> None:
    """What breaks a system is the page, not Verovio: also where its bars have no room."""
    desk = desk_of(tmp_path)
    with desk.still:
        now = seen.layout(desk, desk.state, "score", "wide")
        cut, _ = now.cut(now.systems[0])
    drawn = drawn_and_kept(replace(cut, width=cut.width / 3)).decode("utf-8")
    assert len(re.findall(r'class="system"', drawn)) == 1 and drawn.count('class="measure"') > 2


@pytest.mark.slow
def test_each_staff_has_its_own_signature_where_the_key_changes(tmp_path: Path) -> None:
    """Common practice: a clarinet in B flat reads two fifths more than sounds; E minor has one sharp."""
    from cavata.draft.music import drawn_system

    desk = desk_of(tmp_path, PIECE.replace("24 bars", "2 bars").replace("12 bars", "1 bars")
                   .replace("x 12", "x 1").replace("x 24", "x 2"))
    written = desk.state.written()
    picture = drawn_system(musicxml_bytes(written, "first"), 60, 1)
    measure = picture.split('class="measure"')[3]
    found = [staff.count('class="keyAccid"') for staff in measure.split('class="staff"')[1:]]
    assert found == [3, 1, 1]


# ---------------------------------------------------------------- names, map, origin


def test_names_stand_letter_over_note(tmp_path: Path) -> None:
    """B-A-C-H by the German names of notes; source: common practice. A hyphen is no letter."""
    told = asked(names.view, desk_of(tmp_path))["names"]
    bach = next(each for each in told if each["name"] == "bach")
    assert [(each["text"], each["note"]) for each in bach["letters"]] == [
        ("B", "B♭"), ("A", "A"), ("-", ""), ("C", "C"), ("H", "B"),
    ]  # fmt: skip
    assert bach["themes"] == ["long", "woven"]
    assert len({each["color"] for each in told}) == 2


def test_names_are_there_before_there_is_any_music(tmp_path: Path) -> None:
    """Of a name in other letters those stand over the notes that the cipher reads, in capitals as everywhere: the
    signature of Shostakovich, D-S-C-H; source: common practice. A letter that is not heard says so."""
    text = PIECE.partition("motif hail")[0] + 'name dmitri = "Дмитрий" written "Dsch w" by german\n'
    text += 'name unread = "ÞORN+" by french\n'
    (tmp_path / "lamps.cavata").write_text(text, "utf-8")
    desk = Desk(tmp_path / "lamps.cavata")
    assert not desk.state.is_good
    tamsin, _, dmitri = json.loads(names.view(desk, desk.state, {}).body)["names"]
    assert [(each["text"], each["note"]) for each in dmitri["letters"]] == [
        ("D", "D"), ("S", "E♭"), ("C", "C"), ("H", "B"), (" ", ""), ("W", ""),
    ]  # fmt: skip
    assert dmitri["text"] == "Дмитрий" and not any(each["heard"] for each in tamsin["letters"])


def test_a_letter_is_lit_wherever_it_sounds(tmp_path: Path) -> None:
    """T is the first note of twelve statements and of two more in the weave, the first of the cello, and the last of
    the retrograde."""
    desk = desk_of(tmp_path)
    found = asked(names.sounding, desk, name="tamsin", position="1")
    assert Counter(each.split("-")[1] for each in found["ids"]) == {"clarinet": 14, "cello": 1, "violin": 1}
    assert "second-violin-only-hail-6" in found["ids"]
    assert {"movement": "second", "bar": 2} in found["places"]
    theme = asked(names.sounding, desk, theme="woven")
    assert {each.split("-")[2] for each in theme["ids"]} == {"closing"}


def test_the_map_knows_when_each_bar_begins(tmp_path: Path) -> None:
    """A bar of three quarters at 84 takes 60 / 84 * 3 seconds."""
    told = asked(mapped.view, desk_of(tmp_path))
    first, second = told["movements"]
    assert [bar for bar, _ in first["bars"][:3]] == [1, 2, 3]
    assert first["bars"][2][1] == pytest.approx(2 * 3 * 60 / 84, abs=0.001)
    assert second["bars"][0][1] == pytest.approx(second["begins"], abs=0.001)
    assert told["svg"].count('class="mark"') == told["svg"].count("<title>")


def test_a_note_tells_every_transform_that_it_went_through(tmp_path: Path) -> None:
    """The keys by hand: TAMSIN by the French cipher is F A F E B G, from F4 in quarters."""
    desk = desk_of(tmp_path)
    told = asked(origin.view, desk, id="second-violin-only-hail-6")
    line = PIECE[: PIECE.index("hail -> retro")].count("\n") + 1
    assert (told["row"]["text"], told["row"]["line"]) == ("hail -> retrograde", line)
    (head,) = told["heads"]
    assert (head["pitch"], head["names"][0]["letter"], head["names"][0]["position"]) == ("F4", "T", 1)
    assert [stage["done"] for stage in told["stages"]] == [
        'name tamsin = "TAMSIN" by french', "from F4", "in 1/4", "retrograde",
    ]  # fmt: skip
    keys = [[note[0] for note in stage["notes"]] for stage in told["stages"]]
    assert keys[2] == [65, 69, 65, 64, 59, 55]
    assert keys[3] == keys[2][::-1]


def test_the_way_to_a_woven_note_goes_through_its_own_name(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    ids = asked(names.sounding, desk, name="bach", position="4")["ids"]
    woven = next(each for each in ids if "closing" in each)
    done = [stage["done"] for stage in asked(origin.view, desk, id=woven)["stages"]]
    assert done[0] == 'name bach = "Ba-ch" by german' and done[-1] == "up M2"
    assert done[-3].startswith("weave(") and "from Bb4" in done


def test_who_has_the_page_alone_is_told_of_each_note_what_it_came_from(tmp_path: Path) -> None:
    """The same as by the desk, in what form by the script: the second section has the hail backward."""
    desk = desk_of(tmp_path)
    told = asked(came.view, desk)
    everything = {name for _, name, _, _ in seen.layout(desk, desk.state, "score", "wide").notes()}
    assert told["notes"].keys() == everything and len(told["heads"]) < len(everything)
    for name in [*everything][::7]:
        one = asked(origin.view, desk, id=name)
        bar, heads = told["notes"][name]
        assert (bar, [told["heads"][head] for head in heads]) == (one["bar"], one["heads"])
    (head,) = asked(origin.view, desk, id="second-violin-only-hail-6")["heads"]
    assert head["names"][0]["form"] == "in retrograde, in a new rhythm"


def test_what_is_not_there_is_said(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    for view, wanted in (
        (seen.score, {"room": "huge"}), (seen.score, {"copy": "part:flute"}), (seen.system, {"system": "99"}),
        (origin.view, {"id": "nothing"}), (origin.picture, {"id": "nothing", "stage": "0"}),
        (mapped.view, {"room": "huge"}),
    ):  # fmt: skip
        with pytest.raises(seen.NotThere):
            view(desk, desk.state, wanted)
