"""Engraving in a child process: what comes out, and what happens when something goes wrong."""

from __future__ import annotations

import os
import stat
import subprocess
import time
from pathlib import Path

import pytest
from emit_lilypond_scores import bar, cadenza_between, frame, line, movement, part, piano_with_drum, quintet_and_soloist
from engraving import engraved_together
from patience import until

from cavata.child import ChildLimits
from cavata.files import write_whole
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import LONGEST_UNCOLLECTED, OVERRIDE, engrave, find_lilypond, missing_glyphs, undated
from cavata.lilypond.engraving import Engraving, EngravingFault, Failure, MissingGlyph, Phase
from cavata.notate.paper.layout import laid_out
from cavata.notate.written import WrittenStaff
from cavata.score.score import Header

pytestmark = pytest.mark.slow

PDF = frozenset({"pdf"})
ONE_NOTE = '\\version "2.24.0" { c4 }'
ONE_BAR = movement(
    "first", "", (frame(1, "4/4"),), (part("v", "V", "V", WrittenStaff("treble", (bar(*line("C5:1")),))),)
)
ENDLESS = '\\version "2.24.0" #(let loop () (loop))'


def engraved(ly: str, *formats: str) -> Engraving:
    """The engraving of a text that must succeed."""
    result = engrave(ly, frozenset(formats))
    assert isinstance(result, Engraving), result
    return result


def test_emitted_texts_engrave_without_remark(tmp_path: Path) -> None:
    """LilyPond itself checks every bar's length, every beam, slur and hairpin: it has nothing to say."""
    scores = quintet_and_soloist(), piano_with_drum(), cadenza_between()
    engraved_together(map(lilypond_text, scores), tmp_path)


def test_wrong_bar_would_be_remarked() -> None:
    """The check above can fail: LilyPond notices a bar that is too long."""
    staff = WrittenStaff("treble", (bar(*line("C5:1 C5:4")), bar(*line("C5:1"))))
    wrong = movement("first", "", (frame(1, "4/4"), frame(2, "4/4")), (part("v", "V", "V", staff),))
    assert any(
        "barcheck" in said for said in engraved(lilypond_text(laid_out(Header("T"), (), (wrong,))), "pdf").remarks
    )


def test_only_forced_accidentals_are_printed() -> None:
    """LilyPond counts what it draws: a sharp without a mark stays undrawn, a forced natural is drawn."""
    staff = WrittenStaff(
        "treble", (bar(*line("F#4:4 F#4!:4 F4!:4 C#5?:4"), key=0), bar(*line("Bb4:4 B4:4 Eb5:4 G##4!:4")))
    )
    music = movement("first", "", (frame(1, "4/4"), frame(2, "4/4")), (part("v", "V", "V", staff),))
    text = lilypond_text(laid_out(Header("T"), (), (music,)))
    count = (
        '#(define drawn 0) #(define (counted g) (set! drawn (1+ drawn)) (ly:warning "accidental ~a" drawn))\n'
        "\\layout { \\context { \\Voice \\override Accidental.after-line-breaking = #counted } \\context { \\Staff "
        "\\override Accidental.after-line-breaking = #counted "
        "\\override AccidentalCautionary.after-line-breaking = #counted } }\n"
    )
    remarks = engraved(text.replace("\\score", count + "\\score", 1), "pdf").remarks
    assert len([said for said in remarks if "accidental" in said]) == 4


@pytest.mark.parametrize(("length", "collections"), [(0, 0), (LONGEST_UNCOLLECTED, 1)])
def test_lilypond_collects_garbage_only_for_long_texts(length: int, collections: int) -> None:
    """Guile counts its collections; `gc` asks for one (GNU Guile Reference Manual, "Garbage Collection Functions")."""
    count = "(assq-ref (gc-stats) 'gc-times)"
    asked = f'#(let ((before {count})) (gc) (ly:warning "collected ~a" (- {count} before)))'
    text = "\n".join((ONE_NOTE, asked, "%" * length))
    assert engraved(text, "pdf").remarks == (f"collected {collections}",)


