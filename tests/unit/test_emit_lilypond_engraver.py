"""How the engraver is found, asked and understood, without engraving: every answer that it may give, and each limit."""

from __future__ import annotations

import os
import subprocess
from concurrent.futures import Future
from io import BytesIO
from pathlib import Path

import pytest
from emit_lilypond_scores import bar, frame, line, movement, part
from fake_engravers import DRAWS, engrave_with
from patience import until
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, StreamObject
from test_engrave_standing import Clock

from cavata.child import ChildLimits, Ended
from cavata.diagnostics import Diagnostics
from cavata.files import lives
from cavata.lilypond import engrave as engraver
from cavata.lilypond import kept, press, standing
from cavata.lilypond.copies import Engravers
from cavata.lilypond.engrave import FORMATS, find_lilypond, missing_glyphs, text_fonts
from cavata.lilypond.engraving import EngravedFile, Engraving, EngravingFault, Failure, MissingGlyph, Phase
from cavata.lilypond.joining import joined_pages
from cavata.lilypond.part_pages import begin_again, layout_of, part_engraved
from cavata.lilypond.reports import engraved_files
from cavata.lilypond.standing import StandingRuns
from cavata.notate.paper.layout import laid_out
from cavata.notate.written import WrittenScore, WrittenStaff
from cavata.score.score import CopyKind, Header

# ---------------------------------------------------------------- the program


def answering(answer: str | Exception) -> object:
    """What stands in for a run that asks a program for its version."""

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        assert command[1:] == ["--version"]
        if isinstance(answer, Exception):
            raise answer
        return subprocess.CompletedProcess(command, 0, answer)

    return run


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("GNU LilyPond 2.24.4 (running Guile 2.2)", ""),
        ("GNU LilyPond 2.25.0", ""),
        ("GNU LilyPond 3.0.0", ""),
        ("GNU LilyPond 2.23.99", "is 2.23;"),
        ("GNU LilyPond 1.30.1", "is 1.30;"),
        ("", "is of unknown version;"),
        (OSError("not for this machine"), "is of unknown version;"),
        (subprocess.TimeoutExpired("lilypond", 30), "is of unknown version;"),
    ],
)
def test_program_on_the_path_must_say_that_it_is_new_enough(
    answer: str | Exception, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(subprocess, "run", answering(answer))
    engraver._on_path.cache_clear()
    found = engraver._on_path("/bin/lilypond")
    engraver._on_path.cache_clear()
    if not said:
        assert found == "/bin/lilypond"
        return
    assert isinstance(found, Failure) and found.fault is EngravingFault.MISSING
    assert found.message == f"the LilyPond on the path {said} 2.24 or later is needed"
    assert found.advice == engraver.how_to_get_it()


def test_program_that_is_named_is_taken_or_the_failure_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "press"
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    monkeypatch.setenv("CAVATA_LILYPOND", str(program))
    assert find_lilypond() == str(program)
    monkeypatch.setenv("CAVATA_LILYPOND", "nowhere")
    found = find_lilypond()
    assert found == Failure(
        EngravingFault.MISSING, "CAVATA_LILYPOND names no program: nowhere", engraver.how_to_get_it()
    )
    assert text_fonts() == ()


def test_fonts_lie_beside_the_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program = tmp_path / "bin" / "lilypond"
    fonts = tmp_path / "share" / "lilypond" / "2.24.4" / "fonts" / "otf"
    fonts.mkdir(parents=True)
    program.parent.mkdir()
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    for name in ("NimbusSans-Regular.otf", "NimbusSans-Bold.otf", "C059-Roman.otf"):
        (fonts / name).write_bytes(b"")
    monkeypatch.setenv("CAVATA_LILYPOND", str(program))
    assert [path.name for path in text_fonts()] == ["NimbusSans-Bold.otf", "NimbusSans-Regular.otf"]


@pytest.mark.parametrize(
    ("given", "count"), [("1", 1), ("7", 7), ("0", 3), ("-1", 3), ("many", 3), ("", 3), ("1.5", 3)]
)
def test_as_many_runs_at_once_as_the_environment_or_the_machine_says(
    given: str, count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1, 5}, raising=False)
    monkeypatch.setenv(press.AT_ONCE, given)
    assert press.usual_at_once() == count


