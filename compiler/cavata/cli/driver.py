"""What git calls: the music beside a text that it compares, and a script with its music as one text.

Git gives a version as a file of its own, without the files that it uses. Those are taken from where the version comes
from: the last commit, else the commit that brought it in, else the work tree. Whatever happens, the text is shown: a
fault here would end what git was asked for.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from cavata.cli.compare_sides import comparison_of
from cavata.compare.revisions import GitFault, git, take_out
from cavata.diagnostics.record import Severity
from cavata.diagnostics.render import as_text

if TYPE_CHECKING:
    from cavata.pipeline import Compiled


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
        colour = "always" if wished == b"true" else "never"
        options = ("--no-index", "--no-ext-diff", "--no-textconv", "--no-prefix", f"--color={colour}")
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


def listed(file: str) -> str:
    """For `git log -p`: a script's text, and below it its music."""
    text = _read(file)
    try:
        with ExitStack() as stack:
            return text + "\n" + _listing(file, text, stack)
    except Exception as error:  # git must get its answer, whatever is wrong with ours
        return text + f"\n-- music not known ({type(error).__name__}: {error})\n"


def _listing(file: str, text: str, stack: ExitStack) -> str:
    from cavata.compare.listing import RULE, listing
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
