"""Revisions of git: the scripts of a commit, in a private folder.

Git is asked for what it keeps and never to change anything: its work tree, its index and its settings stay as they
are. Of a commit only scripts are read, each as git keeps it; links are left out, for they could lead anywhere.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from cavata.diagnostics import Diagnostics
from cavata.foreign.score_file import FORMATS
from cavata.names.loader import LARGEST_FILE, SUFFIX
from cavata.record import record
from cavata.text import printable

_SECONDS = 60
_MOST_BYTES = 64_000_000
"""Scripts of one commit that are read; a life's work takes less."""
_NOT_HERE = "the object {} is not in this repository"
_PLAIN_FILES = (b"100644", b"100755")
_ALONE = {
    "GIT_OPTIONAL_LOCKS": "0", "LC_ALL": "C", "GIT_TERMINAL_PROMPT": "0",
    # An object that is not here would be fetched by programs that the repository names.
    "GIT_NO_LAZY_FETCH": "1", "GIT_ALLOW_PROTOCOL": "none",
}  # fmt: skip
_NO_PROGRAMS = (
    "-c", "core.fsmonitor=false", "-c", "core.hooksPath=/dev/null", "-c", "core.sshCommand=false",
    "-c", "log.showSignature=false",
)  # fmt: skip
"""Nothing that a repository from someone else names is run."""


class GitFault(Exception):
    """Git could not be run, or refused; the text is its own first line."""


def git(folder: Path, *arguments: str, given: bytes = b"") -> bytes:
    """What git answers. Raises GitFault if there is no git, or it refuses."""
    try:
        run = subprocess.run(
            ("git", "-C", str(folder), *_NO_PROGRAMS, *arguments), input=given, capture_output=True, timeout=_SECONDS,
            check=False, env={**os.environ, **_ALONE},
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired) as error:
        raise GitFault(str(error)) from error
    if run.returncode:
        said = run.stderr.decode("utf-8", "replace").strip().splitlines()
        raise GitFault(said[0] if said else f"status {run.returncode}")
    return run.stdout


@record
class Repository:
    """The repository around a piece."""

    top: Path
    """Its work tree, links followed."""

    @classmethod
    def around(cls, path: Path, bag: Diagnostics) -> Repository | None:
        """The repository that a path lies in; reported if there is none."""
        folder = path if path.is_dir() else path.parent
        while not folder.is_dir() and folder != folder.parent:
            folder = folder.parent  # a folder that only an older revision has
        try:
            top = git(folder, "rev-parse", "--show-toplevel").decode("utf-8", "surrogateescape").rstrip("\n")
        except GitFault as fault:
            bag.error(
                "O420", None, f"`{path}` does not lie in a git repository", label=f"git says: {fault}",
                cure="name two files or folders, or the piece where git keeps it",
            )
            return None
        return cls(Path(os.path.realpath(top)))

    def inside(self, path: Path) -> PurePosixPath:
        """Where a path lies, as seen from the top."""
        return PurePosixPath(Path(os.path.relpath(os.path.realpath(path), self.top)).as_posix())

    def moved(self, path: Path, root: Path) -> Path:
        """A folder of the repository as it is under another root; one that lies elsewhere stays."""
        real = Path(os.path.realpath(path))
        return root / real.relative_to(self.top) if real.is_relative_to(self.top) else path

    def commit(self, revision: str, bag: Diagnostics) -> str | None:
        """The commit that a revision means; reported if there is none."""
        try:
            named = git(self.top, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
        except GitFault:
            bag.error(
                "O421", None, f"there is no revision `{revision}`",
                cure="`git log --oneline` shows the revisions; `HEAD~1` is the one before the last",
            )
            return None
        return named.decode().strip().splitlines()[-1]

    def taken_out(
        self, commit: str, inside: PurePosixPath, library: Path | None, stack: ExitStack, bag: Diagnostics
    ) -> Path | None:
        """A folder with the scripts that a piece can use: those around it, and those of a library kept with it."""
        root = Path(stack.enter_context(TemporaryDirectory(prefix="cavata-")))
        wanted = [inside.parent.parent]
        if library is not None and Path(os.path.realpath(library)).is_relative_to(self.top):
            wanted.append(self.inside(library))
        try:
            take_out(self.top, commit, wanted, Path(os.path.realpath(root)))
        except GitFault as fault:
            bag.error(
                "O424", None, f"git cannot give the scripts of `{commit[:12]}`", label=str(fault),
                cure="look at the repository"
            )
            return None
        return Path(os.path.realpath(root))


def take_out(top: Path, tree: str, folders: Sequence[PurePosixPath], root: Path) -> None:
    """Write the scripts below some folders of a tree under a root, at their places, and the scores of other programs
    that they may take tunes from, as far as there is room. Raises GitFault."""
    blobs = _to_take_out(top, tree, folders)
    for place, text in zip(blobs, _contents(top, tuple(blobs.values())), strict=True):
        target = root / place
        if target.resolve().is_relative_to(root):
            try:
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(text)
            except OSError as error:
                raise GitFault(f"`{printable(str(place))[:80]}` cannot be taken out: {error.strerror}") from error


def _to_take_out(top: Path, tree: str, folders: Sequence[PurePosixPath]) -> dict[PurePosixPath, bytes]:
    blobs: dict[PurePosixPath, bytes] = {}
    scores: list[tuple[int, PurePosixPath, bytes]] = []
    size = 0
    for folder in folders:
        below = () if folder == PurePosixPath(".") else (f"{folder}/",)
        for row in git(top, "ls-tree", "-r", "-l", "-z", "--full-tree", tree, "--", *below).split(b"\0"):
            facts, _, name = row.partition(b"\t")
            mode, _, blob, length = facts.split() if facts else (b"", b"", b"", b"")
            place = PurePosixPath(os.fsdecode(name))
            if mode in _PLAIN_FILES and place.suffix.lower() in FORMATS and length.isdigit():
                scores.append((int(length), place, blob))
            if mode not in _PLAIN_FILES or not name.endswith(SUFFIX.encode()):
                continue
            if not length.isdigit():  # git says `BAD` of what a partial clone lacks
                raise GitFault(_NOT_HERE.format(blob.decode("ascii", "replace")))
            if int(length) <= LARGEST_FILE:
                blobs[place] = blob
                size += int(length)
    if size > _MOST_BYTES:
        raise GitFault(f"they are more than {_MOST_BYTES // 1_000_000} MB")
    for bytes_of_it, place, blob in sorted(scores):
        size += bytes_of_it
        if size <= _MOST_BYTES:
            blobs[place] = blob
    return blobs


def _contents(top: Path, blobs: Sequence[bytes]) -> list[bytes]:
    """What many blobs hold, with git run once."""
    if not blobs:
        return []
    answer = git(top, "cat-file", "--batch", given=b"\n".join(blobs) + b"\n")
    found, at = [], 0
    for _ in blobs:
        end = answer.find(b"\n", at)
        object_, _, facts = answer[at : max(at, end)].partition(b" ")
        kind, _, size = facts.partition(b" ")
        if kind != b"blob" or not size.isdigit():
            raise GitFault(_NOT_HERE.format(object_.decode("ascii", "replace")[:40]))
        length = int(size)
        found.append(answer[end + 1 : end + 1 + length])
        at = end + length + 2
    return found
