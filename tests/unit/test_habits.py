"""Slips of other habits are answered with what this language writes; the page of the language is the source."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cavata.diagnostics import Diagnostics, as_text
from cavata.pipeline import compile_script
from cavata.source import Source
from cavata.syntax.parse import parse
from cavata.syntax.words import RESERVED

HEAD = """language 2
motif tune = notes(1/4 D4 E4, 1/2 F4)
forces
    violin = violin
    drum   = snare drum
"""
SLIPS = {
    "a rest before its duration": ("violin: tune held 1/4, rest 1/4", "before the rest, as `1/4 rest`"),
    "a rest before its bars": ("violin: tune held 1/4, rest 2 bars", "before the rest, as `2 bars rest`"),
    "notes from one to another": ("violin: tune -> marked 1 to 2 tenuto held 1/4", "write `marked 1..2 tenuto`"),
    "a chord with its duration in notes": ("violin: notes(1/4 chord(1/4 D4 F4))", "has the duration of its group"),
    "a comma without a duration": ("violin: notes(1/4 D4, E4)", "without the comma `E4` has the one before"),
    "a comma among symbols": ("violin: chords(1/4 Dm, A7)", "without the comma `A7` has the one before"),
    "a symbol without a duration": ("violin: chords(Dm 1)", "a duration goes first, as `chords(1/2 Dm, 1/4 Gm7 A7)`"),
    "a chord's duration last": ("violin: chord(D4 F4 1/2)", "goes first, as `chord(1/2 D4 F4)`"),
    "notes without their brackets": ("violin: 1/4 D4", "notes stand in brackets, as `notes(1/4 D4 E4)`"),
    "a rest without its duration": ("violin: tune, rest", "the duration goes before the rest, as `1 bar rest`"),
    "a number without bars": ("violin: tune for 2", "name bars, as `2 bars`, or a duration, as `1/2`"),
    "a transform of a rest": ("violin: tune, 1/2 rest -> marked p", "there is no note in a rest: take the transform"),
    "a transform of bars of rest": ("violin: 2 bars rest -> slurred, tune", "put it after the notes that it is meant"),
    "a transform of a rest up to a bar": ("violin: rest to bar 3 -> marked p", "there is no note in a rest"),
    "a rest and a line": ("violin: 1/4 rest + tune", "a comma stands between a rest and what follows it"),
    "a range with a hyphen": ("violin: tune -> slurred 1-2", "a range of notes is written `1..2`"),
    "a range from the last": ("violin: tune -> marked last..2 p", "a range leads up to the last note, as `2..last`"),
    "numbers in brackets": ("violin: tune -> sharp (1 2)", "numbers stand without brackets here"),
    "an old order": ("violin: rest 2 bars, tune", "write `2 bars rest`"),
    "an old step": ("violin: tune -> lasting 1/2", "write `held 1/2`, without an arrow"),
    "an old step over bars": ("violin bars 1 to 2: marked p fermata", "and in a row of its own `fermata last`"),
    "an arrow before a length": ("violin: tune -> x 2", "write `x 2`"),
    "steps after the end": ("violin: tune until end -> marked p", "transforms go before that"),
    "steps after a held chord": ("violin: tune -> as chord held 2 bars -> marked p", "transforms go before that"),
    "steps after a span": ("violin: tune for 2 bars -> marked p", "transforms go before that"),
    "a note without its duration": ("violin: notes(D4 E4)", "a duration goes first, as `notes(1/4 D4 E4, 1/2 F4)`"),
    "a note without its octave": ("violin: notes(1/4 D4 Eb)", "give it an octave, as `Eb4`"),
    "a duration without its comma": (
        "violin: notes(1/2 D4 chord(F4 A4) 1/4 E4)", "a comma begins the next duration, as `notes(1/4 D4 E4, 1/2 F4)`",
    ),
    "a combination as a step": ("violin: tune -> canon(after 1/4)", "lines are combined as `canon(hail, ...)`"),
    "a place without its at": ("violin bar 2: tune", "a line begins `at bar 2`"),
    "a key without its mode": ("key D", "name the mode too, as `key D minor`"),
    "a step among markings": ("violin: tune -> marked f tremolo", "`tremolo` is a transform of its own, after another"),
    "from one dynamic to another": ("violin: tune -> crescendo p to f", "without `to`, as `crescendo p f`"),
    "dress for a rhythm": ("drum: (1/4) -> marked p", "mark the bars of its part, as `drum bars 1 to 2: marked p`"),
    "pitch for a rhythm": ("drum: (1/4) -> up P5", "give the rhythm to a motif with `in`"),
    "commas in a chord": ("violin: chord(D4, F4)", "spaces between them, as `chord(D4 F4 A4)`"),
    "a space in the arrow": ("violin: tune - > up P8", "a transform begins with `->`"),
    "a step without its arrow": ("violin: tune marked p", "a transform stands after an arrow, as `-> marked`"),
    "a rhythm without its arrow": ("violin: tune in (1/8)", "a transform stands after an arrow, as `-> in`"),
    "a crescendo without its arrow": ("violin: tune crescendo p f", "stands after an arrow, as `-> crescendo`"),
    "a place after what is played": ("violin: tune at bar 2", "the place stands before the colon"),
    "a canon after its line": ("violin: tune canon after 1/4", "stand in brackets, as `canon(hail, ...)`"),
    "an ossia behind the colon": ("violin: ossia tune", "a row of its own: `violin at bar 3 ossia: tune`"),
    "bars without a colon": ("violin bars 1 to 2 marked p", "a colon stands before it, as `bars 2 to 3: marked`"),
    "a tuplet as a ratio": ("violin: notes(1/4 D4 3:2 E4 F4 G4)", "`1/12` in a triplet of eighths"),
    "two tied values of a beat": ("tempo 1/4 = 1/4 + 1/8", "both sides are single note values"),
    "groups before the meter": ("meter 5+7/8", "groups stand after the meter"),
    "an ending by its number": ("1. ending bar 2", "it is written `ending 1 bar 8`"),
    "a fermata as a row": ("fermata last", "or over bars, as `horn bars 2 to 3: marked p`"),
    "words of a tempo without a comma": ('tempo 1/4 at 60 "Slow"', "words stand after a comma"),
    "words of a tempo first": ('tempo "Slow" 1/4 at 60', "words stand last"),
    "a change of tempo without its length": ("tempo at bar 1: broadening to 1/4 at 40 until end", "as `over 2 bars`"),
    "a short word with its dot": ("tempo at bar 1: rit. to 1/4 at 40 over 1 bar", "`rit.` is `tempo at bar 3: broad"),
    "a key as a symbol": ("key C#m", "name the mode in full, as `key C# minor`"),
    "an upbeat in beats": ("pickup 1 beat", "its length is a duration, as `pickup 1/4`"),
    "a passage as a call": ("p(violin)", "a passage is placed by `passage p(...)`"),
    "one bar of delay": ("violin, drum: canon(tune, after 1 beat)", "write `1 bar`, or a duration"),
    "a beat without its bar": ("violin at beat 3: tune", "name the bar too, as `at bar 1 beat 3`"),
    "a line that begins from": ("violin from bar 2: tune", "a line begins `at bar 2`"),
    "a key in short": ("key Dm", "name the mode in full, as `key D minor`"),
    "a number without times": ("section one\n        repeated 2", "as `repeated 2 times`"),
    "a place by measures": ("violin at measure 3: tune", "as `at bar 3`"),
    "a canon without commas": ("violin, drum: canon(tune at P5 below)", "has commas between, as `canon(hail, at P5"),
    "a step before its value": ("violin: up P5 tune", "behind a value and an arrow, as `hail -> up P5`"),
    "a transform before its value": ("violin: retrograde -> tune", "the value goes first: `tune -> retrograde`"),
    "a step for a passage": ("passage p(violin, up P4)", "behind the passage, as `passage call(violin) -> up"),
    "notes alone": ("violin: D4 E4", "with a duration, as `notes(1/4 D4)`"),
    "a drum in notes": ("drum: notes(1/4)", "a part without pitch plays durations, as `(1/4 1/8 1/8)`"),
    "a duration as a letter": ("violin: notes(q D4)", "a quarter is `1/4`"),
    "a dot at the note": ("violin: notes(1/4 D4. E4)", "the dot stands at the duration"),
    "a German name of a note": ("violin: notes(1/4 D4 Fis4)", "Fis is `F#`"),
    "a syllable for a note": ("violin: notes(1/4 re)", "notes are called A to G"),
    "commas in a rhythm": ("violin: tune -> in (1/4, 1/8)", "only spaces between them, as `(1/4 1/8)`"),
    "a rhythm without brackets": ("violin: tune -> in 1/4 1/8", "a rhythm stands in brackets, as `(1/4 1/8)`"),
    "a range with a minus": ("violin: tune -> within C4-C6", "with two dots, as `within C4..C5`"),
    "an interval as a number": ("violin: tune -> up 5", "name its quality too, as `P5`"),
    "a third as a number": ("violin: tune -> down 3", "name its quality too, as `M3`"),
    "a ratio as a duration": ("violin: tune -> augmentation 3/2", "a ratio has a colon, as `3:2`"),
    "times in words": ("section one\n        repeated twice", "as `repeated 2 times`"),
    "an ending without bars": ("section one\n        ending 2\n        violin: tune", "as `ending 2 bars 7 to 8`"),
    "a section in a section": ("section one\n        violin: tune\n        section two", "as far left as the one"),
    "attacca in a section": ("section one\n        violin: tune\n        attacca", "a row of the movement or cadenza"),
    "until a bar": ("violin: tune until bar 4", "for less write `for 3 bars`"),
    "a promise in a movement": ("require length 5 min", "in a block `require` of their own"),
    "a row of versions": ("violin plays drum", "goes along with another by `doubles`"),
    "a comma at the end": ("violin: tune,", "take the last comma away"),
    "an arrow at the end": ("violin: tune ->", "name a transform behind the arrow"),
    "so many times": ("violin: tune * 3", "how often stands after `x`, as `hail x 3`"),
    "times before": ("violin: 3 x tune", "how often stands after `x`, as `hail x 3`"),
    "times behind": ("violin: tune 3 times", "how often stands after `x`, as `hail x 3`"),
    "times in brackets": ("violin: tune(3)", "as `tune x 3`"),
    "another arrow": ("violin: tune \u2192 up P5", "a transform begins with `->`"),
    "half an arrow": ("violin: tune > up P5", "a transform begins with `->`"),
    "a part with its key": ("violin in C: tune", "as it is called under `forces`"),
    "a line from bar to bar": ("violin at bar 1 to 2: tune", "a line begins at one place, as `at bar 2`"),
    "a semicolon for a colon": ("violin; tune", "a colon stands behind the part"),
    "a semicolon for a comma": ("violin: tune; tune", "items have commas between them"),
    "no colon": ("violin tune", "a colon stands behind the part"),
    "no comma between items": ("violin: tune tune", "items have commas between them"),
    "no comma between parts": ("violin drum: tune", "parts have commas between them"),
    "no comma between silent parts": ("section a\n        tacet violin drum", "parts have commas between them"),
    "a rest added": ("violin: tune + 1/4 rest", "a rest stands behind a comma"),
    "a rest as a value": ("violin: tune + rest", "stands behind a comma, as `hail, 1/4 rest`"),
    "a value in quotes": ('violin: "tune"', "a value stands without quotes"),
    "a place before its part": ("at bar 2 violin: tune", "the part stands first, as `violin at bar 2: hail`"),
    "a bracket too many": ("violin: tune)", "no bracket is open here"),
    "bars backward": ("violin: tune\n    violin bars 2 to 1: marked p", "write `bars 1 to 2`"),
    "what a version lacks misspelled": ("violin: tune\nversion v\n    witout drum", "did you mean `without`?"),
    "parts that are played without commas": (
        "violin: tune\nversion v\n    piano = piano\n    piano plays violin drum", "parts have commas between them",
    ),
    "a word of rows misspelled": ("secton one", "did you mean `section`?"),
    "a step by another name": ("violin: tune -> transposed P5", "`transposed` is `-> up P5` here"),
    "a dynamic as a step": ("violin: tune -> ff", "markings stand after `marked`: `-> marked ff`"),
    "a rhythm of the library": ("violin: tune -> in summons", "the library has it: `use summons from rhythms`"),
    "a transform of the library": ("violin: tune -> echo P8", "the library has it: `use echo from transforms`"),
    "an abbreviation": ("violin: tune -> marked pizz", "`pizz` is `pizzicato` here"),
    "a promise misspelled": ("violin: tune\nrequire\n    tune heard in evry movement", "`heard in every movement`"),
    "a heading without its arrow": ("violin: tune\nmovement second down M2\n    violin: tune", "as `-> down`"),
    "one tempo for all": ("violin: tune\nversion v\n    tempo x 9:8", "all tempi are multiplied by `tempi x 9:8`"),
    "a part out of one movement": (
        "violin: tune\nversion v\n    without violin in first", "in one, a section made from another has `tacet`",
    ),
    "a ratio alone": ("violin: tune\nversion v\n    tempi 9:8", "as `tempi x 9:8`"),
    "what a version omits": ("violin: tune\nversion v\n    omit drum", "`without drum`"),
    "who a part is": ("violin: tune\nversion v\n    violin is cello", "as `solo = cello`"),
    "a length with its arrow": ("violin: tune -> first 1 -> held until end", "write `held until end`"),
    "a length in bars with its arrow": ("violin: tune -> first 1 -> held 2 bars", "write `held 2 bars`"),
    "markings in a line's place": ("violin at bar 1: fermata last", "or over bars, as `horn bars 2 to 3: marked p`"),
    "one bar": ("violin bars 1: marked p", "or `bars 2 to 2`"),
    "bars with a hyphen": ("violin bars 1-2: marked p", "as `bars 2 to 3`"),
    "a key and then its place": ("key D minor at bar 2", "as `meter at bar 2: 3/4`"),
    "a tempo and then its place": ("tempo 1/4 at 60 at bar 2", "as `meter at bar 2: 3/4`"),
    "a caesura alone": ("caesura at bar 2", "as `violin bars 2 to 2: marked caesura`"),
    "two lines in dialogue": ("violin, drum: dialogue(tune, tune -> up P8)", "`dialogue(tune + tune -> up P8)`"),
    "a letter without its quotes": ("violin: tune -> sharp D", 'stands in quotes: `"D"`'),
    "a name of two modules": ("violin: chords(1/2 Dm) -> in waltz", "from figures` or `use waltz from rhythms`"),
    "a figure as a step": ("violin: tune -> alberti", "`-> in alberti`; the library has it: `use alberti"),
    "symbols kept away": ("violin: tune -> no symbols", "`no symbols` is `-> without symbols` here"),
    "symbols kept away without an arrow": ("violin: chords(1/2 Dm) without symbols", "as `-> without`"),
    "a value without its comma": ("violin: weave(tune tune)", "have commas between them, as `weave(a, b)`"),
    "a sign of form with a place": ("fine at bar 2", "begin a section there"),
    "a percentage": ("violin: tune\nversion v\n    tempi 10% faster", "ten percent faster is `tempi x 1.1`"),
    "a percentage after x": ("violin: tune\nversion v\n    tempi x 10%", "ten percent faster is `tempi x 1.1`"),
    "a factor": ("violin: tune\nversion v\n    tempi * 1.1", "the ratio stands after `x`"),
    "everything lower": ("violin: tune\nversion v\n    transpose down M2", "`piece -> down M2`"),
    "everything lower in short": ("violin: tune\nversion v\n    down M2", "`piece -> down M2`"),
    "a piece without its arrow": ("violin: tune\nversion v\n    piece down M2", "`piece -> down M2`"),
    "who leaves": ("violin: tune\nversion v\n    drum leaves", "`without horn`"),
    "a motif of a version": ("violin: tune\nversion v\n    motif tune = tune", "a version gives a name other letters"),
    "who wrote the words": ('violin: tune\npiece "Lamp"\n    words "A. Lind"', '`poet "..."`'),
    "how long": ('violin: tune\npiece "Lamp"\n    duration 6 min', "`length 6 min`"),
    "instructions": ('violin: tune\npiece "Lamp"\n    instructions "Muted."', '`note "..."`'),
    "a line of a version": ("violin: tune\nversion v\n    drum: (1/4)", "a version has no lines of its own"),
    "a tempo of a version": ("violin: tune\nversion v\n    tempo 1/4 at 80", "multiplies its tempi, as `tempi x 9:8`"),
    "about so long": ("violin: tune\nrequire\n    length of piece about 5 min", "a length is `5 min`, or from one"),
    "no higher than": ("violin: tune\nrequire\n    violin not above A5", "keeps to a range is `voice within C4..A5`"),
    "a sign as an item": ("violin: tune, caesura, tune", "it is marked at notes, as `hail -> marked caesura`"),
    "a chord of a line": ("violin: tune -> chord", "`chord` is `-> as chord` here"),
    "twice as fast": ("violin: tune -> twice as fast", "`twice as fast` is `-> diminution 2` here"),
    "small notes": ("violin: tune -> small", "`small` is `-> optional` here"),
    "a line over another": ("violin: tune x 2\n    violin at bar 2: tune", "begin the later one with `replace:`"),
}


def told(script: str, folder: Path) -> str:
    path = folder / "slip.cavata"
    path.write_text(script, encoding="utf-8")
    return as_text(compile_script(path, "slip.cavata").bag.ordered())


@pytest.mark.parametrize("slip", SLIPS)
def test_the_cure_says_what_is_written_here(slip: str, tmp_path: Path) -> None:
    row, cure = SLIPS[slip]
    found = told(f"{HEAD}movement first\n    {row}\n", tmp_path)
    assert "to mend: " in found and cure in found.partition("to mend: ")[2]


SLIPS_OF_DECLARATIONS = {
    "a part of two words": ("forces\n    solo viola = viola", "the name of a part is one word"),
    "a group without commas": ("forces\n    a = viola\n    b = viola\ngroup c = a b", "parts have commas between them"),
    "what one player takes up in one list": (
        "forces\n    a = flute, doubling piccolo, alto flute", "each has a `doubling` of its own",
    ),
    "a hyphen in what is taken up": ("forces\n    a = flute, doubling alto-flute", "an instrument's name has spaces"),
    "a library without its module": ("use french", "as `use french from ciphers`"),
    "bent quotes": ("name ada = “ADA” by french", "quotes are straight in a script"),
    "a name of two words": ('name my ada = "ADA" by french', "what it is called is one word"),
    "a name with a hyphen": ('name anne-marie = "Anne-Marie" by french', "has no hyphen"),
    "a movement by its number": ("movement 1", "it is called by a word of yours"),
    "a movement by its title alone": ('movement "First"', "it is called by a word of yours"),
    "a movement of two words": ("movement my first", "what it is called is one word"),
    "a line that is not indented": ("violin: tune", "it stands indented under a movement or a section"),
    "a name without quotes": ("name ada = ADA by french", 'a text stands in quotes, as `"ADA"`'),
    "a title without quotes": ("piece Lamp", 'a text stands in quotes, as `"Lamp"`'),
    "a composer with a colon": ('piece "Lamp"\n    composer: "A. Lind"', "in quotes, without a colon"),
    "letters in another order": ('name dsch = "Dmitri" by german written "DSCH"', "it stands before `by`"),
    "numbers of players": ("forces\n    vn = violin 1", "numbered by themselves"),
    "how many players": ("forces\n    hn = horns in F, 2", "each player has a row"),
    "solo": ("forces\n    vn = violin, solo", "it is written `soloist`"),
    "a doubling without a comma": ("forces\n    fl = flute doubling piccolo", "a comma stands before it"),
    "a high voice": ("forces\n    singer = High voice", "did you mean `soprano` or `tenor`?"),
    "letters with an arrow": ("cipher own\n    A -> C", "as `A = C`"),
    "letters without notes": ("cipher own\n    letters H..Z", "as `letters A..G onto C D E`"),
    "a heading with a colon": ("passage p(a, m):\n    a: m", "follows below it, indented"),
    "a motif with a comma": ("motif more = notes(1/4 D4), notes(1/4 E4)", "is joined by `+`"),
    "a transform without its line": ("transform t = up M2", "`transform t(m) = m -> up M2`"),
    "a length without its unit": ('piece "Lamp"\n    length 5', "name the unit, as `5 min`"),
    "a length with a colon": ('piece "Lamp"\n    length 5:30', "are written `5 min 30 s`"),
    "paper upright": ('piece "Lamp"\n    paper A4 portrait', "stands upright where nothing is said"),
    "the language of the page": ('piece "Lamp"\n    language German', "`names in German`"),
}


@pytest.mark.parametrize("slip", SLIPS_OF_DECLARATIONS)
def test_the_cure_of_a_declaration_says_what_is_written_here(slip: str, tmp_path: Path) -> None:
    row, cure = SLIPS_OF_DECLARATIONS[slip]
    assert cure in told(f"language 2\n{row}\n", tmp_path).partition("to mend: ")[2]


def test_a_row_that_begins_with_a_word_of_its_own_is_no_line_of_a_part(tmp_path: Path) -> None:
    assert "a colon stands" not in told('language 2\npiece "Lamp"\n    show the letters\n', tmp_path)


def test_a_movement_that_cannot_be_read_is_not_missed_too(tmp_path: Path) -> None:
    found = told('language 2\npiece "Lamp"\nmovement 1\n', tmp_path)
    assert found.count("slip.cavata:") == 1 and "P114" not in found


def test_names_by_a_cipher_with_an_unread_row_are_not_told_too(tmp_path: Path) -> None:
    found = told('language 2\ncipher own\n    A -> C\n    B = D\nname a = "AB" by own\n', tmp_path)
    assert found.count("slip.cavata:") == 1 and "S101" in found


@pytest.mark.parametrize(("instrument", "code"), [("violn", "I101"), ("violin-solo", "S101")])
def test_lines_of_a_part_with_an_unknown_instrument_are_not_told_too(
    instrument: str, code: str, tmp_path: Path
) -> None:
    script = HEAD.replace("= violin", f"= {instrument}") + (
        "    viola = viola\ngroup duo = violin, viola\nstaff both = violin, viola\n"
        "motif wide = tune -> as chord -> voiced across violin viola\n"
        "movement first\n    violin: tune\n    duo at bar 2: tune\n    violin bars 1 to 2: marked p\n"
        "    duo at bar 3: wide\nrequire\n    violin within C4..C6\n"
    )
    found = told(script, tmp_path)
    assert found.count("slip.cavata:") == 1 and code in found
    assert code == "I101" or "an instrument's name has spaces" in found


def test_lines_of_a_group_that_cannot_be_read_are_not_told_too(tmp_path: Path) -> None:
    found = told(f"{HEAD}group duo = violin drum\nmovement first\n    duo: tune\n    tacet_duo: tune\n", tmp_path)
    assert found.count("slip.cavata:") == 2 and "`duo`" not in found


def test_a_statement_with_a_reserved_name_is_told_once(tmp_path: Path) -> None:
    found = told(f"{HEAD}movement first\n    at bar 2 violin: tune\n    violin: tune + rest\n", tmp_path)
    assert found.count("slip.cavata:") == 2 and "S101" not in found


def test_a_parameter_is_no_transform(tmp_path: Path) -> None:
    script = f"{HEAD}passage p(who, how)\n    who: tune -> how\nmovement first\n    passage p(violin, tune)\n"
    assert "`how` stands for a value; write the transform itself" in told(script, tmp_path)


def test_a_chord_for_another_number_of_parts_says_how_it_fits(tmp_path: Path) -> None:
    """What the cure writes is followed to the letter, for up to six parts and eight notes."""
    for parts in range(2, 7):
        names = [f"v{n}" for n in range(parts)]
        forces = "".join(f"    {name} = violin\n" for name in names)
        for notes in (parts + 1, parts + 2, 8):
            line = f"notes(1/4 {' '.join(('C4', 'D4', 'E4', 'F4', 'G4', 'A4', 'B4', 'C5')[:notes])})"
            script = f"language 2\nforces\n{forces}motif m = {line}\n"
            script += f"movement first\n    {', '.join(names)}: m @-> as chord\n"
            cure = re.search(r"as `(-> notes [\d ]+) -> as chord`", told(script.replace("@", ""), tmp_path))
            assert cure is not None and "P103" not in told(script.replace("@", f"{cure[1]} "), tmp_path), (parts, notes)


@pytest.mark.parametrize("length", ["for 2 bars", "held 2 bars", "held until end", "until end"])
def test_a_definition_knows_no_bars(length: str, tmp_path: Path) -> None:
    assert "stand in score lines only; write a duration" in told(f"{HEAD}motif more = tune {length}\n", tmp_path)


def test_an_excess_of_whole_notes_is_written_as_a_duration(tmp_path: Path) -> None:
    line = "movement first\n    section one 1 bar\n        violin: tune, tune -> augmentation 2\n"
    assert "too long for `one` by 2/1" in told(HEAD + line, tmp_path)


DECLARED = (
    'name W = "ADA" by french', "cipher W", "cipher W = french", "rhythm W = (1/4)", "motif W = notes(1/4 D4)",
    "figure W = (1/4 bass)", "mode W = C D E", "transform tide(W) = W -> up P8", "transform tide(m, W) = m -> up P8",
    "group W = a, b", "staff W = a, b", "staves W = a, b", "movement W", 'cadenza W "Slow"', "passage tide(a, W)",
    "version W", "profile W like amateurs", "use W from ciphers", "use french from ciphers as W",
    "forces\n    W = violin", "forces\n    a = flute\n    W = violin, soloist", "movement m\n    section W 4 bars",
    "movement m\n    section W = a", "movement m\n    W: b", "movement m\n    a: b\n    W: b",
    "movement m\n    W at bar 2: b", "movement m\n    W.right: b", "movement m\n    a, W: b", "movement m\n    W, a: b",
    "movement m\n    W doubles a", "movement m\n    a doubles W", "movement m\n    W bars 2 to 3: marked p",
    "movement m\n    section s\n        W: b", "passage tide(p)\n    W: b", "require\n    W within C4..C5",
    "require\n    W heard in every movement", "version v\n    W -> up P8", "version v\n    W = cello",
)  # fmt: skip
"""Every place where something is called, or a row begins by calling it."""


@pytest.mark.parametrize("text", DECLARED)
def test_a_reserved_word_is_said_to_be_one_wherever_something_is_called_by_it(text: str) -> None:
    for word in sorted(RESERVED):
        bag = Diagnostics()
        parse(Source("x", "language 2\n" + re.sub(r"\bW\b", word, text) + "\n"), bag)
        said = {(m.code, m.span.text if m.span else "") for m in bag.ordered()}
        assert said == {("S205", word)}, [m.message for m in bag.ordered()]
