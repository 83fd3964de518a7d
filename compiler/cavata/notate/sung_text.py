"""What is sung under each leaf: syllables with their hyphens, and lines where one is held over further notes.

In: a written staff whose events carry syllables. Out: the same staff, every leaf with what stands under it. Holds
after: a hyphen leads to another syllable; a line begins at the last syllable of a word and ends at the last note that
it is held over, tied notes among them; where several verses stand under one tune each has its number. Source: common
practice.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cavata.music.event import Syllable, in_verse
from cavata.notate.written import Leaf, SungText, Tuplet, WrittenItem, WrittenStaff, leaves
from cavata.record import replace

# ----------------------------------------------------------------
# Syllables of a script whose letters are joined: Arabic keeps the forms its letters have inside their word.
#
# In: a syllable, and the one of its word before it. Out: its text with a joiner, which is not seen, where a letter is
# joined to one of the next syllable or the one before. Source: the Unicode Standard, 9.2 (cursive joining) and 23.2
# (U+200D ZERO WIDTH JOINER); the letters that are joined on one side only are those of joining type R in
# `ArabicShaping.txt`, from memory.


APOSTROPHE = "\u2019"
"""What is printed for a typewriter's apostrophe."""
JOINER = "\u200d"
_NOT_JOINED_TO_THE_NEXT = frozenset("\u0621اآأإٱدذرزوؤةژڑڈۀەۃۄۆۇۈۋۏ")


def joined(text: str, before: str, goes_on: bool) -> str:
    """The text of a syllable; `before` is the syllable that leads to it with a hyphen, if one does."""
    begins = JOINER if before and _joins_on(before) and _is_joined(_letters(text)[:1]) else ""
    return begins + text + (JOINER if goes_on and _joins_on(text) else "")


def _joins_on(text: str) -> bool:
    """Whether the last letter is joined to what follows."""
    last = _letters(text)[-1:]
    return _is_joined(last) and last not in _NOT_JOINED_TO_THE_NEXT


def _is_joined(letter: str) -> bool:
    return bool(letter) and unicodedata.name(letter, "").startswith("ARABIC LETTER") and letter != "\u0621"


def _letters(text: str) -> str:
    """The letters without the marks that stand on them."""
    return "".join(sign for sign in text if not unicodedata.category(sign).startswith("M"))


# ----------------------------------------------------------------

def with_sung_text(staff: WrittenStaff) -> WrittenStaff:
    """The staff with the text of each voice that has one."""
    for voice in range(max((len(bar.voices) for bar in staff.bars), default=0)):
        row = [bar.voices[voice] if voice < len(bar.voices) else () for bar in staff.bars]
        line = [leaf for items in row for leaf in leaves(items)]
        if any(leaf.marks.sung for leaf in line):
            texts = iter(sung_line(line))
            bars = []
            for bar, items in zip(staff.bars, row, strict=True):
                voices = list(bar.voices)
                if items:
                    voices[voice] = tuple(_with(item, texts) for item in items)
                bars.append(replace(bar, voices=tuple(voices)))
            staff = replace(staff, bars=tuple(bars))
    return staff


def _with(item: WrittenItem, texts: Iterator[tuple[SungText, ...]]) -> WrittenItem:
    if isinstance(item, Tuplet):
        return replace(item, items=tuple(_with(inner, texts) for inner in item.items))
    text = next(texts)
    return replace(item, sung=text) if text else item


def sung_line(line: Sequence[Leaf]) -> list[tuple[SungText, ...]]:
    """For each leaf of a voice what is sung there, verse by verse."""
    verses = sorted({syllable.verse for leaf in line for syllable in leaf.marks.sung})
    texts = [_of_verse(line, verse) for verse in verses]
    return _numbered(line, [tuple(text for text in at if text is not None) for at in zip(*texts, strict=True)])


def _of_verse(line: Sequence[Leaf], verse: int) -> list[SungText | None]:
    """For each leaf what one verse has there; None for nothing."""
    found: list[SungText | None] = [None] * len(line)
    sung = [in_verse(leaf.marks.sung, verse) for leaf in line]
    spoken = [(index, syllable) for index, syllable in enumerate(sung) if syllable is not None and syllable.text]
    before = ""
    for place, (index, syllable) in enumerate(spoken):
        goes_on = syllable.goes_on and place + 1 < len(spoken)
        held = [] if goes_on else _held(line, sung, index)
        text = joined(syllable.text.replace("'", APOSTROPHE), before, goes_on)
        found[index] = SungText(text, bool(before), goes_on, "begins" if held else "", verse)
        for number in held:
            found[number] = SungText("", line="ends" if number == held[-1] else "goes on", verse=verse)
        before = syllable.text if goes_on else ""
    return found


def _held(line: Sequence[Leaf], sung: Sequence[Syllable | None], index: int) -> list[int]:
    """The leaves after a syllable that it is held over: tied ones, and those that say so, also after rests."""
    held = []
    for number in range(index + 1, len(line)):
        leaf, syllable = line[number], sung[number]
        tied = bool(leaf.heads) and all(head.tie_ends for head in leaf.heads)
        if tied or (leaf.heads and syllable is not None and not syllable.text):
            held.append(number)
        elif leaf.heads:
            break
    return held


def _numbered(line: Sequence[Leaf], texts: Sequence[tuple[SungText, ...]]) -> list[tuple[SungText, ...]]:
    """The texts, each verse with its number where several begin together, again after words that stand alone.

    Source: common practice of hymnals.
    """
    numbered: set[int] = set()
    found = list(texts)
    for index, leaf in enumerate(line):
        if len(leaf.marks.sung) == 1:
            numbered.clear()
        if len(leaf.marks.sung) > 1:
            for verse in [text.verse for text in texts[index] if text.text and text.verse not in numbered]:
                numbered.add(verse)
                begins = _upbeat_of(line, index, verse)
                found[begins] = tuple(
                    replace(text, number=f"{verse}.") if text.verse == verse else text for text in found[begins]
                )
    return found


_UPBEAT = Fraction(1)
"""An upbeat is shorter than a whole note."""


def _upbeat_of(line: Sequence[Leaf], index: int, verse: int) -> int:
    """Where a verse begins of which another leaf has the first syllable beside other verses: there, or with an upbeat
    that it has alone in the same item.
    """
    event, begins = line[index].event, index
    for place in range(index - 1, -1, -1):
        before = line[place].event
        if before is None or all(head.tie_ends for head in line[place].heads):
            continue
        if event is None or (before.line, before.turn) != (event.line, event.turn):
            break
        sung = line[place].marks.sung
        if [syllable.verse for syllable in sung] != [verse] or event.onset - before.onset >= _UPBEAT:
            break
        begins = place if sung[0].text else begins
    return begins
