"""`cavata guide`: a page for those whom a piece honors and for the audience."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from cavata.cli.arguments import MESSAGES_AND_PATHS, add_engraver_to, add_form_to
from cavata.cli.speaking import Progress, tell
from cavata.cli.telling import ToldPiece, add_piece_to, piece_of, write_all
from cavata.diagnostics import Diagnostics
from cavata.lilypond.engraving import Failure
from cavata.lilypond.reports import report_missing


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "guide",
        help="write a page for those whom the piece honors, and for the audience",
        description=(
            "Write a page in plain words: the piece, its forces and length; each name spelled out, letter over note; "
            "how each theme came from the names, step by step, each with a short example to see and, with the extra "
            "`audio`, to hear; in the order of first hearing. The page holds everything it needs."
        ),
    )
    add_piece_to(command)
    command.add_argument(
        "--language", metavar="CODE", type=_language, default="en", help="en, de, es, fr or it (default: en)"
    )
    command.add_argument(
        "--talk", metavar="FOLDER", type=Path,
        help="instead of the page write material for a talk: numbered pictures, sounds and sentences, and notes",
    )
    add_engraver_to(command)
    command.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the script)")
    add_form_to(command, MESSAGES_AND_PATHS)
    command.set_defaults(run=run)


def _language(text: str) -> str:
    from cavata.tell.language import languages

    if text not in languages():
        raise argparse.ArgumentTypeError(f"there is no language `{text}`; there are {', '.join(languages())}")
    return text


def run(arguments: argparse.Namespace) -> int:
    """Write; 1 if the piece is not there, does not compile, or the page cannot be made."""
    progress = Progress(sys.stderr)
    told, bag = piece_of(arguments, progress)
    paths: list[str] = []
    if told is not None:
        files = made(told, arguments, bag, progress)
        progress.done()
        paths = write_all(files, bag) if not bag.has_errors else []
    tell(bag.ordered(), paths)
    return int(bag.has_errors)


def made(told: ToldPiece, arguments: argparse.Namespace, bag: Diagnostics, progress: Progress) -> dict[Path, bytes]:
    """The files of the guide or of the talk, before any is written."""
    from cavata.draft.engravers import Engraver, engraver_for, report_draft
    from cavata.tell.guide.guide import guide_of
    from cavata.tell.guide.html import guide_html
    from cavata.tell.guide.pdf import guide_pdf
    from cavata.tell.guide.pictures import examples_of, media_of
    from cavata.tell.guide.tagged_pdf import can_be_tagged, tagged_pdf
    from cavata.tell.guide.talk import talk_files, talk_of
    from cavata.tell.guide.words import Telling
    from cavata.tell.language import language, named_in
    from cavata.tell.map.map import map_of
    from cavata.tell.map.svg import IN_A_GUIDE, map_svg

    engraver = engraver_for(arguments.engraver)
    if isinstance(engraver, Failure):
        bag.error("O405", None, f"the guide was not engraved: {engraver.message}", cure=engraver.advice)
        return {}
    progress.say("gathering what is told")
    words = language(arguments.language)
    score = named_in(told.score, words)
    guide = guide_of(told.program, told.plan, score, told.tree)
    telling = Telling(guide, words)
    examples = examples_of(telling.chapters(), engraver)
    media = media_of(examples, progress.say)
    if isinstance(media, Failure):
        bag.error("O405", None, f"the guide was not engraved: {media.message}", cure=media.advice)
        return {}
    if engraver is Engraver.VEROVIO:
        report_draft(bag)
    if arguments.talk is not None:
        files = talk_files(guide, telling, talk_of(guide, telling), examples, media)
        return {arguments.talk / name: data for name, data in files}
    progress.say("setting the pages")
    drawn = map_svg(map_of(told.program, told.plan, score, guide.index), None, telling.language, IN_A_GUIDE)
    pages = (
        tagged_pdf(guide, telling, examples, media, drawn, engraver)
        if engraver is Engraver.VEROVIO or can_be_tagged()
        else guide_pdf(guide, telling, examples, progress.say)
    )
    if isinstance(pages, Failure):
        bag.error("O405", None, f"the guide was not engraved: {pages.message}", cure=pages.advice)
        return {}
    report_missing(pages.missing, bag)
    stem = (arguments.out or told.path.parent) / f"{told.stem}-guide"
    return {
        stem.with_name(f"{stem.name}.html"): guide_html(guide, telling, media, drawn).encode("utf-8"),
        stem.with_name(f"{stem.name}.pdf"): pages.files[0].data,
    }
