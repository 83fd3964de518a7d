"""Everything that a score holds, in words: of a small one each line can be read and judged.

What is as usual is left out: rests are written, an onset is not; a mark that an event does not have, a field of the
header that the piece has too. Events are those of the literate suites (`spec/README.md`), with what they leave out:
`~` before and after a note that is tied on, `{C4}` for the pitches of a chord that are, `who` plays, and `@7` for the
line of the script where it was written, where that is another than that of the event before.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import fields
from fractions import Fraction
from pathlib import Path
from typing import Any

from cavata.evaluate.plan import Plan, Value
from cavata.evaluate.text import stroke_text
from cavata.music.event import Event, Figure, Marks, Motif, Rhythm, Texture
from cavata.score.score import Header, Movement, Part, Score, ScoreBar, ScoreEvent, Tempo, TitlePage, with_ossias
from cavata.source import Span

sys.path.insert(0, str(Path(__file__).parent / "spec"))
from literate import event_text


def header_lines(header: Header, before: Header) -> Iterator[str]:
    """The fields of a copy's header that are not those of the piece."""
    for field in fields(header):
        now = getattr(header, field.name)
        if now != getattr(before, field.name):
            yield f"header {field.name}: {getattr(now, 'value', getattr(now, 'name', now))}"


def part_line(part: Part) -> str:
    """A part with its instrument as it is read on this copy."""
    held = part.instrument
    words = [f"part {part.name}: {held.key} \"{part.label}\" \"{part.abbreviation}\"", "-".join(held.clefs)]
    words += [f"sounds {held.transposition.semitones:+}"] if held.transposition.semitones else []
    words += [f"staves {'-'.join(held.staves)}"] if held.staves != ("",) else []
    words += ["unpitched"] * held.unpitched + ["soloist"] * part.soloist + ["section"] * part.section
    words += ["own label"] * part.own_label + [f"number {part.number}"] * bool(part.number)
    words += [f"third {held.third}"] * bool(held.third)
    words += [f"of {'+'.join(member.name for member in part.members)}"] * bool(part.members)
    return ", ".join(words)


def title_lines(page: TitlePage) -> Iterator[str]:
    """What stands on the page before the music."""
    for field in fields(page):
        value = getattr(page, field.name)
        for one in (value,) if isinstance(value, str) else value:
            yield f"title {field.name}: {' | '.join(one) if isinstance(one, tuple) else one}"


def movement_lines(movement: Movement) -> Iterator[str]:
    """Bars, tempi, sections, the order of playing and changes of instrument."""
    named = f"{'cadenza' if movement.is_cadenza else 'movement'} {movement.name}"
    yield f"{named}, {movement.duration}{', attacca' if movement.attacca else ''}"
    yield "bars " + " ".join(map(_bar, movement.bars))
    for section in movement.sections:
        yield f"section {section.name or '-'} \"{section.title}\" at {section.onset}, bar {section.first_bar}"
    yield from map(_tempo, movement.tempi)
    if movement.playing:
        yield "playing " + " ".join(f"{begin}..{end}" for begin, end in movement.playing)
    for change in movement.changes:
        yield f"{change.part} on {change.instrument.key} {change.begin}..{change.end}"


def _bar(bar: ScoreBar) -> str:
    words = [f"{bar.number}@{bar.onset}", str(bar.meter or "free")]
    words += [f"lasts {bar.duration}"] if not bar.meter or bar.duration != bar.meter.duration else []
    if bar.meter and (bar.meter.as_given or set(bar.meter.groups) != {1}):
        words.append("+".join(map(str, bar.meter.groups)) + " given" * bar.meter.as_given)
    words += [bar.meter.sign] if bar.meter and bar.meter.sign else []
    words += [str(bar.key)] if bar.key else []
    words += [f"section {bar.section}"] * bool(bar.section)
    words += [f"{bar.bar_in_section} of it"] if bar.bar_in_section != bar.number else []
    words += ["|:"] * bar.repeat_begins + [f":|{bar.repeat_ends}"] * bool(bar.repeat_ends)
    words += [f"ending {','.join(map(str, bar.ending))}"] * bool(bar.ending)
    words += [*bar.opens, *bar.closes] + [f"before {bar.before}"] * bool(bar.before)
    return f"[{' '.join(words)}]"


def _tempo(tempo: Tempo) -> str:
    words = [f"tempo {tempo.beat}={tempo.per_minute} at {tempo.onset}"]
    words += [f'"{tempo.words}"'] * bool(tempo.words) + ["unprinted"] * (not tempo.printed)
    words += ["words only"] * (not tempo.metronome) + ["keyword"] * tempo.keyword
    words += [f"until {tempo.until} to {tempo.goal} s"] if tempo.until is not None else []
    words += [f"equals {tempo.equals}"] if tempo.equals is not None else []
    return ", ".join(words)


_SHOWN_BEFORE = {
    "dynamic", "attack", "articulations", "words", "hairpin", "hairpin_ends", "slur_begins", "slur_ends", "ornaments",
    "techniques", "graces", "glides", "held", "pedal_begins", "pedal_ends", "sung", "symbol", "figures", "label",
    "optional", "spoken", "stemless", "division", "string", "harmonic", "said",
}  # fmt: skip
"""Fields of `Marks` that `event_text` shows, and where each sign was said, which the ledger's tests look at."""


