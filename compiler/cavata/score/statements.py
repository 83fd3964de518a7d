"""Where a piece states its names: read from what every note remembers of its letter, its steps and its item.

In: a score. Out: statements in the order of hearing. Holds after: every note of a name belongs to one statement of it
each time that it is heard, no statement has a letter at two moments, and none goes on where the playing goes elsewhere.
What a statement is, `grammar/commands/index.md` defines.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from cavata.evaluate.plan import Plan
from cavata.music.event import Head, Letter, Motif, Origin
from cavata.music.pitch import Pitch
from cavata.names import program as p
from cavata.record import record, replace
from cavata.score.forms import Form, forms_of
from cavata.score.playing import Stretches
from cavata.score.score import Score, ScoreEvent
from cavata.source import Span
from cavata.transforms.figuration import ADDED

_MOST_UNDER_WAY = 64
"""Among so many statements of one name, the latest, another voice looks for its own; canons have fewer voices."""


@record
class StatedLetter:
    """A letter of a statement, where it is struck first in it."""

    letter: Letter
    onset: Fraction
    """In whole notes from the movement's beginning."""
    pitch: Pitch
    """At concert pitch; where several parts or added notes have it, that of the first part and there the lowest."""
    inflection: str
    """As an origin has it; empty for a note as the cipher gives it."""


@record
class NameStatement:
    """A name, or a part of one, heard once."""

    name: str
    """As the script calls it."""
    stated: tuple[StatedLetter, ...]
    """Each letter heard, once, by its moment; those of one moment in the order of the name."""
    movement: int
    end: Fraction
    """When its last note is over, in whole notes from the movement's beginning."""
    staves: tuple[tuple[int, str], ...]
    """Where it stands, in score order: the number of the part, and the staff's name."""
    steps: tuple[str, ...]
    """What its notes went through, as the script says it."""
    notes: int
    """Written notes: a chord has several, and what two parts play counts twice."""
    between: int
    """How many other notes and chords its first voice has between its first and its last."""
    line: Span
    """The item of the score line."""
    with_names: tuple[str, ...] = ()
    """Other names in the same turn of the item in one of its parts meanwhile, as where lines are woven."""
    times: tuple[int, ...] = (0,)
    """In which stretches of the movement's playing it is heard, counted from 0."""
    again: bool = False
    """Whether it is part of another one, left from it where the playing goes on elsewhere: its notes are the same."""

    @property
    def onset(self) -> Fraction:
        """Where it begins, in whole notes from the movement's beginning."""
        return self.stated[0].onset

    @property
    def letters(self) -> tuple[Letter, ...]:
        """Those heard, in their order."""
        return tuple(stated.letter for stated in self.stated)

    @property
    def positions(self) -> frozenset[int]:
        """Which letters of the name are heard, counted from 1."""
        return frozenset(stated.letter.position for stated in self.stated)

    @property
    def inflections(self) -> tuple[tuple[str, str], ...]:
        """Letters that the composer inflected, each with how, none twice."""
        pairs = ((stated.letter.text, stated.inflection) for stated in self.stated if stated.inflection)
        return tuple(dict.fromkeys(pairs))

    @property
    def parts(self) -> tuple[int, ...]:
        """The numbers of the parts that play it, in score order."""
        return tuple(dict.fromkeys(part for part, _ in self.staves))

    @property
    def forms(self) -> tuple[Form, ...]:
        """In what forms it sounds."""
        return forms_of(self.steps)


@record
class StatedName:
    """A name of the piece, and where it is stated."""

    name: str
    letters: tuple[Letter, ...]
    """Those that make a note, in the order of the name."""
    statements: tuple[NameStatement, ...]

    def is_whole(self, statement: NameStatement) -> bool:
        """Whether a statement of it has every letter that makes a note."""
        return statement.positions >= {letter.position for letter in self.letters}

    def forms(self, statement: NameStatement) -> tuple[Form, ...]:
        """In what forms a statement of it sounds: *in part* is what is not whole, whatever took the letters away."""
        found = set(statement.forms) - {Form.IN_PART}
        if not self.is_whole(statement):
            found.add(Form.IN_PART)
        return tuple(form for form in Form if form in found)