# ---------------------------------------------------------------- what it says


@pytest.mark.parametrize(
    ("status", "timed_out", "errors", "failure"),
    [
        (0, False, "", None),
        (0, False, "score.ly:1:2: warning: odd", None),
        (0, False, "out of memory", None),
        (0, True, "", Failure(EngravingFault.TIMEOUT, "LilyPond took longer than 7.5 seconds",
                              "engrave one movement at a time, or allow more time")),
        (-9, True, "", Failure(EngravingFault.TIMEOUT, "LilyPond took longer than 7.5 seconds",
                               "engrave one movement at a time, or allow more time")),
        (0, False, "error while writing to output stream",
         Failure(EngravingFault.DISK, "the pages could not be written: the disk is full, or a file became too large")),
        (1, False, "error while writing to output stream",
         Failure(EngravingFault.DISK, "the pages could not be written: the disk is full, or a file became too large")),
        (1, False, "GUILE: Too many heap sections",
         Failure(EngravingFault.KILLED, "LilyPond ran out of memory", "engrave one movement at a time")),
        (-6, False, "std::bad_alloc", Failure(EngravingFault.KILLED, "LilyPond ran out of memory",
        "engrave one movement at a time")),
        (-9, False, "", Failure(EngravingFault.KILLED, "LilyPond was ended by the system (signal 9)")),
        (-1, False, "", Failure(EngravingFault.KILLED, "LilyPond was ended by the system (signal 1)")),
        (1, False, "", Failure(EngravingFault.ERROR, "LilyPond could not engrave the score: exit status 1")),
        (1, False, "score.ly:1:2: warning: a\nscore.ly:3:4: error: b c \nx.ly: fatal error: d",
         Failure(EngravingFault.ERROR, "LilyPond could not engrave the score: b c")),
        (2, False, f"fatal error: {'x' * 300}",
         Failure(EngravingFault.ERROR, f"LilyPond could not engrave the score: {'x' * 200}")),
    ],
)  # fmt: skip
def test_every_end_of_a_run_is_understood(status: int, timed_out: bool, errors: str, failure: Failure | None) -> None:
    assert engraver._failure(Ended(status, timed_out, errors), ChildLimits(seconds=7.5)) == failure


def test_characters_without_a_font_are_read_each_once_in_order() -> None:
    said = (
        "score.ly:1:2: warning: no glyph for character U+65E5 in font `/a.otf'\n"
        "warning: no glyph for character U+5D0\n"
        'score.ly:1:2: warning: no glyph for character U+10FFFF in font "b"\n'
        "score.ly:1:2: warning: no glyph for character U+110000 in font `c'\n"
        "score.ly:1:2: warning: no glyph for character U+65E5 in font `/d.otf'\n"
    )
    assert missing_glyphs(said) == (
        MissingGlyph("\u05d0", ""), MissingGlyph("\u65e5", "/d.otf"), MissingGlyph("\U0010ffff", "b"),
    )  # fmt: skip
    remarked = said + "x.ly:9:9: warning: late \nprogramming error: odd\nwarning: late\nerror: wrong\nall is well\n"
    assert engraver._remarks(remarked) == ("late", "odd")


def test_phases_are_told_each_once_as_they_come() -> None:
    told: list[Phase] = []
    hear = engraver._listener(told.append)
    for text in ("Parsing...", "Interpreting music...", "Parsing...", "Preprocessing graphical objects...",
                 "Finding the ideal number of pages...", "Fitting music on 3 or 4 pages...", "Drawing systems...",
                 "Converting to `score.pdf'...", "Layout output to `score.svg'..."):  # fmt: skip
        hear(text)
    assert told == [Phase.READING, Phase.SPACING, Phase.PAGING, Phase.DRAWING, Phase.WRITING]
    told.clear()
    engraver._listener(told.append)("Layout output to `x'... Drawing systems... Parsing...")
    assert told == [Phase.READING, Phase.DRAWING, Phase.WRITING]


