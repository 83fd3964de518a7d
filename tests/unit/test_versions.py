"""Versions of a piece: what each row of one does, and what commands make of them.

Where nothing else is named, the expected music follows from common practice: intervals, ratios, and who plays what.
"""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import mido
import pytest

from cavata.cli.main import main
from cavata.compare.comparing import compared
from cavata.pipeline import Compiled, compile_script, compile_versions
from cavata.score.clock import length
from cavata.score.score import Score
from cavata.syntax.words import RESERVED

PIECE = """\
language 2
use french from ciphers

piece "Lantern"
    subtitle "a nocturne"
    dedication "for Ada"
    length 10 s to 40 s

forces
    solo     = violin, soloist
    harp     = harp
    clarinet = clarinet
    horn     = horn in F
    drum     = snare drum
group winds = clarinet, horn

name ada = "ADA" by french

motif tune = notes(1/4 D4 E4 F4 G4)

movement first
    key   D minor
    tempo 1/4 at 100
    section calling 2 bars
        solo:  tune x 2
        winds: chord(A3 F4) -> augmentation 4
        harp:  tune
        drum:  (1/4 1/4) until end
    section answering
        tempo 1/4 at 63
        solo:               ada -> ascending
        horn at bar 2:      tune
        clarinet:           tune
        clarinet bars 1 to 1: marked p

movement second
    solo: tune

require
    length of piece 10 s to 40 s
    forces solo, harp, clarinet, horn, drum
"""


def version(rows: str, name: str = "other", text: str = "") -> Compiled:
    block = "".join(f"    {row}\n" for row in rows.strip().splitlines())
    called = f' "{text}"' if text else ""
    script = f"{PIECE}\nversion {name}{called}\n{block}"
    return compile_script(Path("lantern.cavata"), text=script, version=name)


def score(rows: str, text: str = "") -> Score:
    made = version(rows, text=text)
    assert made.score is not None, [message.message for message in made.bag.ordered()]
    return made.score


def codes(rows: str) -> list[str]:
    return [message.code for message in version(rows).bag.ordered()]


def heard(piece: Score, part: str, movement: str = "first") -> str:
    """The pitches of a part in order, chords from below."""
    number = [each.name for each in piece.parts].index(part)
    (staves,) = [each.staves[number] for each in piece.movements if each.name == movement]
    events = [event for staff in staves for voice in staff.voices for event in voice]
    return " ".join("+".join(str(head.pitch) for head in event.event.heads) for event in events)


# ------------------------------------------------------------------ rows


def test_the_piece_itself_stays_as_it_is() -> None:
    script = PIECE + 'version other\n    title "Lamp"\n    solo -> up P8\n    without harp\n    tempi x 2:1\n'
    told, plain = (compile_script(Path("lantern.cavata"), text=text).score for text in (script, PIECE))
    assert told is not None and plain is not None
    assert compared(plain, told).same


def test_texts() -> None:
    header = score('title "Lamp"\nwithout dedication\nlength 20 s to 1 min\nnames in german').header
    assert (header.title, header.dedication, header.longest) == ("Lamp", "", Fraction(1))
    assert header.language.value == "German"


def test_the_text_of_a_version_follows_the_subtitle_unless_it_has_its_own() -> None:
    assert score("without dedication", text="for cello").header.subtitle == "a nocturne, for cello"
    assert score("without subtitle", text="for cello").header.subtitle == "for cello"
    assert score('subtitle "in blue"', text="for cello").header.subtitle == "in blue"


def test_notes_on_performance_all_stay_unless_the_version_has_its_own() -> None:
    notes = '    note "The harp stands apart."\n    note "Small notes may be left out."\n'
    script = PIECE.replace('    dedication "for Ada"\n', notes)
    script += 'version other\n    without drum\nversion short\n    note "Played twice."\n    note "Without pause."\n'
    other, short = (compile_script(Path("lantern.cavata"), text=script, version=v).score for v in ("other", "short"))
    assert other is not None and short is not None
    assert other.header.notes == ("The harp stands apart.", "Small notes may be left out.")
    assert short.header.notes == ("Played twice.", "Without pause.")


def test_a_row_given_twice_in_a_version_is_reported() -> None:
    assert codes('composer "A. Lind"\ncomposer "B. Hart"') == ["N225"]


def test_a_name_with_other_letters() -> None:
    plain, other = score("without harp"), score('name ada = "EDA" by french')
    assert heard(plain, "solo").endswith("A4 D5 A5")
    assert heard(other, "solo").endswith("E4 D5 A5")


