"""Texts for people: their width, lines and tables on a terminal, made safe for it; numbers and lists in words."""

from __future__ import annotations

import re
import textwrap
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

# ----------------------------------------------------------------
# How much room text takes where every sign has one width, as in a terminal or an editor.
#
# Source: Unicode Standard Annex 11 (East Asian Width): wide and full-width signs take two columns; marks that stand
# over or under another sign, and signs that are not seen, take none.


_NO_LETTER = re.compile(r"[^a-z0-9]+")
_UNSEEN = frozenset(["Mn", "Me", "Cf"])
_JAMO = range(0x1160, 0x1200)
"""The vowels and final consonants of Hangul, which are written into the syllable's square."""


def fraction_text(value: Fraction) -> str:
    """A length as the language writes it, whole notes too: `1/4`, `2/1`."""
    return f"{value.numerator}/{value.denominator}"


def readable(identifier: str) -> str:
    """An identifier as people read it: `hedda_back` as `hedda back`."""
    return identifier.replace("_", " ")


def capital(words: str) -> str:
    """With a capital at its beginning, and no other letter changed."""
    return words[:1].upper() + words[1:]


def heading(title: str, identifier: str) -> str:
    """What a movement or section is called where people read it: its title, else its name."""
    return title or capital(readable(identifier))


def so_many(count: int, noun: str) -> str:
    """`1 bar`, `2 bars`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def dashed(*texts: str) -> str:
    """The texts that there are, with dashes between them."""
    return " \u2013 ".join(text for text in texts if text.strip())


def with_article(words: str) -> str:
    """`a third`, `an octave`."""
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def backticked(words: Iterable[object]) -> str:
    """Words of a script in a message: `a`, `b`, each between backticks."""
    return ", ".join(f"`{word}`" for word in words)


def hyphenated(text: str) -> str:
    """A text as a part of a name: its letters a to z, made small, and figures, one hyphen for whatever parts them.

    `up INTERVAL` is `up-interval`; empty where there is none of them.
    """
    return _NO_LETTER.sub("-", text.lower()).strip("-")


LONGEST_NUMBER = 12
"""Digits of a whole number that comes from outside; Python refuses to read some thousands of them."""


def whole(text: str) -> int | None:
    """The whole number from 0 on that a text is: figures 0 to 9, at most LONGEST_NUMBER of them. None if it is none."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= LONGEST_NUMBER else None


def columns(text: str) -> int:
    """The columns of a text."""
    return len(text) if text.isascii() else sum(map(column_width, text))


def column_width(sign: str) -> int:
    """0, 1 or 2."""
    if unicodedata.category(sign) in _UNSEEN or ord(sign) in _JAMO:
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


# ----------------------------------------------------------------
# Words of the user made safe for any page.
#
# In: any string. Out: one line that can be encoded and that every XML 1.0 reader accepts. Quoting and escaping are left
# to whoever writes it.


UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
"""What could steer a terminal or make text appear in another order than it is read (Unicode Technical Report 36):
controls but for tab and line end, embeddings, overrides and isolates. The plain marks of right-to-left texts, U+200E,
U+200F and U+061C, are not among them."""
_BREAKING = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_FORBIDDEN = re.compile("[\ud800-\udfff\ufffe\uffff]")


def plain_text(text: str) -> str:
    """Controls and line ends become spaces; what XML 1.0 forbids besides (section 2.2, `Char`) becomes U+FFFD.

    Accents are composed with their letters, since more fonts have those (Unicode's normal form C, as the W3C asks of
    text in its Character Model for the World Wide Web).
    """
    plain = _FORBIDDEN.sub("\ufffd", _BREAKING.sub(" ", unicodedata.normalize("NFC", text)))
    return typographic(plain) if "'" in plain or '"' in plain else plain


_BEFORE_QUOTES = frozenset("([{/\u2013\u2014\u201c\u2018-")
"""Signs after which a quotation begins."""
_CLOSING = re.compile(r"(?<!\s)'(?!\w)")
"""A single quote that ends a word."""