@pytest.mark.parametrize(
    ("names", "kind", "files"),
    [
        (("score.pdf", "score.svg"), "pdf", [(".pdf", b"score.pdf")]),
        (("score-1.svg",), "svg", [(".svg", b"score-1.svg")]),
        (("score-10.png", "score-2.png", "score-1.png", "score.pdf"), "png",
         [("-1.png", b"score-1.png"), ("-2.png", b"score-2.png"), ("-3.png", b"score-10.png")]),
        ((), "pdf", []),
    ],
)  # fmt: skip
def test_files_are_numbered_as_their_pages(
    names: tuple[str, ...], kind: str, files: list[tuple[str, bytes]], tmp_path: Path
) -> None:
    for name in (*names, "other-1.svg"):
        (tmp_path / name).write_bytes(name.encode())
    assert [(file.suffix, file.data) for file in engraver._files(tmp_path, kind)] == files
    assert {file.format for file in engraver._files(tmp_path, kind)} <= {kind}


def test_what_tells_of_the_run_is_taken_out() -> None:
    assert (
        engraver._without_run("svg", b'<g id="surface12"/><g id="surface3"/>') == b'<g id="surface"/><g id="surface"/>'
    )
    assert engraver._without_run("png", b'id="surface12"') == b'id="surface12"'
    dated = b'/CreationDate (D:20261130103000Z) id="surface12"'
    assert engraver._without_run("pdf", dated) == b'/CreationDate (D:20000101000000Z) id="surface12"'


# ---------------------------------------------------------------- what is kept


def test_everything_that_decides_how_a_page_looks_is_in_its_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "lilypond"
    program.write_text("")
    fonts = tmp_path / "fonts"
    (fonts / "b" / "inner").mkdir(parents=True)
    (fonts / "a").mkdir()
    monkeypatch.setattr(kept, "_FONTS", (str(fonts), str(tmp_path / "none")))
    assert list(kept._font_folders()) == [str(fonts), *(str(fonts / name) for name in ("a", "b", "b/inner"))]
    known = {kept.surroundings(str(program))}
    os.utime(fonts / "b" / "inner", (1, 1))
    known.add(kept.surroundings(str(program)))
    os.utime(program, (1, 1))
    known.add(kept.surroundings(str(program)))
    monkeypatch.setenv("FONTCONFIG_FILE", "/elsewhere")
    known.add(kept.surroundings(str(program)))
    monkeypatch.setenv("FONTCONFIG_PATH", "/elsewhere")
    known.add(kept.surroundings(str(program)))
    monkeypatch.setattr(kept, "_LIBRARIES", ("abjad",))
    known.add(kept.surroundings(str(program)))
    assert len(known) == 6
    assert kept.surroundings(str(program)) in known
    without = kept.surroundings(str(program))
    monkeypatch.setattr(kept, "_LIBRARIES", ("abjad", "no_such_library"))
    assert kept.surroundings(str(program)) == without


def test_an_engraving_comes_back_as_it_was_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    made = Engraving(
        (EngravedFile("pdf", ".pdf", b"one\ntwo"), EngravedFile("png", "-1.png", b""), EngravedFile("png", "-2.png",
        b"3")),
        (MissingGlyph("x", "font"), MissingGlyph("y", "")), ("a", "b"),
    )  # fmt: skip
    assert kept.kept("key") is None
    kept.keep("key", made)
    assert kept.kept("key") == made


# ---------------------------------------------------------------- how far it is


def test_a_run_is_reckoned_by_the_share_that_has_passed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """At each phase that share of the run has passed: a run that took longer is reckoned half by what it took."""
    clock = Clock()
    monkeypatch.setattr(standing, "time", clock)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    for phase, share in ((Phase.READING, 0.05), (Phase.SPACING, 0.3), (Phase.PAGING, 0.6), (Phase.DRAWING, 0.75),
                         (Phase.WRITING, 0.9)):  # fmt: skip
        run = standing.Run(10, 20.0, lambda: None)
        clock.now = 100.0
        run.hear(Phase.STARTING)
        assert (run.expected, run.left) == (20.0, 20.0)
        clock.now = 100.0 + 60 * share
        run.hear(phase)
        assert run.expected == pytest.approx(40.0)
        assert run.left == pytest.approx(40.0 - 60 * share if 60 * share < 38 else 2.0)
    early = standing.Run(10, 20.0, lambda: None)
    early.hear(Phase.STARTING)
    clock.now += 0.04
    early.hear(Phase.READING)
    assert early.expected == 20.0  # within the first second nothing is known
    unknown = standing.Run(10, None, lambda: None)
    unknown.hear(Phase.STARTING)
    clock.now += 50
    unknown.hear(Phase.READING)
    assert unknown.left is None


