"""Values as text: every motif note by note, with the letters it came from."""

from __future__ import annotations

from cavata.ciphers.cipher import Cipher
from cavata.evaluate.plan import Plan, Value
from cavata.music.event import Event, Figure, Motif, Rhythm, Stroke, Texture
from cavata.music.said import figures_text


def plan_text(plan: Plan) -> str:
    """Every definition of the piece's files with its value; the library's are left out where they are ciphers."""
    lines: list[str] = []
    for identity, value in plan.values.items():
        if isinstance(value, Cipher) and identity.module != plan.main:
            continue
        lines += [f"{identity.name} = {text}" for text in value_lines(value)]
    return "\n".join(lines) + "\n"


def value_lines(value: Value) -> list[str]:
    """A value in one line, a texture in one for each of its lines."""
    match value:
        case Motif():
            return [motif_text(value)]
        case Texture(lines):
            return [f"line {number}: {motif_text(line)}" for number, line in enumerate(lines, 1)]
        case Rhythm(beats):
            return ["(" + " ".join(str(b.duration) + (" rest" if b.is_rest else "") for b in beats) + ")"]
        case Figure(lines):
            return [" with ".join("(" + ", ".join(map(stroke_text, strokes)) + ")" for strokes in lines)]
        case Cipher(entries=entries):
            rows = (
                f"{key}:" + "|".join(" ".join("rest" if t is None else str(t) for t in c) for c in choices)
                for key, choices in entries.items()
            )
            return [" ".join(rows)]


def stroke_text(stroke: Stroke) -> str:
    """`1/4 upper`, `1/8 1 3`, `1/4 rest`."""
    return f"{stroke.duration} {' '.join(map(str, stroke.voices)) or 'rest'}"


def motif_text(motif: Motif) -> str:
    """`F#4:3/8(T)` for each note: pitch, duration, letter."""
    return " ".join(event_text(event) for event in motif.events)


def event_text(event: Event) -> str:
    """One event: its pitches from low to high, its duration, its letters and marks."""
    if not event.heads:
        return f"rest:{event.duration}"
    pitches = "/".join(str(head.pitch) for head in event.heads)
    letters = "".join(letter.text for head in event.heads for letter in head.letters)
    marks = event.marks
    words = [*marks.loud, *marks.articulations, *(f'"{w}"' for w in marks.words), marks.hairpin]
    words += ["hairpin-ends"] * marks.hairpin_ends + [f"at {marks.goal}"] * bool(marks.goal)
    words += ["slur("] * marks.slur_begins + [")slur"] * marks.slur_ends
    words += [f"sung {syllable}" for syllable in marks.sung]
    words += [f"chord {marks.symbol}"] if marks.symbol else []
    words += [f"figures {figures_text(marks.figures)}"] if marks.figures else []
    words += [f"label {marks.label}"] if marks.label else []
    words += ["optional"] * marks.optional
    words += ["spoken"] * marks.spoken + ["no stem"] * marks.stemless
    words += [f"{marks.division} division"] if marks.division else []
    shown = ",".join(w for w in words if w)
    return f"{pitches}:{event.duration}" + (f"({letters})" if letters else "") + (f"[{shown}]" if shown else "")
