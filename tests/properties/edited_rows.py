"""Scripts with a row of every kind, edits of any of their rows by chance, and what is handed out of each.

An edit changes one row as a composer would: another number, pitch, word or letter, a step more or less, a row put in,
taken out or moved. A number makes an edit, the same one always. What an edit did is not known; whether anything that is
handed out came out otherwise is seen from its bytes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import zip_longest
from pathlib import Path
from random import Random

from random_pieces import linked, script_of_piece

from cavata.diagnostics import Diagnostics, Refusal
from cavata.edition.copies import WantedCopies, copies
from cavata.lilypond.document import lilypond_text
from cavata.musicxml.document import musicxml_bytes
from cavata.pipeline import compile_script, written
from cavata.score.score import Score
from cavata.sound.midi import midi_bytes

SCRIPT = """\
language 2
use french, german from ciphers
name tamsin = "TAMSIN" by french
name hedda = "HEDDA" by german
rhythm bell = (1/4 1/8 1/8 rest)
motif call = tamsin -> closest -> in bell
motif low = hedda -> down P8 -> in (1/4) -> marked mf
motif tune = notes(1/4 D5 F5, 1/8 E5 rest D5, 1/4 C5, 1/4 A4) -> slurred
motif song = notes(1/2 D5 F5 | 1/4 E5 D5 C5 A4) -> sung "Now the lamp is lit _"
motif chords_of_it = chords(1/2 Dm, 1/4 Gm7, 1/4 A7)
piece "Lantern"
    subtitle "for six"
    composer "A. Composer"
    dedication "for T."
    length 1 min
    paper A4
    names in English
    show letters
forces
    flute = flute
    reed = clarinet in A, doubling bass clarinet
    horn1 = horn
    horn2 = horn
    voice = soprano, called "Keeper" short "K."
    violin = violin, soloist
    cello = cello
    piano = piano
    drum = snare drum
    organ = organ
    viola = viola, tuned D3 G3 D4 A4
group winds = flute, reed
group strings = violin, cello
staff horns "Horns" short "Hns." = horn1, horn2
movement first "Watch"
    meter 4/4
    key D minor
    pickup 1/4
    tempo 1/4 at 96, "With the tide"
    section opening "Dusk" 6 bars
        tempo at bar 3: broadening to 1/4 at 60 over 2 bars
        tempo at bar 5: back in tempo
        flute: call -> marked p, tune -> crescendo p f
        reed at bar 2: call -> down P4, tune -> down P8
        horn1: low -> marked f accent
        horn2 at bar 2: low -> down m3
        voice: song -> marked mp
        violin: tune -> trill 1 -> marked "calm", call -> marked pizzicato
        cello: low -> down P8 for 6 bars
        piano: chords_of_it -> sustain_pedal
        drum: bell x 3
        strings bars 2 to 4: crescendo p f
        reed bars 5 to 6: on bass clarinet
    section middle 4 bars
        repeated
        meter 3/4
        key A minor
        ending 1 bar 3
        ending 2 bar 4
        flute: tune -> up M2 -> marked staccato
        violin at bar 2: call -> graced 1 by notes(1/8 C5) -> tremolo 1/32
        cello: notes(1/2. D3 | 1/2. A2) -> fermata last by 1/4
        piano: together(tune, low -> down P8)
    section close = opening -> up M2
movement second
    meter 6/8
    key none
    tempo 1/4. at 60
    section only 4 bars
        violin: tune -> in (1/8) until end
        horn1, horn2: low -> marked fp x 2
        organ: tune -> up P8 -> marked p
        organ.pedal: low -> down P8
        viola: notes(1/8 D5 A5 D6) -> harmonic on D, notes(1/8 D6) -> harmonic touching P4, tune -> sul 1 G
cadenza alone "Alone"
    violin: call, hedda -> up P8 -> marked "freely" -> fermata last by 1/2