def test_a_part_played_by_another_instrument_and_moved() -> None:
    piece = score("solo = cello, soloist\nsolo -> down P8")
    solo = piece.parts[0]
    assert (solo.name, solo.instrument.key, solo.label, solo.soloist) == ("solo", "cello", "Cello", True)
    assert heard(piece, "solo", "second") == "D3 E3 F3 G3"
    assert heard(piece, "horn") == heard(score("without harp"), "horn")
    assert {bar.key for bar in piece.movements[0].bars} == {bar.key for bar in score("").movements[0].bars}


def test_a_part_more() -> None:
    assert [part.name for part in score("bass = double bass").parts][-1] == "bass"


def test_a_part_that_is_left_out_takes_its_notes_along() -> None:
    piece = score("without clarinet")
    assert [part.name for part in piece.parts] == ["solo", "harp", "horn", "drum"]
    # The horn keeps the lower note of the chord, which the clarinet had the upper one of.
    assert heard(piece, "horn").startswith("A3 ")
    assert [group.parts for group in piece.groups] == [("horn",)]
    assert all(len(movement.staves) == 4 for movement in piece.movements)


def test_sections_last_as_long_without_a_part() -> None:
    plain = score("")
    assert [m.duration for m in score("without solo, clarinet").movements] == [m.duration for m in plain.movements]


def test_numbers_of_players_follow_who_is_left() -> None:
    two = PIECE.replace("clarinet = clarinet", "clarinet = horn in F")
    labels = [
        [p.label for p in (compile_script(Path("x.cavata"), text=two + block, version=name).score or score("")).parts]
        for name, block in (("", ""), ("one", "version one\n    without clarinet\n"))
    ]
    assert labels[0][2:4] == ["Horn I in F", "Horn II in F"]
    assert labels[1][2] == "Horn in F"


def test_a_part_that_plays_what_another_had() -> None:
    piece = score("harp plays clarinet\nwithout drum\nwithout section calling")
    assert [part.name for part in piece.parts] == ["solo", "harp", "horn"]
    assert heard(piece, "harp") == "D4 E4 F4 G4"


ORGAN = """language 2
forces
    organ = organ
movement first
    organ.right: notes(1/2 D3 E3)
    organ.left:  notes(1/2 A2 B2)
    organ.pedal: notes(1/2 D2 E2)
    organ.pedal bars 1 to 1: marked p
"""


def organ_version(rows: str) -> Compiled:
    block = "".join(f"    {row}\n" for row in rows.splitlines())
    return compile_script(Path("lantern.cavata"), text=f"{ORGAN}version other\n{block}", version="other")


@pytest.mark.parametrize(
    "rows",
    ["without organ.pedal", "organ = piano\nwithout organ.pedal",
     "piano = piano\npiano plays organ\nwithout organ.pedal"],
)
def test_a_staff_that_is_left_out_leaves_the_others(rows: str) -> None:
    """What a pianist has of an organ: both hands as they are written, and no pedals."""
    made = organ_version(rows)
    assert made.score is not None, [message.message for message in made.bag.ordered()]
    staves = [" ".join(str(head.pitch) for voice in staff.voices for event in voice for head in event.event.heads)
              for staff in made.score.movements[0].staves[-1]]
    assert [found for found in staves if found] == ["D3 E3", "A2 B2"]


def test_a_staff_that_another_instrument_does_not_have_is_told_how_to_be_left_out() -> None:
    (first, *_) = organ_version("organ = piano").bag.ordered()
    assert first.code == "N224" and "`without organ.pedal`" in first.cure


def test_two_lines_at_once_are_reported_where_a_part_plays_for_another() -> None:
    assert codes("solo plays clarinet") == ["P102"]
    checked = compile_script(Path("lantern.cavata"), text=f"{PIECE}\nversion other\n    solo plays clarinet\n")
    compile_versions(checked)
    (told,) = checked.bag.ordered()
    assert told.cure.startswith("leave one of the parts out of the version, as `without harp`")
    assert codes("winds plays solo") == ["N887"]
    assert codes("solo plays solo") == ["N887"]


QUARTET = """language 2
forces
    one = violin
    two = violin
    low = cello
movement first
    one: notes(1/4 D5 E5 F5 G5) -> marked muted
    two: notes(1/2 B4 C5)
    low: notes(1/1 D3) -> marked sul_ponticello
"""


def quartet_version(rows: str) -> Compiled:
    block = "".join(f"    {row}\n" for row in rows.splitlines())
    return compile_script(Path("lantern.cavata"), text=f"{QUARTET}version other\n{block}", version="other")