def test_time_is_told_from_two_seconds_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    clock = Clock()
    monkeypatch.setattr(standing, "time", clock)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    said: list[str] = []
    whole = StandingRuns(1, said.append)
    whole.tell()
    run = whole.begins("\n" * 10)
    for seconds in (1.99, 2.0, 9.4, 9.6, 12.4, 12.6, 89.9, 104.9, 105.0, 149.0, 151.0):
        run.expected = seconds
        whole.tell()
    other = whole.begins("")
    whole.tell()
    other.expected = 10.0
    run.expected = 30.0
    whole.tell()
    whole.ends(other, True)
    whole.tell()
    assert said == [
        "engraving", "engraving", "engraving, about 2 s left", "engraving, about 9 s left",
        "engraving, about 10 s left",
        "engraving, about 10 s left", "engraving, about 15 s left", "engraving, about 90 s left",
        "engraving, about 90 s left", "engraving, about 2 min left", "engraving, about 2 min left",
        "engraving, about 3 min left", "engraving: 0 of 2 sheets done",
        "engraving: 0 of 2 sheets done, about 40 s left",
        "engraving: 1 of 2 sheets done, about 30 s left",
    ]  # fmt: skip


def test_runs_are_remembered_the_latest_two_dozen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    for size in range(30):
        standing._remember(size, 1.234)
    assert standing._remembered() == [(size, 1.23) for size in range(6, 30)]
    assert standing._rate([(100, 1.25), (100, 2.25), (200, 0.2)]) == 0.01
    assert standing._rate([(1, 0.2)]) == 0.01
    assert standing._rate([]) is None
    assert standing._runs_in(b"[[1, 0], [0, 1], [1, 1], [2, 0.5], [-1, 3]]") == [(1, 1.0), (2, 0.5)]


