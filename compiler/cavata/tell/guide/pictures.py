"""The pictures and sounds of a guide: examples engraved in one run, and played.

In: values of the piece. Out: an SVG picture for each, and a sound where the extra `audio` is there. Each is kept in the
user's cache folder by its content, so that the guide of a piece in which little has changed makes only what is new.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache

from cavata import cache
from cavata.draft.engravers import Engraver, drawn_with
from cavata.lilypond.engrave import engrave, find_lilypond
from cavata.lilypond.engraving import EngravedFile, Engraving, Failure, Fault
from cavata.lilypond.examples import example_block, picture_text
from cavata.lilypond.kept import keep, kept, surroundings
from cavata.music.event import Motif, Texture
from cavata.notate.notate import notate
from cavata.notate.written import WrittenScore
from cavata.record import record
from cavata.score.score import Score
from cavata.tell.guide.examples import example_score
from cavata.tell.guide.words import Chapter, Shown, Steps


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
    return Example(score, written, key_of("picture", repr(written), engraver), engraver)


def key_of(kind: str, content: str, engraver: Engraver = Engraver.LILYPOND) -> str:
    """A name for what is made of that content here: with another compiler, engraver or font it is another."""
    if engraver is Engraver.VEROVIO:
        return cache.key_of(f"draft {kind}", drawn_with(), content)
    program = find_lilypond()
    return cache.key_of(kind, _around("" if isinstance(program, Failure) else program), content)


@lru_cache(maxsize=1)
def _around(program: str) -> bytes:
    """What a page depends on beside its content; looked up once, since a guide has many pictures."""
    return surroundings(program)


def pictures(examples: Sequence[Example], say: Callable[[str], None]) -> Mapping[str, bytes] | Failure:
    """The SVG of each example, by its key; those not kept are engraved together."""
    before = {example.key: kept(example.key) for example in examples}
    found = {key: made.files[0].data for key, made in before.items() if made is not None}
    missing = {example.key: example for example in examples if example.key not in found}
    if not missing:
        return found
    if next(iter(missing.values())).engraver is Engraver.VEROVIO:
        # Late, since music21 takes as long to load as a whole guide that was kept.
        from cavata.draft.examples import drawn_examples

        drafts = drawn_examples([example.written for example in missing.values()], say)
        return drafts if isinstance(drafts, Failure) else found | _kept_as(missing, drafts)
    text = picture_text([example_block(example.written) for example in missing.values()])
    engraved = engrave(text, frozenset({"svg"}), progress=lambda phase: say(phase.value))
    if isinstance(engraved, Failure):
        return engraved
    files = engraved.of("svg")
    if len(files) != len(missing):
        return Failure(Fault.ERROR, f"LilyPond drew {len(files)} examples instead of {len(missing)}")
    return found | _kept_as(missing, [file.data for file in files])


def _kept_as(keys: Iterable[str], pictures: Sequence[bytes]) -> dict[str, bytes]:
    made = dict(zip(keys, pictures, strict=True))
    for key, data in made.items():
        keep(key, Engraving((EngravedFile("svg", ".svg", data),)))
    return made


def sounds(examples: Sequence[Example], say: Callable[[str], None]) -> Mapping[str, bytes]:
    """An MP3 of each example, by its key; nothing where no sound can be made. It is kept as a page is."""
    from cavata.sound.soundfont import VARIABLE, AudioFault

    font = os.environ.get(VARIABLE, "")
    found: dict[str, bytes] = {}
    for number, example in enumerate(examples, start=1):
        if example.key in found:
            continue
        key = key_of("sound", f"{font} {example.key}")
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

    svg: Mapping[Motif | Texture, bytes]
    mp3: Mapping[Motif | Texture, bytes]


def shown_in(chapters: tuple[Chapter, ...]) -> Iterator[Shown]:
    """Every example, in its order."""
    for chapter in chapters:
        for topic in chapter.topics:
            for block in topic.blocks:
                match block:
                    case Shown():
                        yield block
                    case Steps(steps):
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
