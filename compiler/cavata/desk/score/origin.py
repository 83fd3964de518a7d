"""Where a note came from: its letter, and the music before and after each transform that it went through.

In: a state of the piece and the id of a note. Out: its name, letter and inflection, the row of the script, and stages:
the values of the expression that put it there, as the evaluator computes them, followed through the definitions that it
names; for each what was done, as the script says it and in plain words, its notes, and a picture when it is asked for.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Any

from cavata.desk.answers import PICTURE
from cavata.desk.desk import Desk
from cavata.desk.score.breaks import bar_width, moments
from cavata.desk.score.engraved import cut_of
from cavata.desk.score.engraver import engraved
from cavata.desk.score.mapped import colors_of, piece_map
from cavata.desk.score.names import origins_of
from cavata.desk.score.seen import layout
from cavata.desk.state import SCORE, State
from cavata.desk.views import Answer, NotThere, as_json, number_of
from cavata.draft import NotDrawn
from cavata.music.event import Event, Head, Motif, Origin, Texture
from cavata.musicxml.ids import identified
from cavata.names import program as p
from cavata.notate.notate import notate
from cavata.notate.written import Leaf
from cavata.record import record, replace
from cavata.score.forms import forms_of
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.tell.guide.derivation import Deriving, Phrases, lines_of_value
from cavata.tell.guide.examples import MOST_EVENTS, MOST_LINES, example_score
from cavata.tell.language import language

MOST_STAGES = 12
"""Of a longer way the first ones are left out."""
_DEEPEST = 40
_HELD = 24
_WORDS: Mapping[type, str] = {t.NotesLiteral: "notes", t.ChordLiteral: "chord", p.SymbolChords: "chords"}


@record
class Stage:
    """One value on the way to a note."""

    done: str
    """What made it, as the script says it."""
    sentence: str
    """The same in plain words; empty where there are none."""
    value: Motif | Texture


def view(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """All that is told of a note."""
    piece = piece_map(desk, state)
    colors, written = colors_of(piece), dict(piece.names)
    with desk.still:
        movement, name, leaf, bar = _note(desk, state, wanted)
        event = leaf.event
        if event is None:
            raise _gone()
        line = event.line
        stages = _stages(desk, state, name, leaf)
        return as_json({
            "id": name, "movement": movement, "bar": bar,
            "heads": [head_of(head, colors, written) for head in event.event.heads],
            "row": {"file": line.source.name, "line": line.line, "column": line.column, "text": line.text},
            "stages": [
                {"done": each.done, "sentence": each.sentence, "notes": _notes(shown(each.value, _target(leaf)))}
                for each in stages
            ],
        })  # fmt: skip


def _note(desk: Desk, state: State, wanted: Mapping[str, str]) -> tuple[str, str, Leaf, int]:
    """The note that is asked about: its movement, its id, itself and its bar. Raises NotThere."""
    now = layout(desk, state, wanted.get("copy", SCORE), wanted.get("room", "wide"))
    for movement, name, leaf, bar in now.notes():
        if name == wanted.get("id", ""):
            return now.score.movements[movement].name, name, leaf, bar
    raise _gone()


def _gone() -> NotThere:
    return NotThere("this note is not in the score any more")


def head_of(head: Head, colors: Mapping[str, str], written: Mapping[str, str]) -> dict[str, Any]:
    """What is told of one note of a chord: its pitch, and each name that it came from."""
    return {
        "pitch": str(head.pitch), "key": head.pitch.midi,
        "names": [
            {
                "name": origin.letter.name, "text": written.get(origin.letter.name, origin.letter.name),
                "letter": origin.letter.text, "position": origin.letter.position, "inflection": origin.inflection,
                "form": _form(origin.steps), "color": colors.get(origin.letter.name, ""),
            }
            for origin in head.origins if origin.letter
        ],
    }  # fmt: skip


@lru_cache(maxsize=1024)
def _form(steps: tuple[str, ...]) -> str:
    """In what form a name sounds, in words."""
    words = language("en")
    return ", ".join(map(words.form, forms_of(steps))) or words.text("form-prime")


def picture(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The picture of a stage of a note, by its number from 0; the note's own letter is marked `here` in it."""
    number = number_of(wanted.get("stage", ""))
    with desk.still:
        _, name, leaf, _ = _note(desk, state, wanted)
        stages = _stages(desk, state, name, leaf)
        if number is None or not 0 <= number < len(stages):
            raise _gone()
        target = _target(leaf)
        value = shown(stages[number].value, target)
    try:
        return Answer(PICTURE, drawn_value(value, target).encode("utf-8"))
    except NotDrawn:
        raise NotThere("Verovio could not draw this") from None