@pytest.mark.parametrize("watched", [True, False])
def test_only_who_watches_is_told_and_only_a_good_run_is_remembered(
    watched: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    monkeypatch.setattr(standing, "time", clock)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    whole = StandingRuns(1, (lambda _: None) if watched else None)
    assert whole.watched is watched
    good, bad, silent = (whole.begins("\n" * size) for size in (5, 6, 7))
    good.hear(Phase.STARTING)
    bad.hear(Phase.STARTING)
    clock.now = 3.0
    whole.ends(good, True)
    whole.ends(bad, False)
    whole.ends(silent, True)
    assert standing._remembered() == ([(5, 3.0)] if watched else [])


# ---------------------------------------------------------------- runs that start before their texts are there


PDF, PNG = frozenset(("pdf",)), frozenset(("png",))


def test_run_starts_before_its_text_is_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun = tmp_path / "begun"
    engrave_with(f"grep -q c4 score.ly && {DRAWS}", tmp_path, monkeypatch, f"echo >> {begun}\n")
    with press.Press(2) as runs:
        runs.start(1, PDF, watched=False)
        until(begun.exists)
        assert isinstance(runs.engrave("c4", PDF).result(), Engraving)
        assert len(begun.read_text()) == 1
        assert isinstance(runs.engrave("c4", PDF).result(), Engraving)
        assert len(begun.read_text()) == 2


def test_run_that_gets_no_text_makes_room_and_ends(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One that makes other files than are wanted gives way, and none is left when the press closes."""
    begun = tmp_path / "begun"
    engrave_with(DRAWS.replace("pdf", "png"), tmp_path, monkeypatch, f"echo $$ >> {begun}\n")
    with press.Press(1) as runs:
        runs.start(3, PDF, watched=False)
        until(begun.exists)
        assert isinstance(runs.engrave("c4", PNG).result(), Engraving)
        runs.start(1, PNG, watched=False)
        until(lambda: len(begun.read_text().split()) == 3)
    assert not any(lives(int(number)) for number in begun.read_text().split())


def test_a_file_that_is_cut_off_is_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a disk is full LilyPond may end as if all were well. A PDF ends in `%%EOF` (ISO 32000-1, 7.5.5)."""
    engrave_with(DRAWS.replace("EOF", "E"), tmp_path, monkeypatch)
    found = engraver.engrave("c4", PDF)
    assert isinstance(found, Failure) and found.fault is EngravingFault.DISK


@pytest.mark.parametrize(("fresh", "count"), [(False, 1), (True, 2)])
def test_as_many_runs_start_as_will_surely_be_wanted(
    fresh: bool, count: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    begun = tmp_path / "begun"
    engrave_with("", tmp_path, monkeypatch, f"echo >> {begun}\n")
    with Engravers(PDF, 2, fresh) as engravers:
        engravers.start()
        until(lambda: begun.exists() and len(begun.read_text()) == count)
    assert len(begun.read_text()) == count


# ---------------------------------------------------------------- copies, sheets and parts


class Presses:
    """What stands in for the press: what it was asked for, and what it gives."""

    def __init__(self, *given: Engraving | Failure) -> None:
        self.given = list(given)
        self.asked: list[tuple[frozenset[str], bool]] = []

    def engrave(self, _: str, formats: frozenset[str], heard: object) -> Future[Engraving | Failure]:
        """The next engraving, there already."""
        self.asked.append((formats, heard is not None))
        made: Future[Engraving | Failure] = Future()
        made.set_result(self.given.pop(0))
        return made

    def start(self, *_: object) -> None:
        """What comes of it is asked for all the same."""

    def __exit__(self, *_: object) -> None:
        """Nothing goes on."""


def small(**header: object) -> WrittenScore:
    """A page with a few notes."""
    staff = WrittenStaff("treble", (bar(*line("D5:1")),))
    music = movement("first", "", (frame(1, "4/4"),), (part("v", "Violin", "Vln.", staff),))
    return laid_out(Header("Title", **header), (), (music,))  # type: ignore[arg-type]  # fields


def test_pictures_are_engraved_in_one_run_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    engrave_with("", tmp_path, monkeypatch)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    made = Engraving((EngravedFile("png", ".png", b"1"),))
    for say, fresh, asked in ((None, False, 1), (None, False, 0), (None, True, 1), (lambda _: None, True, 1)):
        formats = frozenset(("png",))
        engravers = Engravers(formats, 1, fresh, say)
        presses = Presses(made)
        engravers._press = presses  # type: ignore[assignment]  # it stands in
        with engravers:
            assert engravers.deliver(engravers.order(small())) == made
        assert presses.asked == [(formats, say is not None)] * asked


def two_sheets(**header: object) -> WrittenScore:
    """A page of two movements that each begin a sheet of their own."""
    staff = WrittenStaff("treble", (bar(*line("D5:1")),) * 150)
    frames = tuple(frame(number, "4/4") for number in range(1, 151))
    made = (part("v", "Violin", "Vln.", staff),)
    return laid_out(
        Header("Title", **header), (),  # type: ignore[arg-type]  # fields
        (movement("first", "", frames, made), movement("second", "Second", frames, made)),
    )  # fmt: skip


def test_sheets_are_engraved_apart_and_joined_and_what_is_kept_is_not_engraved_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A PDF is joined of the two sheets and what stands around them, which is engraved first; pictures in one run."""
    engrave_with("", tmp_path, monkeypatch)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    pdf, png = frozenset(("pdf",)), frozenset(("png",))
    heads = sheet(*["h" * 7] * 64)
    pieces = [heads, sheet("a", "bb"), sheet("ccc")]
    made = [
        Engraving((EngravedFile("pdf", ".pdf", data),), (MissingGlyph("x", ""),), (f"odd {n % 2}",))
        for n, data in enumerate(pieces)
    ]
    for fresh, asked in ((False, 3), (False, 0), (True, 3)):
        engravers = Engravers(pdf, 2, fresh)
        presses = Presses(*made)
        engravers._press = presses  # type: ignore[assignment]  # it stands in
        with engravers:
            found = engravers.deliver(engravers.order(two_sheets()))
        assert isinstance(found, Engraving) and len(presses.asked) == asked
        assert [(file.format, file.suffix) for file in found.files] == [("pdf", ".pdf")]
        assert widths(found.files[0].data) == [1, 2, 3]
        assert (found.missing, found.remarks) == ((MissingGlyph("x", ""),), ("odd 1", "odd 0"))
    engravers = Engravers(png, 2)
    engravers._press = presses = Presses(Engraving((EngravedFile("png", "-1.png", b"1"),)))  # type: ignore[assignment]  # it stands in
    with engravers:
        engravers.deliver(engravers.order(two_sheets()))
    assert presses.asked == [(png, False)]


def test_lilypond_starts_for_the_first_sheet_while_its_text_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Though what stands around the sheets took the run that had been started."""
    begun = tmp_path / "begun"
    engrave_with(DRAWS, tmp_path, monkeypatch, f"echo >> {begun}\n")
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))

    def text(_: object) -> str:
        until(lambda: begun.exists() and len(begun.read_text()) == 2)
        return "c4"

    monkeypatch.setattr("cavata.lilypond.document.sheet_text", text)
    with Engravers(PDF, 1) as engravers:
        engravers.start()
        engravers.order(two_sheets())


def test_more_pages_than_heads_ask_for_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """64 heads are set at first; 65 pages of music ask for 128."""
    engrave_with("", tmp_path, monkeypatch)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    pieces = [sheet(*["h"] * 64), sheet(*["a"] * 64), sheet("bb"), sheet(*["h"] * 128)]
    engravers = Engravers(frozenset(("pdf",)), 1)
    engravers._press = Presses(*(Engraving((EngravedFile("pdf", ".pdf", data),)) for data in pieces))  # type: ignore[assignment]  # it stands in
    with engravers:
        found = engravers.deliver(engravers.order(two_sheets()))
    assert isinstance(found, Engraving) and widths(found.files[0].data) == [1] * 64 + [2]
    assert engravers._press.given == []  # type: ignore[attr-defined]  # of the stand-in


@pytest.mark.parametrize("place", [0, 1, 2])
def test_failure_of_one_piece_is_the_copys(place: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    engrave_with("", tmp_path, monkeypatch)
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path))
    failed = Failure(EngravingFault.ERROR, "no")
    pieces: list[Engraving | Failure] = [
        Engraving((EngravedFile("pdf", ".pdf", data),)) for data in (sheet("a"), sheet("b"), sheet(*["h"] * 32))
    ]
    pieces[place] = failed
    engravers = Engravers(frozenset(("pdf",)), 1)
    engravers._press = Presses(*pieces)  # type: ignore[assignment]  # it stands in
    with engravers:
        assert engravers.deliver(engravers.order(two_sheets())) is failed


