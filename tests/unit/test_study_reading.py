"""What a study says of a name. Source of every value: by hand, and the published monograms."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest
from music21.key import Key

from cavata.cli.main import main
from cavata.cli.sheet import sheet
from cavata.diagnostics import Diagnostics
from cavata.lilypond.engraving import Engraving
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.study.library_ciphers import library_ciphers, offered_ciphers
from cavata.study.reading import NameReading, Unread, key_text, name_reading
from cavata.study.script_words import identifier, name_row
from cavata.study.shown import intervals_text, repeats_text, study_script, study_text, without_octaves
from cavata.study.study import Study, reason, study_names

CIPHERS = {offered.cipher.name: offered for offered in library_ciphers()}


def reading(name: str, cipher: str) -> NameReading:
    found = name_reading(name, CIPHERS[cipher])
    assert isinstance(found, NameReading)
    return found


def test_every_cipher_of_the_library_is_offered_in_its_order() -> None:
    text = (folder("stdlib") / "ciphers.cavata").read_text("utf-8")
    declared = [line.split()[1] for line in text.splitlines() if line.startswith("cipher ")]
    assert list(CIPHERS) == declared and len(declared) >= 12


def test_line_of_a_name() -> None:
    found = reading("BACH", "german")
    assert without_octaves(found.pitches) == "Bb A C B"
    assert intervals_text(found) == "-m2 +m3 -m2" and found.contour == "\\/\\"
    assert (str(found.lowest), str(found.highest)) == ("A4", "C5")
    assert without_octaves(found.retrograde) == "B C A Bb"
    assert found.inversion is not None and without_octaves(found.inversion) == "Bb Cb Ab Bbb"


def test_repeats() -> None:
    abegg = reading("ABEGG", "german")
    assert (repeats_text(abegg), abegg.at_once_again) == ("G x2", 1)
    assert reading("TAMSIN", "french").recurring == {"F": 2} and reading("TAMSIN", "french").at_once_again == 0


def test_silent_letters_are_counted() -> None:
    assert reading("AGATHE", "german").silent == 1
    assert reading("Anton Webern", "german").silent == 7
    assert reading("AsCH", "german_names").silent == 0, "two letters read as one are not silent"
    assert reading("AE", "vowels").silent == 0


def test_intervals_that_have_no_name_are_told_in_semitones() -> None:
    """ROUSSEL by Honegger's table goes from Fb to Cb to Bb and on to E and E#. By counting."""
    assert intervals_text(reading("ROUSSEL", "chromatic")).split()[:2] == ["-P4", "-m2"]
    assert "semitones" in intervals_text(reading("TAMSIN", "chromatic"))
    assert intervals_text(reading("AS", "german")) == "-aug4"
    assert intervals_text(reading("EIS E", "german_names")) == "-aug1"


def test_chord_keys_and_modes() -> None:
    alain = reading("ALAIN", "eight")
    assert str(alain.chord) == "D minor triad, F lowest"
    assert key_text(alain, alain.keys[0]) == "A minor" and round(alain.keys[0].correlation, 4) == 0.6658
    gade = reading("GADE", "german")
    assert gade.modes[0].share == Fraction(1) and gade.modes[0].notes == 4
    assert str(gade.modes[0].mode).split()[0] == "E", "of modes that hold every note, the last note's"


def test_keys_have_seven_signs_at_most() -> None:
    """Db minor would have eight flats. Source: music21's `KeySignature` counts the signs."""
    edes = reading("EDES", "german_names")
    assert key_text(edes, edes.keys[0]) == "C# minor" and without_octaves(edes.pitches) == "E Db"
    for letters in ("EDES", "HIS", "EIS", "FES", "CES", "ASAS", "GISIS", "HISIS", "DESES"):
        found = reading(letters, "german_names")
        for fit in found.keys:
            tonic, mode = key_text(found, fit).split()
            assert abs(Key(tonic.replace("b", "-"), mode).sharps) <= 7
            assert Key(tonic.replace("b", "-"), mode).tonic.pitchClass == fit.tonic
    his = reading("HIS", "german_names")
    assert {key_text(his, fit) for fit in his.keys if fit.tonic == 0} == {"C major", "C minor"}
    eis = reading("EIS", "german_names")
    assert {key_text(eis, fit) for fit in eis.keys if fit.tonic == 5} == {"F major", "F minor"}


