"""A placement and its faults in words: what it is, as `canon at the fifth below after a bar`, and what is wrong where.

In: placements and faults, and the length of a bar. Out: phrases for tables, sheets and documents. Bars are counted
from where the leader begins; the leader is A, the follower B.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cavata.combine.placement import FollowerPlacement, PlacementFault
from cavata.music.pitch import SIZES, Interval
from cavata.score.whereabouts import beat_text, in_bars, listed
from cavata.text import so_many, with_article
from cavata.transforms.combinations import VoiceAnswer

VOICES = ("A", "B")
_QUALITIES = {"M": "major ", "m": "minor ", "aug": "augmented ", "dim": "diminished "}
_RETROGRADE_INVERSION = "retrograde inversion"
_QUARTER = Fraction(1, 4)
_MOST_NOTES, _MOST_FAULTS = 4, 3


def place_text(at: Fraction, bar: Fraction) -> str:
    """`bar 2`, `bar 2, beat 3`: counted from where the leader begins; a beat is a quarter where a bar is so many."""
    number, rest = divmod(at, bar)
    unit = 4 if (bar / _QUARTER).denominator == 1 else bar.denominator
    return f"bar {number + 1}" + (f", beat {beat_text(rest, unit)}" if rest else "")


def interval_text(interval: Interval) -> str:
    """`P5 below`, `unison`."""
    if not interval.semitones and not interval.steps:
        return "unison"
    return f"{interval} {'above' if interval.semitones > 0 else 'below'}"


def follower_form(answer: VoiceAnswer) -> str:
    """The form of the follower, its transposition aside: `prime`, `in inversion, in diminution`."""
    return ", ".join(f"in {form}" for form in _forms(answer)) or "prime"


def what_text(placement: FollowerPlacement, bar: Fraction, follower: str) -> str:
    """What a placement is; `follower` is the name of a line of its own, empty in a canon."""
    answer = placement.answer
    after = _distance_text(placement.delay, bar)
    number = SIZES[abs(answer.interval.steps)]
    higher = answer.interval.semitones > 0 or (not answer.interval.semitones and answer.interval.steps > 0)
    if not follower:
        way = "" if not answer.interval.steps else " above" if higher else " below"
        forms = listed(_forms(answer))
        return f"canon{' by ' * bool(forms)}{forms} at the {number}{way} {after}"
    # In a mode an answer goes by its degrees, which are now wider and now narrower.
    quality = "" if answer.mode is not None else _QUALITIES.get(str(answer.interval).rstrip("0123456789"), "")
    size = with_article(f"{quality}{number}")
    moved = [f"{size} {'higher' if higher else 'lower'}"] if answer.interval.steps else []
    said = [*(f"in {form}" for form in _forms(answer)), *moved, after]
    return f"`{follower}` {', '.join(said)}"


def fault_text(fault: PlacementFault, bar: Fraction, letters: Sequence[str] = VOICES) -> str:
    """With its notes: `direct fifth in bar 3 (A F4 G4 in bars 2 and 3, B A4 D5 in bars 2 and 3)`."""
    told = []
    for voice, letter in enumerate(letters):
        notes = list(dict.fromkeys(note for note in fault.notes if note.voice == voice))
        if notes:
            names = [str(note.pitch) for note in notes]
            names = [names[0], "...", names[-1]] if len(names) > _MOST_NOTES else names
            bars = sorted({int(note.onset // bar) + 1 for note in notes})
            told.append(f"{letter} {' '.join(names)}{in_bars(bars)}")
    return f"{fault.name} in {place_text(fault.at, bar)}" + (f" ({', '.join(told)})" if told else "")


def few_text(said: Sequence[str]) -> str:
    """The first of them, and how many more there are."""
    more = [f"and {len(said) - _MOST_FAULTS} more"] if len(said) > _MOST_FAULTS else []
    return "; ".join((*said[:_MOST_FAULTS], *more))


def reason_text(placement: FollowerPlacement, bar: Fraction) -> str:
    """Why a placement stands where it does; what is wrong with the leader alone is only counted."""
    own = sum(is_of_leader(fault) for fault in placement.faults)
    others = [
        f"{fault.name} in {place_text(fault.at, bar)}" for fault in placement.faults if not is_of_leader(fault)
    ]
    said = [few_text(others) or ("" if own else "no fault")]
    said += [f"{own} in A alone"] if own else []
    names = [fault.name for fault in placement.licenses if not is_of_leader(fault)]
    counted = ", ".join(f"{name} {names.count(name)}" for name in dict.fromkeys(names))
    said += [f"licenses: {counted}"] if counted else []
    said.append(together_text(placement))
    return "; ".join(filter(None, said))


def together_text(placement: FollowerPlacement) -> str:
    """`together for 7/4, one line moving alone at 55 % of the notes, 3 imperfect consonances`."""
    thirds = so_many(placement.imperfect, "imperfect consonance")
    alone = f"one line moving alone at {placement.answering // 100} % of the notes"
    return f"together for {placement.together}, {alone}, {thirds}"


def is_of_leader(fault: PlacementFault) -> bool:
    """Whether the leader alone breaks the rule, wherever the follower goes."""
    return bool(fault.notes) and not any(note.voice for note in fault.notes)


def _forms(answer: VoiceAnswer) -> list[str]:
    """The terms for what is done to the line."""
    forms = [_RETROGRADE_INVERSION] if answer.retrograde and answer.inverted else []
    forms = forms or ["retrograde"] * answer.retrograde + ["inversion"] * answer.inverted
    return forms + ["augmentation"] * (answer.slower > 1) + ["diminution"] * (answer.slower < 1)


def _distance_text(delay: Fraction, bar: Fraction) -> str:
    """`after a bar and a half`; what is no half bar is told in whole notes."""
    if not delay:
        return "from the beginning"
    bars, rest = divmod(delay, bar)
    if rest and rest * 2 != bar:
        return f"after {delay}"
    if not bars:
        return "after half a bar"
    whole = "a bar" if bars == 1 else f"{bars} bars"
    return f"after {whole}{' and a half' if rest else ''}"
