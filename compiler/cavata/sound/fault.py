"""Why a piece could not be made to sound."""

from __future__ import annotations

from enum import Enum


class Lack(Enum):
    """What is missing."""

    EXTRA = "extra"
    """The packages of the extra `audio`."""
    SOUNDFONT = "soundfont"
    """A SoundFont that can be read."""
    ROOM = "room"
    """Room for temporary files."""


class AudioFault(Exception):
    """Nothing can be heard; `lack` says what is missing, the text more of it."""

    def __init__(self, lack: Lack, text: str) -> None:
        super().__init__(text)
        self.lack = lack
