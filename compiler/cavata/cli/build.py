"""`cavata build`: from a script to score, MusicXML, MIDI and sound. Everything is made before anything is written."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from cavata.cli.library import add_library_to
from cavata.cli.progress import Progress
from cavata.cli.scripts import find_script
from cavata.cli.sounding import SOUNDS, sounds
from cavata.cli.speaking import tell
from cavata.diagnostics.record import Diagnostics
from cavata.edition.copies import Wanted, copies
from cavata.edition.proof import SUFFIX as PROOF
from cavata.edition.proof import proof_copy
from cavata.engrave.engrave import engrave
from cavata.engrave.engraving import Engraving, Failure, Fault
from cavata.engrave.files import Content, write_whole
from cavata.evaluate.plan import Plan
from cavata.names.paper import PAPERS, Paper, find_paper
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script, written
from cavata.place.score import Score

FORMATS = ("pdf", "svg", "png", "musicxml", "midi", "wav", "mp3", "ly")
USUAL = "pdf,musicxml,midi"

_FAULT_CODES = {
    Fault.MISSING: "O201", Fault.TIMEOUT: "O202", Fault.KILLED: "O203", Fault.ERROR: "O204", Fault.DISK: "O205",
}  # fmt: skip
_FAULT_CURES = {
    Fault.TIMEOUT: "build one movement at a time with `--movement`",
    Fault.KILLED: "build one movement at a time with `--movement`",
    Fault.ERROR: "please report it with your script",
    Fault.DISK: "make room in the folder for temporary files",
}
"""What the user of a command can do; a missing program has its own advice."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "build",
        help="compile a script to a score, MusicXML, MIDI and sound",
        description=(
            "Compile a script. The files are called after the script: lantern.pdf, lantern.mid, and "
            "lantern-MOVEMENT.musicxml for each movement. They are written whole or not at all; "
            "what was there before stays as it is when anything goes wrong. Their paths are printed, one a line."
        ),
    )
    command.add_argument("script", metavar="FILE-OR-FOLDER", help="a script, or a folder that holds one piece")
    command.add_argument(
        "--to", metavar="FORMATS", default=USUAL, type=_formats,
        help=f"what to write, of {', '.join(FORMATS)}; commas between (default: {USUAL})",
    )  # fmt: skip
    command.add_argument("--movement", metavar="ID", help="only this movement, by its name in the script")
    which = command.add_mutually_exclusive_group()
    which.add_argument(
        "--parts", action="store_true", help="besides the score a part for each player, as lantern-horn1.pdf"
    )
    which.add_argument(
        "--part", metavar="NAME", action="append", default=[],
        help="only the part of this name in the script, and no score; may be given several times",
    )  # fmt: skip
    command.add_argument(
        "--no-cues", dest="cues", action="store_false",
        help="parts without cues, the small notes of others before long-awaited entries",
    )  # fmt: skip
    command.add_argument("--out", metavar="FOLDER", help="where to write (default: beside the script)")
    command.add_argument(
        "--paper", metavar="SIZE", type=_paper,
        help=f"set for this paper, whatever the script says: {', '.join(PAPERS)}, or `\"A3 landscape\"`",
    )  # fmt: skip
    pitch = command.add_mutually_exclusive_group()
    pitch.add_argument("--concert", dest="concert", action="store_true", default=None, help="the score as it sounds")
    pitch.add_argument("--transposed", dest="concert", action="store_false", help="as the players read it")
    command.add_argument(
        "--proof", action="store_true",
        help="a copy for proofreading, FILE-proof: letters, colours, every bar's number, lines of the script",
    )  # fmt: skip
    add_library_to(command)
    command.add_argument("--json", action="store_true", help="messages and paths as one JSON document")
    command.set_defaults(run=run)


def _formats(text: str) -> tuple[str, ...]:
    wanted = tuple(dict.fromkeys(part.strip().lower() for part in text.split(",") if part.strip()))
    unknown = [part for part in wanted if part not in FORMATS]
    if unknown or not wanted:
        raise argparse.ArgumentTypeError(f"there is no format `{', '.join(unknown)}`; formats are {', '.join(FORMATS)}")
    return wanted


def _paper(words: str) -> Paper:
    found = find_paper(words)
    if found is None:
        raise argparse.ArgumentTypeError(f"there is no paper `{words}`; papers are {', '.join(PAPERS)}")
    return found


def run(arguments: argparse.Namespace) -> int:
    """Build; 1 if anything is wrong or cannot be made."""
    bag = Diagnostics()
    path = find_script(arguments.script, bag)
    paths: list[str] = []
    if path is not None:
        progress = Progress(sys.stderr)
        progress.say("reading the script")
        compiled = compile_script(path, str(path), library=arguments.library)
        bag = compiled.bag
        if compiled.score is not None:
            folder = Path(arguments.out) if arguments.out else path.parent
            score = _chosen(compiled.score, arguments.movement, bag)
            if score is not None:
                score = _as_asked(score, compiled.plan if arguments.proof else None, arguments)
            if score is not None:
                stem = path.stem if arguments.movement is None else f"{path.stem}-{arguments.movement}"
                wanted = Wanted(not arguments.part, None if arguments.parts else tuple(arguments.part), arguments.cues)
                files = _made(score, wanted, stem, path.stem, arguments.to, bag, progress)
                paths = _write(files, folder, bag) if not bag.has_errors else []
        progress.done()
    tell(bag.ordered(), paths, arguments.json)
    return int(bag.has_errors)


