"""The page of a message that a discovering command gives, held against what the command said."""

from __future__ import annotations

import re

from cavata.resources import folder

FENCE = re.compile(r"^```\n((?:(?!```).*\n)*)```$", re.MULTILINE)


def holds_or_updates(code: str, said: str, update: bool) -> bool:
    """Whether the page shows exactly this message, once; with `update` its first block is rewritten instead."""
    page = folder("grammar") / "messages" / f"{code}.md"
    text = page.read_text("utf-8")
    if update:
        page.write_text(FENCE.sub(lambda _: f"```\n{said}```", text, count=1), "utf-8")
        return True
    return FENCE.findall(text) == [said]
