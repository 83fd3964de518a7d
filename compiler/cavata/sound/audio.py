"""Sound from a MIDI file: 16 bits, two channels, 48,000 samples a second.

In: the bytes of a Standard MIDI File. Out: a WAV file, of the whole or of a stretch. The loudest sample lies just below
the highest that the format can say, whatever the piece's dynamics; the sound ends when the last note is
over and has died away.

A piece is rendered in stretches of some seconds, each with a lead that is thrown away, so that what was struck before
sounds on; neighbors are blended. So memory does not grow with the piece, and rendering can be watched and broken off.
The same MIDI file and SoundFont give the same bytes.
"""

from __future__ import annotations

import struct
import wave
from collections.abc import Callable, Iterator, Sequence
from io import BytesIO
from tempfile import TemporaryFile
from types import TracebackType
from typing import IO, TYPE_CHECKING

from cavata.sound.audio_events import (
    BLOCK,
    RATE,
    Happening,
    happenings,
    held_at,
    last_sample,
    midi_stretch,
    rendered_together,
)
from cavata.sound.balance import Probe, due_volumes, without_holes
from cavata.sound.soundfont import AudioFault, MissingSound, soundfont

if TYPE_CHECKING:
    import numpy
    from numpy.typing import NDArray

    Frames = NDArray[numpy.int32]
    """Samples of the left and the right, in rows."""
    Written = NDArray[numpy.int16]

_STRETCH = 16 * RATE
"""What is rendered at once: whole blocks, so that neighbors agree."""
_SEAM = 1024
"""Samples in which one stretch goes over into the next."""
_LEAD, _LONGEST_LEAD = 3 * RATE, 20 * RATE
"""What is rendered before a stretch and thrown away: the reverberation, and notes that sound on. One that began
still earlier is struck anew in the lead."""
_TAIL = 6 * RATE
"""The longest that a last note may sound on."""
_SILENT = 1000
"""The end is where nothing is louder than this part of the loudest sample: 60 dB below it."""
_FADE = RATE // 50
_FULL, _PEAK = 32767, 32400
"""The highest sample of 16 bits, and the loudest one written: 0.1 dB below."""
_QUIETER = 0.7
_KEPT, _WRITTEN = 8, 4
"""Bytes of a frame while it waits, two samples of four, and in a file."""
_MOST = 2**32 - 1
"""Bytes that a WAV file can count; a longer one, of more than six hours, is cut by its readers."""

Watching = Callable[[float], None]
"""Called with the share that is done, from 0 to 1."""


def wav_bytes(midi: bytes, from_seconds: float = 0.0, to_seconds: float | None = None) -> bytes:
    """A WAV file of the piece, or of a stretch of it, as bytes. Raises AudioFault where something is missing."""
    with Rendering(midi, from_seconds, to_seconds) as sound:
        return b"".join(sound.wav())


def wav_header(size: int, channels: int) -> bytes:
    """What a WAV file begins with that has so many bytes of samples, of 16 bits each."""
    frame = 2 * channels
    form = struct.pack("<IHHIIHH", 16, 1, channels, RATE, RATE * frame, frame, 16)
    sizes = struct.pack("<I", min(36 + size, _MOST)), struct.pack("<I", min(size, _MOST - 36))
    return b"".join((b"RIFF", sizes[0], b"WAVEfmt ", form, b"data", sizes[1]))


