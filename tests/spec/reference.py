"""Reading documents that hold scripts: fences, sections, and the values shown in comments.

In: Markdown. Out: whole scripts that can be compiled, with what their comments claim. The claims are
written as `notes(...)` writes a tune, and say as much as they show: names alone, octaves, durations, marks.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dressed import dress

from cavata.evaluate.plan import Value
from cavata.music.event import Event, Marks, Motif, Rhythm, Texture

_FENCE = re.compile(r"^```cavata\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_SECTION = re.compile(r"^(#{1,3}) (.*)$", re.MULTILINE)
_DECLARED = re.compile(r"^(?:name|cipher|rhythm|motif|figure|group) (\w+)|^transform (\w+)\(|^(forces)", re.MULTILINE)
_VALUE = re.compile(r"^(?:name|rhythm|motif) +(\w+) += .*?-- (.+)$")
_SOUND = re.compile(r"^ +-- (\w+(?:\.\w+)?): (.+)$")
_VERSION = re.compile(r"^version (\w+)")
_VERSION_SOUND = re.compile(r"^ +-- (\w+)/(\w+(?:\.\w+)?): (.+)$")
_MOVEMENT = re.compile(r"^(?:movement|cadenza) (\w+)")


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with the text below it, up to the next one."""

    level: int
    title: str
    text: str
    line: int


@dataclass(frozen=True, slots=True)
class Example:
    """A fenced script as it stands in a document."""

    text: str
    line: int

    @property
    def is_whole(self) -> bool:
        """Whether it can be compiled without anything before it."""
        return self.text.startswith("language ")


def sections(document: str) -> tuple[Section, ...]:
    """The sections of a document in order."""
    heads = list(_SECTION.finditer(_without_fences(document)))
    ends = [*(head.start() for head in heads[1:]), len(document)]
    return tuple(
        Section(len(head[1]), head[2].strip(), document[head.end() : end], document.count("\n", 0, head.start()) + 1)
        for head, end in zip(heads, ends, strict=True)
    )


def _without_fences(document: str) -> str:
    """The same length of text, nothing in its fences."""
    return re.sub(r"^```.*?^```$", lambda m: re.sub(r"[^\n]", " ", m[0]), document, flags=re.MULTILINE | re.DOTALL)


def examples(document: str) -> tuple[Example, ...]:
    """Every fence marked `cavata`."""
    return tuple(Example(m[1], document.count("\n", 0, m.start()) + 2) for m in _FENCE.finditer(document))


def completed(example: str, before: str) -> str:
    """A fragment with the declarations of `before` that it does not make itself."""
    own = {next(filter(None, m.groups())) for m in _DECLARED.finditer(example)}
    kept = []
    for declaration in re.split(r"^(?=\S)", before, flags=re.MULTILINE):
        found = _DECLARED.match(declaration)
        name = next(filter(None, found.groups())) if found else ""
        follows_forces = declaration.startswith("group ") and "forces" in own
        if name not in own and not follows_forces:
            kept.append(declaration)
    return "".join(kept) + example


def values_shown(script: str) -> Iterator[tuple[str, str]]:
    """Each defined name with the value that the comment on its line claims."""
    for line in script.splitlines():
        if found := _VALUE.match(line):
            yield found[1], " ".join(found[2].split())


def sounds_shown(script: str) -> Iterator[tuple[str, str, str]]:
    """Movement, part or staff, and what a comment under the movement claims that it plays."""
    movement = ""
    for line in script.splitlines():
        if found := _MOVEMENT.match(line):
            movement = found[1]
        elif movement and (found := _SOUND.match(line)):
            yield movement, found[1], " ".join(found[2].split())


def versions_shown(script: str) -> Iterator[tuple[str, str, str, str]]:
    """Version, movement, part or staff, and what a comment under the version claims that it plays."""
    version = ""
    for line in script.splitlines():
        if found := _VERSION.match(line):
            version = found[1]
        elif version and (found := _VERSION_SOUND.match(line)):
            yield version, found[1], found[2], " ".join(found[3].split())


# ---------------------------------------------------------------- values as the comments write them


def as_shown(value: Value, claim: str) -> str:
    """The value in words, with as much of it as the claim shows."""
    match value:
        case Motif(events):
            return line_as_shown(events, claim)
        case Texture(lines):
            return " | ".join(line_as_shown(line.events, claim) for line in lines)
        case Rhythm(beats):
            return "(" + " ".join(duration_text(b.duration) + (" rest" if b.is_rest else "") for b in beats) + ")"
        case _:
            raise AssertionError("a cipher has no value to show")


def line_as_shown(events: tuple[Event, ...], claim: str) -> str:
    """`D4 E4 rest`, or `1/4 D4 E4, 1/2 rest` where the claim has durations."""
    with_octave, with_duration = bool(re.search(r"[A-G][#b]*\d", claim)), bool(re.search(r"\d/\d", claim))
    text, held = "", None
    for event in events:
        if with_duration and event.duration != held:
            text += f"{',' if text else ''} {duration_text(event.duration)}"
            held = event.duration
        text += " " + _sound(event, with_octave)
        marks = " ".join(_marks(event.marks))
        if "[" in claim and marks:
            text += f" [{marks}]"
    return text.strip()


def _sound(event: Event, with_octave: bool) -> str:
    names = [str(head.pitch if with_octave else head.pitch.pitch_class) for head in event.heads]
    if not names:
        return "rest"
    return names[0] if len(names) == 1 else f"chord({' '.join(names)})"


def _marks(marks: Marks) -> Iterator[str]:
    yield from marks.loud
    yield from marks.articulations
    yield from (f'"{words}"' for words in marks.words)
    yield from [marks.hairpin] if marks.hairpin else []
    yield from map(str, marks.sung)
    yield from [str(marks.symbol)] if marks.symbol else []
    yield from ["hairpin ends"] * marks.hairpin_ends
    yield from ["slur begins"] * marks.slur_begins + ["slur ends"] * marks.slur_ends
    yield from dress(marks)


def duration_text(duration: Fraction) -> str:
    """`1/4.` for three eighths: dotted wherever a dot or two say it."""
    upper, lower = duration.numerator, duration.denominator
    if upper == 3 and lower > 1 and lower & (lower - 1) == 0:
        return f"1/{lower // 2}."
    if upper == 7 and lower > 2 and lower & (lower - 1) == 0:
        return f"1/{lower // 4}.."
    return f"{upper}/{lower}"
