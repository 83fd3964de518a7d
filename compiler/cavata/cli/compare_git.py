"""`cavata compare --git`: git shows the music of scripts beside their text, in this repository.

What is written lies in the repository's own settings, which no commit carries: `.git/config` and
`.git/info/attributes`. `--git off` takes just that away again.
"""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from cavata.cli.compare_sides import comparison_of
from cavata.cli.speaking import say, say_found
from cavata.compare.revisions import GitFault, Repository, git, take_out
from cavata.diagnostics import Diagnostics, Severity, as_text
from cavata.files import write_whole

if TYPE_CHECKING:
    from cavata.pipeline import Compiled


ATTRIBUTE = "*.cavata diff=cavata"


def _settings() -> dict[str, str]:
    """What git is told. Python must not look for modules in the folder that git calls it from: hence `-P`."""
    ourselves = shlex.join((Path(sys.executable).as_posix(), "-P", "-m", "cavata.cli.main", "compare"))
    return {
        "diff.cavata.command": f"{ourselves} --for-git-diff",
        "diff.cavata.textconv": f"{ourselves} --for-git-log",
        "diff.cavata.xfuncname": "^((movement|cadenza|section|passage|cipher|forces|music) .*)$",
    }


def set_up(on: bool) -> int:
    """Tell git, or take it back; says what was written. 1 if there is no repository here."""
    bag = Diagnostics()
    said: list[str] = []
    repository = Repository.around(Path.cwd(), bag)
    if repository is not None:
        try:
            said = [*_configured(repository.top, on), *_attributed(repository.top, on)]
        except (GitFault, OSError) as fault:
            bag.error(
                "O427", None, "git's settings here cannot be changed",
                label=str(fault), cure="look at the rights of `.git`",
            )  # fmt: skip
    say_found(bag, found={"git": said})
    if not bag.has_errors:
        say("\n".join(said or ["nothing to do: it is as you wish"]) + "\n")
        if on:
            say("`git diff` and `git log -p` show the music of scripts here; `cavata compare --git off` ends that\n")
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


# ----------------------------------------------------------------
# What git calls: the music beside a text that it compares, and a script with its music as one text.
#
# Git gives a version as a file of its own, without the files that it uses. Those are taken from where the version comes
# from: the last commit, else the commit that brought it in, else the work tree. Whatever happens, the text is shown: a
# fault here would end what git was asked for.


_NOTHING = "/dev/null"
_MOST_SAID = 3
"""Messages of a version that does not compile."""
_HERE = Path(".")
"""Git calls from the top of the work tree."""


def shown_beside(given: Sequence[str]) -> str:
    """For `git diff`: the two texts compared as git does, then their music.

    `given` is what git gives an external program: path, old file, name and mode, new file, name and mode.
    """
    if len(given) < 7:
        return f"* Unmerged path {given[0] if given else ''}\n"
    path, old, old_name, _, new, new_name, _ = given[:7]
    now = given[7] if len(given) > 7 else path
    text = _text_compared(path, Path(old), now, Path(new))
    if _NOTHING in (old, new):
        return text
    try:
        with ExitStack() as stack:
            return text + _music_compared(_from_git(path, old, old_name, stack), _from_git(now, new, new_name, stack))
    except Exception as error:  # git must get its answer, whatever is wrong with ours
        return text + f"music: not known ({type(error).__name__}: {error})\n"


def _text_compared(path: str, old: Path, now: str, new: Path) -> str:
    """As git itself shows it, so that it can still be applied as a patch."""
    with TemporaryDirectory(prefix="cavata-") as folder:
        names = [_NOTHING, _NOTHING]
        for place, (side, name, file) in enumerate((("a", path, old), ("b", now, new))):
            if str(file) != _NOTHING:
                copy = Path(folder) / side / name
                copy.parent.mkdir(parents=True, exist_ok=True)
                copy.write_bytes(file.read_bytes())
                names[place] = f"{side}/{name}"
        terminal = "true" if sys.stdout.isatty() or os.environ.get("GIT_PAGER_IN_USE") else "false"
        wished = git(_HERE, "config", "--get-colorbool", "color.diff", terminal).strip()
        color = "always" if wished == b"true" else "never"
        options = ("--no-index", "--no-ext-diff", "--no-textconv", "--no-prefix", f"--color={color}")
        run = subprocess.run(("git", "diff", *options, "--", *names), cwd=folder, capture_output=True, check=False)
        return run.stdout.decode("utf-8", "surrogateescape").encode("utf-8", "replace").decode("utf-8")