def test_same_text_gives_the_same_bytes() -> None:
    text = lilypond_text(laid_out(Header("Watch"), (), (ONE_BAR,)))
    first = engraved(text, "pdf", "svg", "png")
    time.sleep(1.1)
    assert first == engraved(text, "pdf", "svg", "png")


def test_picture_does_not_tell_what_was_drawn_before_it() -> None:
    """So that a picture that was kept and one that is drawn among others are the same."""
    bare = "oddHeaderMarkup = ##f evenHeaderMarkup = ##f oddFooterMarkup = ##f evenFooterMarkup = ##f"
    whole = f'\\version "2.24.0"\n\\paper {{ {bare} }}\n' + 2 * '\\bookpart { \\markup "a" }\n'
    first, second = engraved(whole, "svg").files
    assert first.data == second.data


def test_formats_come_as_asked_with_page_numbers_when_several() -> None:
    result = engraved(ONE_NOTE, "pdf", "svg", "png")
    assert [file.suffix for file in result.files] == [".pdf", ".svg", ".png"]
    assert result.of("pdf")[0].data.startswith(b"%PDF-") and result.of("png")[0].data.startswith(b"\x89PNG")
    pages = engraved('\\version "2.24.0" { ' + "c1 \\pageBreak " * 11 + "c1 }", "svg", "pdf").files
    assert [page.suffix for page in pages] == [".pdf", *(f"-{number}.svg" for number in range(1, 13))]
    assert len({page.data for page in pages}) > 2


def test_missing_glyphs_are_named() -> None:
    """U+F1234 is for private use (Unicode 15, 23.5): no font has a letter there."""
    header = Header("Watch \U000f1234 \U000f1234")
    result = engraved(lilypond_text(laid_out(header, (), (ONE_BAR,))), "pdf")
    assert [glyph.code_point for glyph in result.missing] == ["U+F1234"]


def test_missing_glyphs_are_read_from_the_messages() -> None:
    said = "x.ly:1:2: warning: no glyph for character U+65E5 in font `/fonts/C059-Roman.otf'\nwarning: else\n"
    assert missing_glyphs(said * 2) == (MissingGlyph("日", "/fonts/C059-Roman.otf"),)


def test_endless_work_is_stopped_by_the_clock() -> None:
    """If the clock did not, nothing would: it has a day of processor time."""
    result = engrave(ENDLESS, PDF, ChildLimits(seconds=1, cpu_seconds=86_400))
    assert isinstance(result, Failure) and result.fault is EngravingFault.TIMEOUT


@pytest.mark.skipif(os.name != "posix", reason="limits are set on POSIX systems")
def test_endless_work_is_stopped_by_its_processor_time() -> None:
    result = engrave(ENDLESS, PDF, ChildLimits(seconds=600, cpu_seconds=1))
    assert isinstance(result, Failure) and result.fault is EngravingFault.KILLED


@pytest.mark.skipif(os.name != "posix", reason="limits are set on POSIX systems")
def test_endless_memory_is_refused() -> None:
    hungry = '\\version "2.24.0" #(let loop ((x (list))) (loop (cons (make-vector 100000 1) x)))'
    result = engrave(hungry, PDF, ChildLimits(seconds=600, memory=400 << 20))
    assert isinstance(result, Failure) and result.fault is EngravingFault.KILLED


@pytest.mark.skipif(os.name != "posix", reason="limits are set on POSIX systems")
def test_file_beyond_its_limit_is_no_success() -> None:
    result = engrave(lilypond_text(quintet_and_soloist()), PDF, ChildLimits(file_size=2000))
    assert isinstance(result, Failure) and result.fault is EngravingFault.DISK