"""

KINDS = (
    ("flute", "oboe", "violin", "clarinet", "horn", "cello", "piano", "soprano", "tenor", "harp", "trumpet", "bassoon"),
    ("4/4", "3/4", "6/8", "5/4", "7/8 as 2+2+3", "7/8 as 3+2+2", "2/2", "none"),
    ("p", "mf", "f", "pp", "ff", "fp", "sfz", "mp"),
    ("staccato", "tenuto", "accent", "marcato", "upbow", "fermata", "pizzicato", "arco", "muted", "solo"),
    ("major", "minor", "dorian", "phrygian"),
    ("A4", "A3", "letter", "A4 landscape", "tabloid"),
    ("English", "German", "French", "Italian"),
    ("crescendo", "diminuendo"), ("broadening", "pressing on"), ("french", "german"), ("flute", "reed", "horn1"),
    ("ascending", "descending", "closest"), ("until end", "x 2", "for 3 bars", "held until end"),
    ("trill", "turn", "mordent"),
    ("sul 1 G", "sul 1 D", "played 1 on string 2"), ("organ.pedal", "organ.left"), ("tuned D3", "tuned C3", "tuned B2"),
    ("touching P4", "touching P5"),
    ("above", "below"), ("up", "down"), ("movement", "cadenza"), ("slurred", "tremolo", "rolled", "retrograde"),
)  # fmt: skip
"""Words that one another can stand for."""
STEPS = (
    "up m2", "down P8", "up M3", "retrograde", "marked p", "marked f accent", 'marked "soft"', "slurred", "trill 1",
    "diminuendo p nothing",
    "crescendo p ff", "sharp 1", "flat last", "rotated 1", "first 3", "diminution 2", "x 2", "sustain_pedal",
    "graced 1 by notes(1/8 B4)", "fermata last by 1/8", "tremolo", "glissando 1", 'sung "o-pen sea"',
    "marked muted", "marked open", "marked harmonic", "on piccolo", "as chord", "doubled at P8 below", "mordent 1",
    "respelled 1 as E#", "in (1/8)", "lengthened last to 1/2", "fermata last",
    "sul 1 D", "harmonic 1 touching P4", "played 1 on string 1",
)  # fmt: skip
ROWS = {
    "piece": (
        'subtitle "other"', "concert score", "show colors", "paper A3", "title page", "title page none",
        "names in German", "show every staff", "show letters", "length 2 min", 'dedication "for H."',
        'poet "P. P."', 'arranger "R. R."', 'copyright "(c) C."', 'publisher "L. E."', 'number "7"', 'note "Softly."',
        "rehearsal piano", "letters through movements", "show no harp pedals", "show harp settings",
        "show no timpani tuning",
        'remark "said"', "length 1 min to 3 min", 'composer "B. C."',
    ),
    "movement": ("attacca", "pickup 1/8", "pickup 1/2", "tempo 1/4 at 50", "key Eb major", "meter 3/4", 'remark "m"'),
    "section": (
        "repeated", "repeated 3 times", "tempo 1/8 at 120", 'tempo "Slow"', "key F minor", "meter 5/8",
        "tempo at bar 2: pressing on to 1/4 at 150 over 1 bar", "key at bar 2: E major", "meter at bar 3: 2/4",
        "tempo at bar 2 beat 2: broadening to 1/8 at 40 over 1/2",
        'tempo at bar 2: "rit." to 1/4 at 31 over 1/2', 'tempo at bar 3: back in tempo, "a tempo"',
        "violin bars 1 to 2: diminuendo f p",
        "flute at bar 2: tune", "cello: notes(1/4 D3 E3)", "ending 1 bar 2", "tacet violin", "pickup 1/4",
        "winds bars 1 to 2: marked p", 'remark "s"',
    ),
    "forces": (
        "other = oboe", "lute = lute, tuned F2 C3 F3 A3 D4 G4", "gong = gong", "horn3 = horn", "violas = violas",
        "bells = glockenspiel",
    ),
    "top": (
        "group all = flute, reed, violin", "group brass = horn1, horn2", "staves divided = flute, reed",
        "staff reeds = flute, reed", "movement extra\n    violin: tune",
        "-- nothing but words", 'require\n    remark "kept"', 'name spare = "ADA" by french',
    ),
}  # fmt: skip
_PITCH = re.compile(r"\b[A-G](?:##|bb|[#b])?\d\b")
_NUMBER = re.compile(r"(?<![\w/])\d+(?![\w/])")
_DURATION = re.compile(r"\b1/\d+\.?")
_STRING = re.compile(r'"([^"\n]*)"')
_STEP = re.compile(r" -> [^,>\n]*?(?= ->|,|\n|$)")
_NAMED = re.compile(r"^(\s*(?:name|motif|section|movement|group|staff|rhythm)? ?)([a-z]\w*)(?= = | \d+ bars| \")")


def script_edited(number: int) -> tuple[str, str, str]:
    """A script, the same edited, and the row that was."""
    chance = Random(number)
    old = SCRIPT if chance.randrange(8) else script_of_piece(chance.randrange(10**6))
    lines = old.splitlines()
    for _ in range(20):
        at = chance.randrange(1, len(lines))
        edited = _EDITS[chance.randrange(len(_EDITS))](list(lines), at, chance)
        if edited is not None and edited != lines:
            return old, "\n".join(edited) + "\n", lines[at]
    return old, old, ""


def _put(lines: list[str], at: int, found: re.Match[str] | None, text: str, group: int = 0) -> list[str] | None:
    if found is None:
        return None
    lines[at] = lines[at][: found.start(group)] + text + lines[at][found.end(group) :]
    return lines


def _one(pattern: re.Pattern[str], line: str, chance: Random) -> re.Match[str] | None:
    found = list(pattern.finditer(line))
    return chance.choice(found) if found else None


def _pitch(lines: list[str], at: int, chance: Random) -> list[str] | None:
    other = chance.choice(("D4", "E4", "F#4", "Gb4", "Bb3", "C5", "E#4"))
    return _put(lines, at, _one(_PITCH, lines[at], chance), other)


def _number(lines: list[str], at: int, chance: Random) -> list[str] | None:
    found = _one(_NUMBER, lines[at], chance)
    by = chance.choice((-10, -1, 1, 2, 24))
    return _put(lines, at, found, str(max(1, int(found[0]) + by)) if found else "")


def _duration(lines: list[str], at: int, chance: Random) -> list[str] | None:
    return _put(lines, at, _one(_DURATION, lines[at], chance), chance.choice(("1/2", "1/4", "1/8", "1/8.", "1/16")))


def _string(lines: list[str], at: int, chance: Random) -> list[str] | None:
    found = _one(_STRING, lines[at], chance)
    if found is None or not found[1]:
        return None
    place = chance.randrange(len(found[1]))
    letter = chance.choice("ABEHIPXan _-")
    return _put(lines, at, found, found[1][:place] + letter + found[1][place + chance.randrange(2) :], 1)


def _word(lines: list[str], at: int, chance: Random) -> list[str] | None:
    known = [(word, kind) for kind in KINDS for word in kind if _alone(word).search(lines[at])]
    if not known:
        return None
    word, kind = chance.choice(known)
    return _put(lines, at, _one(_alone(word), lines[at], chance), chance.choice(kind))


def _alone(word: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(word)}(?!\w)")


def _less(lines: list[str], at: int, chance: Random) -> list[str] | None:
    return _put(lines, at, _one(_STEP, lines[at], chance), "")


def _more(lines: list[str], at: int, chance: Random) -> list[str] | None:
    if ":" not in lines[at] and "motif" not in lines[at]:
        return None
    places = [m.start() for m in re.finditer(r", (?=[a-z])| ->|$", lines[at])]
    place = chance.choice(places)
    lines[at] = f"{lines[at][:place]}{linked(chance.choice(STEPS))}{lines[at][place:]}"
    return lines


def _gone(lines: list[str], at: int, chance: Random) -> list[str] | None:
    del lines[at]
    return lines


def _moved(lines: list[str], at: int, chance: Random) -> list[str] | None:
    to = at + chance.choice((-1, 1))
    if to < len(lines):
        lines[at], lines[to] = lines[to], lines[at]
    return lines


def _put_in(lines: list[str], at: int, chance: Random) -> list[str] | None:
    """A row that can stand under the heading above this one."""
    heads = [n for n in range(at + 1) if (lines[n].split() or [""])[0] in ("piece", "movement", "forces", "section")]
    if not heads or chance.randrange(6) == 0:
        block = "top"
        at = chance.choice([n for n, line in enumerate(lines) if line.startswith(("movement", "cadenza"))] or [1])
        return [*lines[:at], chance.choice(ROWS[block]), *lines[at:]]
    head = heads[-1]
    block = lines[head].split()[0]
    indent = " " * (8 if block == "section" else 4)
    return [*lines[: head + 1], indent + chance.choice(ROWS[block]), *lines[head + 1 :]]


def _other_name(lines: list[str], at: int, chance: Random) -> list[str] | None:
    found = _NAMED.match(lines[at])
    if found is None:
        return None
    return [re.sub(rf"(?<!\w){found[2]}(?!\w)", "another", line) for line in lines]


_EDITS = (
    _pitch, _number, _number, _duration, _string, _string, _word, _word, _less, _more, _more, _gone, _moved, _put_in,
    _put_in, _other_name,
)  # fmt: skip


# ---------------------------------------------------------------- what is handed out


@lru_cache(4)
def score_of(script: str) -> Score | None:
    """The score of a script; None if anything is wrong in it."""
    return compile_script(Path("lantern.cavata"), "lantern.cavata", script).score


_IDS = re.compile(rb' id="[^"]*"')


def outputs(score: Score) -> Iterator[tuple[str, bytes]]:
    """Every file by its name: MIDI, the MusicXML of the score and of each part, without ids, and what is engraved."""
    yield "midi", midi_bytes(score)
    pages = [(copy.suffix, written(copy.score)) for copy in copies(score, WantedCopies(parts=None), Diagnostics())]
    for suffix, page in pages:
        for movement in page.movements:
            yield f"{movement.name}{suffix}", _IDS.sub(b"", musicxml_bytes(page, movement.name))
    for suffix, page in pages:
        yield f"{suffix}.ly", lilypond_text(page).encode()


@lru_cache(1)
def _of_the_script() -> list[tuple[str, bytes]]:
    score = score_of(SCRIPT)
    assert score is not None
    return list(outputs(score))


def first_difference(old: str, new: str) -> str | None:
    """The first file that two scripts, which compile, do not give alike; empty where all are the same.

    None where one of them cannot be made, as of notes that have no sign: what a build says of it is tested elsewhere.
    """
    was, now = (None if script == SCRIPT else score_of(script) for script in (old, new))
    files = (_of_the_script() if score is None else outputs(score) for score in (was, now))
    try:
        for one, other in zip_longest(*files):
            if one != other:
                return str((one or other)[0])
    except (Refusal, TypeError):
        return None
    return ""
