"""The pages of `fit` and `recast`: the script that they show."""

from __future__ import annotations

import re

from cavata.resources import folder

SCRIPT = "lamp.cavata"
_SCRIPT = re.compile(r"^```cavata\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def script_of(name: str) -> str:
    """The script of a chapter."""
    found = _SCRIPT.search((folder("grammar") / "commands" / f"{name}.md").read_text("utf-8"))
    assert found is not None
    return found[1]

