"""The script of a combination's sheet: each placement on two staves, its letters under it, the reason over it.

In: what was combined. Out: the text of a Cavata script. A line whose notes all came from plain letters of a name gets a
cipher of its own, in which every letter may have the notes that it has there; any other line is written as notes.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cavata.combine.combine import Breach, Combined, Placement
from cavata.music.event import Event, Motif
from cavata.music.pitch import Interval, Pitch
from cavata.study.script_words import quoted
from cavata.text import text_table
from cavata.transforms.combinations import Answer
from cavata.transforms.order import retrograde
from cavata.transforms.pitches import lowest

# ----------------------------------------------------------------
# A placement as a line of script: pasted into the piece, it is exactly those two lines.


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


# ----------------------------------------------------------------
# What was combined as a table for the terminal, as JSON, and as lines of script.


@dataclass(frozen=True, slots=True)
class Pair:
    """Two lines of a piece and what was found of them."""

    leader: str
    follower: str
    leads: Motif
    follows: Motif
    """As the piece has it."""
    canon: bool
    rules: str
    bar: Fraction
    found: Combined
    mode: str = ""
    """To which answers keep; empty where they are exact."""


def place_text(at: Fraction, bar: Fraction) -> str:
    """`bar 2`, `bar 2 after 1/4`: counted from where the leader begins."""
    number, rest = divmod(at, bar)
    return f"bar {number + 1}" + (f" after {rest}" if rest else "")


def breaches_text(breaches: Sequence[Breach], bar: Fraction, most: int = 3) -> str:
    """The first breaches with their places, and how many more there are."""
    said = [f"{breach.name} in {place_text(breach.at, bar)}" for breach in breaches[:most]]
    if len(breaches) > most:
        said.append(f"and {len(breaches) - most} more")
    return "; ".join(said)


def reason(placement: Placement, pair: Pair) -> str:
    """Why a placement stands where it does."""
    broken = breaches_text(placement.breaches, pair.bar) or "no rule broken"
    thirds = f"{placement.imperfect} imperfect consonance{'s' * (placement.imperfect != 1)}"
    return f"{broken}; together for {placement.together}, {thirds}"


def row_of(pair: Pair, rank: int, word: str) -> str:
    """The line of script of a placement."""
    name = f"{word or 'pair'}_{rank}"
    return pasted(name, pair.leader, pair.follower, pair.found.best[rank - 1], pair.follows, pair.canon)


def combine_text(pair: Pair, word: str) -> str:
    """Everything."""
    best = pair.found.best
    rules = pair.rules + (f", in {pair.mode}" if pair.mode else "")
    head = f"{pair.leader} with {pair.follower}, {rules}: {pair.found.placements} placements, "
    table = text_table(
        ("", "breaches", "after", "moved", "form", "why here"),
        [
            (str(rank), str(len(p.breaches)), str(p.delay), interval_text(p.answer.interval), form_text(p.answer),
             reason(p, pair))
            for rank, p in enumerate(best, start=1)
        ],
        frozenset({0, 1}),
    )  # fmt: skip
    rows = "".join(f"    {row_of(pair, rank, word)}\n" for rank in range(1, len(best) + 1))
    every = Counter(breach.name for p in best for breach in p.breaches)
    broken = f"BREACHES ({', '.join(f'{name} {n}' for name, n in sorted(every.items()))})\n\n" if every else ""
    named = "".join(
        f"    {rank}: {breaches_text(p.breaches, pair.bar, 99)}\n" for rank, p in enumerate(best, 1) if p.breaches
    )
    listed = f"\n{broken}{named}" if broken else ""
    return f"{head}{pair.found.clean} break no rule\n\n{table}\nTO PASTE (one of these)\n\n{rows}{listed}"


def combine_json(pair: Pair, word: str) -> dict[str, Any]:
    """The document."""
    return {
        "leader": pair.leader,
        "follower": pair.follower,
        "rules": pair.rules,
        "mode": pair.mode or None,
        "placements": pair.found.placements,
        "clean": pair.found.clean,
        "candidates": [
            {
                "rank": rank,
                "delay": str(p.delay),
                "interval": str(p.answer.interval),
                "semitones": p.answer.interval.semitones,
                "backwards": p.answer.backwards,
                "upside_down": p.answer.upside_down,
                "slower": str(p.answer.slower),
                "together": str(p.together),
                "imperfect": p.imperfect,
                "breaches": [
                    {"rule": b.name, "at": str(b.at), "place": place_text(b.at, pair.bar)} for b in p.breaches
                ],
                "reason": reason(p, pair),
                "script": [row_of(pair, rank, word)],
            }
            for rank, p in enumerate(pair.found.best, start=1)
        ],
    }


# ----------------------------------------------------------------

_PLAIN = re.compile(r"[A-Z]")


def combine_script(pair: Pair) -> str:
    """The sheet as a script."""
    rows = ["language 1", "", f"piece {quoted(f'{pair.leader} with {pair.follower}')}"]
    rows += [f"    subtitle {quoted(f'{pair.rules}: where they go together')}", "    show letters", ""]
    rows += written_line("leader", pair.leads)
    for index, placement in enumerate(pair.found.best):
        rows += written_line(f"follower{index}", placement.line)
    rows += ["", "forces", "    piano = piano"]
    for index, placement in enumerate(pair.found.best):
        low = sum(h.pitch.midi for e in placement.line.sounding for h in e.heads) / len(placement.line.sounding)
        high = sum(h.pitch.midi for e in pair.leads.sounding for h in e.heads) / len(pair.leads.sounding)
        staves = ("left", "right") if low > high else ("right", "left")
        said = ", ".join(
            (interval_text(placement.answer.interval), f"after {placement.delay}", form_text(placement.answer))
        )
        wait = f"rest {duration_text(placement.delay)}, " if placement.delay else ""
        rows += ["", f"cadenza sheet{index} {quoted(f'{index + 1}. {said}')}", "    key none"]
        rows += [f"    section reason{index} {quoted(reason(placement, pair))}"]
        rows += [f"        piano.{staves[0]}: leader", f"        piano.{staves[1]}: {wait}follower{index}"]
    return "\n".join(rows) + "\n"


def written_line(word: str, line: Motif) -> Iterator[str]:
    """The rows that make a motif of a line, with its letters where they are plain."""
    letters = [_letter(event) for event in line.sounding]
    if not all(_PLAIN.fullmatch(letter) for letter in letters):
        yield f"motif {word} = notes({', '.join(map(_written, line.events))})"
        return
    pitches = [str(event.heads[0].pitch) for event in line.sounding]
    offered: dict[str, list[str]] = {}
    for letter, pitch in zip(letters, pitches, strict=True):
        if pitch not in offered.setdefault(letter, []):
            offered[letter].append(pitch)
    asked = [f", letter {number} as {pitch}" for number, pitch in enumerate(pitches, start=1)]
    values = " ".join(f"{'' if e.heads else 'rest '}{duration_text(e.duration)}" for e in line.events)
    yield f"cipher {word}_letters"
    yield from (f"    {letter} = {' or '.join(notes)}" for letter, notes in offered.items())
    yield f"name {word}_name = {quoted(''.join(letters))} by {word}_letters{''.join(asked)}"
    yield f"motif {word} = {word}_name -> in ({values})"


def _letter(event: Event) -> str:
    found = [origin.letter.text for head in event.heads for origin in head.origins if origin.letter is not None]
    return found[0] if len(found) == 1 else ""


def _written(event: Event) -> str:
    return f"{duration_text(event.duration)} {event.heads[0].pitch if event.heads else 'rest'}"
