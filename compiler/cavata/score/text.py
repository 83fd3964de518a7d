"""The score as text: bars, tempi, and every part's events at their onsets."""

from __future__ import annotations

from cavata.evaluate.text import event_text
from cavata.score.score import Movement, Score


def score_text(score: Score) -> str:
    """One line for each bar's beginning, tempo and voice; onsets are in whole notes from the movement's beginning."""
    return "\n".join(line for movement in score.movements for line in _movement(score, movement)) + "\n"


def _movement(score: Score, movement: Movement) -> list[str]:
    lines = [f"{'cadenza' if movement.is_cadenza else 'movement'} {movement.name}, {movement.duration} whole notes"]
    lines.append("  bars " + " ".join(f"{b.number}@{b.onset}[{b.meter or 'free'}]" for b in movement.bars))
    lines += [f"  section {s.name or '-'} at {s.onset}" for s in movement.sections]
    lines += [f"  tempo {t.beat} = {t.per_minute} at {t.onset} {t.words}".rstrip() for t in movement.tempi]
    if movement.playing:
        lines.append("  played " + ", ".join(f"{begin} to {end}" for begin, end in movement.playing))
    lines += [f"  {c.part}: on {c.instrument.key} from {c.begin} to {c.end}" for c in movement.changes]
    for part, staves in zip(score.parts, movement.staves, strict=True):
        for staff in staves:
            name = f"{part.name}.{staff.name}" if staff.name else part.name
            for voice in staff.voices:
                lines.append(f"  {name}: " + " ".join(f"{e.onset}={event_text(e.event)}" for e in voice))
    return lines