def _chosen(score: Score, movement: str | None, bag: Diagnostics) -> Score | None:
    """The score, or one movement of it."""
    if movement is None:
        if not score.movements:
            bag.error(
                "O107", None, "the script has no movement to build", "",
                "add a movement, or build the piece that uses it",
            )
            return None
        return score
    found = tuple(m for m in score.movements if m.name == movement)
    if not found:
        names = ", ".join(f"`{m.name}`" for m in score.movements)
        bag.error("O108", None, f"there is no movement `{movement}`", "", f"movements are {names}")
        return None
    return replace(score, movements=found)


def _as_asked(score: Score, proof: Plan | None, arguments: argparse.Namespace) -> Score:
    """The score with what the options change of its header; `proof` is the plan if a proof copy is wanted."""
    header = score.header
    if arguments.paper is not None:
        header = replace(header, paper=arguments.paper)
    if arguments.concert is not None:
        header = replace(header, concert_score=arguments.concert)
    if arguments.movement is not None:
        header = replace(header, title_page=False)
    score = replace(score, header=header)
    return score if proof is None else proof_copy(score, proof)


def _made(
    score: Score, wanted: Wanted, stem: str, script_stem: str, formats: tuple[str, ...], bag: Diagnostics,
    progress: Progress,
) -> dict[str, Content]:  # fmt: skip
    """Every file by its name."""
    files: dict[str, Content] = {}
    if wanted.score and SOUNDS.union(("midi",)).intersection(formats):
        files.update(_heard(score, stem, formats, bag, progress))
    if set(formats) - SOUNDS - {"midi"}:
        for copy in copies(score, wanted, bag):
            progress.say("notating")
            suffix = copy.suffix + (PROOF if score.header.proof else "")
            files.update(_notated(written(copy.score), suffix, stem, script_stem, formats, bag, progress))
    return files


def _heard(
    score: Score, stem: str, formats: tuple[str, ...], bag: Diagnostics, progress: Progress
) -> Iterator[tuple[str, Content]]:
    from cavata.emit.midi import midi_bytes

    progress.say("writing the MIDI file")
    midi = midi_bytes(score)
    if "midi" in formats:
        yield f"{stem}.mid", midi
    if SOUNDS.intersection(formats):
        yield from sounds(midi, stem, formats, bag, progress.say)


def _notated(
    page: WrittenScore, suffix: str, stem: str, script_stem: str, formats: tuple[str, ...], bag: Diagnostics,
    progress: Progress,
) -> Iterator[tuple[str, bytes]]:  # fmt: skip
    if "musicxml" in formats:
        from cavata.emit.musicxml import musicxml_bytes

        for movement in page.movements:
            progress.say(f"writing MusicXML of {movement.name}")
            yield f"{script_stem}-{movement.name}{suffix}.musicxml", musicxml_bytes(page, movement.name)
    pictures = frozenset(formats) & {"pdf", "svg", "png"}
    if pictures or "ly" in formats:
        from cavata.emit.lilypond import lilypond_text

        progress.say("setting the score")
        text = lilypond_text(page)
        if "ly" in formats:
            yield f"{stem}{suffix}.ly", text.encode("utf-8")
        if pictures:
            engraved = engrave(text, pictures, progress=lambda phase: progress.say(phase.value))
            yield from _engraved(engraved, f"{stem}{suffix}", bag)


def _engraved(engraved: Engraving | Failure, stem: str, bag: Diagnostics) -> Iterator[tuple[str, bytes]]:
    if isinstance(engraved, Failure):
        cure = _FAULT_CURES.get(engraved.fault, engraved.advice)
        bag.error(_FAULT_CODES[engraved.fault], None, engraved.message, "nothing was written", cure)
        return
    for glyph in engraved.missing:
        bag.warning(
            "O206", None, f"no font here has the character `{glyph.character}` ({glyph.code_point})",
            "it is missing on the page",
            "install a font that has it, for Chinese, Japanese and Korean `fonts-noto-cjk`",
        )
    for remark in engraved.remarks:
        bag.warning("O207", None, f"the engraver remarks: {remark}")
    for file in engraved.files:
        yield f"{stem}{file.suffix}", file.data


def _write(files: dict[str, Content], folder: Path, bag: Diagnostics) -> list[str]:
    """Write all files, each whole; returns their paths."""
    paths: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            write_whole(folder / name, data)
            paths.append(str(folder / name))
    except OSError as error:
        bag.error(
            "O109", None, f"cannot write into `{folder}`: {error.strerror or error}", "",
            "look at the folder's rights and at the room on the disk",
        )
    return paths
