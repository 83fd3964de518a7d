"""The pictures and sounds of a guide: examples engraved in one run, and played.

In: values of the piece. Out: an SVG picture for each, and a sound where the extra `audio` is there. Each is kept in the
user's cache folder by its content, so that the guide of a piece in which little has changed makes only what is new.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from hashlib import sha256

from cavata import __version__
from cavata.emit.lilypond_examples import LAYOUT, example_block, picture_text
from cavata.engrave.engrave import engrave
from cavata.engrave.engraver import find_lilypond
from cavata.engrave.engraving import Failure, Fault
from cavata.kept import keep, kept
from cavata.music.event import Motif, Texture
from cavata.notate.notate import notate
from cavata.notate.written import WrittenScore
from cavata.place.score import Score
from cavata.resources import cache_folder
from cavata.story.examples import example_score
from cavata.value import dataclass

FOLDER = "guides"


@dataclass(frozen=True, slots=True)
class Example:
    """A value as it is shown: its score, its notation, and what names it in the cache."""

    score: Score
    written: WrittenScore
    key: str


def example_of(value: Motif | Texture) -> Example:
    """A value, ready to be engraved and played."""
    score = example_score(value)
    written = notate(score)
    return Example(score, written, _key("picture", repr(written)))


def _key(kind: str, content: str) -> str:
    """A name for what is made of that content here; another compiler or engraver makes another."""
    program = find_lilypond() if kind == "picture" else ""
    look = (picture_text(()), *LAYOUT) if kind == "picture" else ()
    said = "\n".join((kind, __version__, program if isinstance(program, str) else "", *look, content))
    return sha256(said.encode("utf-8", "surrogatepass")).hexdigest()


def pictures(examples: Sequence[Example], say: Callable[[str], None]) -> Mapping[str, bytes] | Failure:
    """The SVG of each example, by its key; those not kept are engraved in one run."""
    folder = cache_folder(FOLDER)
    found: dict[str, bytes] = {}
    for example in examples:
        data = kept(folder / f"{example.key}.svg")
        if isinstance(data, bytes):
            found[example.key] = data
    missing = {example.key: example for example in examples if example.key not in found}
    if not missing:
        return found
    text = picture_text([example_block(example.written) for example in missing.values()])
    engraved = engrave(text, frozenset({"svg"}), progress=lambda phase: say(phase.value))
    if isinstance(engraved, Failure):
        return engraved
    files = engraved.of("svg")
    if len(files) != len(missing):
        return Failure(Fault.ERROR, f"LilyPond drew {len(files)} examples instead of {len(missing)}")
    for key, file in zip(missing, files, strict=True):
        found[key] = file.data
        keep(folder / f"{key}.svg", file.data)
    return found


def sounds(examples: Sequence[Example], say: Callable[[str], None]) -> Mapping[str, bytes]:
    """An MP3 of each example, by its key; nothing where no sound can be made."""
    from cavata.emit.audio_fault import AudioFault

    folder = cache_folder(FOLDER)
    found: dict[str, bytes] = {}
    for number, example in enumerate(examples, start=1):
        if example.key in found:
            continue
        file = folder / f"{_key('sound', example.key)}.mp3"
        data = kept(file)
        if not isinstance(data, bytes):
            say(f"playing example {number} of {len(examples)}")
            try:
                data = _played(example)
            except (AudioFault, ImportError):
                return {}
            keep(file, data)
        found[example.key] = data
    return found


def _played(example: Example) -> bytes:
    from cavata.emit.audio import Sound
    from cavata.emit.audio_mp3 import mp3_of
    from cavata.emit.midi import midi_bytes

    with Sound(midi_bytes(example.score)) as sound:
        return mp3_of(sound)
