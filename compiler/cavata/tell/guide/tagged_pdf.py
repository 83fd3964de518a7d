"""The guide as a tagged PDF, set by typst: designed as the page is, and read by screen readers.

In: what the guide says, pictures of its examples by either engraver, and the map. Out: the PDF, with headings, lists
of steps, and the notes of every picture in words. Every word of the script is a string literal. A guide of more pages
than a booklet has is set closer: themes and tunes in two columns, letters beside their notes, less white.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib.util import find_spec
from io import BytesIO
from itertools import groupby
from typing import assert_never

from cavata.draft.engravers import Engraver
from cavata.draft.fonts import TEXT
from cavata.draft.music import for_typesetting
from cavata.draft.other_scripts import missing_from, with_other_fonts
from cavata.draft.typesetting import typeset, typst_string
from cavata.lilypond.engraving import EngravedFile, Engraving, EngravingFault, Failure
from cavata.lilypond.kept import keep, kept
from cavata.record import record
from cavata.tell.guide.guide import Guide
from cavata.tell.guide.pdf import BULLET, LETTERS_A_LINE, Examples
from cavata.tell.guide.pictures import Media, picture_name
from cavata.tell.guide.words import (
    Block,
    Chapter,
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
from cavata.tell.map.drawing import FONT
from cavata.tell.map.svg import color_of

_TITLE, _HEADING, _TOPIC, _BODY, _SMALL, _LETTER = 26, 17, 14, 10.5, 9, 15
"""Sizes of letters in points."""
_CLOSE = 9.5
"""Of the body where pages are set closer."""
MOST_PAGES = 8
"""Of a booklet: two sheets of A4, folded and printed on both sides. A choice of ours."""
_BESIDE = 6
"""So many letters have room for their notes beside them."""
_NEEDED = ("typst", "verovio", "fontTools")
_MAP = "map.svg"
_BEFORE_THE_MAP = "<before-the-map>"
"""A place in typst's words, which stays where it is if the map begins a page."""
_SMALLEST_MAP = 0.7
"""Of its width: smaller it would be hard to read, and begins a page."""
_WHOLE = 110
"""Millimeters of what is told of a name or theme, up to which it stands on one page."""
_QUIET = "rgb(\"#cfc7b8\")"


def can_be_tagged() -> bool:
    """Whether what sets the pages, and the fonts that they are set in, are installed."""
    return all(find_spec(name) is not None for name in _NEEDED)


def tagged_pdf(
    guide: Guide, telling: Telling, examples: Examples, media: Media, drawn: str, engraver: Engraver
) -> Engraving | Failure:
    """The PDF; one made before of the same content is taken from the cache. `drawn` is the map, as SVG."""
    document = guide_document(guide, telling, examples)
    closer = guide_document(guide, telling, examples, is_close=True)
    key = picture_name("guide", f"{document}\n{closer}\n{drawn}", engraver)
    before = kept(key)
    if before is not None:
        return before
    pictures = guide_pictures(examples, media, drawn)
    try:
        (data,) = typeset(document, pictures, "pdf")
        if _pages_of(data) > MOST_PAGES:
            (data,) = typeset(closer, pictures, "pdf")
    except RuntimeError as problem:
        return Failure(EngravingFault.ERROR, f"typst could not set the guide: {str(problem).splitlines()[0][:200]}")
    except OSError as problem:
        return Failure(EngravingFault.DISK, f"the guide could not be set: {problem.strerror or problem}")
    made = Engraving((EngravedFile("pdf", ".pdf", data),), missing_from((document, *pictures.values())))
    keep(key, made)
    return made


def _pages_of(data: bytes) -> int:
    # Late, since a guide that was kept needs none of it.
    from pypdf import PdfReader

    return len(PdfReader(BytesIO(data)).pages)


@record
class _Pages:
    """How pages are set."""

    examples: Examples
    is_close: bool

    @property
    def body(self) -> float:
        """The size of what is read through."""
        return _CLOSE if self.is_close else _BODY

    @property
    def edge(self) -> int:
        """The margin above and below, in millimeters."""
        return 15 if self.is_close else 18


def guide_document(guide: Guide, telling: Telling, examples: Examples, is_close: bool = False) -> str:
    """The guide in typst's language."""
    pages = _Pages(examples, is_close)
    return "\n".join((*_opening(guide, telling, pages), *_lines(guide, telling, pages)))


