"""What notation makes of small scripts: cues, instruments that are taken up, strings, what is too short, the pedal.

Tables that are compared whole with kept ones. Source of what is right: common practice. `pytest --update` writes them
anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from cavata.diagnostics import Diagnostics, as_text
from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.hands import pedal_lines
from cavata.notate.notate import notate
from cavata.notate.shortest import report_too_short
from cavata.notate.text import bar_text
from cavata.notate.written import WrittenBar, WrittenScore, leaves
from cavata.pipeline import compile_script, written
from cavata.record import replace
from cavata.score.score import Score

FOLDER = Path(__file__).parent / "test_notate_scripts"


def score_of(forces: str, music: str, tail: str = "") -> Score:
    """A score: parts as `flute = flute, horn = horn`, rows of its only movement parted by semicolons."""
    rows = "".join(f"    {row.strip()}\n" for row in music.split(";"))
    players = "".join(f"    {row.strip()}\n" for row in forces.split(";"))
    compiled = compile_script(
        Path("s.cavata"), "s.cavata", text=f"language 2\nforces\n{players}{tail}movement first\n{rows}"
    )
    assert compiled.score is not None, as_text(compiled.bag.ordered())
    return compiled.score


def part_of(score: Score, name: str) -> WrittenScore:
    (copy,) = copies(score, WantedCopies(score=False, parts=(name,)), Diagnostics())
    return written(copy.score)


def bars_of(page: WrittenScore, part: int = 0, staff: int = 0) -> tuple[WrittenBar, ...]:
    return page.movements[0].parts[part].staves[staff].bars


CUED = (
    ("horn", "flute", "C6 D6 E6 F6"), ("horn", "flute", "D5 E5 F5 G5"), ("bassoon", "flute", "D6 E6 F6 G6"),
    ("bassoon", "flute", "D5 E5 F5 G5"), ("flute", "bassoon", "C2 D2 E2 F2"), ("flute", "bassoon", "G3 A3 B3 C4"),
    ("viola", "cello", "C3 D3 E3 F3"), ("viola", "cello", "C4 D4 E4 F4"), ("clarinet in A", "violin", "A4 B4 C5 D5"),
    ("clarinet in A", "violin", "B4 C5 D5 E5"), ("snare drum", "violin", "D5 E5 F5 G5"), ("double bass", "flute",
    "D5 E5 F5 G5"),
    ("piccolo", "flute", "D5 E5 F5 G5"), ("guitar", "flute", "D5 E5 F5 G5"), ("violin", "snare drum", ""),
    ("flute", "bassoon", "B3 C4 B3 C4"), ("flute", "oboe", "B4 B4 C5 A4"), ("flute", "oboe", "B4 B4 B4 A4"),
)  # fmt: skip


def cues() -> Iterator[str]:
    """What a player reads before an entry, in which octave, and on which side of the rest."""
    for reader, player, notes in CUED:
        enters = "(1/4 1/4 1/2)" if reader == "snare drum" else "notes(1/1 D4)"
        played = f"notes(1/4 {notes}) x 10" if notes else "(1/4 1/4 1/2) x 10"
        score = score_of(
            f"reader = {reader}; player = {player}", f"key G major; player: {played}; reader at bar 10: {enters}"
        )
        told = [
            f"{number} {'below' if bar.cue_below else 'above'} {bar_text(replace(bar, voices=(bar.cue,), key=None))}"
            for number, bar in enumerate(bars_of(part_of(score, "reader")), 1) if bar.cue
        ]  # fmt: skip
        yield f"{reader} hears {player} {notes}: {', '.join(told)}"


def sides_of_cues() -> Iterator[str]:
    """Where the reader's rest goes beside a cue, and how it comes back."""
    for reader, player, notes in CUED[:2] + CUED[4:6] + CUED[10:11]:
        enters = "(1/4 1/4 1/2)" if reader == "snare drum" else "notes(1/1 D4) x 9, 1 bar rest"
        score = score_of(
            f"reader = {reader}; player = {player}", f"player: notes(1/4 {notes}) x 30; reader at bar 10: {enters}"
            + ("" if reader == "snare drum" else "; reader at bar 29: notes(1/1 D4)"),
        )  # fmt: skip
        text = lilypond_text(part_of(score, "reader"))
        music = text[text.index("\\context Voice") :]
        words = ("\\oneVoice", "\\voice", "MultiMeasureRest", "| %", "R1")
        yield f"-- {reader} hears {player} {notes}"
        yield from (line.strip() for line in music.splitlines() if any(word in line for word in words))


