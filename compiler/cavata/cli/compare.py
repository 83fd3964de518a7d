"""`cavata compare`: what changed in the music between two versions of a piece."""

from __future__ import annotations

import argparse
import sys
from contextlib import ExitStack
from pathlib import Path

from cavata.cli.arguments import EVERYTHING, add_library_to, formats
from cavata.cli.compare_sides import Together, sides, together
from cavata.cli.speaking import Progress, say, say_colored, say_found
from cavata.diagnostics import Diagnostics

_SUFFIX = "-changes"
"""What follows the piece's name in the names of its marked scores."""
FORMATS = ("pdf", "svg", "png", "musicxml", "mxl", "ly")


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "compare",
        help="say what changed in the music between two versions",
        description=(
            "Say what changed in the music from one version of a piece to another, bar by bar and part by part. The "
            "versions are two scripts or two folders, or one piece as a revision in git had it and as it is now. "
            "Nothing in the work tree is touched: revisions are read into a private folder."
        ),
    )
    command.add_argument(
        "versions", metavar="OLD [NEW]", nargs="*",
        help="scripts, or folders that hold one piece; one alone is compared with its last commit",
    )  # fmt: skip
    command.add_argument("--since", metavar="REVISION", help="the old version is that of this revision in git")
    command.add_argument("--until", metavar="REVISION", help="the new version too is that of a revision")
    command.add_argument(
        "--for", dest="named", metavar="NAME", action="append", default=[],
        help="a version that the script itself tells of: alone it is compared with the piece, two with each other",
    )  # fmt: skip
    command.add_argument(
        "--to", metavar="FORMATS", default=(), type=formats(FORMATS),
        help=f"also write the new score with the changes marked in it, STEM-changes, as {', '.join(FORMATS)}",
    )  # fmt: skip
    command.add_argument(
        "--errata", action="store_true",
        help="also write STEM-errata.txt, pages and bars to be corrected in copies printed from the old version",
    )  # fmt: skip
    command.add_argument("--out", metavar="FOLDER", help="where to write it (default: beside the new version)")
    command.add_argument(
        "--git", choices=("on", "off"), nargs="?", const="on",
        help="let `git diff` and `git log -p` show the music of scripts in this repository; `--git off`: no longer",
    )  # fmt: skip
    add_library_to(command)
    command.add_argument("--json", action="store_true", help=EVERYTHING)
    # What git calls, once it is told to.
    command.add_argument("--for-git-diff", dest="diff", nargs=argparse.REMAINDER, help=argparse.SUPPRESS)
    command.add_argument("--for-git-log", dest="log", metavar="FILE", help=argparse.SUPPRESS)
    command.set_defaults(run=run, gathers="versions", misused=command.error)


def run(arguments: argparse.Namespace) -> int:
    """Compare; 1 if a version cannot be had. That something changed is no fault."""
    if arguments.diff is not None or arguments.log is not None:
        from cavata.cli.compare_git import listed_for_git, shown_beside

        say_colored(shown_beside(arguments.diff) if arguments.log is None else listed_for_git(arguments.log))
        return 0
    if arguments.git is not None:
        from cavata.cli.compare_git import set_up

        return set_up(arguments.git == "on")
    if not arguments.versions:
        arguments.misused("there is nothing to compare: name two scripts or folders, or one piece")
    return _Comparing(arguments).run()


class _Comparing:
    """One run of the command."""

    def __init__(self, arguments: argparse.Namespace) -> None:
        self.arguments = arguments
        self.bag = Diagnostics()
        self.progress = Progress(sys.stderr)

    def run(self) -> int:
        """Compare, say what changed, and write the marked score if it is asked for."""
        from cavata.compare.text import comparison_data, comparison_text

        paths: list[str] = []
        with ExitStack() as stack:
            asked = self.arguments
            found = sides(
                asked.versions, asked.since, asked.until, asked.library, stack, self.bag, self.progress, asked.named
            )
            versions = None
            if found is not None:
                self.progress.say("reading both versions")
                versions = together(*found, self.bag)
            self.progress.done()
            if versions is not None:
                say(comparison_text(versions.comparison))
            if versions is not None and asked.to:
                paths = self.marked(versions)
                self.progress.done()
            if versions is not None and asked.errata:
                paths += self.errata(versions)
                self.progress.done()
        return say_found(self.bag, paths, {} if versions is None else comparison_data(versions.comparison))

    def errata(self, versions: Together) -> list[str]:
        """The list of what is to be corrected in older copies; returns the paths written."""
        from cavata.cli.compare_errata import SUFFIX, errata
        from cavata.cli.telling import write_all

        both = all(score is not None and score.movements for score in (versions.score, versions.old_score))
        if not both or versions.comparison.same:
            why = "the music is the same" if versions.comparison.same else "a version has no music"
            self.bag.warning("O921", None, f"there is nothing to correct: {why}", label="no list was written")
            return []
        text = errata(versions, self.bag, self.progress.say)
        folder = Path(self.arguments.out) if self.arguments.out else versions.new.folder
        return write_all({folder / (versions.new.stem + SUFFIX): text.encode()}, self.bag)

    def marked(self, versions: Together) -> list[str]:
        """The new score with the changes marked; returns the paths written."""
        from cavata.cli.telling import write_all
        from cavata.compare.marked import marked_score
        from cavata.draft.engravers import AUTO, Engraver, engraver_for, report_draft
        from cavata.lilypond.copies import Engravers
        from cavata.lilypond.press import usual_at_once
        from cavata.lilypond.reports import engraved_files
        from cavata.pipeline import translated, written

        score = versions.score
        if score is None or not score.movements or versions.comparison.same:
            why = "the music is the same" if versions.comparison.same else "the new version has no movement"
            self.bag.warning("O425", None, f"there is nothing to mark in a score: {why}", label="no score was written")
            return []
        page = written(marked_score(score, versions.comparison, versions.old.title))
        stem, formats = versions.new.stem, self.arguments.to
        files = dict(translated(page, _SUFFIX, stem, stem, formats, self.progress.say))
        pictures = frozenset(formats) & {"pdf", "svg", "png"}
        if pictures and engraver_for(AUTO) is Engraver.VEROVIO:
            from cavata.draft.copies import Drafts

            files.update(engraved_files(Drafts(pictures).draw(page), stem + _SUFFIX, self.bag))
            report_draft(self.bag)
        elif pictures:
            with Engravers(pictures, usual_at_once(), False, self.progress.say) as engravers:
                files.update(engraved_files(engravers.deliver(engravers.order(page)), stem + _SUFFIX, self.bag))
        folder = Path(self.arguments.out) if self.arguments.out else versions.new.folder
        return [] if self.bag.has_errors else write_all({folder / name: data for name, data in files.items()}, self.bag)
