"""Several pages by one run of LilyPond, which takes longest to begin."""

from __future__ import annotations

import subprocess
from collections.abc import Iterable, Iterator
from pathlib import Path

from cavata.lilypond.engrave import find_lilypond


def engraved_together(texts: Iterable[str], folder: Path) -> Iterator[Path]:
    """The PDF files of several .ly texts, of which LilyPond has nothing to say."""
    program = find_lilypond()
    assert isinstance(program, str)
    names = []
    for number, text in enumerate(texts):
        names.append(f"page{number}.ly")
        (folder / names[-1]).write_text(text, "utf-8")
    command = [program, "--loglevel=WARN", "-dbackend=cairo", "-dno-point-and-click", "--pdf", *names]
    run = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=True)
    assert run.stderr == ""
    return (folder / name.replace(".ly", ".pdf") for name in names)
