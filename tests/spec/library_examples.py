"""The examples that stand in the remarks of the library: `example: EXPRESSION is VALUE`.

In: a definition of the library. Out: its remark without the example, and a script that shows it at work. `tamsin` and
`tune` are those of the script that begins the language reference, `hymn` is two chords; a rhythm without an example is
taken by `tamsin`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from cavata.syntax import tree as t

BEFORE = """\
language 2

use french from ciphers as plain_french
use {name} from {module}

name tamsin = "TAMSIN" by plain_french
motif tune  = notes(1/4 D4 E4, 1/2 F4)
motif hymn  = notes(1/2. chord(C3 G3 E4) chord(D3 F3 B3))
mode natural = C D E F G A B
"""
_EXAMPLE = re.compile(r"\s*example: (.+) is (.+)$")


@dataclass(frozen=True, slots=True)
class LibraryExample:
    """What is shown, as `tune -> echo P8`, and what comes of it; no claim for a rhythm taken as it stands."""

    shown: str
    claim: str

    def script(self, name: str, module: str) -> str:
        """A whole script that defines `heard` by the example."""
        kind = "name heard =" if self.shown.startswith('"') else "motif heard ="
        value = self.shown + (f" by {name}" if self.shown.startswith('"') else "")
        if self.claim.startswith("("):
            kind = "rhythm heard ="
        return BEFORE.format(name=name, module=module) + f"{kind} {value}\n"


def divided(remark: str) -> tuple[str, LibraryExample | None]:
    """A remark without its example, and the example."""
    plain = " ".join(remark.split())
    found = _EXAMPLE.search(plain)
    return (plain, None) if found is None else (plain[: found.start()], LibraryExample(found[1], found[2]))


def example_of(tree: t.Cipher | t.Definition | t.OwnTransform | t.OwnMode) -> LibraryExample | None:
    """What shows a definition of the library; None for one that says nothing and is no rhythm."""
    example = divided(tree.remark)[1]
    if example is None and isinstance(tree, t.Definition) and tree.kind == "rhythm":
        return LibraryExample(f"tamsin -> in {tree.name.text}", "")
    return example