@pytest.mark.parametrize(
    ("one", "other"), [("Weiß", "Weiss"), ("Strauß", "Strauss"), ("Maß", "Mass"), ("Æsop", "Aesop")]
)
def test_a_sharp_s_is_read_as_two(one: str, other: str) -> None:
    """Weiß and Weiss are one name. Source: the spelling of German in capitals, WEISS."""
    for cipher in ("german_names", "german", "german_syllables", "french", "alphabet"):
        first, second = reading(one, cipher), reading(other, cipher)
        assert first.pitches == second.pitches, cipher
    first, second = reading(one, "german_names"), reading(other, "german_names")
    assert first.silent == second.silent and first.letters + 1 == second.letters


def test_modes_hold_as_many_notes_as_they_say() -> None:
    """BACH is four neighboring semitones: a seven-note mode holds three of them at most. By counting."""
    assert {fit.inside for fit in reading("BACH", "german").modes} <= {1, 2, 3}
    assert reading("BACH", "german").modes[0].inside == 3


def test_a_name_that_cannot_be_read_says_why() -> None:
    found = name_reading("Шостакович", CIPHERS["french"])
    assert isinstance(found, Unread) and "`Ш`" in found.why and found.cure
    study = study_names(["BACH", "Шостакович"], library_ciphers())
    assert len(study.names[0].readings) > 5 and study.names[1].readings == ()
    assert len(study.names[1].unread) == len(CIPHERS)


def test_order_of_readings() -> None:
    """Every letter sounding comes first, then more different notes; `eight` gives BACH its German notes."""
    study = study_names(["BACH"], library_ciphers())
    readings = study.names[0].readings
    first = [offered.cipher.name for offered in (readings[0].cipher, *readings[0].alike)]
    assert first == ["eight", "german", "german_names", "german_syllables"]
    assert readings[0].own_notes == 3
    keys = [(r.silent, -len(r.set_class.prime), r.at_once_again) for r in readings]
    assert keys == sorted(keys)
    assert reason(readings[0]).startswith("every letter sounds, 4 different notes, 3 on the note of the letter")


def test_readings_of_the_same_notes_stand_together() -> None:
    readings = study_names(["TAMSIN"], library_ciphers()).names[0].readings
    french = next(r for r in readings if r.cipher.cipher.name == "french")
    assert [offered.cipher.name for offered in french.alike] == ["french_h"]


def test_what_two_names_share() -> None:
    study = study_names(["BACH", "DSCH"], (CIPHERS["german"],))
    (pair,) = study.shared
    assert (pair.notes, pair.letters, pair.opening) == (("C", "B"), ("C", "H"), "")
    assert (pair.run, pair.run_places) == ((-1,), (1, 3))
    (same,) = study_names(["GABA", "CADE"], (CIPHERS["german"],)).shared
    assert same.opening == "" and same.notes == ("A",)


def test_longest_run_and_opening() -> None:
    (pair,) = study_names(["ABCDE", "FGABCD"], (CIPHERS["french"],)).shared
    assert pair.run == (2, 1, 2) and pair.run_places == (1, 3) and pair.opening == "+M2"


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("TAMSIN", "tamsin"), ("Gabriel Fauré", "gabriel_faure"), ("A", "a_name"), ("m3", "m3_name"), ("x", "x_name"),
        ("Шостакович", "name"), ("O'Neill", "o_neill"), ("Voices", "voices_name"), ("Straße", "strasse"), ("Bb", "bb"),
    ],
)  # fmt: skip
def test_identifiers_are_words_of_the_language(name: str, word: str) -> None:
    assert identifier(name) == word
    script = f'language 2\nuse ladder from ciphers\nname {word} = "ABC" by ladder\nmotif m = {word} -> up m2\n'
    assert not compile_script(Path("lantern.cavata"), text=script).bag.has_errors