def stated_names(program: p.Program, plan: Plan, score: Score) -> tuple[StatedName, ...]:
    """The names that the script defines or brings in, in its order; then others that sound, as of a rhythm in Morse."""
    letters = _letters_of_names(program, plan)
    found: dict[str, list[NameStatement]] = {name: [] for name in letters}
    for statement in statements(score):
        found.setdefault(statement.name, []).append(statement)
    for name, said in found.items():
        heard = {letter.position: letter for statement in said for letter in statement.letters}
        letters.setdefault(name, tuple(heard[position] for position in sorted(heard)))
    return tuple(StatedName(name, letters[name], tuple(said)) for name, said in found.items())


def _letters_of_names(program: p.Program, plan: Plan) -> dict[str, tuple[Letter, ...]]:
    """The letters that make a note, of each name that the piece defines or brings in."""
    found: dict[str, tuple[Letter, ...]] = {}
    for definition in program.definitions:
        value = plan.values.get(definition.identity)
        if isinstance(definition, p.NameDefinition) and isinstance(value, Motif):
            letters = [letter for event in value.events for head in event.heads for letter in head.letters]
            found.setdefault(definition.identity.name, tuple(letters))
    return found


# ------------------------------------------------------------------ finding them

_Key = tuple[str, tuple[str, ...]]
"""A name, and the steps that its notes went through: one mention of it in the script."""
_Voice = tuple[int, int, int]
"""The numbers of a part, a staff of it, and a voice there."""
_Turn = Sequence[tuple[_Voice, ScoreEvent]]
"""What one turn of an item puts into the score, voice by voice in score order."""


class _Run:
    """A statement while it grows in one voice, and then in several."""

    def __init__(self, key: _Key, voice: _Voice, place: int) -> None:
        self.key = key
        self.is_chord = Form.CHORD in forms_of(key[1])
        self.stated: dict[int, StatedLetter] = {}
        self.last: frozenset[int] = frozenset()
        self.voices = {voice}
        self.first_place = self.last_place = place
        self.moments = self.notes = 0
        self.end = Fraction(0)

    @property
    def onset(self) -> Fraction:
        """Where the first of its voices begins."""
        return min(stated.onset for stated in self.stated.values())

    def goes_on(self, event: ScoreEvent, positions: frozenset[int]) -> bool:
        """Whether the next note of its name and steps belongs to it: a further letter, or the same one again."""
        if positions == self.last:
            return event.tied_before or not self.is_chord
        return positions.isdisjoint(self.stated)

    def take(self, voice: _Voice, place: int, event: ScoreEvent, said: Sequence[tuple[Head, Origin]]) -> None:
        """Let it go on with an event, or a grace note of it; `said` has its letters there, the lowest first."""
        for head, origin in said:
            assert origin.letter is not None
            self.stated.setdefault(
                origin.letter.position, StatedLetter(origin.letter, event.onset, head.pitch, origin.inflection)
            )
        self.last = frozenset(origin.letter.position for _, origin in said if origin.letter)
        self.notes += 0 if event.tied_before else len({head.pitch for head, _ in said})
        self.voices.add(voice)
        self.moments += place != self.last_place or not self.moments
        self.last_place, self.end = place, max(self.end, event.end)

    def fits(self, other: _Run) -> bool:
        """Whether another voice's run is of the same statement: each letter of both would have one moment."""
        return all(
            position not in self.stated or self.stated[position].onset == stated.onset
            for position, stated in other.stated.items()
        )

    def join(self, other: _Run) -> None:
        """Take another voice's run in."""
        self.stated = other.stated | self.stated
        self.notes += other.notes
        self.voices |= other.voices
        self.end = max(self.end, other.end)


def statements(score: Score) -> tuple[NameStatement, ...]:
    """Every statement of every name, in the order of hearing; at one moment in score order."""
    found: list[NameStatement] = []
    for number, movement in enumerate(score.movements):
        turns: dict[tuple[Span, Fraction], list[tuple[_Voice, ScoreEvent]]] = defaultdict(list)
        for part, staves in enumerate(movement.staves):
            for place, staff in enumerate(staves):
                for index, voice in enumerate(staff.voices):
                    for event in voice:
                        turns[event.line, event.turn].append(((part, place, index), event))
        for (line, _), turn in turns.items():
            said: list[NameStatement] = []
            for times, share in _as_played(turn, movement.playing):
                runs = list(_in_turn(share))
                said += (_statement(score, number, line, run, runs, times) for run in runs)
            found += _each_once(said) if movement.playing else said
    return tuple(sorted(found, key=lambda said: (said.movement, said.onset, said.parts[0], said.name)))