def test_no_engraver_is_told_of_every_copy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_LILYPOND", "nowhere")
    with Engravers(frozenset(FORMATS), 1) as engravers:
        made = engravers.deliver(engravers.order(small()))
    assert isinstance(made, Failure) and made.fault is EngravingFault.MISSING


def sheet(*pages: str) -> bytes:
    """A PDF with a page for each text, which tells how wide it is."""
    writer = PdfWriter()
    for text in pages:
        page = writer.add_blank_page(100 + len(text), 200)
        stream = StreamObject()
        stream.set_data(b"0 0 m")
        page[NameObject("/Contents")] = writer._add_object(stream)
    made = BytesIO()
    writer.write(made)
    return made.getvalue()


def widths(pdf: bytes | None) -> list[int]:
    """What tells the pages apart."""
    assert pdf is not None
    return [int(page.mediabox.width) - 100 for page in PdfReader(BytesIO(pdf)).pages]


def test_pages_of_sheets_follow_the_title_page_and_those_thrown_away_are_gone() -> None:
    one, two = sheet("a", "bb", "ccc"), sheet("dddd", "eeeee")
    assert widths(joined_pages([(one, (0, 0)), (two, (0, 0))], sheet(*"12345"), 5, 0)) == [1, 2, 3, 4, 5]
    assert widths(joined_pages([(one, (0, 1)), (two, (1, 0))], sheet(*"12345"), 5, 0)) == [1, 2, 5]
    assert widths(joined_pages([(one, (1, 1))], sheet("x" * 9, *"12345"), 5, 0)) == [9, 2]
    assert joined_pages([(one, (0, 0)), (two, (0, 0))], sheet(*"1234"), 4, 0) is None
    assert widths(joined_pages([(one, (0, 0)), (two, (0, 1))], sheet(*"1234"), 4, 0)) == [1, 2, 3, 4]


