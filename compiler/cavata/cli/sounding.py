"""The files to listen to that `cavata build` makes, and what it says where they cannot be made."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from cavata.diagnostics.record import Diagnostics
from cavata.engrave.files import Content
from cavata.sound.fault import AudioFault, Lack

SOUNDS = frozenset(["wav", "mp3"])

_FAULTS = {
    Lack.EXTRA: (
        "O140", "there is no synthesiser here: {}",
        'install it with `pip install "cavata[audio]"`; MIDI and pages need none',
    ),
    Lack.SOUNDFONT: (
        "O141", "there are no sounds to play with: {}",
        "give the path of an SF2 file in `CAVATA_SOUNDFONT`, or unset it to play with the one of `cavata[audio]`",
    ),
    Lack.ROOM: (
        "O142", "the sound cannot be kept: {}", "make room in the folder for temporary files",
    ),
}  # fmt: skip


def sounds(
    midi: bytes, stem: str, formats: Sequence[str], bag: Diagnostics, say: Callable[[str], None]
) -> Iterator[tuple[str, Content]]:
    """Each sound that is wanted, by the name of its file; the WAV file piece by piece, as it may be long."""
    try:
        yield from _rendered(midi, stem, formats, say)
    except AudioFault as fault:
        code, message, cure = _FAULTS[fault.lack]
        bag.error(code, None, message.format(fault), "nothing was written", cure)


def _rendered(
    midi: bytes, stem: str, formats: Sequence[str], say: Callable[[str], None]
) -> Iterator[tuple[str, Content]]:
    from cavata.sound.audio import Sound
    from cavata.sound.mp3 import mp3_of

    sound = Sound(midi, watch=lambda share: say(f"playing it, {share:.0%}"))
    if "mp3" in formats:
        say("writing the MP3 file")
        yield f"{stem}.mp3", mp3_of(sound)
    if "wav" in formats:
        yield f"{stem}.wav", sound.wav()