TAKEN = (
    "flute: notes(1/1 D5) x 6; flute bars 3 to 4: on piccolo",
    "flute: notes(1/1 D5) x 6; flute bars 1 to 2: on piccolo",
    "flute: notes(1/1 D5) x 6; flute bars 5 to 6: on piccolo",
    "flute: notes(1/1 D5), 1 bar rest, notes(1/1 D5) x 4; flute bars 3 to 4: on piccolo",
    "flute: notes(1/1 D5), notes(1/4 rest D5, 1/2 E5), 1 bar rest, notes(1/2 D5 rest); flute bars 2 to 3: on piccolo",
    "flute: notes(1/1 D5) x 6; flute bars 2 to 3: on piccolo; flute bars 4 to 5: on alto flute",
    "flute: notes(1/1 D5) x 6; flute bars 2 to 3: on piccolo; flute bars 5 to 6: on piccolo",
    "flute: notes(1/1 D5), 5 bars rest; flute bars 2 to 3: on piccolo",
    "flute at bar 3: notes(1/12 D5 E5 F5, 3/4 D5); flute bars 3 to 3: on piccolo",
    "flute: notes(1/1 D5 | 1/12 D5 E5 rest, 3/4 rest | 1/12 rest D5 E5, 3/4 D5); flute bars 3 to 3: on alto flute",
    "flute: notes(1/1 D5) x 4 -> marked \"so\"; flute bars 2 to 2: on piccolo",
)  # fmt: skip


def taken_up() -> Iterator[str]:
    """What is said where another instrument is taken up, and which one each bar has from there on."""
    forces = "flute = flute, doubling piccolo, doubling alto flute"
    for music in TAKEN:
        bars = bars_of(written(full_score(score_of(forces, f"key D major; {music}"))))
        told = [_with_rests(bar) + (f" <{bar.instrument.key}>" if bar.instrument else "") for bar in bars]
        yield f"{music}: {' | '.join(told)}"
    lasting = score_of(forces, "flute: notes(1/1 D5) x 3; flute bars 2 to 3: on piccolo")
    yield " | ".join(map(_with_rests, bars_of(part_of(lasting, "flute"))))


def _with_rests(bar: WrittenBar) -> str:
    """A bar as text, with what is said at a rest that fills it."""
    said = [leaf.marks.who for leaf in leaves(bar.voices[0]) if leaf.whole_bar and leaf.marks.who]
    return bar_text(bar) + "".join(f"/who {who}" for who in said)


