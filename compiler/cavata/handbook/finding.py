"""Where the handbook answers a question in a reader's own words.

In: the pages in Markdown, and some words. Out: the places that tell most of them, the best first: sections of chapters
and commands, and rows of the two tables that say what a wish and a term are called here. A word of the trade, also in
another language, is looked for under what it is called here too.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Mapping
from math import log

from cavata.handbook.pages import FENCE, page_of
from cavata.record import record
from cavata.syntax.trade_words import meanings
from cavata.text import hyphenated

_MOST = 5
_TABLES = ("grammar/wishes.md", "grammar/glossary.md")
_LESS = {
    "grammar/messages/": 0.3, "examples/": 0.3, "grammar/changes": 0.2, "grammar/licenses": 0.2, "grammar/wishes": 0.3,
    "grammar/glossary": 0.3, "grammar/every-word": 0.5, "grammar/defaults": 0.6, "grammar/reading": 0.6,
    "grammar/README": 0.2, "stdlib/": 0.7, "grammar/names": 0.7, "grammar/exchange": 0.7, "grammar/playing": 0.8,
    "index.md": 0.0,
}  # fmt: skip
"""How much less a page counts than a chapter, which tells of a thing at length. A choice of ours."""
_HEADING = re.compile(r"^(?:\((?P<target>[\w-]+)\)=\n)*(?P<level>#{1,4}) (?P<title>.*)$", re.MULTILINE)
_ROW = re.compile(r"^\| (?!term |\||---)(.*?) \| (.*) \| \[([^|]*)\]\(([^)]+)\) \|$", re.MULTILINE)
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)(?:\{[^}]*\})?|\[([^\]]*)\]\{[^}]*\}")
_WORD = re.compile(r"[a-z0-9]+")
_EMPTY = frozenset("""
    a about am an and are as at be by can cavata do does for from get have how i in into is it make me my need of on
    one or out say so some that the their them then there this to use want what when where which who why will with
    write you your
""".split())  # noqa: SIM905 - words, to be read as such
"""Words that say nothing of what is asked for."""
_IN_TITLE, _MEANT, _OF_A_TABLE, _LONG = 3.0, 1.2, 1.3, 60
"""How much a word counts in a title, one that a word of the trade stands for, and a row of a table; and the words from
which on a section is long. Choices of ours, by sixty questions of composers."""


@record
class AnswerPlace:
    """Where something is told."""

    title: str
    address: str
    """In the book, as `grammar/order.html#word-retrograde`."""
    named: frozenset[str]
    """The words of its title."""
    told: Counter[str]
    weight: float


def found(pages: Mapping[str, str], question: str) -> tuple[tuple[str, str], ...]:
    """The title and address of the places that tell most of a question, the best first; none where no word is told."""
    every = [*places(pages)]
    spread = Counter(word for place in every for word in place.named | place.told.keys())
    asked = dict.fromkeys(_words(question), 1.0)
    for word in _meant(question):
        asked.setdefault(word, _MEANT)
    rare = {word: much * log(1 + len(every) / spread[word]) for word, much in asked.items() if spread[word]}
    whole = sum(rare.values())
    scores: dict[str, float] = {}
    titles: dict[str, str] = {}
    for place in every:
        known = {word: much for word, much in rare.items() if word in place.named or word in place.told}
        if known:
            length = _LONG + place.told.total()
            score = sum(
                much * ((_IN_TITLE if word in place.named else 0) + place.told[word] * _LONG / length)
                for word, much in known.items()
            )
            score *= place.weight * (sum(known.values()) / whole) ** 2
            titles.setdefault(place.address, place.title)
            scores[place.address] = max(score, scores.get(place.address, 0))
    return tuple((titles[each], each) for each in sorted(scores, key=lambda each: -scores[each])[:_MOST])


def _meant(question: str) -> Iterator[str]:
    """The words of the language that words of the trade stand for."""
    words = question.split()
    for size in (3, 2, 1):
        for begin in range(len(words) - size + 1):
            for key in meanings(" ".join(words[begin : begin + size])):
                yield from _words(re.sub(r"\"[^\"]*\"|\b[A-Z]\S*|\d\S*", " ", key))


def places(pages: Mapping[str, str]) -> Iterator[AnswerPlace]:
    """Every section, and every row of the two tables."""
    slugs: dict[tuple[str, str], tuple[str, str]] = {}
    rows: list[tuple[str, str, str]] = []
    for path, text in pages.items():
        page = page_of(path)
        weight = next((less for begin, less in _LESS.items() if path.startswith(begin)), 1.0)
        bare = FENCE.sub("", text)
        if path in _TABLES:
            rows += ((row[1], row[2], row[4]) for row in _ROW.finditer(bare))
        heads = [*_HEADING.finditer(bare)]
        chapter = _bare(heads[0]["title"]) if heads else ""
        for head, after in zip(heads, [*heads[1:], None], strict=True):
            title, address = _bare(head["title"]), page
            shown = title
            if len(head["level"]) > 1:
                address += f"#{(head['target'] or hyphenated(title)).lower().replace('_', '-')}"
                shown = f"{chapter}: {title}"
            slugs.setdefault((path, _slug(head["title"])), (shown, address))
            body = bare[head.end() : after.start() if after else len(bare)]
            told = Counter(_words(_LINK.sub(r"\1\2", body)))
            yield AnswerPlace(shown, address, frozenset(_words(title)), told, weight)
    for term, meaning, link in rows:
        target, _, slug = link.partition("#")
        shown, address = slugs.get((f"grammar/{target}", slug), ("", ""))
        if address or not slug:
            address = address or page_of(f"grammar/{target}")
            title = _bare(term)
            yield AnswerPlace(shown or title, address, frozenset(_words(title)), Counter(_words(meaning)), _OF_A_TABLE)


def _bare(title: str) -> str:
    """A heading or a term without links and backticks."""
    return _LINK.sub(r"\1\2", title).replace("`", "")


def _slug(title: str) -> str:
    """What leads to a heading in Markdown."""
    return re.sub(r"[^\w\- ]", "", title.strip().lower()).replace(" ", "-")


def _words(text: str) -> Iterator[str]:
    """The words of a text that say something, by their stems, each as often as it stands there."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    for word in _WORD.findall("".join(sign for sign in bare if not unicodedata.combining(sign))):
        if word not in _EMPTY:
            yield _stem(word)


def _stem(word: str) -> str:
    """A word without the endings that it has as a plural or as a form of a verb."""
    for ending, less in (("ies", "y"), ("s", ""), ("ing", ""), ("ed", ""), ("e", "")):
        if word.endswith(ending) and not word.endswith("ss") and len(word) - len(ending) >= 3:
            word = word.removesuffix(ending) + less
    return word
