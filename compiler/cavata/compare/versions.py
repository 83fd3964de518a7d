"""What became of the versions that a script tells of: each that is new, gone or otherwise is one change.

In: the trees of two scripts. Out: changes. What the rows of a version do to the music is told when it is compared
itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.compare.changes import Change, ChangeKind
from cavata.names.versions import versions_of
from cavata.syntax import tree as t


def version_changes(old: t.Module, new: t.Module) -> Iterator[Change]:
    """Versions that are new, gone, or differ from the piece in other rows."""
    was, now = ({version.name.text: version for version in versions_of(module)} for module in (old, new))
    for name in dict.fromkeys((*now, *was)):
        if name not in was:
            yield Change(ChangeKind.PIECE, f"version {name} is new")
        elif name not in now:
            yield Change(ChangeKind.PIECE, f"version {name} is gone")
        elif t.bare(was[name]) != t.bare(now[name]):
            yield Change(ChangeKind.PIECE, f"version {name} has other rows")