def drawn_value(value: Motif | Texture, target: Origin | None = None) -> str:
    """A value of the piece as a small picture without meter; notes of the target's letter are marked `here` in it.

    Raises NotDrawn.
    """
    written = notate(example_score(value, dressed=True))
    (movement,) = written.movements
    movement = replace(movement, frames=tuple(replace(frame, barline="none") for frame in movement.frames))
    rooms = [tuple(map(moments, staff.bars)) for part in movement.parts for staff in part.staves]
    width = 4 + sum(map(bar_width, zip(*rooms, strict=True)))
    drawn = engraved(cut_of(written, movement, len(movement.frames), False, True, round(max(6.0, width), 1)))
    if target is None or target.letter is None:
        return drawn
    for place, _, leaf in identified(movement):
        for number, head in enumerate(leaf.heads if leaf is not None else (), 1):
            if any(origin.letter == target.letter for origin in head.origins):
                drawn = drawn.replace(f' id="{place}{f"h{number}" if number > 1 else ""}"', ' data-here="yes"')
    return drawn


def shown(value: Motif | Texture, target: Origin | None) -> Motif | Texture:
    """A value, or of a long one the stretch in which the note is."""
    if isinstance(value, Texture):
        return Texture(tuple(_stretch(line, target) for line in value.lines[:MOST_LINES]))
    return _stretch(value, target)


