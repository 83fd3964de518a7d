"""Transforms of dress: dynamics, articulations, words, hairpins and slurs. Notes stay as they are."""

from __future__ import annotations

from cavata.music.dynamics import LASTING
from cavata.music.event import Event, Marks, Motif
from cavata.music.refusal import Refusal
from cavata.record import dataclass
from cavata.transforms.selection import Selection, chosen


@dataclass(frozen=True, slots=True)
class Markings:
    """What `marked` writes, and on which notes; all of them where it does not say."""

    notes: Selection | None
    dynamic: str
    articulations: tuple[str, ...]
    words: tuple[str, ...]
    techniques: tuple[str, ...] = ()


def marked(motif: Motif, markings: Markings) -> Motif:
    """A dynamic, words and techniques on the first note meant, an articulation on each, a fermata on the last."""
    if markings.notes is None:
        meant = [index for index, event in enumerate(motif.events) if event.heads]
    else:
        meant = sorted(chosen(motif, markings.notes))
    if not meant:
        raise Refusal("V209", "{subject} has no note", "nothing to mark", "")
    everywhere = tuple(a for a in markings.articulations if a != "fermata")
    events = list(motif.events)
    for index in meant:
        events[index] = events[index].marked(Marks(articulations=everywhere))
    opening = Marks(dynamic=markings.dynamic, words=markings.words, techniques=markings.techniques)
    events[meant[0]] = events[meant[0]].marked(opening)
    if "fermata" in markings.articulations:
        events[meant[-1]] = events[meant[-1]].marked(Marks(articulations=("fermata",)))
    return Motif(tuple(events))


def crescendo(motif: Motif, begin: str, end: str) -> Motif:
    """Growing from one dynamic on the first note to another on the last."""
    return _hairpin(motif, begin, end, "crescendo")


def diminuendo(motif: Motif, begin: str, end: str) -> Motif:
    """Falling from one dynamic on the first note to another on the last."""
    return _hairpin(motif, begin, end, "diminuendo")


def _hairpin(motif: Motif, begin: str, end: str, kind: str) -> Motif:
    if begin in LASTING and end in LASTING:
        grows = LASTING.index(end) > LASTING.index(begin)
        if begin == end or grows != (kind == "crescendo"):
            other = "diminuendo" if kind == "crescendo" else "crescendo"
            way, cure = "leads the wrong way", f"write `{other} {begin} {end}`"
            if begin == end:
                way, cure = "leads nowhere", "name two dynamics that differ"
            raise Refusal("V214", f"a {kind} from {begin} to {end} {way}", "", cure, (1, 0))
    meant = [index for index, event in enumerate(motif.events) if event.heads]
    if not meant:
        raise Refusal("V209", "{subject} has no note", "nothing to mark", "")
    events = list(motif.events)
    _add(events, meant[0], Marks(dynamic=begin, hairpin=kind))
    alone = len(meant) == 1
    _add(events, meant[-1], Marks(dynamic="" if alone else end, hairpin_ends=True, goal=end if alone else ""))
    return Motif(tuple(events))


def slurred(motif: Motif) -> Motif:
    """One slur over each run of notes that no rest parts."""
    events = list(motif.events)
    run: list[int] = []
    for index, event in enumerate([*motif.events, None]):
        if event is not None and event.heads:
            run.append(index)
            continue
        if len(run) > 1:
            _add(events, run[0], Marks(slur_begins=True))
            _add(events, run[-1], Marks(slur_ends=True))
        run = []
    return Motif(tuple(events))


def _add(events: list[Event], index: int, marks: Marks) -> None:
    events[index] = events[index].marked(marks)
