"""The guide as a PDF where there is no LilyPond: text and drafts of its examples, set together by typst.

In: what the guide says, and pictures of its examples. Out: the PDF, with headings that a screen reader finds. Every
word of the script is a string literal.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from cavata.draft.engravers import Engraver
from cavata.draft.examples import WIDTH_MM
from cavata.draft.fonts import TEXT
from cavata.draft.music import for_typesetting
from cavata.draft.other_scripts import missing_from, with_other_fonts
from cavata.draft.typesetting import typeset, typst_string
from cavata.lilypond.engraving import EngravedFile, Engraving, Failure, Fault
from cavata.lilypond.kept import keep, kept
from cavata.tell.guide.guide import Guide
from cavata.tell.guide.pdf import BULLET, LETTERS_A_LINE, Examples
from cavata.tell.guide.pictures import Media, key_of
from cavata.tell.guide.words import (
    Block,
    LettersOverNotes,
    Listing,
    Remark,
    Sentence,
    Shown,
    Steps,
    Telling,
    Topic,
)

_TITLE, _HEADING, _TOPIC, _BODY, _SMALL, _LETTER = 20, 15, 12.5, 10.5, 9.5, 13
"""Sizes of letters in points."""


def draft_pdf(guide: Guide, telling: Telling, examples: Examples, media: Media) -> Engraving | Failure:
    """The PDF; one made before of the same content is taken from the cache."""
    document = "\n".join((*_opening(guide, telling), *_lines(guide, telling, examples)))
    key = key_of("guide", document, Engraver.VEROVIO)
    before = kept(key)
    if before is not None:
        return before
    pictures = {
        f"{examples[value].key}.svg": with_other_fonts(for_typesetting(svg.decode("utf-8")))
        for value, svg in media.svg.items()
    }
    try:
        (data,) = typeset(document, pictures, "pdf")
    except RuntimeError as problem:
        return Failure(Fault.ERROR, f"typst could not set the guide: {str(problem).splitlines()[0][:200]}")
    except OSError as problem:
        return Failure(Fault.DISK, f"the guide could not be set: {problem.strerror or problem}")
    made = Engraving((EngravedFile("pdf", ".pdf", data),), missing_from((document, *pictures.values())))
    keep(key, made)
    return made


def _opening(guide: Guide, telling: Telling) -> Iterator[str]:
    title, author = typst_string(guide.header.title[:200]), typst_string(guide.header.composer[:200])
    yield f"#set document(title: {title}, author: {author})"
    yield '#set page("a4", margin: (top: 18mm, bottom: 16mm, x: 24mm), numbering: "1")'
    yield f"#set text(font: {typst_string(TEXT)}, size: {_BODY}pt)"
    for level, size in ((1, _TITLE), (2, _HEADING), (3, _TOPIC)):
        yield f"#show heading.where(level: {level}): set text(size: {size}pt)"


def _lines(guide: Guide, telling: Telling, examples: Examples) -> Iterator[str]:
    header = guide.header
    yield _heading(header.title, 1)
    for said, style in ((header.subtitle, "italic"), (header.dedication, "normal")):
        yield from _paragraph(said, style=style)
    if header.composer:
        yield from _paragraph(telling.say("by", composer=header.composer))
    for chapter in telling.chapters():
        yield _heading(chapter.title, 2)
        for topic in chapter.topics:
            yield from _topic(topic, examples)
    yield "#v(1em)"
    yield from _paragraph(telling.say("footer"), _SMALL)


def _topic(topic: Topic, examples: Examples) -> Iterator[str]:
    if topic.title:
        yield _heading(topic.title, 3)
    for block in topic.blocks:
        yield from _block(block, examples)


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
        case Steps(steps):
            for number, step in enumerate(steps, start=1):
                yield from _paragraph(f"{number}. {step.text}", sticky=step.example is not None)
                if step.example is not None:
                    yield from _example(step.example, examples)
        case _:
            assert_never(block)


def _example(shown: Shown, examples: Examples) -> Iterator[str]:
    name = typst_string(f"{examples[shown.value].key}.svg")
    sticky = "true" if shown.caption else "false"
    yield f"#block(sticky: {sticky}, image({name}, width: {WIDTH_MM}mm, alt: {typst_string(shown.said)}))"
    if shown.caption:
        yield from _paragraph(shown.caption, _SMALL)


def _letters(block: LettersOverNotes) -> Iterator[str]:
    for begin in range(0, len(block.pairs), LETTERS_A_LINE):
        columns = (
            f"align(center, stack(spacing: 4pt, text(size: {_LETTER}pt, weight: \"bold\", {typst_string(letter)}), "
            f"text(size: {_SMALL}pt, {typst_string(note or block.says_silent)})))"
            for letter, note in block.pairs[begin : begin + LETTERS_A_LINE]
        )
        yield f"#block(sticky: true, stack(dir: ltr, spacing: 12pt, {', '.join(columns)}))"


def _heading(said: str, level: int) -> str:
    return f"#heading(level: {level}, text({typst_string(said)}))"


def _paragraph(said: str, size: float = _BODY, style: str = "normal", sticky: bool = False) -> Iterator[str]:
    """A paragraph; a sticky one stays on the page of what follows."""
    if said.strip():
        stays, words = "true" if sticky else "false", typst_string(" ".join(said.split()))
        yield f'#block(sticky: {stays}, text(size: {size:g}pt, style: "{style}", {words}))'
