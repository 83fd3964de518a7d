"""Asking the compiler for the notes of a name: a script is built, compiled, and its motif's pitches read off."""

from __future__ import annotations

import re
from pathlib import Path

from cavata.music.event import Motif
from cavata.names.program import Identity
from cavata.pipeline import Compiled, compile_script
from cavata.resources import folder


def name_script(name: str, cipher: str, readings: str = "", *, own: str = "", written: str = "", form: str = "") -> str:
    """A script whose motif `line` is the name by a cipher of the library or by `own`, and then in the `form`."""
    out = f' written "{written}"' if written else ""
    return "\n".join(
        (
            "language 2",
            f"use {_LIBRARY} from ciphers",
            own,
            f'name subject = "{name}"{out} by {cipher}' + (f", {readings}" if readings else ""),
            f"motif line = subject {form}",
            "",
        )
    )


_SCRIPT = (folder("stdlib") / "ciphers.cavata").read_text("utf-8")
_LIBRARY = ", ".join(re.findall(r"^cipher (\w+)", _SCRIPT, re.MULTILINE))
"""Every cipher of the library."""


def compiled(script: str) -> Compiled:
    """The script through every pass."""
    return compile_script(Path("monogram.cavata"), text=script)


def motif_pitches(script: str, motif: str = "line") -> list[str]:
    """The pitches of a motif in order; the script must be without fault."""
    done = compiled(script)
    plan = done.plan
    assert done.bag.ordered() == () and plan is not None, done.bag.ordered()
    value = plan.values[Identity(plan.main, motif)]
    assert isinstance(value, Motif)
    return [str(head.pitch) for event in value.events for head in event.heads]


def pitches_of(name: str, cipher: str, readings: str = "", *, own: str = "") -> list[str]:
    """The pitches of a name, as `Bb4`."""
    return motif_pitches(name_script(name, cipher, readings, own=own))


def notes_of(name: str, cipher: str, readings: str = "", *, own: str = "") -> list[str]:
    """The note names of a name, as `Bb`."""
    return [pitch.rstrip("0123456789") for pitch in pitches_of(name, cipher, readings, own=own)]


def codes_of(script: str) -> list[str]:
    """The codes of all messages on a script."""
    return [diagnostic.code for diagnostic in compiled(script).bag.ordered()]
