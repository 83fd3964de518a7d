"""`--write`: edits made in the files of a script, in all of them or in none, and never over somebody else's work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from cavata.cli.speaking import report_unwritten
from cavata.diagnostics import Diagnostics
from cavata.files import rewrite_together
from cavata.names.loader import standard_library
from cavata.syntax.edits import Edit, in_file


def write_edits(files: Mapping[Path, tuple[str, Sequence[Edit]]], bag: Diagnostics) -> list[str]:
    """Make edits in scripts; returns the paths written.

    `files` has for each path the text that was parsed, in which the edits count, and the edits. A file that holds
    another text by now is reported, and then nothing is written. A link is followed; rights and line ends stay.
    """
    changed: dict[Path, bytes] = {}
    shown: dict[Path, str] = {}
    try:
        for path, (parsed, edits) in files.items():
            target = path.resolve()
            content = in_file(target.read_bytes(), parsed, edits)
            if content is None or target.is_relative_to(standard_library().folder):
                bag.error(
                    "O890", None, f"`{path.name}` is not the file that was read any more",
                    label="it changed meanwhile; nothing was written", cure="run the command again",
                )
                return []
            changed[target], shown[target] = content, str(path)
        rewrite_together(changed)
    except OSError as error:
        report_unwritten(next(iter(files)).parent, error, bag)
        return []
    return [shown[target] for target in changed]