def typographic(text: str) -> str:
    """The text with the apostrophes and quotes of print for those of the typewriter; any others stand as they are.

    After a figure a sign that closes no quotation is one of minutes, feet or inches, and stays. Source: common
    practice, in English.
    """
    made = []
    opened = {"'": False, '"': False}
    closing = max((match.start() for match in _CLOSING.finditer(text)), default=-1)
    for place, sign in enumerate(text):
        before = text[place - 1] if place else " "
        if sign not in opened or (before.isdigit() and not opened[sign] and not text[place + 1 : place + 2].isalpha()):
            made.append(sign)
        elif (before.isspace() or before in _BEFORE_QUOTES) and (sign == '"' or closing > place):
            opened[sign] = True
            made.append("\u201c" if sign == '"' else "\u2018")
        else:
            opened[sign] = False
            made.append("\u201d" if sign == '"' else "\u2019")
    return "".join(made)


def printable(text: str) -> str:
    """One line for a terminal or a table: tabs are spaces, and U+FFFD stands for whatever is unsafe there."""
    return clean(text).replace("\t", " ").replace("\n", "\ufffd")


def clean(text: str) -> str:
    """Lines for a terminal, in which no word of a script or name of a file can do anything but be read."""
    return UNSAFE.sub("\ufffd", text)


# ----------------------------------------------------------------
# Long texts in lines.
#
# In: one line of text and a width in columns. Out: lines of at most that width, broken at spaces, between the
# letters of
# scripts that are written without spaces, and else where a word is longer than a line; a letter and its accents stay
# together.


ELLIPSIS = "…"
_TIE = "\N{NO-BREAK SPACE}"
_TAIL = 3
"""Letters of a last word that would look lost in a line of its own."""


def wrapped(text: str, width: int) -> list[str]:
    """The text in lines."""
    if columns(text) == len(text):
        return textwrap.wrap(text, width)
    lines = [""]
    for chunk, gap in _chunks(text, width):
        line = lines[-1] + (" " if gap and lines[-1] else "") + chunk
        if columns(line) > width and lines[-1]:
            lines.append(chunk)
        else:
            lines[-1] = line
    return lines if lines != [""] else []


def without_short_tail(text: str, width: int) -> list[str]:
    """The text in lines, a short last word beside the one before: `Horns III, IV in F` is not broken before the `F`."""
    *head, last = text.rsplit(" ", 1)
    if not head or columns(last) > _TAIL:
        return wrapped(text, width)
    return [line.replace(_TIE, " ") for line in wrapped(f"{head[0]}{_TIE}{last}", width)]


def lines_of_text(text: str, width: int, most: int) -> tuple[str, ...]:
    """The text in at most `most` lines of at most `width` columns; what is left over becomes an ellipsis."""
    lines = without_short_tail(plain_text(text[: 4 * width * most]), width) or [""]
    if len(lines) > most or len(text) > 4 * width * most:
        lines = lines[:most]
        lines[-1] = shortened(lines[-1], width)
    return tuple(lines)


def shortened(text: str, width: int) -> str:
    """As much of the text as leaves room for the dots that stand for the rest."""
    kept = ""
    for letter in _letters(text):
        if columns(kept + letter) > width - 1:
            break
        kept += letter
    return kept + ELLIPSIS


def _chunks(text: str, width: int) -> Iterator[tuple[str, bool]]:
    """What is not broken, each with whether a space goes before it."""
    for word in text.split():
        chunk, gap = "", True
        for letter in _letters(word):
            wide = column_width(letter[0]) == 2
            if chunk and (wide or column_width(chunk[0]) == 2 or columns(chunk + letter) > width):
                yield chunk, gap
                chunk, gap = "", False
            chunk += letter
        yield chunk, gap


def _letters(text: str) -> Iterator[str]:
    """The letters with the marks that stand on them."""
    letter = ""
    for sign in text:
        if letter and column_width(sign):
            yield letter
            letter = ""
        letter += sign
    if letter:
        yield letter


