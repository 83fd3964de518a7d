"""The SoundFont: recordings of instruments that a synthesizer plays a MIDI file with.

In: nothing, or the environment variable `CAVATA_SOUNDFONT`, a path. Out: the bytes of an SF2 file. Without the variable
it is the file that the package pretty_midi brings along; the package itself is not imported.
"""

from __future__ import annotations

import os
from enum import Enum
from importlib.util import find_spec
from pathlib import Path

from cavata.diagnostics import Diagnostics
from cavata.wheels import player_wheel

# ----------------------------------------------------------------
# Why a piece could not be made to sound.


class MissingSound(Enum):
    """What is missing."""

    EXTRA = "extra"
    """The packages of the extra `audio`."""
    SOUNDFONT = "soundfont"
    """A SoundFont that can be read."""
    ROOM = "room"
    """Room for temporary files."""


class AudioFault(Exception):
    """Nothing can be heard; `lack` says what is missing, the text more of it."""

    def __init__(self, lack: MissingSound, text: str) -> None:
        super().__init__(text)
        self.lack = lack


_FAULTS = {
    MissingSound.EXTRA: (
        "O140", "there is no synthesizer here: {}",
        'install it with `pip install midirenderer pretty_midi soundfile`; MIDI and pages need none',
    ),
    MissingSound.SOUNDFONT: (
        "O141", "there are no sounds to play with: {}",
        "give the path of an SF2 file in `CAVATA_SOUNDFONT`, or unset it to play with the one that `pretty_midi` "
        "brings",
    ),
    MissingSound.ROOM: (
        "O142", "the sound cannot be kept: {}", "make room in the folder for temporary files",
    ),
}  # fmt: skip


def report_fault(fault: AudioFault, bag: Diagnostics) -> None:
    """Say that nothing can be heard, and what is to be done."""
    code, message, cure = _FAULTS[fault.lack]
    if fault.lack is MissingSound.EXTRA and not player_wheel():
        cure = "there is no package of it for this machine; the MIDI file needs none, and other programs play it"
    bag.error(code, None, message.format(fault), label="nothing was written", cure=cure)


# ----------------------------------------------------------------

VARIABLE = "CAVATA_SOUNDFONT"
_PACKAGE, _FILE = "pretty_midi", "TimGM6mb.sf2"


def soundfont() -> bytes:
    """The bytes of the SoundFont. Raises AudioFault where there is none or it is no SF2 file."""
    path = soundfont_file()
    try:
        data = path.read_bytes()
    except OSError as error:
        raise AudioFault(MissingSound.SOUNDFONT, f"cannot read `{path.name}`: {error.strerror or error}") from None
    if data[:4] != b"RIFF" or data[8:12] != b"sfbk":
        raise AudioFault(MissingSound.SOUNDFONT, f"`{path.name}` is not a SoundFont of the kind SF2")
    return data


def soundfont_file() -> Path:
    """Where the SoundFont lies, if it is there. Raises AudioFault where none is named and none was brought along."""
    own = os.environ.get(VARIABLE, "")
    return Path(own) if own else _brought_along()


def _brought_along() -> Path:
    spec = find_spec(_PACKAGE)
    if spec is None or not spec.submodule_search_locations:
        raise AudioFault(MissingSound.EXTRA, f"the package {_PACKAGE} is not installed")
    return Path(spec.submodule_search_locations[0]) / _FILE
