"""The guide as one page of HTML that holds everything it needs: style, pictures, sounds.

In: what the guide says, and its pictures and sounds. Out: the page. It is read on a phone, by a screen reader and on
paper: headings in order, landmarks, the notes of every picture in words. While an example is heard its note heads are
lit; where there is no sound, a button has them lit as if there were. Whatever the script says is text.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Sequence
from html import escape
from importlib import resources
from typing import assert_never

from cavata.tell.guide.guide import Guide
from cavata.tell.guide.light_svg import picture_address
from cavata.tell.guide.pictures import Media
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
from cavata.tell.map.svg import color_of
from cavata.text import plain_text


def guide_html(guide: Guide, telling: Telling, media: Media, drawn: str = "") -> str:
    """The page; `drawn` is the map of the piece, as SVG."""
    header, chapters = guide.header, telling.chapters()
    body = [
        f'<a class="skip" href="#main">{text(telling.say("skip"))}</a>', *_head(telling),
        *_contents(chapters, telling), '<main id="main">',
        *(line for chapter in chapters for line in _chapter(chapter, media, telling, drawn)), "</main>",
        f"<footer><p>{text(telling.say('footer'))}</p></footer>",
        *([f"<script>\n{_file('guide.js')}</script>"] if any(picture.lit for picture in media.drawn.values()) else ()),
    ]  # fmt: skip
    return page_of_html(telling.language.code, telling.say("title", title=header.title), body)


def page_of_html(code: str, title: str, body: Sequence[str]) -> str:
    """A whole page with its style, in the language of that code."""
    lines = [
        "<!DOCTYPE html>", f'<html lang="{code}">', "<head>", '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">', f"<title>{text(title)}</title>",
        f"<style>\n{_file('guide.css')}</style>", "</head>", "<body>", *body, "</body>", "</html>",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def picture_html(address: str, said: str) -> str:
    """A picture that says its notes in words."""
    return f'<img src="{address}" alt="{text(said)}">'


def text(said: str) -> str:
    """A text as HTML: nothing in it is markup."""
    return escape(plain_text(said), quote=True)


def _file(name: str) -> str:
    return resources.files("cavata.tell.guide").joinpath(name).read_text(encoding="utf-8")


def _head(telling: Telling) -> Iterator[str]:
    yield f"<header>\n<h1>{text(telling.guide.header.title)}</h1>"
    for what, said in telling.under_the_title():
        kind = f' class="{what}"' if what in ("subtitle", "facts") else ""
        yield f"<p{kind}>{text(said)}</p>"
    yield "</header>"


def _contents(chapters: tuple[Chapter, ...], telling: Telling) -> Iterator[str]:
    yield f'<nav aria-label="{text(telling.say("contents"))}">\n<ul>'
    yield from (f'<li><a href="#{chapter.key}">{text(chapter.title)}</a></li>' for chapter in chapters)
    yield "</ul>\n</nav>"


def _chapter(chapter: Chapter, media: Media, telling: Telling, drawn: str) -> Iterator[str]:
    kind = "program" if chapter.key == "program" else "chapter"
    yield f'<section class="{kind}" aria-labelledby="{chapter.key}">\n<h2 id="{chapter.key}">{text(chapter.title)}</h2>'
    for topic in chapter.topics:
        yield from _topic(topic, media)
    if chapter.key == "piece" and drawn:
        about = telling.language.text("map-about")
        title = telling.language.text("map-title", title=telling.guide.header.title)
        # On a phone it is moved sideways, so that its letters can be read.
        yield f'<figure class="map"><div role="region" aria-label="{text(title)}" tabindex="0">'
        yield f"{picture_html(picture_address(drawn), about)}</div><figcaption>{text(about)}</figcaption></figure>"
    yield "</section>"


def _inks(topic: Topic) -> str:
    """The colors of its names, as on the map: a stripe of each beside the heading."""
    if not topic.names:
        return ""
    share = 100 / len(topic.names)
    inks = [color_of(number) for number in topic.names]
    stops = ", ".join(f"{ink} {place * share:.4g}% {(place + 1) * share:.4g}%" for place, ink in enumerate(inks))
    return f' style="--ink: {inks[0]}; --inks: linear-gradient({stops})"'


def _topic(topic: Topic, media: Media) -> Iterator[str]:
    if topic.title:
        yield f"<article{_inks(topic)}>\n<h3>{text(topic.title)}</h3>"
    for block in topic.blocks:
        yield from _block(block, media)
    if topic.title:
        yield "</article>"


def _block(block: Block, media: Media) -> Iterator[str]:
    match block:
        case Sentence(said):
            yield f"<p>{text(said)}</p>"
        case Remark(said):
            yield f"<blockquote><p>{text(said)}</p></blockquote>"
        case Listing(rows):
            yield '<ul class="forms">' + "".join(f"<li>{text(row)}</li>" for row in rows) + "</ul>"
        case LettersOverNotes():
            yield _letters(block)
        case Shown():
            yield _figure(block, media)
        case Derivation(steps, whole):
            drawn = [media.drawn.get(step.example.value) for step in steps if step.example is not None]
            together = sum(picture is not None and bool(picture.lit) for picture in drawn) > 1
            yield f'<ol class="steps" data-whole="{text(whole)}">' if together else '<ol class="steps">'
            yield from (_step(step, media) for step in steps)
            yield "</ol>"
        case _:
            assert_never(block)


def _letters(block: LettersOverNotes) -> str:
    cells = [
        f'<li><b>{text(letter)}</b><span class="unseen"> {text(block.says_is)} </span><span>{text(note)}</span></li>'
        if note else f'<li class="silent"><b>{text(letter)}</b> <span>{text(block.says_silent)}</span></li>'
        for letter, note in block.pairs
    ]  # fmt: skip
    return f'<ol class="letters">{"".join(cells)}</ol>'


def _step(step: DerivationStep, media: Media) -> str:
    figure = _figure(step.example, media) if step.example is not None else ""
    return f"<li><p>{text(step.text)}</p>{figure}</li>"


def _figure(shown: Shown, media: Media) -> str:
    picture, sound = media.drawn.get(shown.value), media.mp3.get(shown.value)
    inside, followed = "", ""
    if picture is not None:
        inside += f'<div class="sheet">{picture_html(picture.address, shown.said)}</div>'
    if picture is not None and picture.lit:
        heads = ";".join(f"{head.x:g} {head.y:g} {head.begin:g} {head.end:g}" for head in picture.lit)
        followed = f' data-heads="{heads}"' + ("" if sound else f' data-follow="{text(shown.follow)}"')
    if shown.caption:
        inside += f"<figcaption>{text(shown.caption)}</figcaption>"
    if sound is not None:
        source, said = _data("audio/mpeg", sound), text(shown.listen)
        inside += f'<audio controls preload="none" src="{source}" aria-label="{said}"></audio>'
    return f"<figure{followed}>{inside}</figure>"


def _data(kind: str, data: bytes) -> str:
    return f"data:{kind};base64,{b64encode(data).decode('ascii')}"
