"""Tables for a terminal: columns as wide as their widest cell, two spaces between."""

from __future__ import annotations

import re
import textwrap
import unicodedata
from collections.abc import Iterator, Sequence
from fractions import Fraction

# ----------------------------------------------------------------
# How much room text takes where every sign has one width, as in a terminal or an editor.
#
# Source: Unicode Standard Annex 11 (East Asian Width): wide and full-width signs take two columns; marks that stand
# over
# or under another sign, and signs that are not seen, take none.


_UNSEEN = frozenset(["Mn", "Me", "Cf"])
_JAMO = range(0x1160, 0x1200)
"""The vowels and final consonants of Hangul, which are written into the syllable's square."""


def fraction_text(value: Fraction) -> str:
    """A length as the language writes it, whole notes too: `1/4`, `2/1`."""
    return f"{value.numerator}/{value.denominator}"


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


def lines_of(text: str, width: int, most: int) -> tuple[str, ...]:
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
