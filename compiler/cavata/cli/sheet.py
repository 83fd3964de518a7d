"""`--sheet FILE`: what a discovering command found, engraved; and its JSON document."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from cavata.cli.arguments import EVERYTHING
from cavata.cli.speaking import RIGHTS_AND_ROOM, Progress
from cavata.diagnostics import Diagnostics
from cavata.draft.engravers import AUTO, Engraver, engraver_for, report_draft
from cavata.files import write_whole
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving, Failure, Phase
from cavata.pipeline import compile_script, written

# ----------------------------------------------------------------
# An engraved sheet: a generated script through every pass of the compiler, to PDF or SVG.
#
# In: the text of a script. Out: the files' bytes. A script that this project generates and that does not compile is a
# fault of the project, and says so.


FORMATS = ("pdf", "svg")


def sheet(script: str, folder: Path, kind: str, told: Callable[[Phase], None] | None = None) -> Engraving | Failure:
    """The sheet as `pdf` or `svg`; `folder` is where files that the script uses lie.

    Raises RuntimeError if the script does not compile.
    """
    from cavata.lilypond.document import lilypond_text

    compiled = compile_script(folder / "sheet.cavata", "sheet.cavata", script)
    if compiled.score is None:
        said = "; ".join(f"{d.code} {d.message}" for d in compiled.bag.ordered()[:3])
        raise RuntimeError(f"the sheet's script does not compile: {said}")
    if engraver_for(AUTO) is Engraver.VEROVIO:
        from cavata.draft.copies import Drafts

        return Drafts(frozenset({kind})).draw(written(compiled.score))
    return engrave(lilypond_text(written(compiled.score)), frozenset({kind}), progress=told)


# ----------------------------------------------------------------

def add_sheet_to(command: argparse.ArgumentParser) -> None:
    """The options that every discovering command has."""
    command.add_argument(
        "--sheet", metavar="FILE", type=_sheet_path, help="also engrave a sheet, FILE.pdf or FILE.svg"
    )
    command.add_argument("--json", action="store_true", help=EVERYTHING)


def _sheet_path(text: str) -> Path:
    path = Path(text)
    if path.suffix.lower() not in (".pdf", ".svg"):
        raise argparse.ArgumentTypeError(f"a sheet's name ends in .pdf or .svg, not `{path.name}`")
    return path


def write_sheet(script: str, target: Path, folder: Path, bag: Diagnostics, progress: Progress) -> list[str]:
    """Engrave a sheet's script and write it; returns the paths written. `folder` holds what the script uses."""

    kind = target.suffix.lower().removeprefix(".")
    progress.say("setting the sheet")
    engraved = sheet(script, folder, kind, lambda phase: progress.say(phase.value))
    if isinstance(engraved, Failure):
        bag.error("O315", None, f"the sheet was not engraved: {engraved.message}", cure=engraved.advice)
        return []
    if engraver_for(AUTO) is Engraver.VEROVIO:
        report_draft(bag)
    paths: list[str] = []
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        for file in engraved.files:
            path = target.with_name(target.stem + file.suffix)
            write_whole(path, file.data)
            paths.append(str(path))
    except OSError as error:
        bag.error("O314", None, f"cannot write `{target}`: {error.strerror or error}", cure=RIGHTS_AND_ROOM)
    return paths
