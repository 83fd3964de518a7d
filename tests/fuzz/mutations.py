"""Broken texts by chance: bytes, words of the grammar in any order, and scripts with something changed in them."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parent.parent.parent
_LONGEST = 6_000
_FENCE = re.compile(r"^```cavata\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_WORD = re.compile(r'"(?:\\.|[^"\\\n])*"|[^\W\d]\w*\(?|[\d/.:]+|->|\.\.|\S|\n *| +')
_TERMINAL = re.compile(r'"([^"]+)"')
HEAD = "language 2\nuse french, german from ciphers\n"
SIGNS = (
    "\0", "\x1b", "\x07", "\r", "\t", "\x0b", "\x0c", "\x85", "\u2028", "\u202e", "\u200f", "\ufeff", "\u00ad",
    "\u0301", "日", "ß", "ﬁ", "😀", "𝄪", "♭", "٣", "²", "½", "\U000e0001", "\ud7ff", "é", "/", "\\", '"', "(", ")",
    "->", "--", ":",
)  # fmt: skip
NUMBERS = (
    "0", "1", "-1", "2", "64", "65", "999999999", "1000000001", "0/4", "1/0", "1/3", "1/1024", "1/2048", "1000/1",
    "1001/1", "3:2", "1:64", "0:1", "1/7", "225/224", "0.0", "1e9", "00001", "1/4...", "٣", "9" * 40,
)  # fmt: skip


@lru_cache(maxsize=1)
def corpus() -> tuple[str, ...]:
    """Every script of the examples, the suites, the reference and the catalog of messages."""
    found = list(whole_scripts())
    found += [path.read_text("utf-8") for path in sorted((ROOT / "stdlib").rglob("*.cavata"))]
    for page in [*sorted((ROOT / "grammar").glob("*.md")), *sorted((ROOT / "tests" / "spec").glob("*.md"))]:
        for fence in _FENCE.findall(page.read_text("utf-8")):
            found.append(fence if fence.startswith("language") else HEAD + fence)
    return tuple(text for text in found if len(text) < _LONGEST)


@lru_cache(maxsize=1)
def whole_scripts() -> tuple[str, ...]:
    """The examples and the mended scripts of the catalog, which have no mistake as they are."""
    found = [path.read_text("utf-8") for path in sorted((ROOT / "examples").rglob("*.cavata"))]
    for page in sorted((ROOT / "grammar" / "messages").glob("*.md")):
        found += _FENCE.findall(page.read_text("utf-8").partition("## Mended")[2])
    return tuple(text for text in found if len(text) < _LONGEST)


def _some_script(by: Random) -> str:
    return by.choice(whole_scripts() if by.randrange(3) else corpus())


@lru_cache(maxsize=1)
def words() -> tuple[str, ...]:
    """Keywords of the grammar, and every word of the corpus once."""
    grammar = (ROOT / "grammar" / "cavata.lark").read_text("utf-8")
    found = dict.fromkeys(_TERMINAL.findall(grammar))
    for text in corpus():
        found.update(dict.fromkeys(_WORD.findall(text)))
    return tuple(found)


def bytes_by_chance(by: Random) -> bytes:
    """Bytes alone, or a script with bytes changed."""
    if by.randrange(4) == 0:
        return bytes(by.randrange(256) for _ in range(by.randrange(200)))
    content = bytearray(_some_script(by).encode())
    for _ in range(by.choice((1, 1, 2, 8, 40))):
        place = by.randrange(len(content) + 1)
        match by.randrange(3):
            case 0:
                content[place:place] = bytes([by.randrange(256)])
            case 1:
                content[place : place + by.choice((1, 2, 30))] = b""
            case _:
                content[place : place + 1] = by.choice(SIGNS).encode("utf-8", "surrogatepass")
    return bytes(content)


def tokens_by_chance(by: Random) -> bytes:
    """Words in any order, in rows with any indentation."""
    known = words()
    rows = ["language 2"] * (by.randrange(4) > 0)
    for _ in range(by.randint(1, 12)):
        indent = "    " * by.choice((0, 0, 1, 1, 2))
        rows.append(indent + " ".join(by.choice(known).strip() or "," for _ in range(by.randint(1, 12))))
    return "\n".join(rows).encode("utf-8", "replace")


def changed_script(by: Random) -> bytes:
    """A script with words left out, doubled, moved or taken from another script, and numbers at their edges."""
    found = _WORD.findall(_some_script(by))
    other = _WORD.findall(by.choice(corpus()))
    for _ in range(by.choice((1, 1, 1, 2, 3, 6))):
        place = by.randrange(len(found))
        match by.randrange(7):
            case 0:
                del found[place : place + by.choice((1, 1, 3))]
                found = found or [" "]
            case 1:
                found.insert(place, by.choice(other))
            case 2:
                start = by.randrange(len(other))
                found[place:place] = other[start : start + by.choice((2, 6, 30))]
            case 3:
                found[place] = by.choice(words())
            case 4:
                numbers = [index for index, word in enumerate(found) if word[0].isdigit()]
                if numbers:
                    found[by.choice(numbers)] = by.choice(NUMBERS)
            case 5:
                found.insert(place, by.choice(SIGNS))
            case _:
                end = by.randrange(len(found))
                found[place], found[end] = found[end], found[place]
    return "".join(found).encode("utf-8", "replace")
