"""`cavata compare --git`: git shows the music of scripts beside their text, in this repository.

What is written lies in the repository's own settings, which no commit carries: `.git/config` and
`.git/info/attributes`. `--git off` takes just that away again.
"""

from __future__ import annotations

import json
import shlex
import sys
from pathlib import Path

from cavata.cli.speaking import tell
from cavata.compare.revisions import GitFault, Repository, git
from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.render import as_json
from cavata.engrave.files import write_whole

ATTRIBUTE = "*.cavata diff=cavata"


def _settings() -> dict[str, str]:
    """What git is told. Python must not look for modules in the folder that git calls it from: hence `-P`."""
    ourselves = shlex.join((Path(sys.executable).as_posix(), "-P", "-m", "cavata.cli.main", "compare"))
    return {
        "diff.cavata.command": f"{ourselves} --for-git-diff",
        "diff.cavata.textconv": f"{ourselves} --for-git-log",
        "diff.cavata.xfuncname": "^((movement|cadenza|section|passage|cipher|forces|music) .*)$",
    }


def set_up(on: bool, as_document: bool) -> int:
    """Tell git, or take it back; says what was written. 1 if there is no repository here."""
    bag = Diagnostics()
    said: list[str] = []
    repository = Repository.around(Path.cwd(), bag)
    if repository is not None:
        try:
            said = [*_configured(repository.top, on), *_attributed(repository.top, on)]
        except (GitFault, OSError) as fault:
            bag.error("O427", None, "git's settings here cannot be changed", str(fault), "look at the rights of `.git`")
    if as_document:
        print(json.dumps({"git": said, "messages": as_json(bag.ordered()), "written": []}, indent=2))
        return int(bag.has_errors)
    tell(bag.ordered(), (), False)
    if not bag.has_errors:
        print("\n".join(said or ["nothing to do: it is as you wish"]))
        if on:
            print("`git diff` and `git log -p` show the music of scripts here; `cavata compare --git off` ends that")
    return int(bag.has_errors)


def _configured(top: Path, on: bool) -> list[str]:
    said = []
    for key, value in _settings().items():
        try:
            now = git(top, "config", "--local", "--get", key).decode("utf-8", "replace").rstrip("\n")
        except GitFault:
            now = ""
        if on and now != value:
            git(top, "config", "--local", key, value)
            said.append(f"git config {key} = {value}")
        elif not on and now:
            git(top, "config", "--local", "--unset-all", key)
            said.append(f"git config {key} taken away")
    return said


def _attributed(top: Path, on: bool) -> list[str]:
    path = top / git(top, "rev-parse", "--git-path", "info/attributes").decode("utf-8", "surrogateescape").rstrip("\n")
    text = path.read_text("utf-8", "surrogateescape") if path.exists() else ""
    lines = text.splitlines(keepends=True)
    there = any(line.strip() == ATTRIBUTE for line in lines)
    if on == there:
        return []
    if on:
        text += ("" if not text or text.endswith("\n") else "\n") + ATTRIBUTE + "\n"
    else:
        text = "".join(line for line in lines if line.strip() != ATTRIBUTE)
    path.parent.mkdir(parents=True, exist_ok=True)
    if text:
        write_whole(path, text.encode("utf-8", "surrogateescape"))
    else:
        path.unlink()
    return [f"{path}: {ATTRIBUTE}" + ("" if on else " taken away")]
