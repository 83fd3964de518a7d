"""`cavata build`: from a script to score, MusicXML, MIDI and sound. Everything is made before anything is written."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from cavata.cli.arguments import add_library_to, find_script, formats, number
from cavata.cli.engraved import engraved_files
from cavata.cli.speaking import Progress, tell
from cavata.diagnostics import Diagnostics
from cavata.edition.copies import Wanted, copies
from cavata.edition.proof import SUFFIX as PROOF
from cavata.edition.proof import proof_copy, report_bare_entries
from cavata.evaluate.plan import Plan
from cavata.files import Content, write_together
from cavata.lilypond.copies import Engravers, Ordered
from cavata.lilypond.part_pages import begin_again, part_engraved
from cavata.lilypond.press import AT_ONCE, usual_at_once
from cavata.names.paper import PAPERS, Paper, find_paper
from cavata.notate.page import READABLE, millimetres, readable_paper
from cavata.notate.written import WrittenScore
from cavata.pipeline import compile_script, written
from cavata.record import replace
from cavata.score.score import CopyKind, Score
from cavata.sound.soundfont import AudioFault, Lack

FORMATS = ("pdf", "svg", "png", "musicxml", "midi", "wav", "mp3", "ly")
USUAL = "pdf,musicxml,midi"
SOUNDS = frozenset(["wav", "mp3"])
"""What can be listened to."""

_FAULTS = {
    Lack.EXTRA: (
        "O140", "there is no synthesiser here: {}",
        'install it with `pip install midirenderer pretty_midi soundfile`; MIDI and pages need none',
    ),
    Lack.SOUNDFONT: (
        "O141", "there are no sounds to play with: {}",
        "give the path of an SF2 file in `CAVATA_SOUNDFONT`, or unset it to play with the one that `pretty_midi` "
        "brings",
    ),
    Lack.ROOM: (
        "O142", "the sound cannot be kept: {}", "make room in the folder for temporary files",
    ),
}  # fmt: skip


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
        "--to", metavar="FORMATS", default=USUAL, type=formats(FORMATS),
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
    which.add_argument("--short", action="store_true", help="only a short score on four to six staves, FILE-short")
    which.add_argument(
        "--rehearsal", metavar="PART", action="append", default=[],
        help="only a copy with this part above the rest reduced for two hands, FILE-rehearsal-PART",
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
    command.add_argument(
        "--at-once", type=number(1, 64), metavar="N",
        help=f"engrave so many sheets side by side (default: {AT_ONCE}, else as many as there are processors)",
    )  # fmt: skip
    command.add_argument("--fresh", action="store_true", help="engrave everything anew, whatever earlier builds kept")
    add_library_to(command)
    command.add_argument("--json", action="store_true", help="messages and paths as one JSON document")
    command.set_defaults(run=run)


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
                if arguments.proof:
                    report_bare_entries(score, bag)
                stem = path.stem if arguments.movement is None else f"{path.stem}-{arguments.movement}"
                wanted = _wanted(arguments)
                files = _made(score, wanted, stem, path.stem, arguments, bag, progress)
                paths = _write(files, folder, bag) if not bag.has_errors else []
        progress.done()
    tell(bag.ordered(), paths, arguments.json)
    return int(bag.has_errors)


def _wanted(arguments: argparse.Namespace) -> Wanted:
    """The copies that the options ask for."""
    whole = not (arguments.part or arguments.short or arguments.rehearsal)
    parts = None if arguments.parts else tuple(arguments.part)
    return Wanted(whole, parts, arguments.cues, arguments.short, tuple(arguments.rehearsal))


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
    score: Score, wanted: Wanted, stem: str, script_stem: str, arguments: argparse.Namespace, bag: Diagnostics,
    progress: Progress,
) -> dict[str, Content]:  # fmt: skip
    """Every file by its name. While LilyPond runs, the other files are made."""
    files: dict[str, Content] = {}
    formats: tuple[str, ...] = arguments.to
    pictures = frozenset(formats) & {"pdf", "svg", "png"}
    say = progress.say if progress.shows else None
    with Engravers(pictures, arguments.at_once or usual_at_once(), arguments.fresh, say) as engravers:
        pages: list[tuple[WrittenScore, str, Ordered | None]] = []
        for copy in copies(score, wanted, bag) if set(formats) - SOUNDS - {"midi"} else ():
            progress.say("notating")
            suffix = copy.suffix + (PROOF if score.header.proof else "")
            page = written(copy.score)
            if pictures:
                report_small_staves(page, bag)
            pages.append((page, suffix, engravers.order(page) if pictures else None))
        if wanted.score and SOUNDS.union(("midi",)).intersection(formats):
            files.update(_heard(score, stem, formats, bag, progress))
        for page, _, ordered in pages:
            if ordered is not None and page.header.kind is CopyKind.PART:
                begin_again(page, engravers.deliver(ordered), engravers.order)
        for page, suffix, ordered in pages:
            files.update(notated(page, suffix, stem, script_stem, formats, progress))
            if ordered is not None and not bag.has_errors:
                made = engravers.deliver(ordered)
                if page.header.kind is CopyKind.PART:
                    made = part_engraved(page, made, lambda planned: engravers.deliver(engravers.order(planned)), bag)
                files.update(engraved_files(made, f"{stem}{suffix}", bag))
    return files


def _heard(
    score: Score, stem: str, formats: tuple[str, ...], bag: Diagnostics, progress: Progress
) -> Iterator[tuple[str, Content]]:
    from cavata.sound.midi import midi_bytes

    progress.say("writing the MIDI file")
    midi = midi_bytes(score)
    if "midi" in formats:
        yield f"{stem}.mid", midi
    if SOUNDS.intersection(formats):
        yield from sounds(midi, stem, formats, bag, progress.say)


def notated(
    page: WrittenScore, suffix: str, stem: str, script_stem: str, formats: tuple[str, ...], progress: Progress
) -> Iterator[tuple[str, bytes]]:
    """The files of one copy of the score that need no engraver, by their names."""
    if "musicxml" in formats:
        from cavata.musicxml.document import musicxml_bytes

        for movement in page.movements:
            progress.say(f"writing MusicXML of {movement.name}")
            yield f"{script_stem}-{movement.name}{suffix}.musicxml", musicxml_bytes(page, movement.name)
    if "ly" in formats:
        from cavata.lilypond.document import lilypond_text

        progress.say("setting the score")
        yield f"{stem}{suffix}.ly", lilypond_text(page).encode("utf-8")


def sounds(
    midi: bytes, stem: str, formats: Sequence[str], bag: Diagnostics, say: Callable[[str], None]
) -> Iterator[tuple[str, Content]]:
    """Each sound that is wanted, by the name of its file; the WAV file piece by piece, as it may be long."""
    try:
        yield from _rendered(midi, stem, formats, say)
    except AudioFault as fault:
        code, message, cure = _FAULTS[fault.lack]
        bag.error(code, None, message.format(fault), "nothing was written", cure)


def _rendered(
    midi: bytes, stem: str, formats: Sequence[str], say: Callable[[str], None]
) -> Iterator[tuple[str, Content]]:
    from cavata.sound.audio import Rendering, mp3_of

    sound = Rendering(midi, watch=lambda share: say(f"playing it, {share:.0%}"))
    if "mp3" in formats:
        say("writing the MP3 file")
        yield f"{stem}.mp3", mp3_of(sound)
    if "wav" in formats:
        yield f"{stem}.wav", sound.wav()


def report_small_staves(page: WrittenScore, bag: Diagnostics) -> None:
    """Warn of a score whose staves are smaller than can be read at a desk, and name a paper on which they are not."""
    staves, size = page.page.staves, page.page.staff_size
    if size >= READABLE:
        return
    fitting = readable_paper(staves)
    bag.warning(
        "O130", None,
        f"{staves} staves on {page.header.paper.name} are {float(millimetres(size)):.1f} mm high each",
        f"from {float(millimetres(READABLE)):.1f} mm on they can be read at a desk",
        f"say `paper {fitting}` under `piece`, or build with `--paper {fitting}`" if fitting else
        "let players of a kind share a staff, with `staff NAME = PART, PART`",
    )  # fmt: skip


def _write(files: dict[str, Content], folder: Path, bag: Diagnostics) -> list[str]:
    """Write all files, each whole; returns their paths."""
    paths: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_together({folder / name: data for name, data in files.items()})
        paths = [str(folder / name) for name in files]
    except OSError as error:
        bag.error(
            "O109", None, f"cannot write into `{folder}`: {error.strerror or error}", "",
            "look at the folder's rights and at the room on the disk",
        )
    return paths