def _stretch(line: Motif, target: Origin | None) -> Motif:
    if len(line.events) <= MOST_EVENTS:
        return line
    at = next((place for place, event in enumerate(line.events) if target and _holds((event,), target)), 0)
    first = max(0, min(at - MOST_EVENTS // 2, len(line.events) - MOST_EVENTS))
    return Motif(line.events[first : first + MOST_EVENTS])


def _notes(value: Motif | Texture) -> list[tuple[int, float, float]]:
    """Keys, onsets and lengths in quarters, to be played."""
    found: list[tuple[int, float, float]] = []
    for line in lines_of_value(value):
        now = Fraction(0)
        for event in line.events:
            found += ((head.pitch.midi, float(now * 4), float(event.duration * 4)) for head in event.heads)
            now += event.duration
    return sorted(found, key=lambda note: note[1])


# ---------------------------------------------------------------- the way to a note


def _target(leaf: Leaf) -> Origin | None:
    """The first thing that a note remembers, a letter before anything else."""
    origins = tuple(origins_of(leaf))
    return next((origin for origin in origins if origin.letter), origins[0] if origins else None)


def _holds(events: Sequence[Event], target: Origin | None) -> bool:
    """Whether some of these events came from the same letter, or without one from the same place."""
    return target is not None and any(
        origin.letter == target.letter and (target.letter is not None or origin.span == target.span)
        for event in events for heads in (event.heads, *event.marks.graces) for head in heads
        for origin in head.origins
    )  # fmt: skip


def _stages(desk: Desk, state: State, name: str, leaf: Leaf) -> tuple[Stage, ...]:
    kept: OrderedDict[tuple[int, str], tuple[State, tuple[Stage, ...]]] = desk.shelf.setdefault("stages", OrderedDict())
    known = kept.get((state.number, name))
    if known is None or known[0] is not state:
        for key in [key for key, (other, _) in kept.items() if other is not state]:
            del kept[key]  # a state that is not looked at any more is not held for it
        known = kept[state.number, name] = state, stages_of(state, leaf)
        while len(kept) > _HELD:
            kept.popitem(last=False)
    return known[1]


def stages_of(state: State, leaf: Leaf) -> tuple[Stage, ...]:
    """The way to a note, the latest stages of a long one; nothing where its item is not in the script any more."""
    program, plan = state.compiled.program, state.compiled.plan
    if program is None or plan is None or leaf.event is None:
        return ()
    value = _item(program, leaf.event.line)
    if value is None:
        return ()
    found = _Unfolding(program, Deriving(program, plan), _target(leaf)).of(value)
    return tuple(found)[-MOST_STAGES:]


def _item(program: p.Program, line: Span) -> p.Bound | None:
    """The expression of an item of a score line, parameters of a passage put in where it begins with one."""
    for movement in program.movements:
        for section in movement.sections:
            for item, given in _items(section.rows, ()):
                if item.span == line:
                    return _with_arguments(item.value, given)
    return None


def _items(
    rows: Sequence[p.BoundRow], given: tuple[p.Given | p.Bound, ...]
) -> Iterator[tuple[p.BoundItem, tuple[p.Given | p.Bound, ...]]]:
    for row in rows:
        match row:
            case t.Line():
                yield from ((item, given) for item in row.items if isinstance(item, t.Item))
            case p.Placed():
                inside = tuple(a if isinstance(a, p.Given) else _with_arguments(a, given) for a in row.arguments)
                yield from _items(row.rows, inside)
            case t.Excerpt(section=section):
                yield from _items(section.rows, given)
            case _:
                pass


def _with_arguments(value: p.Bound, given: tuple[p.Given | p.Bound, ...]) -> p.Bound:
    match value:
        case p.Parameter(index=index) if index < len(given):
            argument = given[index]
            return value if isinstance(argument, p.Given) else argument
        case p.BoundChain():
            return replace(value, first=_with_arguments(value.first, given))
        case _:
            return value


class _Unfolding:
    """Follows one note through expressions."""

    def __init__(self, program: p.Program, deriving: Deriving, target: Origin | None) -> None:
        self._definitions = {each.identity: each for each in program.definitions}
        self._deriving, self._target = deriving, target
        names = {
            d.identity: d.tree.letters.text for d in program.definitions if isinstance(d, p.NameDefinition)
        }  # fmt: skip
        self._phrases = Phrases(language("en"), names)

    def of(self, value: p.Bound, deep: int = 0) -> list[Stage]:
        """The stages of an expression, as far as they can be had."""
        if deep > _DEEPEST:
            return []
        match value:
            case p.Reference(to=identity):
                definition = self._definitions.get(identity)
                if isinstance(definition, p.ValueDefinition):
                    return self.of(definition.value, deep + 1)
                return self._alone(value)
            case p.BoundChain():
                return self._chain(value, deep)
            case p.Combine():
                operand = next((each for each in value.operands if self._has(each)), None)
                before = self.of(operand, deep + 1) if operand is not None else []
                return [*before, *self._alone(value, self._phrases.combination(value))]
            case p.CallOwn():
                arguments = [each for each in value.arguments if not isinstance(each, p.Given)]
                argument = next((each for each in arguments if self._has(each)), None)
                before = self.of(argument, deep + 1) if argument is not None else []
                return [*before, *self._alone(value)]
            case _:
                return self._alone(value)

    def _chain(self, chain: p.BoundChain, deep: int) -> list[Stage]:
        found = self.of(chain.first, deep + 1)
        for step in self._steps(chain)[1:]:
            match step.done:
                case p.Apply():
                    sentence = self._phrases.step(step.done, step.inflected_by)
                    found.append(Stage(_one_line(step.done.text), sentence, step.value))
                case p.ApplyOwn():
                    found.append(Stage(_one_line(step.done.text), "", step.value))
                case added:
                    if not found or not any(
                        _holds(line.events, self._target) for line in lines_of_value(found[-1].value)
                    ):
                        found = self.of(added, deep + 1)
                    found.append(Stage(f"+ {_one_line(added.span.text)}", "", step.value))
        return found

    def _steps(self, chain: p.BoundChain) -> Sequence[Any]:
        try:
            return self._deriving.steps_of(chain)
        except IndexError:  # a parameter of a passage stands in it
            return ()

    def _has(self, value: p.Bound) -> bool:
        made = self._value(value)
        return made is not None and any(_holds(line.events, self._target) for line in lines_of_value(made))

    def _value(self, value: p.Bound) -> Motif | Texture | None:
        try:
            return self._deriving.value_of(value)
        except IndexError:
            return None

    def _alone(self, value: p.Bound, sentence: str = "") -> list[Stage]:
        made = self._value(value)
        if made is None:
            return []
        definition = self._definitions.get(value.to) if isinstance(value, p.Reference) else None
        if isinstance(definition, p.NameDefinition):
            tree = definition.tree
            return [Stage(f'name {tree.name.text} = "{tree.letters.text}" by {tree.cipher.text}', sentence, made)]
        return [Stage(_as_written(value), sentence, made)]


def _as_written(value: p.Bound) -> str:
    """A value as the script says it; the places of some begin and end within their brackets."""
    text = _one_line(value.span.text)
    word = _WORDS.get(type(value), "")
    if word and not text.startswith(word):
        text = f"{word}({text.removesuffix(')')})"
    return text + ")" * (text.count("(") - text.count(")"))


def _one_line(text: str) -> str:
    return " ".join(text.split())
