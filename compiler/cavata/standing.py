"""A piece that is compiled again and again while it is edited: by the language server, and by whatever shows the piece.

In: the texts of files as an editor has them, where they differ from those on the disk. Out: what each pass made, as
`pipeline` makes it; statements, values and movements that did not change are taken from the time before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from cavata.names.loader import NOTHING_ELSE
from cavata.pipeline import Compiled, Kept, compile_script, compile_versions
from cavata.score.score import Score


class Standing:
    """One script, with everything that it uses."""

    def __init__(self, path: Path, shown: str = "", library: Path | None = None) -> None:
        self.path = path.resolve()
        self._shown = shown or path.name
        self._library = library
        self._kept = Kept()
        self.compiled: Compiled | None = None
        """What was made last."""

    def compile(
        self, texts: Mapping[str, str] = NOTHING_ELSE, placed: Callable[[Score], None] | None = None
    ) -> Compiled:
        """The piece as it is now; `texts` stand in for the contents of the files at these paths.

        `placed` is told the score as soon as it can be written, as by `compile_script`.
        """
        text = texts.get(str(self.path))
        made = compile_script(self.path, self._shown, text, self._library, texts, kept=self._kept, placed=placed)
        compile_versions(made, self._kept)
        self.compiled = made
        return made
