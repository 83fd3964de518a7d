"""The pictures and sounds of everything that a guide shows.

In: the guide's chapters. Out: media by the value shown. A value shown twice is made once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from cavata.lilypond.engraving import Failure
from cavata.music.event import Motif, Texture
from cavata.record import dataclass
from cavata.tell.guide.pictures import Example, example_of, pictures, sounds
from cavata.tell.guide.words import Chapter, Shown, Steps


@dataclass(frozen=True, slots=True)
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


def examples_of(chapters: tuple[Chapter, ...]) -> dict[Motif | Texture, Example]:
    """Each value that is shown, ready to be engraved and played."""
    return {value: example_of(value) for value in dict.fromkeys(shown.value for shown in shown_in(chapters))}


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
