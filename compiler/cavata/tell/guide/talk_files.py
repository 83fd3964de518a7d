"""The files of a talk, each by its name: pictures, sounds, sentences, and a sheet of notes for the speaker.

In: the items of a talk, and how each is drawn and played. Out: names and contents. The sheet is HTML that can be
printed; it has the pictures small, the sentences, and the clock times.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from cavata.music.event import Motif, Texture
from cavata.sound.midi import midi_bytes
from cavata.tell.guide.guide import Guide
from cavata.tell.guide.html import page_of_html, picture_html, text
from cavata.tell.guide.media import Media
from cavata.tell.guide.pictures import Example
from cavata.tell.guide.talk import TalkItem, places_in_words
from cavata.tell.guide.words import Telling
from cavata.tell.map.png import png_bytes

NOTES = "00-speakers-notes.html"
_SCALE = 6.0
"""Points of a PNG to a point of the picture: 1872 across."""


def talk_files(
    guide: Guide, telling: Telling, items: tuple[TalkItem, ...], examples: Mapping[Motif | Texture, Example],
    media: Media,
) -> Iterator[tuple[str, bytes]]:
    """Every file. A PNG needs the extra `pictures`, an MP3 the extra `audio`; SVG and MIDI are always there."""
    yield NOTES, notes_html(guide, telling, items, media).encode("utf-8")
    for item in items:
        stem = item.stem(len(items))
        picture = media.svg[item.value]
        yield f"{stem}.svg", picture
        png = png_bytes(picture.decode("utf-8"), (), _SCALE)
        if png is not None:
            yield f"{stem}.png", png
        yield f"{stem}.mid", midi_bytes(examples[item.value].score)
        if item.value in media.mp3:
            yield f"{stem}.mp3", media.mp3[item.value]
        yield f"{stem}.txt", f"{item.sentence}\n".encode()


def notes_html(guide: Guide, telling: Telling, items: tuple[TalkItem, ...], media: Media) -> str:
    """The sheet of notes."""
    words = telling.language
    title = words.text("talk", "title", title=guide.header.title)
    lines = [f"<header>\n<h1>{text(title)}</h1>\n<p>{text(words.text('talk', 'about'))}</p>\n</header>", "<main>"]
    for item in items:
        heading = words.text("talk", "heading", number=item.number, title=item.title)
        lines += [
            f"<section>\n<h2>{text(heading)}</h2>", picture_html(media.svg[item.value], item.said),
            f"<p>{text(item.sentence)}</p>", f'<p class="facts">{text(item.said)}</p>',
        ]  # fmt: skip
        if item.places:
            rows = "".join(f"<li>{text(row)}</li>" for row in places_in_words(item.places, telling))
            lines += [f"<p>{text(words.text('talk', 'places'))}</p>", f'<ul class="forms">{rows}</ul>']
        lines.append("</section>")
    return page_of_html(words.code, title, [*lines, "</main>"])