def test_error_says_what_lilypond_said() -> None:
    result = engrave('\\version "2.24.0" { c4 \\foo }', PDF)
    assert isinstance(result, Failure) and result.fault is EngravingFault.ERROR
    assert "\\foo" in result.message


def test_nothing_drawn_is_no_success() -> None:
    assert isinstance(engrave('\\version "2.24.0"', PDF), Failure)


def test_missing_lilypond_says_how_to_get_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(OVERRIDE, "no-such-program")
    result = engrave(ONE_NOTE, PDF)
    assert isinstance(result, Failure) and result.fault is EngravingFault.MISSING
    assert "pip install" in result.advice
    monkeypatch.delenv(OVERRIDE)
    monkeypatch.setattr("cavata.lilypond.engrave._installed", lambda: "")
    monkeypatch.setenv("PATH", "")
    result = engrave(ONE_NOTE, PDF)
    assert isinstance(result, Failure) and result.fault is EngravingFault.MISSING


@pytest.mark.skipif(os.name != "posix", reason="the stand-in is a shell script")
@pytest.mark.parametrize(("version", "good"), [("2.24.3", True), ("2.25.1", True), ("2.22.2", False), ("what", False)])
def test_lilypond_on_the_path_must_be_new_enough(
    version: str, good: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "lilypond"
    program.write_text(f"#!/bin/sh\necho 'GNU LilyPond {version} (running Guile 2.2)'\n")
    program.chmod(0o755)
    monkeypatch.delenv(OVERRIDE, raising=False)
    monkeypatch.setattr("cavata.lilypond.engrave._installed", lambda: "")
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}/usr/bin{os.pathsep}/bin")
    found = find_lilypond()
    assert found == str(program) if good else isinstance(found, Failure)


def test_progress_comes_in_order() -> None:
    phases: list[Phase] = []
    engrave(lilypond_text(piano_with_drum()), PDF, progress=phases.append)
    assert phases == list(Phase)


@pytest.mark.skipif(os.name != "posix", reason="process groups are of POSIX systems")
def test_interrupt_leaves_no_process_and_no_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[subprocess.Popen[bytes]] = []

    class Watched(subprocess.Popen):  # type: ignore[type-arg]  # bytes, as the caller uses it
        def __init__(self, *args: object, **kwargs: object) -> None:
            super().__init__(*args, **kwargs)  # type: ignore[call-overload]  # passed on as they come
            started.append(self)

    def interrupt(phase: Phase) -> None:
        if phase is Phase.READING:
            raise KeyboardInterrupt

    monkeypatch.setattr(subprocess, "Popen", Watched)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(KeyboardInterrupt):
        engrave(ENDLESS, PDF, progress=interrupt)

    def gone() -> bool:
        try:
            os.killpg(started[0].pid, 0)
        except ProcessLookupError:
            return True
        return False

    until(gone)
    assert list(tmp_path.iterdir()) == []


def test_date_is_taken_out_without_moving_anything() -> None:
    pdf = b"<< /CreationDate (D:20261125080000Z) >>"
    assert undated(pdf) == b"<< /CreationDate (D:20000101000000Z) >>"


def test_file_is_written_whole_with_usual_rights(tmp_path: Path) -> None:
    path = tmp_path / "three-watches.pdf"
    path.write_bytes(b"old")
    rights = stat.S_IMODE(path.stat().st_mode)
    write_whole(path, b"new")
    assert path.read_bytes() == b"new" and stat.S_IMODE(path.stat().st_mode) == rights
    assert [one.name for one in tmp_path.iterdir()] == ["three-watches.pdf"]


def test_file_that_cannot_be_written_leaves_the_old_one(tmp_path: Path) -> None:
    folder = tmp_path / "three-watches.pdf"
    folder.mkdir()
    with pytest.raises(OSError):
        write_whole(folder, b"new")
    assert [one.name for one in tmp_path.iterdir()] == ["three-watches.pdf"]