# ----------------------------------------------------------------

def text_table(head: Sequence[str], rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset()) -> str:
    """The table with a ruled head; columns numbered in `right` stand to the right. Ends in a line end."""
    lines = [head, *rows]
    widths = [max(columns(line[column]) for line in lines) for column in range(len(head))]
    written = [_line(line, widths, right) for line in lines]
    rule = "  ".join("-" * width for width in widths)
    return "\n".join([written[0], rule, *written[1:]]) + "\n"


def _line(cells: Sequence[str], widths: Sequence[int], right: frozenset[int]) -> str:
    padded = []
    for column, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        space = " " * (width - columns(cell))
        padded.append(space + cell if column in right else cell + space)
    return "  ".join(padded).rstrip()


# ----------------------------------------------------------------
# Tables that are wider than the place where they are shown.
#
# In: a text and a width in columns. Out: the text with each such table laid out again, in the first of these forms that
# can be read: long cells in a few lines; each row in a few lines, its later columns indented below the first ones; each
# row as a list.


_RULE = re.compile(r"-+(?:  -+)+")
_MOST_LINES = 3
"""Of a row, whether its cells are broken or its columns stand below each other."""
_INDENT = 4


def fitted_tables(text: str, width: int) -> str:
    """The text with no table in it wider than that, as far as there is room for a word beside its heading."""
    lines = text.split("\n")
    made: list[str] = []
    at = 0
    while at < len(lines):
        end = at + 1
        if end < len(lines) and _RULE.fullmatch(lines[end]) and columns(lines[end]) > width:
            while end < len(lines) and lines[end].strip():
                end += 1
            made += _fitted_table(lines[at], lines[at + 1], lines[at + 2 : end], width)
        else:
            made.append(lines[at])
        at = end
    return "\n".join(made)


def wrapped_text(text: str, width: int) -> str:
    """The text with no line wider than that, as far as its words allow; what goes on from an indented line stands two
    columns farther in."""
    made: list[str] = []
    for line in text.split("\n"):
        margin = line[: len(line) - len(line.lstrip(" "))]
        below = f"{margin}  " if margin else ""
        if columns(line) <= width or len(below) >= width / 2:
            made.append(line)
            continue
        first, *rest = wrapped(line.strip(), width - len(below))
        made += [margin + first, *(below + each for each in rest)]
    return "\n".join(made)


_UNBROKEN = re.compile(r"(?:`[^`]*`|\S)+")


def folded(text: str, width: int, first: int = 0) -> list[str]:
    """A sentence in lines of at most that width; `first` columns of the first line are taken already.

    What is quoted stays in one line where it fits, and a word that is longer than a line whole, so that both can be
    copied.
    """
    lines, room = [""], width - first
    quotes = _UNBROKEN.findall(text)
    for word in (w for quote in quotes for w in ([quote] if columns(quote) <= width else quote.split())):
        line = f"{lines[-1]} {word}" if lines[-1] else word
        if columns(line) <= room or not (lines[-1] or first):
            lines[-1] = line
        else:
            lines.append(word)
            room, first = width, 0
    return lines


def _fitted_table(head: str, rule: str, body: Sequence[str], width: int) -> list[str]:
    """The lines of a table that is too wide."""
    bounds = [(found.start(), found.end()) for found in re.finditer("-+", rule)]
    padded = [_cut(line, bounds) for line in (head, *body)]
    right = frozenset(n for n, cells in enumerate(zip(*padded, strict=True)) if _to_the_right(cells))
    names, *rows = [[c.strip() if n in right else c.rstrip() for n, c in enumerate(row)] for row in padded]
    widths = _widths([names, *rows], width - 2 * (len(names) - 1))
    if widths is not None:
        broken = [[wrapped(cell, w) or [""] for cell, w in zip(row, widths, strict=True)] for row in (names, *rows)]
        if max(len(cell) for row in broken for cell in row) <= _MOST_LINES:
            written = [_broken_row(row, widths, right) for row in broken]
            return [*written[0], "  ".join("-" * w for w in widths), *(line for row in written[1:] for line in row)]
    groups = _groups([names, *rows], width)
    if len(groups) <= _MOST_LINES:
        top = list(_stacked(names, groups, right))
        stacked = [line for row in rows for line in _stacked(row, groups, right)]
        return [*top, "-" * max(map(columns, (*top, *stacked))), *stacked]
    return [line for row in rows for line in (*_listed(names, row, width), "")][:-1]


