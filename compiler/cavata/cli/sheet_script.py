"""An engraved sheet: a generated script through every pass of the compiler, to PDF or SVG.

In: the text of a script. Out: the files' bytes. A script that this project generates and that does not compile is a
fault of the project, and says so.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving, Failure, Phase
from cavata.pipeline import compile_script, written

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
    return engrave(lilypond_text(written(compiled.score)), frozenset({kind}), progress=told)
