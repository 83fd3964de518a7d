"""What was combined of two lines: a table for the terminal, JSON, lines of script to paste, and the script of a sheet.

In: a pair of lines and what was found of them. Out: texts. A pasted line is exactly the placement. On the sheet each
placement stands on two staves, the reason over it, and under a line whose notes all came from plain letters of a name
those letters.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cavata.combine.placement import Combined, FollowerPlacement, PlacementFault
from cavata.combine.telling import (
    VOICES,
    fault_text,
    interval_text,
    is_of_leader,
    place_text,
    reason_text,
    what_text,
)
from cavata.music.event import Event, Motif
from cavata.music.pitch import Pitch
from cavata.study.sheet import are_plain, lettered_name, sheet_head, sheet_stretch
from cavata.text import fraction_text, text_table
from cavata.transforms.combinations import VoiceAnswer
from cavata.transforms.order import retrograde
from cavata.transforms.pitches import lowest


def pasted(word: str, leader: str, follower: str, placement: FollowerPlacement, line: Motif, canon: bool) -> str:
    """The row of a motif called `word`; `line` is the follower as the piece has it."""
    if canon:
        return f"motif {word} = canon({leader}, {_answer(placement.answer, placement.delay)})"
    return f"motif {word} = together({leader}, {entry(follower, placement, line)})"


def entry(follower: str, placement: FollowerPlacement, line: Motif) -> str:
    """The follower as it enters: after a rest, in its form, transposed."""
    value = follower + "".join(f" -> {step}" for step in _steps(placement.answer, line))
    if not placement.delay:
        return value
    rest = f"notes({fraction_text(placement.delay)} rest)"
    return f"{rest} + ({value})" if "->" in value else f"{rest} + {value}"


def _answer(answer: VoiceAnswer, delay: Fraction) -> str:
    said = [f"at {interval_text(answer.interval)}"] if answer.interval.semitones else []
    said.append(f"after {fraction_text(delay)}")
    said += [f"in {answer.mode}"] if answer.mode is not None else []
    said += ["by retrograde"] * answer.retrograde + ["by inversion"] * answer.inverted
    return ", ".join((*said, *(f"by {slower}" for slower in _slower(answer))))


def _steps(answer: VoiceAnswer, line: Motif) -> list[str]:
    said = ["retrograde"] * answer.retrograde
    if answer.inverted:
        axis: Pitch = lowest(retrograde(line) if answer.retrograde else line)
        within = "inverted" if answer.mode is None else f"inverted in {answer.mode}"
        said.append(f"{within} about {axis}")
    said += _slower(answer)
    if answer.interval.steps and answer.mode is not None:
        way = "up" if answer.interval.steps > 0 else "down"
        said.append(f"step {way} {abs(answer.interval.steps)} in {answer.mode}")
    elif answer.interval.semitones:
        said.append(f"{'up' if answer.interval.semitones > 0 else 'down'} {answer.interval}")
    return said


def _slower(answer: VoiceAnswer) -> list[str]:
    """How much slower or faster it goes; nothing where it keeps its values."""
    if answer.slower == 1:
        return []
    return [f"augmentation {_ratio(answer.slower)}" if answer.slower > 1 else f"diminution {_ratio(1 / answer.slower)}"]


def _ratio(ratio: Fraction) -> str:
    return str(ratio) if ratio.denominator == 1 else f"{ratio.numerator}:{ratio.denominator}"


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


def reason(placement: FollowerPlacement, pair: Pair) -> str:
    """Why a placement stands where it does."""
    return reason_text(placement, pair.bar)


def what(placement: FollowerPlacement, pair: Pair) -> str:
    """What a placement is."""
    said = what_text(placement, pair.bar, "" if pair.canon else pair.follower)
    return said.replace("canon", "stretto", 1) if pair.rules == "stretto" else said


def row_of(pair: Pair, rank: int, word: str) -> str:
    """The line of script of a placement."""
    name = f"{word or 'pair'}_{rank}"
    return pasted(name, pair.leader, pair.follower, pair.found.best[rank - 1], pair.follows, pair.canon)


def combine_text(pair: Pair, word: str) -> str:
    """Everything."""
    best = pair.found.best
    rules = pair.rules + (f", in {pair.mode}" if pair.mode else "")
    head = f"{pair.leader} (A) with {pair.follower} (B), {rules}: {pair.found.placements} placements, "
    own = [fault for fault in (*best[0].faults, *best[0].licenses) if is_of_leader(fault)]
    alone = f"A alone: {_details(own, pair.bar)}\n\n" if own else ""
    table = text_table(
        ("", "faults", "placement", "ranked by"),
        [(str(rank), str(len(p.faults)), what(p, pair), reason(p, pair)) for rank, p in enumerate(best, start=1)],
        frozenset({0, 1}),
    )
    rows = "".join(f"    {row_of(pair, rank, word)}\n" for rank in range(1, len(best) + 1))
    listed = _listed("FAULTS", [p.faults for p in best], pair.bar)
    listed += _listed("LICENSES", [p.licenses for p in best], pair.bar)
    return f"{head}{pair.found.clean} without a fault\n\n{alone}{table}\nTO PASTE (one of these)\n\n{rows}{listed}"


def _details(faults: Sequence[PlacementFault], bar: Fraction) -> str:
    return "; ".join(fault_text(fault, bar) for fault in faults)


def _listed(title: str, faults: Sequence[Sequence[PlacementFault]], bar: Fraction) -> str:
    """Of each placement what B and both lines are about, with every place."""
    rows, every = "", Counter[str]()
    for rank, found in enumerate(faults, start=1):
        told = [fault for fault in found if not is_of_leader(fault)]
        every.update(fault.name for fault in told)
        rows += f"    {rank}: {_details(told, bar)}\n" if told else ""
    counted = ", ".join(f"{name} {n}" for name, n in sorted(every.items()))
    return f"\n{title} ({counted})\n\n{rows}" if rows else ""


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
                "what": what(p, pair),
                **placement_json(p),
                "together": str(p.together),
                "imperfect": p.imperfect,
                "alone": p.answering,
                "faults": [fault_json(b, pair.bar) for b in p.faults],
                "licenses": [fault_json(b, pair.bar) for b in p.licenses],
                "reason": reason(p, pair),
                "script": [row_of(pair, rank, word)],
            }
            for rank, p in enumerate(pair.found.best, start=1)
        ],
    }


def placement_json(placement: FollowerPlacement) -> dict[str, Any]:
    """Where the follower enters, and in what form."""
    answer = placement.answer
    return {
        "delay": str(placement.delay), "interval": str(answer.interval), "semitones": answer.interval.semitones,
        "retrograde": answer.retrograde, "inverted": answer.inverted, "slower": str(answer.slower),
    }  # fmt: skip


def fault_json(fault: PlacementFault, bar: Fraction, letters: Sequence[str] = VOICES) -> dict[str, Any]:
    """A fault or a license with its notes, each with its bar."""
    return {
        "rule": fault.name, "at": str(fault.at), "place": place_text(fault.at, bar), "source": fault.source,
        "notes": [
            {
                "line": letters[note.voice], "pitch": str(note.pitch), "at": str(note.onset),
                "place": place_text(note.onset, bar),
            }
            for note in fault.notes
        ],
    }  # fmt: skip


def combine_script(pair: Pair) -> str:
    """The sheet as a script."""
    rows = sheet_head(f"{pair.leader} with {pair.follower}", f"{pair.rules}: where they go together")
    rows += written_line("leader", pair.leads)
    for index, placement in enumerate(pair.found.best):
        rows += written_line(f"follower{index}", placement.line)
    rows += ["", "forces", "    piano = piano"]
    for index, placement in enumerate(pair.found.best):
        low = sum(h.pitch.midi for e in placement.line.sounding for h in e.heads) / len(placement.line.sounding)
        high = sum(h.pitch.midi for e in pair.leads.sounding for h in e.heads) / len(pair.leads.sounding)
        staves = ("left", "right") if low > high else ("right", "left")
        said = what(placement, pair).replace("`", "")
        wait = f"{fraction_text(placement.delay)} rest, " if placement.delay else ""
        rows += sheet_stretch(index, f"{index + 1}. {said}", reason(placement, pair))
        rows += [f"        piano.{staves[0]}: leader", f"        piano.{staves[1]}: {wait}follower{index}"]
    return "\n".join(rows) + "\n"


def written_line(word: str, line: Motif) -> Iterator[str]:
    """The rows that make a motif of a line, with its letters where they are plain."""
    letters = [_letter(event) for event in line.sounding]
    if not are_plain(letters):
        yield f"motif {word} = notes({', '.join(map(event_source, line.events))})"
        return
    pitches = [event.heads[0].pitch for event in line.sounding]
    values = " ".join(f"{fraction_text(e.duration)}{'' if e.heads else ' rest'}" for e in line.events)
    yield from lettered_name(f"{word}_letters", f"{word}_name", letters, pitches)
    yield f"motif {word} = {word}_name -> in ({values})"


def _letter(event: Event) -> str:
    found = [letter.text for head in event.heads for letter in head.letters]
    return found[0] if len(found) == 1 else ""


def event_source(event: Event) -> str:
    """A note or a rest as `notes(...)` has it."""
    return f"{fraction_text(event.duration)} {event.heads[0].pitch if event.heads else 'rest'}"
