"""The pictures and sounds of a guide: examples engraved in one run, and played.

In: values of the piece. Out: an SVG picture for each, with where its note heads are and when they sound, and a sound
where the extra `audio` is there. Each is kept in the user's cache folder by its content, so that the guide of a piece
in which little has changed makes only what is new.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache

from cavata import cache
from cavata.draft.engravers import Engraver, drawn_with
from cavata.lilypond.engrave import engrave, find_lilypond
from cavata.lilypond.engraving import EngravedFile, Engraving, EngravingFault, Failure
from cavata.lilypond.examples import MarkedStretch, example_block, heads_of, picture_text
from cavata.lilypond.kept import keep, kept, surroundings
from cavata.music.event import Motif, Texture
from cavata.musicxml.ids import identified_times
from cavata.notate.notate import notate
from cavata.notate.written import WrittenScore
from cavata.record import record
from cavata.score.clock import Clock
from cavata.score.score import Score
from cavata.tell.guide.examples import example_score
from cavata.tell.guide.light_svg import picture_address
from cavata.tell.guide.words import Chapter, Derivation, Shown


@record
class Example:
    """A value as it is shown: its score, its notation, and what names it in the cache."""

    score: Score
    written: WrittenScore
    key: str
    engraver: Engraver


def example_of(value: Motif | Texture, engraver: Engraver = Engraver.LILYPOND) -> Example:
    """A value, ready to be engraved and played."""
    score = example_score(value)
    written = notate(score)
    return Example(score, written, picture_name("followed picture", repr(written), engraver), engraver)


def picture_name(kind: str, content: str, engraver: Engraver = Engraver.LILYPOND) -> str:
    """A name for what is made of that content here: with another compiler, engraver or font it is another."""
    if engraver is Engraver.VEROVIO:
        return cache.key_of(f"draft {kind}", drawn_with(), content)
    program = find_lilypond()
    return cache.key_of(kind, _around("" if isinstance(program, Failure) else program), content)


@lru_cache(maxsize=1)
def _around(program: str) -> bytes:
    """What a page depends on beside its content; looked up once, since a guide has many pictures."""
    return surroundings(program)


@record
class Lit:
    """A note head of a picture, and when it sounds."""

    x: float
    """Its middle, in shares of the picture's width from the left."""
    y: float
    """In shares of its height from the top."""
    begin: float
    """In seconds from the beginning of the example."""
    end: float


@record
class Picture:
    """An example, drawn."""

    svg: bytes
    address: str
    """The picture as a page has it in itself."""
    lit: tuple[Lit, ...]
    """Its note heads in the order in which they sound."""


def pictures(examples: Sequence[Example], say: Callable[[str], None]) -> Mapping[str, Picture] | Failure:
    """The picture of each example, by its key; those not kept are engraved together."""
    before = {example.key: kept(example.key) for example in examples}
    found = {key: _unpacked(made) for key, made in before.items() if made is not None}
    missing = {example.key: example for example in examples if example.key not in found}
    if not missing:
        return found
    if next(iter(missing.values())).engraver is Engraver.VEROVIO:
        # Late, since music21 takes as long to load as a whole guide that was kept.
        from cavata.draft.examples import drawn_examples, heads_in

        drafts = drawn_examples([example.written for example in missing.values()], say)
        if isinstance(drafts, Failure):
            return drafts
        named = [
            (svg, [(x, y, times[name]) for x, y, name in heads_in(svg.decode("utf-8")) if name in times])
            for svg, times in zip(drafts, map(_times, missing.values()), strict=True)
        ]
        return found | _kept_as(missing, named)
    stretches = sorted({stretch for example in missing.values() for stretch in _times(example).values()})
    text = picture_text([example_block(example.written) for example in missing.values()], stretches)
    engraved = engrave(text, frozenset({"svg"}), progress=lambda phase: say(phase.value))
    if isinstance(engraved, Failure):
        return engraved
    files = engraved.of("svg")
    if len(files) != len(missing):
        return Failure(EngravingFault.ERROR, f"LilyPond drew {len(files)} examples instead of {len(missing)}")
    marked = [heads_of(file.data.decode("utf-8")) for file in files]
    black = [
        (svg.encode("utf-8"), [(x, y, stretches[number]) for x, y, number in heads]) for svg, heads in marked
    ]  # fmt: skip
    return found | _kept_as(missing, black)