def drawn(pdf: bytes | None) -> list[float]:
    """How far the music of each page was moved, in points."""
    assert pdf is not None
    contents = [page.get_contents() for page in PdfReader(BytesIO(pdf)).pages]
    drawing = [made.get_data() for made in contents if made is not None]
    return [float(data.split()[5]) for data in drawing if b" cm" in data]


def test_the_head_of_a_page_is_drawn_over_its_music() -> None:
    """The music moved, between saving and restoring what is set; then the head as one object."""
    made = joined_pages([(sheet("a", "bb"), (0, 0))], sheet("t", *"12"), 2, -5)
    assert made is not None
    pages = PdfReader(BytesIO(made)).pages
    contents = [page.get_contents() for page in pages]
    assert [None if content is None else content.get_data().split() for content in contents] == [
        b"0 0 m".split(), b"q 1 0 0 1 -14.1732 0 cm 0 0 m Q q /CavataHead Do Q".split(),
        b"q 1 0 0 1 0.0000 0 cm 0 0 m Q q /CavataHead Do Q".split(),
    ]  # fmt: skip
    for page in pages[1:]:
        resources = page["/Resources"].get_object()
        head = resources["/XObject"]["/CavataHead"].get_object()
        assert head.get_data().split() == b"0 0 m".split()
        assert (head["/Type"], head["/Subtype"]) == ("/XObject", "/Form")
        assert [float(edge) for edge in head["/BBox"]] == [0, 0, 101, 200]


def test_pages_on_the_left_are_moved_by_the_difference_of_the_margins() -> None:
    """5 mm are 14.1732 points, by arithmetic; the first page lies on the right, after a title page on the left."""
    one = sheet("a", "bb", "ccc")
    assert drawn(joined_pages([(one, (0, 0))], sheet(*"123"), 3, -5)) == [0, -14.1732, 0]
    assert drawn(joined_pages([(one, (0, 0))], sheet("t", *"123"), 3, -5)) == [-14.1732, 0, -14.1732]


def systems(*pages: int, height: float = 11.5) -> tuple[str, ...]:
    """What LilyPond reports of systems of four bars on these pages."""
    return (
        "layout 0 room 143",
        *(f"layout {n + 1} system {page} {4 * n} {4 * n + 4} {height}" for n, page in enumerate(pages)),
    )


def part_of(bars: int) -> WrittenScore:
    """A flute's part without a rest."""
    staff = WrittenStaff("treble", (bar(*line("D5:4 E5:4 F5:4 G5:4")),) * bars)
    frames = tuple(frame(number, "4/4") for number in range(1, bars + 1))
    return laid_out(
        Header("Title", kind=CopyKind.PART), (),
        (movement("first", "", frames, (part("flute", "Flute", "Fl.", staff),)),),
    )  # fmt: skip