def guide_pictures(examples: Examples, media: Media, drawn: str) -> dict[str, str]:
    """The pictures that the document names, as SVG in the fonts of the pages."""
    pictures = {
        f"{examples[value].key}.svg": with_other_fonts(for_typesetting(picture.svg.decode("utf-8")))
        for value, picture in media.drawn.items()
    }
    return {**pictures, _MAP: with_other_fonts(drawn.replace(FONT, TEXT))}


def _opening(guide: Guide, telling: Telling, pages: _Pages) -> Iterator[str]:
    title, author = typst_string(guide.header.title[:200]), typst_string(guide.header.composer[:200])
    yield f"#set document(title: {title}, author: {author})"
    side, leading = (20, 0.6) if pages.is_close else (25, 0.7)
    yield f'#set page("a4", margin: (y: {pages.edge}mm, x: {side}mm), footer: {_foot(telling)})'
    yield f"#set text(font: {typst_string(TEXT)}, size: {pages.body}pt, lang: {typst_string(telling.language.code)})"
    yield f"#set par(leading: {leading}em)"
    if pages.is_close:
        yield "#set block(spacing: 0.9em)"
    rule = f"v(2mm, weak: true) + line(length: 14mm, stroke: 0.5pt + {_QUIET})"
    for level, size, where, under in (
        (1, _TITLE, "center", ""), (2, _HEADING, "center", f" + {rule}"), (3, _TOPIC, "start", ""),
    ):  # fmt: skip
        said = f'text(size: {size}pt, weight: "regular", it.body)'
        yield (
            f"#show heading.where(level: {level}): it => block(sticky: true, width: 100%, "
            f"align({where}, {said}{under}))"
        )


def _foot(telling: Telling) -> str:
    """The number of the page, and on the last one by what the guide was made, which so needs no page of its own."""
    made = f"align(right, {_text(telling.say('footer'), _SMALL)})"
    last = f"if here().page() == counter(page).final().first() {{ {made} }}"
    return f"context grid(columns: (1fr, auto, 1fr), [], counter(page).display(), {last})"


def _lines(guide: Guide, telling: Telling, pages: _Pages) -> Iterator[str]:
    yield "#v(6mm)"
    yield _heading(guide.header.title, 1)
    for what, said in telling.under_the_title():
        if what == "note":
            yield from _paragraph(said)
        else:
            yield f"#align(center, {_text(said, style='italic' if what == 'subtitle' else 'normal')})"
    yield "#v(4mm)"
    for number, chapter in enumerate(telling.chapters()):
        yield from _chapter(chapter, number, telling, pages)


def _chapter(chapter: Chapter, number: int, telling: Telling, pages: _Pages) -> Iterator[str]:
    """A chapter under its heading."""
    yield f"#v({6 if number else 10}mm, weak: {'true' if pages.is_close else 'false'})"
    yield _heading(chapter.title, 2)
    if chapter.key == "program":
        said = "\n".join(line for topic in chapter.topics for line in _topic(topic, pages))
        yield f"#block(stroke: 0.5pt + {_QUIET}, inset: 5mm, width: 100%)[\n{said}\n]"
        return
    if pages.is_close and chapter.key in ("themes", "tunes"):
        yield _columns(chapter.topics, pages)
        return
    if chapter.key == "piece":
        *before, last = (block for topic in chapter.topics for block in topic.blocks)
        yield from (line for block in before for line in _block(block, pages, ""))
        assert isinstance(last, Sentence)  # not sticky: it stays here if the map begins a page
        yield from _paragraph(last.text)
        yield f"#metadata(none) {_BEFORE_THE_MAP}"
        yield _map(telling.language.text("map-about"), pages)
        return
    for topic in chapter.topics:
        yield from _topic(topic, pages)