def _as_played(turn: _Turn, playing: Stretches) -> Iterator[tuple[tuple[int, ...], _Turn]]:
    """What is heard of a turn in one stretch of the playing after another; what is heard alike is one, with its
    stretches.
    """
    if not playing:
        yield (0,), turn
        return
    shares: dict[tuple[int, ...], list[int]] = defaultdict(list)
    heard: dict[tuple[Fraction, Fraction], tuple[int, ...]] = {}
    for time, stretch in enumerate(playing):
        if stretch not in heard:
            begin, end = stretch
            heard[stretch] = tuple(place for place, (_, event) in enumerate(turn) if begin <= event.onset < end)
        if heard[stretch]:
            shares[heard[stretch]].append(time)
    for places, times in shares.items():
        until = max(playing[time][1] for time in times)
        yield tuple(times), [(turn[place][0], turn[place][1].up_to(until)) for place in places]


def _each_once(said: Sequence[NameStatement]) -> Iterator[NameStatement]:
    """Statements of one turn, those that are heard alike made one, and those that are part of another marked."""
    alike: dict[object, list[NameStatement]] = defaultdict(list)
    for each in said:
        alike[each.name, each.steps, each.stated, each.staves].append(each)
    for same in alike.values():
        first, letters = same[0], set(same[0].stated)
        again = any(
            (other.name, other.steps) == (first.name, first.steps) and letters < set(other.stated) for other in said
        )
        yield replace(first, times=tuple(sorted(time for each in same for time in each.times)), again=again)


def _in_turn(turn: _Turn) -> Iterator[_Run]:
    """The statements of one turn of an item."""
    together: dict[_Key, list[_Run]] = defaultdict(list)
    for run in sorted(_in_voices(turn), key=lambda run: (run.onset, min(run.voices))):
        groups = together[run.key]
        group = next((group for group in reversed(groups[-_MOST_UNDER_WAY:]) if group.fits(run)), None)
        if group is None:
            groups.append(run)
        else:
            group.join(run)
    for groups in together.values():
        yield from groups


def _in_voices(turn: _Turn) -> Iterator[_Run]:
    """The runs of each voice; what a hocket or dialogue deals out to several is read as the one line that it was."""
    lanes: dict[_Voice | None, dict[_Key, list[_Run]]] = defaultdict(lambda: defaultdict(list))
    places: dict[_Voice | None, int] = defaultdict(int)
    for voice, event in sorted(turn, key=lambda placed: placed[1].onset):
        places[voice] += not event.tied_before
        places[None] += not event.tied_before
        for heads in (*event.event.marks.graces, event.event.heads):
            for key, said in _by_key(heads).items():
                lane = None if "hocket" in key[1] or "dialogue" in key[1] else voice
                runs = lanes[lane][key]
                positions = frozenset(origin.letter.position for _, origin in said if origin.letter)
                if not runs or not runs[-1].goes_on(event, positions):
                    runs.append(_Run(key, voice, places[lane]))
                runs[-1].take(voice, places[lane], event, said)
    for by_key in lanes.values():
        for runs in by_key.values():
            yield from runs


def _by_key(heads: Sequence[Head]) -> Mapping[_Key, Sequence[tuple[Head, Origin]]]:
    """The letters of a note or chord, by the statements that they can belong to."""
    found: dict[_Key, list[tuple[Head, Origin]]] = {}
    for head in heads:
        for origin in head.origins:
            if origin.letter is not None:
                steps = tuple(step for step in origin.steps if step not in ADDED)
                found.setdefault((origin.letter.name, steps), []).append((head, origin))
    return found


def _statement(
    score: Score, movement: int, line: Span, run: _Run, turn: Sequence[_Run], times: tuple[int, ...]
) -> NameStatement:
    name, steps = run.key
    parts = {part for part, _, _ in run.voices}
    beside = {
        other.key[0] for other in turn
        if other.key[0] != name and other.onset < run.end and other.end > run.onset
        and any(part in parts for part, _, _ in other.voices)
    }  # fmt: skip
    staves = dict.fromkeys(
        (part, score.movements[movement].staves[part][staff].name) for part, staff, _ in sorted(run.voices)
    )
    return NameStatement(
        name, tuple(sorted(run.stated.values(), key=lambda stated: (stated.onset, stated.letter.position))), movement,
        run.end, tuple(staves), steps, run.notes, run.last_place - run.first_place + 1 - run.moments, line,
        tuple(sorted(beside)), times,
    )  # fmt: skip