def _other_marks(marks: Marks) -> Iterator[str]:
    for field in fields(marks):
        value: Any = getattr(marks, field.name)
        if field.name not in _SHOWN_BEFORE and value != field.default:
            yield field.name if value is True else f"{field.name} {value}"
    yield from ("unslurred" for syllable in marks.sung if syllable.unslurred)


def whole_event(event: Event) -> str:
    """An event with all its marks, its duration always."""
    letters = any(origin.letter for head in event.heads for origin in head.origins)
    text = event_text(event, letters, Fraction(0))
    return text + "".join(f"/{word}" for word in _other_marks(event.marks))


def values_text(plan: Plan) -> str:
    """Every motif, rhythm and figure that a script defines."""
    lines = []
    for identity, value in plan.values.items():
        if identity.module == plan.main:
            lines += [f"{identity.name} = {text}\n" for text in _value(value)]
    return "".join(lines)


def _value(value: Value) -> Iterator[str]:
    match value:
        case Motif():
            yield _motif(value)
        case Texture(lines):
            words = [f"waits {waits}" for waits in [value.waits] if waits] + ["close"] * value.close
            words += [f"turns {value.turns}"] if value.turns else []
            yield " | ".join(map(_motif, lines)) + "".join(f", {word}" for word in words)
        case Rhythm(beats):
            yield " ".join(f"{beat.duration}{' rest' * beat.is_rest}" for beat in beats)
        case Figure(lines):
            yield " with ".join(", ".join(map(stroke_text, strokes)) for strokes in lines)


def _motif(motif: Motif) -> str:
    """The events, with what the composer did to single notes in braces, and the transforms that all went through."""
    through = {origin.steps for event in motif.sounding for head in event.heads for origin in head.origins}
    words = []
    for event in motif.events:
        origins = [origin for head in event.heads for origin in head.origins]
        did = [origin.inflection for origin in origins if origin.inflection]
        did += ["; ".join(origin.steps) for origin in origins if len(through) > 1 and origin.steps]
        words.append(whole_event(event) + (f"{{{' and '.join(dict.fromkeys(did))}}}" if did else ""))
    text = " ".join(words)
    if motif.upbeat or motif.bar:
        text += f", upbeat {motif.upbeat} of {motif.bar}"
    steps = next(iter(through)) if len(through) == 1 else ()
    return text + (f", through {'; '.join(steps)}" if steps else "")


def _line_of(span: Span) -> int:
    return span.source.text.count("\n", 0, span.start) + 1


def voice_line(voice: Sequence[ScoreEvent], voice_number: int = 0) -> str:
    """The events of a voice with the rests between them."""
    words: list[str] = []
    at, place = Fraction(0), 0
    for event in voice:
        if event.onset > at:
            words.append(f"r:{event.onset - at}")
        elif event.onset < at:
            words.append(f"OVERLAPS {event.onset}")
        text = whole_event(event.event)
        before = "~" * event.tied_before + "".join(f"{{{pitch}}}" for pitch in event.held_before)
        after = "~" * event.tied_after + "".join(f"{{{pitch}}}" for pitch in event.held_after)
        where = _line_of(event.line)
        words.append(f"{before}{text}{after}" + (f"@{where}" if where != place else ""))
        words[-1] += f" IN VOICE {event.voice}" * (event.voice != voice_number)
        at, place = event.end, where
    return " ".join(words)


def staff_lines(score: Score, movement: Movement) -> Iterator[str]:
    """Every voice of every staff that has something, and its cues."""
    for part, staves in zip(score.parts, movement.staves, strict=True):
        for staff in with_ossias(staves):
            name = f"{part.name}.{staff.name}" if staff.name else part.name
            for number, voice in enumerate(staff.voices):
                if voice or len(staff.voices) > 1:
                    yield f"{name}{'/lower' if number else ''}: {voice_line(voice, number)}".rstrip()
            for cue in staff.cues:
                cut = tuple(_shifted(event, cue.onset) for event in cue.events)
                yield f"{name} cue {cue.onset}..{cue.end} {cue.label}: {voice_line(cut)}"


def _shifted(event: ScoreEvent, onset: Fraction) -> ScoreEvent:
    """The event counted from the beginning of its cue."""
    made: Event = event.event
    return ScoreEvent(
        event.onset - onset, made, event.line, event.voice, event.tied_before, event.tied_after, event.held_before,
        event.held_after,
    )  # fmt: skip


def music_text(score: Score, bars: bool) -> str:
    """The movements of a score, with their bars if they are wanted."""
    lines: list[str] = []
    for movement in score.movements:
        lines += movement_lines(movement) if bars else [f"movement {movement.name}"] * (len(score.movements) > 1)
        lines += staff_lines(score, movement)
    return "".join(f"{line}\n" for line in lines)


def copy_text(copy: Score, piece: Score) -> str:
    """A copy: what its header says otherwise than the piece, its parts, groups and music."""
    lines = [*header_lines(copy.header, piece.header), *map(part_line, copy.parts)]
    for group in copy.groups:
        apart = "" if group.joined else ", bar lines apart"
        label = f' "{group.label}" "{group.abbreviation}"' if group.label or group.abbreviation else ""
        lines.append(f"{group.sign.value} {group.name}: {' '.join(group.parts)}{label}{apart}")
    lines += [f"still shared: {staff.name}" for staff in copy.shared]
    return "".join(f"{line}\n" for line in lines) + music_text(copy, False)
