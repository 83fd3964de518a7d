"""A placement as a line of script: pasted into the piece, it is exactly those two lines."""

from __future__ import annotations

from fractions import Fraction

from cavata.combine.combine import Placement
from cavata.music.event import Motif
from cavata.music.pitch import Interval, Pitch
from cavata.transforms.canons import Answer
from cavata.transforms.order import retrograde
from cavata.transforms.pitches import lowest


def pasted(word: str, leader: str, follower: str, placement: Placement, line: Motif, canon: bool) -> str:
    """The row of a motif called `word`; `line` is the follower as the piece has it."""
    if canon:
        return f"motif {word} = canon({leader}, {_answer(placement.answer, placement.delay)})"
    return f"motif {word} = together({leader}, {entry(follower, placement, line)})"


def entry(follower: str, placement: Placement, line: Motif) -> str:
    """The follower as it enters: after a rest, turned, stretched and moved."""
    value = follower + "".join(f" -> {step}" for step in _steps(placement.answer, line))
    if not placement.delay:
        return value
    rest = f"notes({duration_text(placement.delay)} rest)"
    return f"{rest} + ({value})" if "->" in value else f"{rest} + {value}"


def duration_text(duration: Fraction) -> str:
    """As the language writes it, also `2/1`."""
    return f"{duration.numerator}/{duration.denominator}"


def form_text(answer: Answer) -> str:
    """What is done to the follower besides moving it."""
    said = ["backwards"] * answer.backwards + ["upside down"] * answer.upside_down
    if answer.slower != 1:
        said.append(f"{answer.slower} times as slow" if answer.slower > 1 else f"{1 / answer.slower} times as fast")
    return ", ".join(said) or "as it stands"


def interval_text(interval: Interval) -> str:
    """`P5 below`, `unison`."""
    if not interval.semitones and not interval.steps:
        return "unison"
    return f"{interval} {'above' if interval.semitones > 0 else 'below'}"


def _answer(answer: Answer, delay: Fraction) -> str:
    said = [f"at {interval_text(answer.interval)}"] if answer.interval.semitones else []
    said.append(f"after {duration_text(delay)}")
    said += [f"in {answer.mode}"] if answer.mode is not None else []
    said += ["by retrograde"] * answer.backwards + ["by inversion"] * answer.upside_down
    if answer.slower > 1:
        said.append(f"by augmentation {_ratio(answer.slower)}")
    elif answer.slower < 1:
        said.append(f"by diminution {_ratio(1 / answer.slower)}")
    return ", ".join(said)


def _steps(answer: Answer, line: Motif) -> list[str]:
    said = ["retrograde"] * answer.backwards
    if answer.upside_down:
        axis: Pitch = lowest(retrograde(line) if answer.backwards else line)
        within = "inverted" if answer.mode is None else f"mirrored in {answer.mode}"
        said.append(f"{within} about {axis}")
    if answer.slower > 1:
        said.append(f"augmentation {_ratio(answer.slower)}")
    elif answer.slower < 1:
        said.append(f"diminution {_ratio(1 / answer.slower)}")
    if answer.interval.steps and answer.mode is not None:
        way = "up" if answer.interval.steps > 0 else "down"
        said.append(f"step {way} {abs(answer.interval.steps)} in {answer.mode}")
    elif answer.interval.semitones:
        said.append(f"{'up' if answer.interval.semitones > 0 else 'down'} {answer.interval}")
    return said


def _ratio(ratio: Fraction) -> str:
    return str(ratio) if ratio.denominator == 1 else f"{ratio.numerator}:{ratio.denominator}"