def test_rows_to_paste_compile() -> None:
    study = study_names(["TAMSIN", "O'Neill", 'A "B"'], library_ciphers())
    text = study_text(study).split("TO PASTE")[1].split("\n\n", 1)[1]
    rows = [line.strip() for line in text.splitlines() if line.strip()]
    names = dict.fromkeys(row.split()[1] for row in rows if row.startswith("name "))
    assert list(names) == ["tamsin", "o_neill"], "a quote is no letter, so the third name has no reading"
    for row in (row for row in rows if row.startswith("name ")):
        script = "\n".join(["language 2", *(r for r in rows if r.startswith("use ")), row, ""])
        assert not compile_script(Path("lantern.cavata"), text=script).bag.has_errors, row


def test_own_ciphers_come_first_and_are_used_by_their_file(tmp_path: Path) -> None:
    file = tmp_path / "house.cavata"
    file.write_text(
        "language 2\nuse french from ciphers\ncipher house = french\n    H = B\n"
        "cipher french_h\n    letters A..Z onto C\n"
    )
    bag = Diagnostics()
    ciphers = offered_ciphers(file, None, bag)
    assert not bag.has_errors and [o.cipher.name for o in ciphers[:2]] == ["house", "french_h"]
    assert [o.file for o in ciphers if o.cipher.name == "french_h"] == ["house.cavata"]
    text = study_text(study_names(["HEDDA"], ciphers))
    assert '    use "house.cavata"\n' in text and "    name hedda = \"HEDDA\" by house    -- " in text


# ------------------------------------------------------------------ the command


def test_json_has_every_number(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["study", "BACH", "--by", "german", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    (one,) = document["names"][0]["readings"]
    assert one["pitches"] == ["Bb4", "A4", "C5", "B4"] and one["semitones"] == [-1, 3, -1]
    assert one["set_class"] == {"prime_form": [0, 1, 2, 3], "forte": "4-1", "interval_vector": [3, 2, 1, 0, 0, 0]}
    assert len(one["keys"]) == 24 and one["keys"][0]["key"] == "A minor"
    root = Fraction(one["keys"][0]["signed_square"])
    assert abs(float(root) ** 0.5 - one["keys"][0]["correlation"]) < 1e-6
    assert one["script"] == {"use": "use german from ciphers", "name": 'name bach = "BACH" by german'}
    assert document["messages"] == [] and document["written"] == []


def test_table_is_the_same_every_time(capsys: pytest.CaptureFixture[str]) -> None:
    said = []
    for _ in range(2):
        assert main(["study", "TAMSIN", "CORWEN"]) == 0
        said.append(capsys.readouterr().out)
    assert said[0] == said[1] and max(map(len, said[0].splitlines())) < 200


def test_sheet_has_every_reading_and_its_letters(tmp_path: Path) -> None:
    study = study_names(["TAMSIN", "CORWEN"], (CIPHERS["french"], CIPHERS["eight"]))
    script = study_script(study)
    compiled = compile_script(tmp_path / "sheet.cavata", text=script)
    assert compiled.score is not None and not compiled.bag.has_errors
    assert [m.title for m in compiled.score.movements] == titles(study)
    first = compiled.score.movements[0].staves[0][0].voices[0]
    letters = [o.letter.text for e in first for h in e.event.heads for o in h.origins if o.letter]
    assert "".join(letters) == "TAMSIN" + "NISMAT" + "TAMSIN"


def titles(study: Study) -> list[str]:
    return [
        f"{rank}. {r.name} by {r.cipher.cipher.name}"
        for one in study.names
        for rank, r in enumerate(one.readings, start=1)
    ]


@pytest.mark.parametrize("name", ["AL", "Anton Webern", "日A", "ROUSSEL", "LUDOVICUS VAN BEETHOVEN"])
def test_sheet_of_any_name_compiles(name: str, tmp_path: Path) -> None:
    compiled = compile_script(tmp_path / "sheet.cavata", text=study_script(study_names([name], library_ciphers())))
    assert not compiled.bag.has_errors, [d.message for d in compiled.bag.ordered()]


@pytest.mark.slow
def test_sheet_is_engraved(tmp_path: Path) -> None:
    script = study_script(study_names(["BACH"], (CIPHERS["german"],)))
    drawn = sheet(script, tmp_path, "svg")
    assert isinstance(drawn, Engraving) and drawn.remarks == () and drawn.files[0].data.startswith(b"<?xml")
    assert name_row("BACH", "german") in 'name bach = "BACH" by german'