class Rendering:
    """A rendered piece, which waits in a temporary file until it is written out or closed."""

    def __init__(
        self, midi: bytes, from_seconds: float = 0.0, to_seconds: float | None = None, watch: Watching | None = None
    ) -> None:
        """Render; raises AudioFault where something is missing."""
        self._kept: IO[bytes] | None = None
        events = happenings(midi)
        begin = max(round(from_seconds * RATE), 0) // BLOCK * BLOCK
        end = last_sample(events) + _TAIL
        self._written_end = last_sample(events) - begin
        self._cut = to_seconds is not None and round(to_seconds * RATE) < end
        if to_seconds is not None:
            end = min(round(to_seconds * RATE), end)
        rendering = _Rendering(events, begin, max(end, begin), watch or (lambda share: None))
        try:
            level = 1.0
            while not self._render(rendering, level):
                level *= _QUIETER
        except OSError as error:
            self.close()
            raise AudioFault(MissingSound.ROOM, error.strerror or str(error)) from None
        except BaseException:
            self.close()
            raise

    def __enter__(self) -> Rendering:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Give the temporary file back."""
        if self._kept is not None:
            self._kept.close()

    @property
    def gain(self) -> float:
        """By how much every sample is multiplied."""
        return _PEAK / self._peak if self._peak else 1.0

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return self._frames / RATE

    @property
    def size(self) -> int:
        """Bytes of the samples in a WAV file."""
        return self._frames * _WRITTEN

    def wav(self) -> Iterator[bytes]:
        """The WAV file, piece by piece."""
        yield wav_header(self.size, 2)
        for frames in self.frames():
            yield frames.tobytes()

    def frames(self) -> Iterator[Written]:
        """The samples as they are written, stretch by stretch; at the very end they fade."""
        import numpy as np

        assert self._kept is not None
        self._kept.seek(0)
        for begin in range(0, self._frames, _STRETCH):
            count = min(_STRETCH, self._frames - begin)
            kept = np.frombuffer(self._kept.read(count * _KEPT), "<i4").reshape(-1, 2)
            away = np.minimum((self._frames - begin - np.arange(count)) / _FADE, 1.0)
            yield np.rint(kept * self.gain * away[:, None]).astype("<i2")

    def _render(self, rendering: _Rendering, level: float) -> bool:
        """Render everything into a temporary file; False where a sample was cut off, so that it must be quieter."""
        import numpy as np

        self.close()
        self._kept = TemporaryFile()  # noqa: SIM115 - it lives as long as the sound, which closes it
        self._peak = self._frames = 0
        loud: list[tuple[int, Frames]] = []
        for frames in rendering.stretches(level):
            if rendering.overflowed:
                return False
            self._peak = max(self._peak, int(np.abs(frames).max(initial=0)))
            self._kept.write(frames.astype("<i4").tobytes())
            loud = [*loud, (self._frames, frames)][-2:]
            self._frames += len(frames)
        if not self._cut:
            self._frames = max(self._last_heard(loud), min(self._written_end, self._frames))
        return True

    def _last_heard(self, ends: Sequence[tuple[int, Frames]]) -> int:
        """The frame after which nothing is heard, looked for in the last stretches; those before stay as they are."""
        import numpy as np

        for onset, frames in reversed(ends):
            heard = np.flatnonzero(np.abs(frames).max(axis=1) * _SILENT > self._peak)
            if len(heard):
                return min(onset + int(heard[-1]) + 1 + _FADE, self._frames)
        return ends[0][0] if ends else 0


class _Rendering:
    """Renders a piece, or a stretch of it, in stretches that follow one another without a seam."""

    def __init__(self, events: Sequence[Happening], begin: int, end: int, watch: Watching) -> None:
        self._synthesizer = Synthesizer()
        probe = Probe(self._synthesizer.frames)
        sounding, bent = without_holes(events, probe)
        apart = [
            tuple(event for event in sounding if event.channel in group) for group in rendered_together(sounding)
        ]
        self._groups = (*apart, bent) if bent else apart
        self._due = due_volumes(events, probe)
        self._begin, self._end, self._watch = begin, end, watch
        self.overflowed = False
        """Whether a sample was louder than the synthesizer can say."""

    def stretches(self, level: float) -> Iterator[Frames]:
        """Stretch after stretch, with volumes times the level."""
        import numpy as np

        self.overflowed = False
        seam = np.zeros((0, 2), np.int32)
        for begin in range(self._begin, self._end, _STRETCH):
            self._watch((begin - self._begin) / (self._end - self._begin))
            end = min(begin + _STRETCH, self._end)
            after = min(end + _SEAM, self._end)
            frames = np.zeros((after - begin, 2), np.int32)
            for events in self._groups:
                frames += self._group(events, begin, after, level)
            frames[: len(seam)] = _blended(seam, frames[: len(seam)])
            seam = frames[end - begin :]
            yield frames[: end - begin]

    def _group(self, events: Sequence[Happening], begin: int, end: int, level: float) -> Frames:
        lead = _lead(events, begin)
        levels = {channel: self._due.get(channel, 1.0) * level for channel in {event.channel for event in events}}
        played = self._synthesizer.frames(midi_stretch(events, begin - lead, end + BLOCK, levels))
        heard = played[lead : lead + end - begin]
        self.overflowed |= overflows(heard)
        return heard


class Synthesizer:
    """What plays a small MIDI file with the SoundFont."""

    def __init__(self) -> None:
        """Raises AudioFault where something is missing."""
        try:
            from midirenderer import render_wave_from
        except ImportError:
            raise AudioFault(MissingSound.EXTRA, "the package midirenderer is not installed") from None
        self._font, self._play = soundfont(), render_wave_from

    def frames(self, midi: bytes) -> Frames:
        """What is heard. Raises AudioFault if the SoundFont cannot be read."""
        import numpy as np

        try:
            data = self._play(self._font, midi)
        except RuntimeError as error:
            raise AudioFault(MissingSound.SOUNDFONT, f"the SoundFont cannot be read: {error}") from None
        with wave.open(BytesIO(data)) as file:
            return np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, 2).astype(np.int32)


def overflows(frames: Frames) -> bool:
    """Whether a sample was louder than the synthesizer can say."""
    return bool((frames >= _FULL).any() or (frames < -_FULL).any())


def _lead(events: Sequence[Happening], begin: int) -> int:
    """How much is rendered before a stretch: from where the oldest note began that sounds there."""
    oldest = min((held.since for held in held_at(events, begin)), default=begin)
    wanted = min(max(_LEAD, begin - oldest), _LONGEST_LEAD, begin)
    return min(-(-wanted // BLOCK) * BLOCK, begin)


def _blended(before: Frames, after: Frames) -> Frames:
    import numpy as np

    share = (np.arange(len(after)) / max(len(after), 1))[:, None]
    return np.rint(before * (1 - share) + after * share).astype(np.int32)


# ----------------------------------------------------------------
# Sound in a compressed form, for pages with examples that can be played and for sending round.
#
# In: the bytes of a Standard MIDI File, and from where to where. Out: an MP3 file (ISO/IEC 11172-3, layer III) of some
# 80,000 bits a second, a twentieth of the WAV file, which every browser plays. The same sound gives the same bytes.


_COMPRESSION = 0.9
"""From 0 for the best sound to 1 for the smallest file."""
_FULL_SCALE = 32768


def mp3_bytes(midi: bytes) -> bytes:
    """An MP3 file of the piece. Raises AudioFault where something is missing."""
    with Rendering(midi) as sound:
        return mp3_of(sound)


def mp3_of(sound: Rendering) -> bytes:
    """An MP3 file of a sound. Raises AudioFault where the encoder is missing."""
    file = Mp3File()
    for frames in sound.frames():
        file.write(frames)
    return file.closed()


class Mp3File:
    """An MP3 file that is written stretch by stretch."""

    def __init__(self) -> None:
        """Raises AudioFault where the encoder is missing."""
        try:
            from soundfile import SoundFile
        except (ImportError, OSError):  # OSError: the package is there, and its library is not
            raise AudioFault(MissingSound.EXTRA, "the package soundfile is not installed") from None
        self._written = BytesIO()
        form = {"format": "MP3", "subtype": "MPEG_LAYER_III", "compression_level": _COMPRESSION}
        self._file = SoundFile(self._written, "w", samplerate=RATE, channels=2, **form)

    def write(self, frames: Written | Frames) -> None:
        """Go on with these samples, left and right."""
        # As fractions of full scale: libsndfile 1.2 mixes up the channels of samples of 16 bits (measured).
        self._file.write((frames / _FULL_SCALE).astype("float32"))

    def closed(self) -> bytes:
        """The whole file; nothing more can be written."""
        self._file.close()
        return self._written.getvalue()