def _music_compared(old: Compiled, new: Compiled) -> str:
    from cavata.compare.text import comparison_text

    comparison = None if new.plan is None else comparison_of(old, new, Path(new.plan.main).stem)
    if comparison is not None:
        return "music of " + comparison_text(comparison)
    which, side = ("new", new) if old.score is not None and old.plan is not None else ("old", old)
    return f"music: not known, for the {which} version does not compile\n{_wrong(side, '  ')}"


def _wrong(side: Compiled, indent: str) -> str:
    found = [message for message in side.bag.ordered() if message.severity is Severity.ERROR]
    text = as_text(found[:_MOST_SAID])
    return "".join(f"{indent}{line}\n" for line in text.splitlines() if line)


def _from_git(path: str, file: str, name: str, stack: ExitStack) -> Compiled:
    """A version that git gave, compiled among the files that belong to it."""
    from cavata.pipeline import compile_script

    if os.path.realpath(file) == os.path.realpath(path):
        return compile_script(Path(path), path)
    text = _read(file)
    root = _surroundings(PurePosixPath(path), name, stack)
    if root is None:
        return compile_script(Path(path), path, text)
    return compile_script(root / path, path, text)


def _read(file: str) -> str:
    return Path(file).read_text("utf-8-sig", "replace").replace("\r\n", "\n")


def _surroundings(path: PurePosixPath, name: str, stack: ExitStack, newest_first: bool = True) -> Path | None:
    """A folder with the scripts around a version; None if git does not know where the version comes from."""
    tree = _tree_of(path, name, newest_first)
    if not tree:
        return None
    root = Path(os.path.realpath(stack.enter_context(TemporaryDirectory(prefix="cavata-"))))
    take_out(_HERE, tree, [path.parent.parent], root)
    return root


def _tree_of(path: PurePosixPath, name: str, last_commit_first: bool) -> str:
    """The commit whose other files belong to a version of a script."""
    if last_commit_first:
        with suppress(GitFault):
            if git(_HERE, "rev-parse", f"HEAD:{path}").decode().strip() == name:
                return "HEAD"
    with suppress(GitFault):
        commits = git(_HERE, "log", "--all", "--format=%H", f"--find-object={name}", "--", str(path)).decode().split()
        return commits[-1] if commits else ""
    return ""


def listed_for_git(file: str) -> str:
    """For `git log -p`: a script's text, and below it its music."""
    text = _read(file)
    try:
        with ExitStack() as stack:
            return text + "\n" + _listing(file, text, stack)
    except Exception as error:  # git must get its answer, whatever is wrong with ours
        return text + f"\n-- music not known ({type(error).__name__}: {error})\n"


def _listing(file: str, text: str, stack: ExitStack) -> str:
    from cavata.compare.text import RULE, listing
    from cavata.pipeline import compile_script

    real = Path(os.path.realpath(file))
    if real.is_relative_to(os.path.realpath(_HERE)):
        made = compile_script(real, file)
    else:
        path, name = _known_as(file)
        root = None if path is None else _surroundings(path, name, stack, newest_first=False)
        made = compile_script((root or _HERE) / (path or real.name), real.name, text)
    if made.score is None or made.plan is None:
        return f"{RULE}\nmusic not known, for this version does not compile\n{_wrong(made, '  ')}"
    if made.score.movements:
        return listing(made.score)
    from cavata.evaluate.text import plan_text

    return f"{RULE}\n{plan_text(made.plan)}"


def _known_as(file: str) -> tuple[PurePosixPath | None, str]:
    """Where git keeps, or kept, a file of just this content, and its name there."""
    name = git(_HERE, "hash-object", "--no-filters", "--", file).decode().strip()
    with suppress(GitFault):
        asked = ("--all", "--raw", "--no-abbrev", "-z", "--format=", f"--find-object={name}")
        for row in git(_HERE, "log", *asked).split(b"\0:"):
            facts, _, path = row.strip(b"\0").partition(b"\0")
            if name.encode() in facts.split():
                return PurePosixPath(os.fsdecode(path.split(b"\0")[0])), name
        for row in git(_HERE, "ls-files", "-s", "-z").split(b"\0"):
            facts, _, path = row.partition(b"\t")
            if name.encode() in facts.split():
                return PurePosixPath(os.fsdecode(path)), name
    return None, name
