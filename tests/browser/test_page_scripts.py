"""The scripts of the pages are checked by TypeScript, from their JSDoc comments, and by eslint.

Both are found in the folder that `PAGE_TOOLS` names, after `npm install typescript eslint @eslint/js globals` there.
"""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest
from conftest import left_out

from cavata.desk.page_files import FOLDER, SCRIPTS

HERE = Path(__file__).resolve().parent
GUIDE = FOLDER.parents[1] / "tell" / "guide" / "guide.js"
"""The script of a guide, which stands in its page."""
NAMESPACES = {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
"""Addresses that name a language and are never opened."""
TOOLS = Path(os.environ.get("PAGE_TOOLS", "") or "/nonexistent") / "node_modules" / ".bin"


def ran(tool: str, *words: str) -> subprocess.CompletedProcess[str]:
    if not (TOOLS / tool).is_file():
        left_out(f"PAGE_TOOLS names no folder with {tool}")
    return subprocess.run([TOOLS / tool, *words], cwd=FOLDER.parents[1], capture_output=True, text=True, check=False)


@pytest.mark.slow
def test_the_types_fit() -> None:
    found = ran("tsc", "--project", str(HERE / "tsconfig.json"))
    assert (found.returncode, found.stdout) == (0, "")


@pytest.mark.slow
def test_the_scripts_keep_the_rules() -> None:
    found = ran("eslint", "--config", str(HERE / "eslint.config.mjs"), *map(str, [*sorted(FOLDER.glob("*.js")), GUIDE]))
    assert (found.returncode, found.stdout) == (0, "")


def test_every_script_is_one_of_the_page_and_fetches_nothing_from_elsewhere() -> None:
    scripts = {path.stem: path.read_text("utf-8") for path in FOLDER.glob("*.js")}
    assert {*scripts} <= {*SCRIPTS}
    for path in (*FOLDER.glob("*.js"), *FOLDER.glob("*.css"), *FOLDER.glob("*.html"), GUIDE):
        addresses = {*re.findall(r"https?://[^\s\"'`)]*", path.read_text("utf-8"))}
        assert addresses <= NAMESPACES and "@import" not in path.read_text("utf-8"), path.name


def test_what_is_heard_comes_from_one_place() -> None:
    sounding = re.compile("AudioContext|[Oo]scillator")
    assert {path.stem for path in FOLDER.glob("*.js") if sounding.search(path.read_text("utf-8"))} == {"sound"}
