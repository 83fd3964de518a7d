"""The pages of the handbook, in Markdown.

In: the folders `grammar`, `stdlib` and `examples`, whose pages link to each other as they lie there. Out: the same
pages with what a book has besides: contents, one page for all messages of a kind, a page for each piece of the gallery,
and an entry of the index for each word that a heading names or a table of the library, for each command, and for each
term of the glossary. What a page says is not changed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path

from cavata.handbook.gallery import gallery
from cavata.text import hyphenated

KINDS = {
    "S": "what cannot be read", "N": "names, and what they stand for", "V": "values", "P": "placing, bars and parts",
    "R": "requirements", "I": "instruments and players", "O": "commands, files and outputs", "X": "Cavata itself",
}  # fmt: skip
"""What the messages are about whose codes begin with a letter."""
_CONTENTS = """\
# Handbook

The language in which names become music, its library, its commands and its messages; a tutorial from a name to a page;
pieces to see, to hear and to read. Everything here lies on your machine. To look for a word, take the search at the
side or the {ref}`index of words <genindex>`.

"""
_CHAPTER = re.compile(r"\((?:\.\./)?([\w-]+)\.md[)#]")
_MESSAGE_LINK = re.compile(r"\]\((?:(?:\.\./)*(?:grammar/)?messages/)?([A-Z]\d{3})\.md\)")
_ALL_MESSAGES = re.compile(r"\]\(((?:\.\./)*(?:grammar/)?)messages\)")
_AROUND = re.compile(r"^\[Contents\]\(.*\n\n", re.MULTILINE)
"""The line that leads to the pages before and after, which a book has anyway."""
_HEADING = re.compile(r"^(#{1,3}) (.*)$", re.MULTILINE)
_SPAN = re.compile(r"`([^`]+)`")
_WORDS = re.compile(r"(?:\[?[A-Z]+\]? )?((?:[a-z_]{2,}|[a-z](?= [A-Z]))(?: [a-z_]+)*)")
"""The words that code begins with, behind what stands for a value: `doubles` of `PARTS doubles PART`."""
_TERM = re.compile(r"^\| ([^|*]+?) (?=\| )", re.MULTILINE)
_ROW = re.compile(r"^\| `[^`|]+`(?:, `[^`|]+`)* \|", re.MULTILINE)
"""A row of a table of the library, up to the end of the words that it tells of."""
_LIST = re.compile(r"`[a-z_]+(?: [a-z_][a-z_\d]*){4,}`")
_WITH_LISTS = ("grammar/markings.md", "grammar/transforms.md")
"""Pages on which code of five words and more is a list of words, as of articulations."""
_COMMAND = "cavata "
FENCE = re.compile(r"^```.*?^```$", re.MULTILINE | re.DOTALL)
_TARGET = re.compile(r"^\((?:word-([a-z_-]+)|([A-Z]\d{3}))\)=$", re.MULTILINE)
_AT_WORD = re.compile(r"(?:`([^`]+)`|\[([^\]]+)\])\{#(entry-[a-z0-9-]+)\}")
"""A word in a row or in a list, with what leads to it."""


def handbook_pages(root: Mapping[str, Path], heard: frozenset[str] = frozenset()) -> dict[str, str]:
    """Every page by its path. `root` has the three folders by name; `heard` are the pieces that can be listened to."""
    grammar, examples = root["grammar"], (root["examples"] / "README.md").read_text("utf-8")
    made = {f"grammar/{path.name}": path.read_text("utf-8") for path in sorted(grammar.glob("*.md"))}
    made |= {f"grammar/commands/{path.name}": path.read_text("utf-8") for path in sorted(grammar.glob("commands/*.md"))}
    made["stdlib/README.md"] = (root["stdlib"] / "README.md").read_text("utf-8")
    made["examples/README.md"] = examples
    pieces = gallery(examples, root["examples"], heard)
    made |= pieces | _messages(grammar / "messages")
    told = {path: _for_the_book(path, text, pieces) for path, text in made.items()}
    return _with_index(told, _contents(told))


def addresses(made: Mapping[str, str]) -> dict[str, str]:
    """Where words and messages are told: by the word in small letters, or the code, the address in the book."""
    told: dict[str, str] = {}
    for path, text in made.items():
        page = page_of(path)
        for found in _TARGET.finditer(text):
            told.setdefault((found[1] or found[2]).replace("-", " "), f"{page}#{_id(found)}")
        for found in _AT_WORD.finditer(text):
            for word in _words_of(found[1]) if found[1] else (found[2],):
                told.setdefault(word.casefold(), f"{page}#{found[3]}")
    return told


def page_of(path: str) -> str:
    """The page that is made of a file in Markdown."""
    return f"{path.removesuffix('.md')}.html"


def _id(found: re.Match[str]) -> str:
    return found[2].lower() if found[2] else f"word-{found[1].replace('_', '-')}"


def _for_the_book(path: str, text: str, pieces: Iterable[str]) -> str:
    """A page whose links lead to pages of the book."""
    text = _AROUND.sub("", text, count=1)
    text = _MESSAGE_LINK.sub(lambda found: f"](#{found[1]})", text)
    text = _ALL_MESSAGES.sub(lambda found: f"]({found[1]}messages/README.md)", text)
    if path == "examples/README.md":
        for piece in pieces:
            stem = Path(piece).stem
            text = re.sub(rf"\]\([\w-]+/{stem}\.cavata\)", f"](pieces/{stem}.md)", text)
    return text


def _outside_fences(text: str, change: Callable[[str], str]) -> str:
    """A page, changed everywhere but in its examples."""
    out, last = [], 0
    for fence in FENCE.finditer(text):
        out += [change(text[last : fence.start()]), fence[0]]
        last = fence.end()
    return "".join([*out, change(text[last:])])


# ------------------------------------------------------------------ index


def _with_index(made: Mapping[str, str], contents: str) -> dict[str, str]:
    """The pages, and that of the contents, with their words for the index; a word leads where it stands first."""
    known: set[str] = set()
    told = {"index.md": contents}
    # The terms of the glossary last, so that a word leads where it is told of at length.
    later = ("stdlib/", "examples/", "grammar/glossary")
    for path in sorted(made, key=lambda path: path.startswith(later)):
        with_words = partial(_sections, path, known)
        glossary = path == "grammar/glossary.md"
        told[path] = _glossary(made[path], known) if glossary else _outside_fences(made[path], with_words)
    return told


def _sections(path: str, known: set[str], prose: str) -> str:
    """Each heading with its words, and with those of its tables and lists."""
    begins = [found.start() for found in _HEADING.finditer(prose)]
    parts = [prose[begin:end] for begin, end in zip([0, *begins], [*begins, len(prose)], strict=True)]
    return "".join(_section(path, known, part) for part in parts)


def _section(path: str, known: set[str], part: str) -> str:
    heading = _HEADING.match(part)
    words = _of_heading(heading[2]) if heading else ()
    title = heading[0] if heading else ""
    targets = "".join(f"(word-{word.replace(' ', '-')})=\n" for word in words if word not in known)
    known.update(words)
    inside: list[str] = []

    def with_places(found: re.Match[str]) -> str:
        def with_place(code: re.Match[str]) -> str:
            fresh = [word for word in _words_of(code[1]) if word.casefold() not in known]
            known.update(word.casefold() for word in fresh)
            inside.extend(fresh)
            return f"{code[0]}{{#entry-{hyphenated(fresh[0])}}}" if fresh else code[0]

        return _SPAN.sub(with_place, found[0])

    body = part[len(title) :]
    if path.startswith("stdlib/"):
        body = _ROW.sub(with_places, body)
    elif path in _WITH_LISTS:
        body = _LIST.sub(with_places, body)
    indexed = _indexed([*words, *inside]) if words or inside else ""
    if title.startswith("# "):  # what stands before a title would not belong to its page
        return f"{targets}{title}\n{indexed and chr(10)}{indexed}{body}"
    return f"{indexed}{indexed and chr(10)}{targets}{title}{body}"


def _of_heading(title: str) -> tuple[str, ...]:
    """The words that a heading names; a command by its own name."""
    found: list[str] = []
    for span in _SPAN.findall(title):
        if span.startswith(_COMMAND):
            found.append(span.split()[1].replace("-", " "))
        elif word := _WORDS.match(span):
            found.append(word[1])
    return tuple(dict.fromkeys(found))


def _words_of(code: str) -> tuple[str, ...]:
    """The words of the library of which code tells: `-> echo GAP` of echo, a list of all in it."""
    if _LIST.fullmatch(f"`{code}`"):
        return tuple(code.split())
    return (code.split()[1],) if code.startswith("-> ") else (code,)


def _glossary(text: str, known: set[str]) -> str:
    """The glossary, each term of which is an entry."""
    title, rest = text.split("\n", 1)
    terms: list[str] = []

    def with_place(found: re.Match[str]) -> str:
        if found[1] == "term" or found[1].startswith("-"):
            return found[0]
        terms.append(found[1])
        if found[1].casefold() in known:
            return found[0]
        known.add(found[1].casefold())
        return f"| [{found[1]}]{{#entry-{hyphenated(found[1])}}} "

    told = _TERM.sub(with_place, rest)
    return f"{title}\n\n{_indexed(dict.fromkeys(terms))}\n{told}"


def _indexed(words: Iterable[str]) -> str:
    return f"```{{index}} {', '.join(words)}\n```\n"


# ------------------------------------------------------------------ messages


def _messages(folder: Path) -> dict[str, str]:
    """A page for the messages of each kind, and one that leads to these."""
    by_kind: dict[str, list[str]] = {letter: [] for letter in KINDS}
    for path in sorted(folder.glob("*.md")):
        by_kind[path.stem[0]].append(_message(path.stem, path.read_text("utf-8")))
    made = {
        f"grammar/messages/{letter}.md": f"# Messages {letter}: {KINDS[letter]}\n\n" + "\n".join(told)
        for letter, told in by_kind.items() if told
    }  # fmt: skip
    rows = "".join(f"| [{letter}]({letter}.md) | {KINDS[letter]} |\n" for letter, told in by_kind.items() if told)
    told = "Each has a script that goes wrong and its cure; `cavata why V203` shows one.\n"
    return {"grammar/messages/README.md": f"# Messages\n\n{told}\n| codes | about |\n|---|---|\n{rows}", **made}


def _message(code: str, text: str) -> str:
    """A message as a section of its page."""

    def lower(prose: str) -> str:
        return re.sub(r"^# ", "## ", re.sub(r"^## (.*)$", r"**\1**", prose, flags=re.MULTILINE), flags=re.MULTILINE)

    return f"({code})=\n{_outside_fences(text, lower)}"


# ------------------------------------------------------------------ contents


def _contents(made: Mapping[str, str]) -> str:
    """The page to begin with: every page in the order of the book."""
    parts = {
        "From a name to a page": ["examples/README.md"],
        "The language": ["grammar/README.md", *_linked("grammar", made)],
        "The library": ["stdlib/README.md"],
        "Commands": ["grammar/commands/README.md", *_linked("grammar/commands", made)],
        "Messages": [path for path in made if path.startswith("grammar/messages/")],
        "Pieces": [path for path in made if path.startswith("examples/pieces/")],
    }
    known = {path for paths in parts.values() for path in paths}
    parts["The language"] += sorted(path for path in made if path not in known)
    return _CONTENTS + "\n".join(_list(title, paths) for title, paths in parts.items())


def _list(title: str, paths: Iterable[str]) -> str:
    rows = "".join(f"{path.removesuffix('.md')}\n" for path in paths)
    return f"```{{toctree}}\n:caption: {title}\n:titlesonly:\n\n{rows}```\n"


def _linked(folder: str, made: Mapping[str, str]) -> Iterator[str]:
    """The pages of a folder to which its contents lead, in their order."""
    stems = dict.fromkeys(_CHAPTER.findall(made[f"{folder}/README.md"]))
    return (path for stem in stems if (path := f"{folder}/{stem}.md") in made and stem != "README")
