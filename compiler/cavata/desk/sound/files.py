"""The sound of a whole piece as files that go along with each other: of all parts together, and of each by itself.

In: a score, and what is heard of it. Out: for each group of parts an MP3 file, and the second at which each movement
begins in all of them. Holds after: all files are equally long, and together those of all parts sound as the piece.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from cavata.desk.sound.heard import SEAM, HeardPiece, sample_of
from cavata.score.score import Score
from cavata.sound.audio import Mp3File
from cavata.sound.audio_events import RATE
from cavata.sound.time import PAUSE

if TYPE_CHECKING:
    from cavata.sound.audio import Frames


def mp3_files(
    heard: HeardPiece, score: Score, groups: Sequence[Sequence[int]], watch: Callable[[float], None]
) -> tuple[list[bytes], list[float]]:
    """A file for each group of parts, by their numbers, and the second of each movement. Raises AudioFault."""
    files = [Mp3File() for _ in groups]
    starts: list[float] = []
    written = 0
    for begins, frames in _stretches(heard, score, groups, watch):
        if begins:
            starts.append(written / RATE)
        for number, file in enumerate(files):
            file.write(frames[:, 2 * number : 2 * number + 2])
        written += len(frames)
    return [file.closed() for file in files], starts


def _stretches(
    heard: HeardPiece, score: Score, groups: Sequence[Sequence[int]], watch: Callable[[float], None]
) -> Iterator[tuple[bool, Frames]]:
    """The sound, one stretch after another, and whether a movement begins with it; two channels for each group."""
    import numpy as np

    lasting = np.zeros((0, 2 * len(groups)), np.int32)
    for number, movement in enumerate(score.movements):
        watch(number / len(score.movements))
        if not movement.bars:
            yield True, lasting[:0]
            continue
        sounding, pieces = heard.movement(score, number)
        for place, piece in enumerate(pieces):
            frames = heard.frames(score, number, place, groups).astype(np.int32)
            length = sample_of(sounding, piece.end) - sample_of(sounding, piece.begin)
            is_last = place == len(pieces) - 1
            fade = np.linspace(0, 1, SEAM)[:, None]
            if place:
                frames[:SEAM] = np.rint(frames[:SEAM] * fade)
            if not is_last:
                frames[length:] = np.rint(frames[length:] * fade[::-1][: len(frames) - length])
            elif not movement.attacca and number < len(score.movements) - 1:
                length += round(PAUSE * RATE)
            mixed = np.zeros((max(len(frames), len(lasting), length), frames.shape[1]), np.int32)
            mixed[: len(frames)] = frames
            mixed[: len(lasting)] += lasting
            yield not place, mixed[:length]
            lasting = mixed[length:]
            watch((number + (place + 1) / len(pieces)) / len(score.movements))
    yield False, lasting
