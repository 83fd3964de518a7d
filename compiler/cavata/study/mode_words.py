"""A mode as the command line names it: `D minor`, or one that the piece defines by its name.

In: the words, and the piece's own module. Out: the mode; a ValueError that says what is wrong with the words.
"""

from __future__ import annotations

from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.music.mode import MODES, Mode
from cavata.music.pitch import parse_pitch_class
from cavata.names.loader import Loaded
from cavata.names.modes import own_mode
from cavata.syntax import tree as t


def mode_of(text: str, loaded: Loaded) -> Mode:
    """The mode of those words."""
    for row in loaded.modules[loaded.main].declarations:
        if isinstance(row, t.OwnMode) and row.name.text == text and (own := own_mode(row, Diagnostics())):
            return own
    tonic, _, name = " ".join(text.split()).partition(" ")
    if name not in MODES:
        guess = closest(name, MODES, 1)
        raise ValueError(f"`{text}` is no mode" + (f"; did you mean `{tonic} {guess[0]}`?" if guess else ""))
    try:
        return Mode(parse_pitch_class(tonic), name)
    except ValueError:
        raise ValueError(f"`{tonic}` is no note to found a mode on") from None