STRUNG = (
    ("violin", "notes(1/4 D5 E5 F5 G5) -> sul 1..2 A"), ("violin", "notes(1/4 D5 E5 rest G5) -> sul A"),
    ("violin", "notes(1/4 D5 E5 F5 G5) -> sul 1..2 A -> sul 3..4 D"), ("violin", "notes(1/4 D5 E5 F5 G5) -> sul 2 A"),
    ("violin", "notes(5/4 D5, 3/4 E5) -> sul A"), ("violin", "notes(1/12 D5 E5 F5, 3/4 G5) -> sul 2..4 A"),
    ("guitar", "notes(1/4 E4 F4 G4 A4) -> played on string 1"), ("guitar",
    "notes(1/4 E4 F4 G4 A4) -> played 2 on string 2"),
    ("guitar", "notes(5/4 E4, 3/4 B3) -> played on string 2"), ("guitar",
    "notes(1/4 E4 B4) -> played on string 6 -> harmonic on E"),
    ("guitar", "notes(1/4 A4 B4) -> played on string 3 -> harmonic touching P8"), ("violin",
    "notes(1/4 A5 E6) -> harmonic on A"),
    ("violin", "notes(1/4 D6 E6) -> harmonic touching P4"), ("violin", "notes(1/4 D6 E6) -> harmonic touching M3"),
    ("violin, tuned G3 D4 A4 D5", "notes(1/4 D5 E5 A5 G3) -> sul 1 A"),
    ("violin, tuned A3 E4 A4 E5", "notes(1/2 chord(A3 E4) chord(E4 C#5))"), ("violin, tuned G3 D4 A4 D5",
    "notes(1/4 D6 A5) -> harmonic on D"),
)  # fmt: skip


def strings() -> Iterator[str]:
    """What is said of strings and frets at each leaf, and what is touched."""
    for player, music in STRUNG:
        bars = bars_of(written(score_of(f"player = {player}", f"player: {music}")))
        told = []
        for leaf in (leaf for bar in bars for voice in bar.voices for leaf in leaves(voice)):
            heads = "+".join(f"{head.pitch}{'◇' * head.diamond}" for head in leaf.heads) or "r"
            on = leaf.string
            said = "" if on is None else f" {on.number} fret {on.fret} {on.label} {'[' * on.begins}{']' * on.ends}"
            told.append(heads + said.rstrip())
        yield f"{player}: {music}: {', '.join(told)}"


SHORT = (
    "notes(1/16 D5 E5) -> diminution 64", "notes(1/32 D5 E5) -> diminution 64",
    "notes(1/32 D5 E5) -> diminution 64 x 2",
    "notes(1/4 D5 E5), notes(1/32 D5 E5) -> diminution 64, notes(1/32 D5) -> diminution 64",
    "notes(1/32 D5 rest E5) -> diminution 64", "notes(1/32 rest E5) -> diminution 64",
    "notes(3/64 D5) -> diminution 64",
    "notes(1/48 D5 E5 F5) -> diminution 64", "notes(1/48 D5 E5 F5) -> diminution 32",
    "notes(1/1 D5), notes(1/48 D5 E5 F5) -> diminution 64",
    "notes(1/16 D5) -> diminution 64, notes(1/4 E5), 1/1024 rest",
    "notes(1/24 D5) -> diminution 32, notes(1/4 E5)", "notes(1/24 D5 E5) -> diminution 64, notes(1/5 E5)",
)  # fmt: skip


def too_short() -> Iterator[str]:
    """The messages about what no note value is short enough for, with their places."""
    for music in SHORT:
        head = "language 2\nforces\n    oboe  = oboe\n    flute = flute\nmovement first\n    oboe: notes(1/1 D5 E5)\n"
        text = f"{head}    flute: {music}\n"
        compiled = compile_script(Path("s.cavata"), "s.cavata", text=text)
        if compiled.score is not None and not compiled.bag.has_errors:
            report_too_short(compiled.score, compiled.bag)
        yield f"-- {music}"
        yield from as_text(compiled.bag.ordered()).splitlines()


