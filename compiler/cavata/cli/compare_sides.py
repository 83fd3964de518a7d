"""The two versions that a command compares: where they lie, and what they compile to.

In: what the command line says. Out: two sides; a revision of git lies in a private folder that goes when the run ends.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from cavata.cli.arguments import find_script, stem_for
from cavata.cli.speaking import Progress
from cavata.diagnostics import Diagnostics, Severity
from cavata.record import record, replace

if TYPE_CHECKING:  # the help of a command compiles nothing
    from cavata.compare.changes import Comparison
    from cavata.pipeline import Compiled
    from cavata.score.score import Score
    from cavata.syntax.tree import Module


@record
class VersionSide:
    """One version."""

    which: str
    """`old` or `new`."""
    shown: str
    """As messages call its script, as `lantern.cavata at HEAD~1`."""
    path: Path
    """The script."""
    folder: Path
    """Where files about it are written."""
    library: Path | None
    revision: str = ""
    """Empty for what lies on the disk."""
    version: str = ""
    """Which version of the piece that its script tells of; empty for the piece itself."""

    @property
    def title(self) -> str:
        """As the page calls it, which need not know where it lies."""
        version = f" for {self.version}" if self.version else ""
        return self.path.name + version + (f" at {self.revision}" if self.revision else "")

    @property
    def stem(self) -> str:
        """What files about it are called."""
        return stem_for(self.path.stem, self.version)

    def named(self, version: str) -> VersionSide:
        """The same script, but a version that it tells of."""
        return replace(self, version=version, shown=f"{self.shown} for {version}") if version else self


@record
class Together:
    """Two versions compared."""

    old: VersionSide
    new: VersionSide
    comparison: Comparison
    score: Score | None
    """The new one's."""
    old_score: Score | None = None


def sides(
    versions: Sequence[str], since: str | None, until: str | None, library: Path | None, stack: ExitStack,
    bag: Diagnostics, progress: Progress, named: Sequence[str] = (),
) -> tuple[VersionSide, VersionSide] | None:  # fmt: skip
    """Both versions; None if one cannot be had, which was reported.

    `named` are versions that scripts themselves tell of: of one script one and the piece itself, or two; of two
    scripts, or of a script at two times, one that both have, or one of each.
    """
    if len(named) > 2:
        bag.error(
            "O426", None, "there are not two versions to compare", label=f"`--for` is given {len(named)} times",
            cure="give it once or twice",
        )
        return None
    if named and len(versions) == 1 and since is None and until is None:
        side = _on_disk("new", versions[0], library, bag)
        if side is None:
            return None
        before, after = ("", *named) if len(named) == 1 else named
        return replace(side, which="old").named(before), side.named(after)
    found = _sides(versions, since, until, library, stack, bag, progress)
    if found is None or not named:
        return found
    return found[0].named(named[0]), found[1].named(named[-1])


def _sides(
    versions: Sequence[str], since: str | None, until: str | None, library: Path | None, stack: ExitStack,
    bag: Diagnostics, progress: Progress,
) -> tuple[VersionSide, VersionSide] | None:  # fmt: skip
    in_git = since is not None or until is not None or len(versions) == 1
    if len(versions) > 2:
        bag.error(
            "O426", None, "there are not two versions to compare",
            label=f"{len(versions)} are named",
            cure="name two scripts or folders, or one piece and `--since REVISION`",
        )
        return None
    if not in_git:
        old, new = (_on_disk(which, name, library, bag) for which, name in zip(("old", "new"), versions, strict=True))
    else:
        progress.say("asking git")
        old = _in_git("old", versions[0], "HEAD" if since is None else since, library, stack, bag)
        if until is not None:
            new = None if old is None else _in_git("new", versions[-1], until, library, stack, bag)
        else:
            new = None if old is None else _on_disk("new", versions[-1], library, bag)
    return None if old is None or new is None else (old, new)


def _on_disk(which: str, name: str, library: Path | None, bag: Diagnostics) -> VersionSide | None:
    path = find_script(name, bag)
    if path is None:
        return None
    if not os.path.isfile(path):
        bag.error(
            "O422", None, f"the {which} version, `{name}`, is not there", cure="look at its name and its place"
        )
        return None
    return VersionSide(which, str(path), path, path.parent, library)


def _in_git(
    which: str, name: str, revision: str, library: Path | None, stack: ExitStack, bag: Diagnostics
) -> VersionSide | None:
    from cavata.compare.revisions import Repository

    repository = Repository.around(Path(name), bag)
    commit = None if repository is None else repository.commit(revision, bag)
    if repository is None or commit is None:
        return None
    inside = repository.inside(Path(name))
    root = repository.taken_out(commit, inside, library, stack, bag)
    if root is None:
        return None
    found = Diagnostics()
    path = find_script(str(root / inside), found)
    if path is None or not path.is_file():
        bag.error(
            "O422", None, f"the {which} version, `{name}` at `{revision}`, is not there",
            label="" if path is not None else "its folder does not hold one piece there",
            cure="name it as it was called there: `cavata compare OLD NEW --since REVISION`",
        )
        return None
    given = library if library is None else repository.moved(library, root)
    shown = f"{path.relative_to(root).as_posix()} at {revision}"
    folder = Path(name) if os.path.isdir(name) else Path(name).parent
    return VersionSide(which, shown, path, folder, given, revision)


def together(old: VersionSide, new: VersionSide, bag: Diagnostics) -> Together | None:
    """Compile and compare both; None if one does not compile: which one, and why, was reported."""
    from cavata.pipeline import compile_script

    was, now = (
        compile_script(side.path, side.shown, library=side.library, version=side.version) for side in (old, new)
    )
    for side, made in ((old, was), (new, now)):
        _report(side, made, bag)
    comparison = comparison_of(was, now, new.stem, not (old.version or new.version))
    return None if comparison is None else Together(old, new, comparison, now.score, was.score)


def comparison_of(old: Compiled, new: Compiled, called: str, of_pieces: bool = True) -> Comparison | None:
    """What changed in the music, or in the values of two scripts without music; None if one does not compile.

    Of whole pieces it is also told which of their versions differ.
    """
    from cavata.compare.comparing import compared
    from cavata.compare.text import compared_values
    from cavata.compare.versions import version_changes

    if old.score is None or new.score is None or old.plan is None or new.plan is None:
        return None
    if old.score.movements or new.score.movements:
        found = compared(old.score, new.score)
        told = version_changes(_script(old), _script(new)) if of_pieces else ()
        return replace(found, changes=(*told, *found.changes))
    return compared_values(old.plan, new.plan, called)


def _script(made: Compiled) -> Module:
    assert made.loaded is not None
    return made.loaded.modules[made.loaded.main]


def _report(side: VersionSide, made: Compiled, bag: Diagnostics) -> None:
    """A version that does not compile, and its errors. Its warnings say nothing about the comparison."""
    if not made.bag.has_errors:
        return
    bag.error(
        "O423", None, f"the {side.which} version, `{side.shown}`, does not compile",
        label="so its music is not known; what is wrong in it follows",
        cure="compare with a version that `cavata check` finds nothing wrong in",
    )
    bag.report_all(message for message in made.bag.ordered() if message.severity is Severity.ERROR)
