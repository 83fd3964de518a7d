"""Sound in a compressed form, for pages with examples that can be played and for sending round.

In: the bytes of a Standard MIDI File, and from where to where. Out: an MP3 file (ISO/IEC 11172-3, layer III) of some
80,000 bits a second, a twentieth of the WAV file, which every browser plays. The same sound gives the same bytes.
"""

from __future__ import annotations

from io import BytesIO

from cavata.sound.audio import Sound
from cavata.sound.audio_events import RATE
from cavata.sound.fault import AudioFault, Lack

_COMPRESSION = 0.9
"""From 0 for the best sound to 1 for the smallest file."""
_FULL_SCALE = 32768


def mp3_bytes(midi: bytes, from_seconds: float = 0.0, to_seconds: float | None = None) -> bytes:
    """An MP3 file of the piece, or of a stretch of it. Raises AudioFault where something is missing."""
    with Sound(midi, from_seconds, to_seconds) as sound:
        return mp3_of(sound)


def mp3_of(sound: Sound) -> bytes:
    """An MP3 file of a sound. Raises AudioFault where the encoder is missing."""
    try:
        from soundfile import SoundFile
    except (ImportError, OSError):  # OSError: the package is there, and its library is not
        raise AudioFault(Lack.EXTRA, "the package soundfile is not installed") from None
    written = BytesIO()
    form = {"format": "MP3", "subtype": "MPEG_LAYER_III", "compression_level": _COMPRESSION}
    with SoundFile(written, "w", samplerate=RATE, channels=2, **form) as file:
        for frames in sound.frames():
            # As fractions of full scale: libsndfile 1.2 mixes up the channels of samples of 16 bits (measured).
            file.write((frames / _FULL_SCALE).astype("float32"))
    return written.getvalue()