def test_a_part_keeps_the_better_of_two_layouts_and_tells_what_is_left() -> None:
    """Without a rest the third page, and the first unless the part begins on the left, must be turned while playing."""
    page = part_of(160)
    first = Engraving((EngravedFile("pdf", ".pdf", b"1"),), (), (*systems(*[1 + n // 10 for n in range(40)]), "odd"))
    on_the_left = Engraving((), (), (*systems(*[2 + n // 10 for n in range(40)]), "late"))
    same = Engraving((), (), (*systems(*[1 + n // 10 for n in range(40)]), "late"))
    asked: list[WrittenScore] = []
    for again, best, turns in (
        (on_the_left, "late", "bar 80 of `first`"),
        (same, "odd", "bar 40 of `first`, bar 120 of `first`"),
        (Engraving((), (), ("late",)), "odd", "bar 40 of `first`, bar 120 of `first`"),
    ):
        bag = Diagnostics()

        def engrave(planned: WrittenScore, made: Engraving = again) -> Engraving:
            asked.append(planned)
            return made

        assert part_engraved(page, first, engrave, bag).remarks == (best,)
        (told,) = bag.ordered()
        assert (told.code, told.message) == ("O122", f"`flute` must turn pages while playing: after {turns}")
    assert [planned.first_page for planned in asked] == [2, 2, 2]
    ordered: list[object] = []
    begin_again(page, first, ordered.append)
    assert ordered == asked[:1]


def test_a_part_that_is_good_or_failed_is_given_back_as_it_is() -> None:
    bag = Diagnostics()
    page, failed, plain = part_of(40), Failure(EngravingFault.ERROR, "no"), Engraving((), (), ("odd",))
    good = Engraving((), (), (*systems(*[1] * 10), "odd"))
    assert layout_of(plain) is None and part_engraved(page, plain, lambda _: failed, bag) is plain
    assert part_engraved(page, failed, lambda _: plain, bag) is failed
    assert part_engraved(page, good, lambda _: failed, bag) == plain
    long = part_of(160)
    first = Engraving((), (), systems(*[1 + n // 10 for n in range(40)]))
    assert part_engraved(long, first, lambda _: failed, bag) is failed
    assert not bag.ordered()
    ordered: list[object] = []
    for made in (failed, plain, good):
        begin_again(page, made, ordered.append)
    assert ordered == []


# ---------------------------------------------------------------- what is reported


@pytest.mark.parametrize("fault", list(EngravingFault))
def test_failure_is_one_message_and_no_file(fault: EngravingFault) -> None:
    bag = Diagnostics()
    assert list(engraved_files(Failure(fault, "it failed", "get it"), "piece", bag)) == []
    (found,) = bag.ordered()
    codes = {
        EngravingFault.MISSING: "O201",
        EngravingFault.TIMEOUT: "O202",
        EngravingFault.KILLED: "O203",
        EngravingFault.ERROR: "O204",
        EngravingFault.DISK: "O205",
    }
    assert (found.code, found.message) == (codes[fault], "it failed")
    assert found.label == ("no pages were written" if fault is EngravingFault.MISSING else "nothing was written")
    assert (found.cure == "get it") is (fault is EngravingFault.MISSING) and found.cure


@pytest.mark.parametrize("count", [1, 2, 12, 13, 27])
def test_missing_letters_are_listed_up_to_a_dozen(count: int) -> None:
    """Hebrew letters from U+05D0 on (Unicode 15)."""
    bag = Diagnostics()
    letters = [chr(0x5D0 + number) for number in range(count)]
    missing = tuple(MissingGlyph(letter, "") for letter in letters)
    files = (EngravedFile("pdf", ".pdf", b"1"), EngravedFile("png", "-1.png", b"2"))
    made = list(engraved_files(Engraving(files, missing, ("odd",)), "piece", bag))
    assert made == [("piece.pdf", b"1"), ("piece-1.png", b"2")]
    (found,) = bag.ordered()
    several = len(letters) > 1
    shown = " ".join(letters[:12])
    more = f" and {len(letters) - 12} more" if len(letters) > 12 else ""
    code = "" if several else " (U+05D0)"
    assert found.message == f"no font here has the Hebrew character{'s' if several else ''} `{shown}`{more}{code}"
    assert found.label == ("they are missing on the page" if several else "it is missing on the page")


def test_remarks_are_told_only_to_who_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    for trace, told in (("", []), ("1", ["the engraver remarks: odd", "the engraver remarks: late"])):
        monkeypatch.setenv("CAVATA_TRACE", trace)
        bag = Diagnostics()
        list(engraved_files(Engraving((), (), ("odd", "late")), "piece", bag))
        assert sorted(found.message for found in bag.ordered()) == sorted(told)