@pytest.mark.parametrize("rows", ["piano.right plays one, two", "piano.right plays one\npiano.right plays two"])
def test_the_lines_of_two_parts_are_two_voices_on_a_staff(rows: str) -> None:
    made = quartet_version(f"piano = piano\n{rows}\npiano.left plays low")
    assert made.score is not None, [message.message for message in made.bag.ordered()]
    right, left = made.score.movements[0].staves[0]
    voices = [" ".join(str(event.event.heads[0].pitch) for event in voice) for voice in right.voices]
    assert voices == ["D5 E5 F5 G5", "B4 C5"] and len(left.voices) == 1


def test_the_lines_of_two_parts_are_one_voice_where_they_take_turns() -> None:
    text = QUARTET.replace("    two: ", "    two at bar 2: ")
    text += "version other\n    piano = piano\n    piano.right plays one, two\n    without low\n"
    made = compile_script(Path("lantern.cavata"), text=text, version="other")
    assert made.score is not None
    (voice,) = made.score.movements[0].staves[0][0].voices
    assert " ".join(str(event.event.heads[0].pitch) for event in voice) == "D5 E5 F5 G5 B4 C5"


@pytest.mark.parametrize(
    "rows", ["piano = piano\npiano.right plays one, two, low", "flute = flute\nflute plays one, two"]
)
def test_a_third_line_has_no_voice_and_a_wind_player_only_one(rows: str) -> None:
    assert "P102" in {message.code for message in quartet_version(rows).bag.ordered()}


def test_signs_of_another_instrument_are_told_in_a_version() -> None:
    """A piano has no bridge, and hardly a mute; strings have both. Source: common practice."""
    made = quartet_version("piano = piano\npiano.right plays one, two\npiano.left plays low")
    assert [message.code for message in made.bag.ordered()] == ["I390", "I390"]
    (sign,) = quartet_version("one = clarinet\nwithout low").bag.ordered()
    assert sign.code == "I390" and "`muted`" in sign.message
    assert not quartet_version("one = viola").bag.ordered()


def test_movements_and_sections_that_are_out() -> None:
    free = "without movement first\nwithout require length of piece 10 s to 40 s\n"
    alone = score(free + "without require forces solo, harp, clarinet, horn, drum")
    assert [movement.name for movement in alone.movements] == ["second"]
    assert codes("without movement first") == ["R105"] * 4 + ["R104"]
    assert [s.name for s in score("without harp, drum\nwithout section calling").movements[0].sections] == ["answering"]
    # Who has nothing to play any more is told: the promise of the forces holds.
    assert codes("without section calling") == codes("without section first.calling") == ["R105"] * 2
    assert codes("without section first.caling") == ["N407"]
    assert codes("without movement third") == ["N407"]


def test_what_is_made_from_a_section_that_is_out_stays() -> None:
    again = "movement second\n    section again = first.calling\n    section then\n   "
    script = PIECE.replace("movement second\n", again)
    rows = "version v\n    without harp, drum\n    without section calling\n"
    made = compile_script(Path("x.cavata"), text=script + rows, version="v").score
    assert made is not None
    assert heard(made, "solo", "second").startswith("D4 E4 F4 G4 D4 E4 F4 G4")


@pytest.mark.parametrize("row", ["piece -> down M2", "movement first -> down M2"])
def test_everything_a_tone_lower(row: str) -> None:
    piece, plain = score(row), score("")
    assert heard(piece, "horn").startswith("G3 ")
    assert [str(bar.key) for bar in piece.movements[0].bars] == ["C minor"] * 4
    lower = heard(piece, "solo", "second") == "C4 D4 Eb4 F4"
    assert lower == row.startswith("piece")
    assert heard(piece, "drum") == heard(plain, "drum")


def test_a_section_moved() -> None:
    piece = score("section answering -> up P4")
    assert [str(bar.key) for bar in piece.movements[0].bars] == ["D minor", "D minor", "G minor", "G minor"]


def test_tempi_times_a_ratio_are_whole_numbers() -> None:
    """100 and 63 times 9:8 are 112.5 and 70.875; halves go up: common practice of rounding."""
    tempi = [tempo.per_minute for tempo in score("tempi x 9:8").movements[0].tempi]
    assert tempi == [113, 71]
    assert [tempo.per_minute for tempo in score("tempi of first x 0.5").movements[0].tempi] == [50, 32]
    assert codes("tempi of second x 9:8") == ["N885"]
    assert codes("tempi x 11:1") == ["S882"]


# ------------------------------------------------------------------ promises