def _times(example: Example) -> dict[str, MarkedStretch]:
    """When each note and chord begins and how long it is written, by its id."""
    timed = identified_times(example.written.movements[0])
    return {name: (begin, end - begin) for name, begin, end in timed}


def _kept_as(
    missing: Mapping[str, Example], drawn: Iterable[tuple[bytes, list[tuple[float, float, MarkedStretch]]]]
) -> dict[str, Picture]:
    """Pictures with when their heads sound, as the sound of an example has it: at its tempo."""
    made: dict[str, Picture] = {}
    for (key, example), (svg, heads) in zip(missing.items(), drawn, strict=True):
        clock = Clock(example.score.movements[0])

        def seconds(onset: Fraction, clock: Clock = clock) -> float:
            return round(float(clock.between(Fraction(0), onset)), 3)

        lit = [
            Lit(round(x, 4), round(y, 4), seconds(onset), seconds(onset + length)) for x, y, (onset, length) in heads
        ]  # fmt: skip
        address = picture_address(svg.decode("utf-8"))
        made[key] = Picture(svg, address, tuple(sorted(lit, key=lambda head: (head.begin, head.y))))
        keep(key, _packed(made[key]))
    return made


def _packed(picture: Picture) -> Engraving:
    rows = [(head.x, head.y, head.begin, head.end) for head in picture.lit]
    address, lit = picture.address.encode(), json.dumps(rows).encode()
    return Engraving((
        EngravedFile("svg", ".svg", picture.svg), EngravedFile("address", ".txt", address),
        EngravedFile("json", ".json", lit),
    ))  # fmt: skip


def _unpacked(engraving: Engraving) -> Picture:
    svg, address, rows = engraving.files
    return Picture(svg.data, address.data.decode(), tuple(Lit(*row) for row in json.loads(rows.data)))


def sounds(examples: Sequence[Example], say: Callable[[str], None]) -> Mapping[str, bytes]:
    """An MP3 of each example, by its key; nothing where no sound can be made. It is kept as a page is."""
    from cavata.sound.soundfont import VARIABLE, AudioFault

    font = os.environ.get(VARIABLE, "")
    found: dict[str, bytes] = {}
    for number, example in enumerate(examples, start=1):
        if example.key in found:
            continue
        key = picture_name("sound", f"{font} {example.key}")
        before = kept(key)
        if before is None:
            say(f"playing example {number} of {len(examples)}")
            try:
                before = Engraving((EngravedFile("mp3", ".mp3", _played(example)),))
            except (AudioFault, ImportError):
                return {}
            keep(key, before)
        found[example.key] = before.files[0].data
    return found


def _played(example: Example) -> bytes:
    from cavata.sound.audio import mp3_bytes
    from cavata.sound.midi import midi_bytes

    return mp3_bytes(midi_bytes(example.score))


# ----------------------------------------------------------------
# The pictures and sounds of everything that a guide shows.
#
# In: the guide's chapters. Out: media by the value shown. A value shown twice is made once.


@record
class Media:
    """Pictures and sounds by the values that they show; a value may be without a sound."""

    drawn: Mapping[Motif | Texture, Picture]
    mp3: Mapping[Motif | Texture, bytes]


def shown_in(chapters: tuple[Chapter, ...]) -> Iterator[Shown]:
    """Every example, in its order."""
    for chapter in chapters:
        for topic in chapter.topics:
            for block in topic.blocks:
                match block:
                    case Shown():
                        yield block
                    case Derivation(steps):
                        yield from (step.example for step in steps if step.example is not None)
                    case _:
                        pass


def examples_of(
    chapters: tuple[Chapter, ...], engraver: Engraver = Engraver.LILYPOND
) -> dict[Motif | Texture, Example]:
    """Each value that is shown, ready to be engraved and played."""
    return {value: example_of(value, engraver) for value in dict.fromkeys(shown.value for shown in shown_in(chapters))}


def media_of(examples: dict[Motif | Texture, Example], say: Callable[[str], None]) -> Media | Failure:
    """The media of examples; without sounds where the extra `audio` is not installed."""
    drawn = pictures(list(examples.values()), say)
    if isinstance(drawn, Failure):
        return drawn
    played = sounds(list(examples.values()), say)
    return Media(
        {value: drawn[example.key] for value, example in examples.items()},
        {value: played[example.key] for value, example in examples.items() if example.key in played},
    )