def _map(about: str, pages: _Pages) -> str:
    """The map, and under it how it is read: on one page, the map somewhat smaller where the page has room for it so."""
    said = _text(about, _SMALL)
    return (
        "#layout(size => context {\n"
        f"  let drawn(share) = image({typst_string(_MAP)}, width: share * size.width, alt: {typst_string(about)})\n"
        f"  let said = block(width: size.width, {said})\n"
        f"  let above = query({_BEFORE_THE_MAP}).first().location().position().y\n"
        f"  let room = page.height - {pages.edge}mm - measure(said).height - 8mm\n"
        "  let height = measure(drawn(1)).height\n"
        "  let share = (room - above) / height\n"
        f"  let of-a-page = (room - {pages.edge}mm) / height\n"
        f"  let whole = drawn(calc.min(1, if share > {_SMALLEST_MAP} {{ share }} else {{ of-a-page }}))\n"
        "  block(breakable: false, [#align(center, whole) #said])\n"
        "})"
    )


def _topic(topic: Topic, pages: _Pages) -> Iterator[str]:
    """What is told of a name or theme, beside a stripe of its colors."""
    inside = [_heading(topic.title, 3)] if topic.title else []
    if topic.title and not topic.names:
        inside = [_tune(inside, topic, pages)]
    elif pages.is_close:
        inside += _closer(topic, pages)
    else:
        inside += (line for block in topic.blocks for line in _block(block, pages, _ink_of(topic)))
    if not topic.title:
        yield from inside
        return
    yield "#v(4mm, weak: true)"
    yield _striped(topic, inside, can_break=not pages.is_close)


def _ink_of(topic: Topic) -> str:
    return color_of(topic.names[0]) if topic.names else "#1c1a17"


def _striped(topic: Topic, inside: Iterable[str], can_break: bool) -> str:
    stripe = f"stroke: (left: 2.5pt + {_inks(topic.names)}), " if topic.names else ""
    said = "[\n" + "\n".join(inside) + "\n]"
    block = f"{stripe}inset: (left: 5mm, y: 1mm), width: 100%"
    if not can_break:
        return f"#block(breakable: false, {block}){said}"
    # What takes a good part of a page may go on on the next one, and nothing else.
    return (
        f"#layout(size => {{\n  let said = {said}\n"
        f"  let whole = measure(block(width: size.width - 5mm, said)).height < {_WHOLE}mm\n"
        f"  block(breakable: not whole, {block}, said)\n}})"
    )


def _closer(topic: Topic, pages: _Pages) -> Iterator[str]:
    """The blocks of a topic with less white: sentences that follow one another are one paragraph, a short name stands
    beside its notes."""
    blocks = [*topic.blocks]
    letters = [block for block in blocks if isinstance(block, LettersOverNotes)]
    music = [block for block in blocks if isinstance(block, Shown)]
    if len(letters) == len(music) == 1 and len(letters[0].pairs) <= _BESIDE:
        yield _beside(_letters(letters[0], _ink_of(topic)), _example(music[0], pages), ("auto", "1fr"))
        blocks = [block for block in blocks if block not in (*letters, *music)]
    for is_said, run in groupby(blocks, lambda block: isinstance(block, Sentence)):
        found = [*run]
        if is_said:
            said = " ".join(block.text for block in found if isinstance(block, Sentence))
            yield from _paragraph(said, sticky=found[-1] is not blocks[-1])
        else:
            yield from (line for block in found for line in _block(block, pages, _ink_of(topic)))


def _columns(topics: Iterable[Topic], pages: _Pages) -> str:
    """Themes or tunes in two columns, to be read from left to right."""
    cells = []
    for topic in topics:
        inside = [_heading(topic.title, 3)]
        said = [block.text for block in topic.blocks if isinstance(block, Sentence)]
        inside += _paragraph(" ".join(said))
        for block in topic.blocks:
            match block:
                case Sentence():
                    pass
                case Derivation(steps):
                    inside += _paragraph(" ".join(f"{number}. {step.text}" for number, step in enumerate(steps, 1)))
                    shown = _result(steps)
                    inside += _example(shown, pages) if shown is not None else ()
                case _:
                    inside += _block(block, pages, _ink_of(topic))
        cells.append(f"[\n{_striped(topic, inside, can_break=False)}\n]")
    return f"#grid(columns: (1fr, 1fr), column-gutter: 8mm, row-gutter: 4mm, {', '.join(cells)})"


def _inks(names: Iterable[int]) -> str:
    """The colors of names one below another."""
    inks = [f"rgb({typst_string(color_of(number))})" for number in names]
    if len(inks) == 1:
        return inks[0]
    share = 100 / len(inks)
    stops = (
        f"({ink}, {place * share:.4g}%), ({ink}, {(place + 1) * share:.4g}%)" for place, ink in enumerate(inks)
    )
    return f"gradient.linear({', '.join(stops)}, angle: 90deg)"


