"""What differs between Abjad 3.19 (Python 3.11) and 3.31 (3.13), in one place.

In: plain values. Out: Abjad objects, and Abjad's text in one form whatever the version: both print the same bytes.
Leaves are built from LilyPond strings, which is the only constructor both versions have.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterable
from contextlib import redirect_stderr
from copy import copy
from fractions import Fraction
from functools import lru_cache
from importlib import import_module
from io import StringIO
from typing import Any

from cavata.later import load_later

# Abjad 3.19 loads it for what makes its documentation, and with it Sphinx: half of the time that loading Abjad takes.
load_later("uqbar.apis")
import_module("uqbar.graphs")  # which that would have brought along

import abjad  # noqa: E402 - what it need not load is put off first

_MULTIPLIER = "dmp" if "dmp" in inspect.signature(abjad.Note.__init__).parameters else "multiplier"
_KINDS = {"r": abjad.Rest, "<": abjad.Chord, "s": abjad.Skip, "R": abjad.MultimeasureRest}
_TIMES = re.compile(r"^(\s*)\\times (\d+)/(\d+)$")
_FRACTION_TWEAK = r"\tweak text #tuplet-number::calc-fraction-text"
_MARKED = " % ratio"
"""Behind our own such line, since Abjad has the same one."""
_SHORT = re.compile(r"(256|512|1024)(\.*)$")
"""Values that Abjad's parser does not know."""


def leaf(text: str) -> Any:
    """A note `cs'4`, chord `<c' e'>4` or rest `r4`. A copy is made of one read before: reading costs ten times more."""
    return copy(_read(text))


def skip(duration: Fraction) -> Any:
    """Time without a sign, of any length in whole notes."""
    return copy(_read("s1", (duration.numerator, duration.denominator)))


def full_bar_rest(duration: Fraction) -> Any:
    """The rest that fills a bar of that length; a string with `*` would lose its multiplier."""
    return copy(_read("R1", (duration.numerator, duration.denominator)))


@lru_cache(maxsize=4096)
def _read(text: str, multiplier: tuple[int, int] | None = None) -> Any:
    short = _SHORT.search(text)
    if short is not None:
        return _lasting(copy(_read(text[: short.start()] + "4")), int(short[1]), len(short[2]))
    kind = _KINDS.get(text[0], abjad.Note)
    # Abjad's parser warns on the error output when it stores its tables for the first time.
    with redirect_stderr(StringIO()):
        return kind(text, **{_MULTIPLIER: multiplier})


def _lasting(made: Any, denominator: int, dots: int) -> Any:
    """The leaf with a value that Abjad writes but does not read; its attribute in one version is a method later."""
    value = abjad.Duration((2 ** (dots + 1)) - 1, denominator * 2**dots)
    if hasattr(made, "set_written_duration"):
        made.set_written_duration(value)
    else:
        made.written_duration = value
    return made


def note_heads(component: Any) -> tuple[Any, ...]:
    """The heads of a note or chord, lowest first: attributes of the older version, methods of the newer."""
    found = component.note_heads if isinstance(component, abjad.Chord) else component.note_head
    found = found() if callable(found) else found
    return tuple(found) if isinstance(component, abjad.Chord) else (found,)


def tuplet(actual: int, normal: int, items: Iterable[Any], shows_ratio: bool) -> Any:
    """`actual` notes in the time of `normal`; its number is one figure, or the ratio `11:8`."""
    made = abjad.Tuplet(f"{actual}:{normal}", list(items))
    if shows_ratio:
        literal(made, (_FRACTION_TWEAK + _MARKED,), "before")
    return made


def literal(component: Any, lines: Iterable[str], site: str) -> None:
    """Put lines of LilyPond `before` or `after` a component, in the order given."""
    abjad.attach(abjad.LilyPondLiteral(list(lines), site=site), component)


def consists(context: Any, engraver: str) -> None:
    """Have a context use one more engraver: an attribute of the older version, a method of the newer."""
    commands = context.consists_commands
    (commands() if callable(commands) else commands).append(engraver)


def simultaneous(container: Any) -> None:
    """Have what a container holds begin at once: an attribute of the older version, a method of the newer."""
    if hasattr(container, "set_simultaneous"):
        container.set_simultaneous(True)
    else:
        container.simultaneous = True


def text_of(component: Any) -> str:
    """Abjad's text for a component, the same from every version: `\\tuplet 3/2`, no tweaks of a version's own."""
    lines: list[str] = []
    # Without tags Abjad cuts every line at `%!`, also where a text holds it; there are no tags here.
    for line in abjad.lilypond(component, tags=True).splitlines():
        line = line.rstrip()
        times = _TIMES.match(line)
        if times:
            line = f"{times[1]}\\tuplet {times[3]}/{times[2]}"
        # Abjad 3.19 adds the ratio to some tuplets by itself: it stands only where `tuplet` puts it.
        if line.strip() != _FRACTION_TWEAK:
            lines.append(line.removesuffix(_MARKED))
    return "\n".join(lines) + "\n"
