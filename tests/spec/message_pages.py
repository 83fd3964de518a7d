"""The catalog of messages as the tests read it: each page's title, and its scripts with what is said of them.

A page is `grammar/messages/CODE.md` in a fixed shape. Pairs of `## Goes wrong` and `## The message` come first, then
`## Mended`; a message that no short script can show has `## When it comes` instead, with the message in a fence.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path

from cavata.diagnostics import Diagnostics, as_text
from cavata.pipeline import compile_script, compile_versions

ROOT = Path(__file__).resolve().parent.parent.parent
FOLDER = ROOT / "grammar" / "messages"
PACKAGE = ROOT / "compiler" / "cavata"
SHOWN = "example.cavata"
SKETCH = ROOT / "tests" / "spec" / "sketch" / "sketch.musicxml"
"""The score of another program that lies beside the scripts of the pages."""
CODE = re.compile(r"\b[SNVPIROX]\d{3}\b")

_PART = re.compile(r"^## (.+)\n\n((?:(?!^## ).*\n)*)", re.MULTILINE)
_PLAIN_FENCE = re.compile(r"^```\n(?:(?!```).*\n)*```$", re.MULTILINE)
_FENCE = re.compile(r"^```(\w*)\n((?:(?!```).*\n)*)```$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Page:
    """One page, cut into its parts."""

    code: str
    text: str

    @property
    def title(self) -> str:
        return self.text.split("\n", 1)[0]

    @property
    def parts(self) -> tuple[tuple[str, str], ...]:
        """Every heading of the second level with what stands under it, in order."""
        return tuple((m[1], m[2]) for m in _PART.finditer(self.text))

    def fences(self, heading: str, language: str = "") -> tuple[str, ...]:
        """The fenced blocks of a language under every heading of that text."""
        return tuple(
            fence[2] for name, body in self.parts if name == heading for fence in _FENCE.finditer(body)
            if fence[1] == language
        )  # fmt: skip

    @property
    def failing(self) -> tuple[str, ...]:
        return self.fences("Goes wrong", "cavata")

    @property
    def messages(self) -> tuple[str, ...]:
        return self.fences("The message")

    @property
    def mended(self) -> tuple[str, ...]:
        return self.fences("Mended", "cavata")

    def with_messages(self, messages: tuple[str, ...], heading: str = "The message") -> str:
        """The page's text with other message blocks under a heading."""
        fresh = iter(messages)

        def part(match: re.Match[str]) -> str:
            if match[1] != heading:
                return match[0]
            block = _PLAIN_FENCE.sub(lambda _: f"```\n{next(fresh)}```", match[2], count=1)
            return f"## {match[1]}\n\n{block}"

        return _PART.sub(part, self.text)


def pages() -> tuple[Page, ...]:
    """Every page of the catalog by its code."""
    return tuple(Page(path.stem, path.read_text("utf-8")) for path in sorted(FOLDER.glob("*.md")))


def codes_in_source() -> frozenset[str]:
    """Every code that the compiler's modules mention."""
    found: set[str] = set()
    for path in sorted(PACKAGE.rglob("*.py")):
        found.update(CODE.findall(path.read_text("utf-8")))
    return frozenset(found)


_KNOWN: dict[str, Diagnostics] = {}
"""What was said already, by the text of the script."""


def messages_of(script: str, folder: Path) -> Diagnostics:
    """What is said of a script as the file that the pages speak of; compiled once, though several tests look at it."""
    if script not in _KNOWN:
        path = folder / SHOWN
        path.write_text(script, "utf-8")
        if SKETCH.name in script:
            shutil.copy(SKETCH, folder)
        made = compile_script(path, SHOWN)
        compile_versions(made)
        _KNOWN[script] = made.bag
    return _KNOWN[script]


def said_of(script: str, folder: Path) -> str:
    """Everything that `cavata check` says of a script, as it is printed where there are no colors."""
    return as_text(messages_of(script, folder).ordered())