def _block(block: Block, pages: _Pages, ink: str) -> Iterator[str]:
    match block:
        case Sentence(said):
            yield from _paragraph(said, sticky=True)
        case Remark(said):
            yield from _paragraph(said, style="italic")
        case Listing(rows):
            cells = ", ".join(_text(f"{BULLET} {row}", _SMALL if pages.is_close else 0) for row in rows)
            columns, gutter = ("(1fr, 1fr, 1fr)", "1.5mm") if pages.is_close else ("(1fr, 1fr)", "2.5mm")
            yield f"#block(breakable: false, grid(columns: {columns}, gutter: {gutter}, {cells}))"
        case LettersOverNotes():
            yield from _letters(block, ink)
        case Shown():
            yield from _example(block, pages)
        case Derivation(steps):
            yield _steps(steps, pages)
        case _:
            assert_never(block)


def _steps(steps: tuple[DerivationStep, ...], pages: _Pages) -> str:
    """Each step in words, and at the right what has come of them; what sounds on the way is in the page for a screen,
    so that a booklet has some eight pages."""
    words = [line for number, step in enumerate(steps, 1) for line in _paragraph(f"{number}. {step.text}")]
    shown = _result(steps)
    return "\n".join(words) if shown is None else _beside(words, _example(shown, pages))


def _result(steps: tuple[DerivationStep, ...]) -> Shown | None:
    return next((step.example for step in reversed(steps) if step.example is not None), None)


def _tune(heading: list[str], topic: Topic, pages: _Pages) -> str:
    """A tune beside what is told of it."""
    music = [block for block in topic.blocks if isinstance(block, Shown)]
    words = [line for block in topic.blocks if block not in music for line in _block(block, pages, "")]
    return _beside([*heading, *words], (line for shown in music for line in _example(shown, pages)))


def _beside(words: Iterable[str], music: Iterable[str], columns: tuple[str, str] = ("2fr", "3fr")) -> str:
    cells = (f"[\n{chr(10).join(lines)}\n]" for lines in (words, music))
    return f"#block(breakable: false, grid(columns: ({', '.join(columns)}), gutter: 4mm, {', '.join(cells)}))"


def _example(shown: Shown, pages: _Pages) -> Iterator[str]:
    name = typst_string(f"{pages.examples[shown.value].key}.svg")
    sticky = "true" if shown.caption else "false"
    width = "100%" if pages.is_close else "88mm"
    yield f"#block(sticky: {sticky}, image({name}, width: {width}, alt: {typst_string(shown.said)}))"
    if shown.caption:
        yield from _paragraph(shown.caption, _SMALL)


def _letters(block: LettersOverNotes, ink: str) -> Iterator[str]:
    for begin in range(0, len(block.pairs), LETTERS_A_LINE):
        columns = (
            f"box(width: 12mm, stroke: (bottom: 2pt + {_ink(note, ink)}), inset: (bottom: 4pt), "
            f"align(center, stack(spacing: 5pt, {_text(letter, _LETTER)}, "
            f"{_text(note or block.says_silent, _SMALL, 'italic')})))"
            for letter, note in block.pairs[begin : begin + LETTERS_A_LINE]
        )
        yield f"#block(sticky: true, stack(dir: ltr, spacing: 2mm, {', '.join(columns)}))"


def _ink(note: str, ink: str) -> str:
    return f"rgb({typst_string(ink)})" if note else _QUIET


def _heading(said: str, level: int) -> str:
    return f"#heading(level: {level}, text({typst_string(said)}))"


def _paragraph(said: str, size: float = 0, style: str = "normal", sticky: bool = False) -> Iterator[str]:
    """A paragraph; a sticky one stays on the page of what follows."""
    if said.strip():
        yield f"#block(sticky: {'true' if sticky else 'false'}, {_text(said, size, style)})"


def _text(said: str, size: float = 0, style: str = "normal") -> str:
    """A text, in the size of the body where none is said."""
    sized = f"size: {size:g}pt, " if size else ""
    return f'text({sized}style: "{style}", {typst_string(" ".join(said.split()))})'
