"""Material for a talk: for each name and each step of each theme a picture, a sound and a sentence.

In: the guide and a language. Out: items in the order of first hearing, numbered from 1, each with the places at which
it is heard. What leads to a theme has no place of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from cavata.music.event import Motif, Texture
from cavata.names import program as p
from cavata.record import record, replace
from cavata.sound.midi import midi_bytes
from cavata.tell.guide.guide import Guide, GuideName, GuideTheme
from cavata.tell.guide.html import page_of_html, picture_html, text
from cavata.tell.guide.pictures import Example, Media
from cavata.tell.guide.words import Telling, titled
from cavata.tell.map.drawing import png_bytes
from cavata.tell.places import NamedPlace
from cavata.text import hyphenated

MOST_PLACES = 8
"""So many places of an item are named in the notes; the rest is counted."""


@record
class TalkItem:
    """One thing to show, play and say."""

    number: int
    identifier: str
    """Of the name or theme, for the files' names."""
    title: str
    sentence: str
    said: str
    """The notes in words."""
    value: Motif | Texture
    places: tuple[NamedPlace, ...]

    def stem(self, count: int) -> str:
        """What its files are called, as `03-hail`; numbers have as many digits as the last of so many needs."""
        digits = max(2, len(str(count)))
        name = hyphenated(self.identifier)
        return f"{self.number:0{digits}}-{name}" if name else f"{self.number:0{digits}}"


def talk_of(guide: Guide, telling: Telling) -> tuple[TalkItem, ...]:
    """The items of a talk: names first, then themes, then tunes that no name gave."""
    items = [
        *(_name(guide, name, telling) for name in guide.names),
        *(item for theme in guide.themes for item in _steps(guide, theme, telling)),
        *(_tune(guide, tune, telling) for tune in guide.tunes),
    ]
    return tuple(replace(item, number=number) for number, item in enumerate(items, start=1))


def _name(guide: Guide, name: GuideName, telling: Telling) -> TalkItem:
    notes = telling.say("example-name", name=name.called, notes=telling.notes(name.line))
    sentence = telling.cipher_sentence(name)
    indexed = next(found for found in guide.index.names if found.name == name.identity.name)
    firsts: dict[str, NamedPlace] = {}
    for entry in indexed.entries:
        firsts.setdefault(entry.place.movement.name, entry.place)
    return TalkItem(0, name.identity.name, name.called, sentence, notes, name.line, tuple(firsts.values()))


def _steps(guide: Guide, theme: GuideTheme, telling: Telling) -> Iterator[TalkItem]:
    """A theme's steps as far as they change what sounds; one that is a name or theme as it stands is told once."""
    shown = [step for step in theme.steps if step.changed]
    told = shown[1:] if len(shown) > 1 and telling.is_told_elsewhere(shown[0]) else shown
    for number, step in enumerate(told, start=1):
        title = titled(theme)
        if len(told) > 1:
            title = telling.language.text("talk-step", title=title, number=number)
        places = _places(guide, theme) if step is told[-1] else ()
        sentence = telling.step_text(step)
        if number == 1 and told is not shown and isinstance(step.done, p.Reference):
            sentence = f"{telling.step_text(shown[0])} {sentence}"  # what is added says nothing by itself
        yield TalkItem(0, theme.identity.name, title, sentence, telling.notes(step.value), step.value, places)


def _tune(guide: Guide, tune: GuideTheme, telling: Telling) -> TalkItem:
    value = tune.steps[-1].value
    sentence = telling.language.text("talk-tune")
    return TalkItem(
        0, tune.identity.name, titled(tune), sentence, telling.notes(value), value, _places(guide, tune)
    )  # fmt: skip


def _places(guide: Guide, theme: GuideTheme) -> tuple[NamedPlace, ...]:
    """Where a theme is heard under its own name; where nowhere, where it is first heard in another."""
    own = [entry.place for entry in guide.index.themes if entry.theme == entry.by == theme.identity.name]
    return tuple(own) or (theme.first,)


def places_in_words(places: Sequence[NamedPlace], telling: Telling) -> tuple[str, ...]:
    """Clock, movement and bar of each place, as many as the notes name; one that is repeated with every time."""
    rows = [
        telling.language.text(
            "talk-place", clock=telling.language.listed(place.clocks), movement=place.movement_title,
            place=telling.place(place),
        )  # fmt: skip
        for place in places[:MOST_PLACES]
    ]
    if len(places) > MOST_PLACES:
        rows.append(telling.language.text("talk-more", count=len(places) - MOST_PLACES))
    return tuple(rows)


# ----------------------------------------------------------------
# The files of a talk, each by its name: pictures, sounds, sentences, and a sheet of notes for the speaker.
#
# In: the items of a talk, and how each is drawn and played. Out: names and contents. The sheet is HTML that can be
# printed; it has the pictures small, the sentences, and the clock times.


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
        picture = media.drawn[item.value].svg
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
    title = words.text("talk-title", title=guide.header.title)
    lines = [f"<header>\n<h1>{text(title)}</h1>\n<p>{text(words.text('talk-about'))}</p>\n</header>", "<main>"]
    for item in items:
        heading = words.text("talk-heading", number=item.number, title=item.title)
        lines += [
            f"<section>\n<h2>{text(heading)}</h2>", picture_html(media.drawn[item.value].address, item.said),
            f"<p>{text(item.sentence)}</p>", f'<p class="facts">{text(item.said)}</p>',
        ]  # fmt: skip
        if item.places:
            rows = "".join(f"<li>{text(row)}</li>" for row in places_in_words(item.places, telling))
            lines += [f"<p>{text(words.text('talk-places'))}</p>", f'<ul class="forms">{rows}</ul>']
        lines.append("</section>")
    return page_of_html(words.code, title, [*lines, "</main>"])
