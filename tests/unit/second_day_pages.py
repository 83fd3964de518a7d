"""The chapters of `fit` and `recast`: their script, and every command with what it says."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest

from cavata.cli.main import main
from cavata.resources import folder

SCRIPT = "lamp.cavata"
_SCRIPT = re.compile(r"^```cavata\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_SHOWN = re.compile(r"^```sh\n([^\n]*)\n```\n\n```text\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def script_of(name: str) -> str:
    """The script of a chapter."""
    found = _SCRIPT.search((folder("grammar") / f"{name}.md").read_text("utf-8"))
    assert found is not None
    return found[1]


def shown(name: str) -> Iterator[tuple[str, str]]:
    """Each command of a chapter, and what it says."""
    yield from _SHOWN.findall((folder("grammar") / f"{name}.md").read_text("utf-8"))


def said(command: str, capsys: pytest.CaptureFixture[str]) -> str:
    """What a command says, on both streams."""
    main(shlex.split(command)[1:])
    told = capsys.readouterr()
    return told.out + told.err


def rewrite(name: str, outputs: list[str]) -> None:
    """Put other outputs into a chapter."""
    page: Path = folder("grammar") / f"{name}.md"
    fresh = iter(outputs)
    text = _SHOWN.sub(lambda m: f"```sh\n{m[1]}\n```\n\n```text\n{next(fresh)}```", page.read_text("utf-8"))
    page.write_text(text, "utf-8")