def _to_the_right(cells: Sequence[str]) -> bool:
    """Whether the cells of a column, each with the gap behind it, all end at its edge, and not all begin there."""
    written = [cell.removesuffix("  ") for cell in cells if cell.strip()]
    return any(cell.startswith(" ") for cell in written) and not any(cell.endswith(" ") for cell in written)


def _groups(rows: Sequence[Sequence[str]], width: int) -> list[dict[int, int]]:
    """The columns, with their widths, that stand beside each other; the first ones, and below them those indented.

    None takes more than half of the page, unless a word is longer.
    """
    groups: list[dict[int, int]] = [{}]
    for column, cells in enumerate(zip(*rows, strict=True)):
        wide = min(max(map(columns, cells)), max(_longest_word(cells), (width - _INDENT) // 2))
        if groups[-1] and sum(groups[-1].values()) + 2 * len(groups[-1]) + wide > width - _INDENT * (len(groups) > 1):
            groups.append({})
        groups[-1][column] = min(wide, width - _INDENT * (len(groups) > 1))
    return groups


def _longest_word(cells: Iterable[str]) -> int:
    return max((columns(word) for cell in cells for word in cell.split()), default=0)


def _stacked(row: Sequence[str], groups: Sequence[dict[int, int]], right: frozenset[int]) -> Iterator[str]:
    """A row in a line for each group, or in several where a single cell is wider than the page."""
    for number, group in enumerate(groups):
        numbers = frozenset(n for n, column in enumerate(group) if column in right)
        broken = [wrapped(row[column], w) or [""] for column, w in group.items()]
        for line in _broken_row(broken, list(group.values()), numbers):
            if line or not number:
                yield " " * _INDENT * (number > 0) + line


def _cut(line: str, bounds: Sequence[tuple[int, int]]) -> list[str]:
    """The cells of a line, which lie between these columns; the last one goes on to its end."""
    cells, at, cell = [""] * len(bounds), 0, 0
    for sign in line:
        while cell < len(bounds) - 1 and at >= bounds[cell + 1][0]:
            cell += 1
        cells[cell] += sign
        at += column_width(sign)
    return cells


def _widths(rows: Sequence[Sequence[str]], space: int) -> list[int] | None:
    """The widths of columns that share a space: the widest ones give way, none below its longest word."""
    widths = [max(map(columns, cells)) for cells in zip(*rows, strict=True)]
    least = [_longest_word(cells) for cells in zip(*rows, strict=True)]
    if sum(least) > space:
        return None
    while sum(widths) > space:
        widest = max((n for n in range(len(widths)) if widths[n] > least[n]), key=lambda n: widths[n])
        widths[widest] -= 1
    return widths


def _broken_row(cells: Sequence[Sequence[str]], widths: Sequence[int], right: frozenset[int]) -> list[str]:
    """A row in as many lines as its longest cell."""
    height = max(map(len, cells))
    lines = ([cell[n] if n < len(cell) else "" for cell in cells] for n in range(height))
    return [_line(line, widths, right) for line in lines]


def _listed(names: Sequence[str], row: Sequence[str], width: int) -> list[str]:
    """A row as a list: each cell beside its heading; one without a heading stands above the rest."""
    indent = max(map(columns, names)) + 2
    lines = []
    for name, cell in zip(names, row, strict=True):
        first = name + " " * (indent - columns(name)) if name else ""
        for part in wrapped(cell, max(width - columns(first), 1)) if cell else ():
            lines.append(first + part)
            first = " " * columns(first)
    return lines
