"""The reference as a book: its chapters in their order, and the tables that are made of their headings.

In: the folder `grammar`. Out: the text of every chapter, the contents and the language on one screen for
`grammar/README.md`, the list of `grammar/every-word.md`, and the line under each title that leads on. Run by
`pytest --update`; a test compares.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property

from reference import Example, Section, examples, sections

from cavata.resources import folder
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

GRAMMAR = folder("grammar")
CONTENTS, LIST = GRAMMAR / "README.md", GRAMMAR / "every-word.md"
LANGUAGE = (
    "reading", "files", "values", "ciphers", "transforms", "pitch", "order", "time", "chords", "figuration", "markings",
    "combinations", "piece", "forces", "movements", "settings", "score-lines", "passages", "requirements", "versions",
    "defaults", "spelling", "names",
)  # fmt: skip
"""The chapters about the language, each a file of this name, in the order of the book."""
AFTER = (
    "wishes", "every-word", "glossary", "commands/README", "counterpoint", "playing", "performing", "exchange", "desk",
    "editors", "installing", "changes", "licenses",
)  # fmt: skip
UNLISTED = ("reading", "defaults", "spelling", "names")
"""Chapters that tell of no word to write; they stand in the contents alone."""
BEGIN, END = "<!-- made from the headings of the chapters -->\n", "<!-- until here -->\n"
_SPAN = re.compile(r"`([^`]+)`")


@dataclass(frozen=True)
class Chapter:
    """One file of the book."""

    stem: str
    text: str

    @property
    def title(self) -> str:
        return self.text.split("\n", 1)[0].removeprefix("# ").strip()

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """Its sections, without the title and what stands under it."""
        return tuple(s for s in sections(self.text) if s.level == 2)

    @cached_property
    def examples(self) -> tuple[Example, ...]:
        return examples(self.text)


@cache
def chapter(stem: str) -> Chapter:
    return Chapter(stem, (GRAMMAR / f"{stem}.md").read_text(encoding="utf-8"))


def book() -> tuple[Chapter, ...]:
    """The chapters about the language in their order."""
    return tuple(chapter(stem) for stem in LANGUAGE)


def anchor(heading: str) -> str:
    """What a link to a heading says behind `#`, by the rule of the hosts that show these pages."""
    return re.sub(r"[^\w\- ]", "", heading.strip().lower()).replace(" ", "-")


# ---------------------------------------------------------------- short names of what a heading tells


def labels(page: Chapter) -> Iterator[tuple[str, str]]:
    """Label and anchor of everything that a chapter's headings name, no label twice."""
    named = [(pattern, section.title) for section in page.sections for pattern in _patterns(section.title)]
    short = Counter(_short(pattern) for pattern, _ in named)
    for pattern, title in named:
        label = _short(pattern) if short[_short(pattern)] == 1 else _plain(pattern)
        yield (f"`{label}`" if "`" in title else pattern).replace("|", r"\|"), anchor(title)


def _patterns(title: str) -> list[str]:
    """What a heading names: its code, or else the words of the heading."""
    return _SPAN.findall(title) or [title]


def _short(pattern: str) -> str:
    """The words with which it begins, as they stand in a script."""
    if call := re.match(r"(\w+)\(", pattern):
        return f"{call[1]}(...)"
    if bent := re.match(r"tempo PLACE: ([a-z ]+?)(?= [A-Z])", pattern):
        return bent[1]
    words = re.match(r"[a-z][a-z_]*(?: (?:[a-z_]{2,}))*(?=$| [A-Z\[\"]|[|,])", pattern)
    return words[0] if words else _plain(pattern)


def _plain(pattern: str) -> str:
    """A pattern without what may be left out."""
    while (shorter := re.sub(r" ?\[[^][]*\]", "", pattern)) != pattern:
        pattern = shorter
    return pattern.replace(", ...", "").removesuffix(" ...").strip()


# ---------------------------------------------------------------- what is made


def one_screen() -> str:
    """A row for each chapter with everything that it tells, each a link."""
    rows = ["| chapter | what is written |\n|---|---|\n"]
    for page in book():
        if page.stem not in UNLISTED:
            cells = " · ".join(f"[{label}]({page.stem}.md#{to})" for label, to in labels(page))
            rows.append(f"| [{page.title}]({page.stem}.md) | {cells} |\n")
    return "".join(rows)


def every_word() -> str:
    """Pattern and first sentence of every section, chapter by chapter."""
    does = {t.pattern: t.does for group in TRANSFORMS.values() for t in group}
    does |= {c.pattern: c.does for c in COMBINATIONS.values()}
    parts = []
    for page in book():
        if page.stem in UNLISTED:
            continue
        rows = [f"## [{page.title}]({page.stem}.md)\n\n| | |\n|---|---|\n"]
        for section in page.sections:
            said = does.get(section.title.strip("`"), "").rstrip(".") or first_sentence(section).rstrip(".")
            said = linked_from(said[0].upper() + said[1:], page.stem).replace("|", r"\|") + "."
            title = section.title.replace("|", r"\|")
            rows.append(f"| [{title}]({page.stem}.md#{anchor(section.title)}) | {said} |\n")
        parts.append("".join(rows))
    return "\n".join(parts)


def first_sentence(section: Section) -> str:
    """Of the section's prose."""
    prose = re.sub(r"^(Grammar|Messages): .*$", "", section.text, flags=re.MULTILINE).strip()
    paragraph = " ".join(prose.split("\n\n")[0].split())
    found = re.match(r".*?(?:\.(?= [A-Z`'\"])|[.:]$)", paragraph)
    return (found[0] if found else paragraph).rstrip(":")


def linked_from(text: str, stem: str) -> str:
    """The text with its links to the own page leading there from another one."""
    return re.sub(r"\]\(#", f"]({stem}.md#", text)


def lead(stem: str) -> str:
    """The line under a chapter's title, which leads back and on."""
    order = ["wishes", *LANGUAGE, "every-word", "glossary"]
    at = order.index(stem)
    before = [f"before: [{chapter(order[at - 1]).title}]({order[at - 1]}.md)"] if at else []
    after = [f"next: [{chapter(order[at + 1]).title}]({order[at + 1]}.md)"] if at + 1 < len(order) else []
    return " · ".join(["[Contents](README.md)", *before, *after])


def with_made(text: str, made: str, begin: str = BEGIN) -> str:
    """A page with what is made put between its two marks."""
    head, _, rest = text.partition(begin)
    _, _, tail = rest.partition(END)
    return head + begin + "\n" + made + "\n" + END + tail


def with_lead(page: Chapter) -> str:
    """A chapter's text with the line that leads on."""
    title, _, rest = page.text.partition("\n")
    rest = re.sub(r"^\n\[Contents\]\(README\.md\).*\n", "", rest)
    return f"{title}\n\n{lead(page.stem)}\n{rest}"