PEDALS = (
    "piano.right: notes(1/4 D5 E5 F5 G5) -> sustain_pedal 1..2 -> sustain_pedal 3..4",
    "piano.right: notes(1/4 D5 E5 F5 G5) -> sustain_pedal 2..3",
    "piano.left: notes(1/4 D3 E3 F3 G3) -> sustain_pedal 2..4",
    "piano.right: notes(1/2 D5 E5) -> sustain_pedal 1..1; piano.left: notes(1/4 D3 E3 F3 G3) -> sustain_pedal 2..3",
    "piano.right: notes(1/12 D5 E5 F5, 3/4 G5) -> sustain_pedal 2..3",
    "piano.right: notes(1/2 D5, 31/64 E5, 1/64 F5) -> sustain_pedal 3..3",
    "piano.right: notes(1/2 D5, 15/32 E5, 1/32 F5) -> sustain_pedal 3..3",
    "piano.right: notes(1/2 D5, 7/16 E5, 1/16 F5) -> sustain_pedal 3..3",
    "piano.right: notes(1/2 D5, 7/16 E5, 1/16 F5) -> sustain_pedal 2..3",
    "piano.right: notes(1/2 D5, 1/4 rest, 1/4 E5, 1/1 F5) -> sustain_pedal 1..3",
    "piano.right: notes(1/2 D5 rest) -> sustain_pedal 1..1",
    "piano.right: together(notes(1/4 D5 E5 F5 G5), notes(1/2 B4 C5) -> sustain_pedal)",
)


def pedals() -> Iterator[str]:
    """When the pedal of both hands goes down and up."""
    for music in PEDALS:
        page = written(score_of("piano = piano", music))
        movement = page.movements[0]
        lines = pedal_lines(movement.parts[0].staves, movement.frames)
        yield f"{music}: {' / '.join(line.strip() for line in lines[5:-1])}"


PROVED = (
    "flute: notes(1/4 D5 E5, 1/2 F5); flute at bar 2: notes(1/12 D5 E5 F5, 1/4 rest G5, 1/12 A5 G5 F5)",
    "flute: notes(1/4 D5) x 4, notes(1/12 D5 E5 F5), 1/4 rest, notes(1/20 D5 E5, 1/60 F5 G5 F5, 1/20 E5 D5)",
    "flute: notes(1/1 D5); flute at bar 3: notes(5/4 D5, 1/12 E5 F5 G5); flute at bar 2: notes(1/2 D5 E5)",
    "flute: together(notes(1/1 D5), notes(1/12 B4 C5 D5, 3/4 B4)); "
    "flute at bar 2: together(notes(1/1 D5), notes(1/1 B4))",
)


def proofs() -> Iterator[str]:
    """Where a proof copy says which line of the script the notes come from."""
    for music in PROVED:
        score = score_of("flute = flute", music)
        page = notate(replace(score, header=replace(score.header, proof=True)))
        told = []
        for bar in bars_of(page):
            voices = [[leaf.script_line or "." for leaf in leaves(voice)] for voice in bar.voices]
            told.append(" // ".join(" ".join(voice) for voice in voices))
        yield f"{music}: {' | '.join(told)}"


def names_of_a_set() -> Iterator[str]:
    """What stands before a staff of several drums: a line for each, and its own name where it has one."""
    for width in (7, 16, 17):
        name = ("letters " * 5)[: width - 1] + "x"
        for called in ("", f' "{name}" short "L."'):
            score = score_of(
                f'drum = snare drum, called "{name}" short "S."; bass = bass drum', "drum: (1/4 1/4); bass: (1/2)",
                tail=f"staff drums{called} = drum, bass\n",
            )  # fmt: skip
            page = written(full_score(score))
            yield f"-- {name}{called}: {float(page.page.first_room):.2f} {float(page.page.later_room):.2f}"
            yield from (line.strip() for line in lilypond_text(page).splitlines() if "nstrumentName = " in line)
            yield from (
                line.strip()
                for line in lilypond_text(part_of(score, "drums")).splitlines()
                if "nstrumentName = " in line
            )


@pytest.mark.parametrize("table", [cues, sides_of_cues, taken_up, strings, too_short, pedals, proofs, names_of_a_set])
def test_table_is_kept(table: Callable[[], Iterator[str]], request: pytest.FixtureRequest) -> None:
    found = [row.rstrip() for row in table()]
    kept = FOLDER / f"{table.__name__}.txt"
    if request.config.getoption("--update"):
        FOLDER.mkdir(exist_ok=True)
        kept.write_text("\n".join(found) + "\n", "utf-8")
    assert found == kept.read_text("utf-8").splitlines()
