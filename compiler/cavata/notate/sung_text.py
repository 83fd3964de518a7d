"""What is sung under each leaf: syllables with their hyphens, and lines where one is held over further notes.

In: a written staff whose events carry syllables. Out: the same staff, every leaf with what stands under it. Holds
after: a hyphen leads to another syllable; a line begins at the last syllable of a word and ends at the last note that
it is held over, tied notes among them. Source: common practice.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence

from cavata.notate.written import Item, Leaf, SungText, Tuplet, WrittenStaff, leaves
from cavata.record import replace

# ----------------------------------------------------------------
# Syllables of a script whose letters are joined: Arabic keeps the forms its letters have inside their word.
#
# In: a syllable, and the one of its word before it. Out: its text with a joiner, which is not seen, where a letter is
# joined to one of the next syllable or the one before. Source: the Unicode Standard, 9.2 (cursive joining) and 23.2
# (U+200D ZERO WIDTH JOINER); the letters that are joined on one side only are those of joining type R in
# `ArabicShaping.txt`, from memory.


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


def _with(item: Item, texts: Iterator[SungText | None]) -> Item:
    if isinstance(item, Tuplet):
        return replace(item, items=tuple(_with(inner, texts) for inner in item.items))
    text = next(texts)
    return item if text is None else replace(item, sung=text)


def sung_line(line: Sequence[Leaf]) -> list[SungText | None]:
    """For each leaf of a voice what is sung there; None for nothing."""
    found: list[SungText | None] = [None] * len(line)
    spoken = [index for index, leaf in enumerate(line) if leaf.marks.sung and leaf.marks.sung.text]
    before = ""
    for place, index in enumerate(spoken):
        syllable = line[index].marks.sung
        assert syllable is not None
        goes_on = syllable.goes_on and place + 1 < len(spoken)
        held = [] if goes_on else _held(line, index)
        text = joined(syllable.text, before, goes_on)
        found[index] = SungText(text, bool(before), goes_on, "begins" if held else "")
        for number in held:
            found[number] = SungText("", line="ends" if number == held[-1] else "goes on")
        before = syllable.text if goes_on else ""
    return found


def _held(line: Sequence[Leaf], index: int) -> list[int]:
    """The leaves after a syllable that it is held over: tied ones, and those that say so."""
    held = []
    for number in range(index + 1, len(line)):
        leaf = line[number]
        syllable = leaf.marks.sung
        tied = bool(leaf.heads) and all(head.tie_ends for head in leaf.heads)
        if not (tied or (leaf.heads and syllable is not None and not syllable.text)):
            break
        held.append(number)
    return held
