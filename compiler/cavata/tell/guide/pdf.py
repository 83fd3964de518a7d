"""The guide as a PDF: text and examples set together by LilyPond, which is there anyway; no browser is needed.

In: what the guide says, and its examples. Out: the PDF, and the characters that no font has. Every word of the script
is a string literal.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import assert_never

from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving, Failure
from cavata.lilypond.examples import example_block, opening
from cavata.lilypond.kept import keep, kept
from cavata.lilypond.literals import ly_string
from cavata.music.event import Motif, Texture
from cavata.tell.guide.guide import Guide
from cavata.tell.guide.pictures import Example, picture_name
from cavata.tell.guide.words import (
    Block,
    Derivation,
    DerivationStep,
    LettersOverNotes,
    Listing,
    Remark,
    Sentence,
    Shown,
    Telling,
    Topic,
)

LETTERS_A_LINE = 12
BULLET = "•"
_FOOT = "\\markup \\fill-line { \\abs-fontsize #9 \\fromproperty #'page:page-number-string }"
_STAY = "\\noPageBreak"
_TITLE, _HEADING, _TOPIC, _BODY, _SMALL = 20, 15, 12.5, 10.5, 9.5
"""Sizes of letters in points."""
Examples = Mapping[Motif | Texture, Example]


def guide_pdf(guide: Guide, telling: Telling, examples: Examples, say: Callable[[str], None]) -> Engraving | Failure:
    """The PDF; one made before of the same content is taken from the cache."""
    key = picture_name("guide", "\n".join((_opening(guide), *_lines(guide, telling, examples))))
    before = kept(key)
    if before is not None:
        return before
    engraved = engrave(
        guide_ly(guide, telling, examples), frozenset({"pdf"}), progress=lambda phase: say(phase.value)
    )
    if not isinstance(engraved, Failure):
        keep(key, engraved)
    return engraved


def guide_ly(guide: Guide, telling: Telling, examples: Examples) -> str:
    """The guide as a text for LilyPond."""
    keys = {_mark(example): example for example in examples.values()}
    lines = (
        example_block(keys[line].written) if line in keys else line for line in _lines(guide, telling, examples)
    )
    return "\n".join([_opening(guide), *lines])


def _mark(example: Example) -> str:
    """What stands for an example until it is known that it must be set."""
    return f"% example {example.key}"


def _opening(guide: Guide) -> str:
    title, composer = guide.header.title[:200], guide.header.composer[:200]
    known = f"\\header {{ pdftitle = {ly_string(title)} pdfcomposer = {ly_string(composer)} tagline = ##f }}"
    return opening(
        '#(set-paper-size "a4")', "top-margin = 18\\mm", "bottom-margin = 16\\mm", "left-margin = 24\\mm",
        "right-margin = 24\\mm", "ragged-bottom = ##t", "ragged-last-bottom = ##t",
        "oddHeaderMarkup = ##f", "evenHeaderMarkup = ##f",
        f"oddFooterMarkup = {_FOOT}", f"evenFooterMarkup = {_FOOT}",
        "markup-markup-spacing.padding = #0.6", "score-markup-spacing.padding = #1.8",
        "markup-system-spacing.padding = #0.6", "markup-system-spacing.basic-distance = #1",
        "score-markup-spacing.basic-distance = #3",
    ) + known  # fmt: skip


# ------------------------------------------------------------------ blocks


def _lines(guide: Guide, telling: Telling, examples: Examples) -> Iterator[str]:
    yield from _paragraph(guide.header.title, _TITLE, "bold")
    for what, said in telling.under_the_title():
        yield from _paragraph(said, _BODY, "italic" if what == "subtitle" else "")
    for chapter in telling.chapters():
        yield _space(1.2)
        yield from _paragraph(chapter.title, _HEADING, "bold")
        yield _STAY
        for topic in chapter.topics:
            yield from _topic(topic, examples)
    yield _space(1)
    yield from _paragraph(telling.say("footer"), _SMALL)


def _topic(topic: Topic, examples: Examples) -> Iterator[str]:
    if topic.title:
        yield _space(0.6)
        yield _STAY
        yield from _paragraph(topic.title, _TOPIC, "bold")
        yield _STAY
    for number, block in enumerate(topic.blocks):
        yield from _block(block, examples)
        if topic.title and not number:
            yield _STAY


def _block(block: Block, examples: Examples) -> Iterator[str]:
    match block:
        case Sentence(said):
            yield from _paragraph(said)
        case Remark(said):
            yield from _paragraph(said, style="italic")
        case Listing(rows):
            for row in rows:
                yield from _paragraph(f"{BULLET} {row}")
        case LettersOverNotes():
            yield from _letters(block)
        case Shown():
            yield from _example(block, examples)
        case Derivation(steps):
            for number, step in enumerate(steps, start=1):
                yield from _step(number, step, examples)
        case _:
            assert_never(block)


def _step(number: int, step: DerivationStep, examples: Examples) -> Iterator[str]:
    yield from _paragraph(f"{number}. {step.text}")
    if step.example is not None:
        yield _STAY
        yield from _example(step.example, examples)


def _example(shown: Shown, examples: Examples) -> Iterator[str]:
    yield _mark(examples[shown.value])
    if shown.caption:
        yield _STAY
        yield from _paragraph(shown.caption, _SMALL)


def _letters(block: LettersOverNotes) -> Iterator[str]:
    for begin in range(0, len(block.pairs), LETTERS_A_LINE):
        columns = [
            f"\\center-column {{ \\abs-fontsize #13 \\bold {ly_string(letter)} "
            f"\\abs-fontsize #{_SMALL} {ly_string(note or block.says_silent)} }} \\hspace #1.6"
            for letter, note in block.pairs[begin : begin + LETTERS_A_LINE]
        ]
        yield f"\\markup \\sans \\line {{ {' '.join(columns)} }}"
    yield _space(0.3)
    yield _STAY


def _paragraph(said: str, size: float = _BODY, style: str = "") -> Iterator[str]:
    """A paragraph, broken into lines and over pages."""
    words = [ly_string(word) for word in said.split()]
    if words:
        look = {"bold": " \\bold", "italic": " \\italic"}.get(style, "")
        set_words = " ".join(f"\\abs-fontsize #{size:g}{look} {word}" for word in words)
        spaces = f"((baseline-skip . {size * 0.26:.2f}) (word-space . {size * 0.065:.2f}))"
        yield f"\\markuplist \\override-lines #'{spaces} {{ \\wordwrap-lines {{ {set_words} }} }}"


def _space(lines: float) -> str:
    return f"\\markup \\vspace #{lines:g}"