def test_forces_of_a_version_stand_in_for_the_promise() -> None:
    assert codes("without harp") == []
    without_row = compile_script(Path("x.cavata"), text=PIECE.replace("harp, clarinet, horn, drum", "harp"))
    assert [message.code for message in without_row.bag.ordered()] == ["R105"] * 3


def test_other_promises_hold_unless_the_version_is_without_them() -> None:
    assert codes("tempi x 1:4") == ["R104"]
    assert codes("tempi x 1:4\nwithout require length of piece 10 s to 40 s") == []
    assert codes("tempi x 1:4\nwithout require length of piece 10 s to 41 s") == ["N886"]
    assert codes("require harp within D5..D6") == ["R103"] * len(codes("require harp within D5..D6")) != []


def test_a_promise_that_a_version_breaks_is_told_with_the_row_that_takes_it_out() -> None:
    def cures(rows: str) -> list[str]:
        return [message.cure for message in version(rows).bag.ordered() if message.code == "R104"]

    (cure,) = cures("tempi x 1:10")
    row = "without require length of piece 10 s to 40 s"
    assert cure.endswith(f"`{row}`")
    assert cures(f"tempi x 1:10\n{row}") == []
    (own,) = cures(f"tempi x 1:10\n{row}\nrequire length of piece 10 s to 20 s")
    assert "without" not in own


def test_promises_about_what_is_out_do_not_hold() -> None:
    assert codes("require ada heard in every movement\nwithout movement second") == []
    assert codes("require clarinet within D6..D7\nwithout clarinet") == []
    assert codes("require length of second 1 min\nwithout movement second") == []


# ------------------------------------------------------------------ commands


@pytest.fixture
def lantern(tmp_path: Path) -> Path:
    script = tmp_path / "lantern.cavata"
    rows = "    solo = cello, soloist\n    solo -> down P8\n    without harp\n"
    script.write_text(PIECE + 'version cello "for cello"\n' + rows + "version short\n    tempi x 25:22\n", "utf-8")
    return script


@pytest.mark.slow
def test_files_of_a_version_never_have_the_name_of_another_file(
    lantern: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "for" in RESERVED  # no movement and no part is called so, as `lantern-for` and what follows it
    for option in ([], ["--for", "cello"], ["--for", "short"]):
        assert main(["build", str(lantern), "--to", "musicxml,midi", "--parts", *option]) == 0
    capsys.readouterr()
    written = [path.name for path in lantern.parent.iterdir()]
    assert {"lantern.mid", "lantern-for-cello.mid", "lantern-for-cello-first.musicxml"} <= set(written)
    assert len([name for name in written if name.startswith("lantern-for-cello")]) == 1 + 3 * (1 + 4)
    low, high = (
        [message.note for message in mido.MidiFile(lantern.parent / name).tracks[1] if message.type == "note_on"]
        for name in ("lantern-for-cello.mid", "lantern.mid")
    )
    assert low[0] == high[0] - 12


def test_check_looks_at_every_version(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(lantern)]) == 0
    lantern.write_text(lantern.read_text("utf-8").replace("down P8", "down P22"), "utf-8")
    assert main(["check", str(lantern), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert {message["code"] for message in said["messages"]} == {"I201"}
    assert all("in this version" in json.dumps(message) for message in said["messages"])
    assert main(["timings", str(lantern)]) == 0  # of the piece itself nothing is said
    assert "I201" not in capsys.readouterr().err


def test_messages_of_the_piece_are_not_said_again_of_its_versions() -> None:
    script = PIECE.replace("tune x 2", "tune -> up P29 x 2") + "version v\n    without harp\n"
    made = compile_script(Path("x.cavata"), text=script)
    alone = len(made.bag.ordered())
    compile_versions(made)
    assert len(made.bag.ordered()) == alone > 0


@pytest.mark.parametrize("command", ["timings", "stats", "index"])
def test_commands_tell_of_a_version(command: str, lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = []
    for option in ([], ["--for", "cello"], ["--for", "short"]):
        assert main([command, str(lantern), "--json", *option]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] != told[2 if command == "timings" else 1]


def test_map_of_a_version_has_a_file_of_its_own(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", str(lantern), "--for", "cello"]) == 0
    assert [path.name for path in lantern.parent.glob("*.svg")] == ["lantern-for-cello-map.svg"]
    capsys.readouterr()


def test_length_of_a_shorter_version() -> None:
    """12 percent shorter: 25:22 is 1/0.88."""
    plain, short = score(""), score("tempi x 25:22")
    lengths = [float(sum(length(movement) for movement in each.movements)) for each in (plain, short)]
    assert lengths[1] / lengths[0] == pytest.approx(0.88, abs=0.005)
