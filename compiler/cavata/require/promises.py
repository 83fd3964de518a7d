"""What a piece requires, looked at once it is placed: each broken promise is an error.

In: the promises, the score, and the letters of every name. Out: messages, at the score line that broke a promise
where one did, with the promise's own row beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations

from cavata.diagnostics import Diagnostics
from cavata.evaluate.plan import Value
from cavata.music.event import Motif
from cavata.names.program import BoundPromise, Identity, PartStaff, Reference, Where
from cavata.require.parallels import bounds, meant_stretches, named_voices, parallels, place_in_words
from cavata.score.clock import length, length_verdict, time_in_words
from cavata.score.score import Movement, Score, ScoreEvent, bar_at, bar_index_at
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.text import so_many

# ------------------------------------------------------------------ rests for breath


def unbroken(
    movement: Movement, events: Sequence[ScoreEvent], wanted: t.Length, bars: int
) -> list[tuple[Fraction, ScoreEvent]]:
    """The stretches without a rest for breath that go on for more than so many bars, of a part's events in order.

    Each is given by where it begins, and the event that is under way when the bars are over. Free time has no bars and
    is left out.
    """
    found: list[tuple[Fraction, ScoreEvent]] = []
    begin: Fraction | None = None
    sounding = Fraction(0)
    told = False
    for event in events:
        if begin is None or event.onset - sounding >= _rest_wanted(movement, wanted, sounding):
            begin, told = event.onset, False
        sounding = max(sounding, event.end)
        limit = _bars_after(movement, begin, bars)
        if limit is not None and sounding > limit and not told:
            found.append((begin, event))
            told = True
    return found


def _rest_wanted(movement: Movement, wanted: t.Length, onset: Fraction) -> Fraction:
    """A rest in whole notes; bars in the meter of the place where it begins."""
    return wanted if isinstance(wanted, Fraction) else wanted.count * bar_at(movement.bars, onset).duration


def _bars_after(movement: Movement, onset: Fraction, bars: int) -> Fraction | None:
    """The place that lies so many bars after a place, as far into its bar; None where time is free."""
    index = bar_index_at(movement.bars, onset)
    passed = movement.bars[index : index + bars]
    if any(bar.meter is None for bar in passed):
        return None
    lengths = sum((bar.duration for bar in passed), Fraction(0))
    missing = bars - len(passed)
    return onset + lengths + missing * movement.bars[index].duration


# ------------------------------------------------------------------ all promises


MOST_EACH = 10
"""A promise is reported so often at most."""
REQUIRED = "required here"

Letters = Mapping[Identity, Mapping[int, str]]
"""The letters of each name that make a note, by their position in it."""


def letters_of(values: Mapping[Identity, Value]) -> Letters:
    """The letters of names that make a note."""
    return {
        identity: {
            letter.position: letter.text
            for event in value.events for head in event.heads for letter in head.letters
        }
        for identity, value in values.items() if isinstance(value, Motif)
    }  # fmt: skip


def look_at(
    promises: tuple[BoundPromise, ...], values: Mapping[Identity, Value], score: Score, bag: Diagnostics,
    version: bool = False, profiles: Sequence[t.Profile] = (),
) -> None:
    """Report every promise that the score breaks; a `version` is told that it need not keep what the piece promises."""
    letters = letters_of(values) if promises else {}
    for promise in promises:
        row = promise.span.source.line_text(promise.span.line).partition("--")[0].strip()
        way_out = f"; or, in this version, take it out with `without require {row}`"
        with bag.within(way_out if version and not row.startswith("require") else "") as found:
            _look(promise, letters, score, profiles, found)


def _look(
    promise: BoundPromise, letters: Letters, score: Score, profiles: Sequence[t.Profile], bag: Diagnostics
) -> None:
    match promise:
        case t.Heard():
            _heard(promise, letters, score, bag)
        case t.NeverBefore():
            _never_before(promise, score, bag)
        case t.KeepsWithin():
            _within(promise, score, bag)
        case t.Takes():
            _length(promise, score, bag)
        case t.ExactForces():
            _forces(promise, score, bag)
        case t.NoParallels():
            _parallels(promise, score, bag)
        case t.Rests():
            _rests(promise, score, bag)
        case t.Playable():
            _playable(promise, score, profiles, bag)


# ------------------------------------------------------------------ names


def _heard(promise: t.Heard[Reference, Where], letters: Letters, score: Score, bag: Diagnostics) -> None:
    wanted = {place.movement for place in promise.movements}
    for movement in score.movements:
        if wanted and movement.name not in wanted:
            continue
        for name in promise.names:
            all_letters = letters.get(name.to, {})
            heard = {position for event in movement.events for position in _positions(event, name)}
            missing = [f"{text} (letter {position})" for position, text in all_letters.items() if position not in heard]
            if missing:
                label = "nothing of it is" if len(missing) == len(all_letters) else f"missing: {', '.join(missing)}"
                bag.error(
                    "R101", name.span, f"`{name.to.name}` is not heard whole in `{movement.name}`", label=label,
                    cure="let a line of the movement play it", also=((movement.span, "in this movement"),),
                )


def _positions(event: ScoreEvent, name: Reference) -> Iterator[int]:
    for head in event.event.heads:
        for origin in head.origins:
            if origin.letter is not None and origin.letter.name == name.to.name:
                yield origin.letter.position


def _never_before(promise: t.NeverBefore[Reference, Where], score: Score, bag: Diagnostics) -> None:
    place = promise.place
    where = f"{place.movement}.{place.section}" if place.section else place.movement
    for movement in score.movements:
        end = bounds(movement, place.section)[0] if movement.name == place.movement else movement.duration
        for name in promise.names:
            early = [e for e in movement.events if e.onset < end and any(True for _ in _positions(e, name))]
            for event in _first_of_each_line(early):
                bag.error(
                    "R102", event.line, f"`{name.to.name}` sounds before `{where}`",
                    label=f"{place_in_words(movement, event.onset)}", also=((promise.span, REQUIRED),),
                )
        if movement.name == place.movement:
            return


def _first_of_each_line(events: list[ScoreEvent]) -> list[ScoreEvent]:
    """Of the events of one item the earliest, and of the items so many as a promise reports."""
    found: dict[Span, ScoreEvent] = {}
    for event in sorted(events, key=lambda event: event.onset):
        found.setdefault(event.line, event)
    return list(found.values())[:MOST_EACH]


# ------------------------------------------------------------------ parts


def _within(promise: t.KeepsWithin[PartStaff], score: Score, bag: Diagnostics) -> None:
    for movement in score.movements:
        for line in named_voices(score, movement, promise.parts):
            sung = [event for event in line.events if not event.event.marks.spoken]
            outside = [
                event for event in sung
                if any(not promise.low.midi <= head.pitch.midi <= promise.high.midi for head in event.event.heads)
            ]  # fmt: skip
            for event in _first_of_each_line(outside):
                pitch = next(
                    h.pitch for h in event.event.heads if not promise.low.midi <= h.pitch.midi <= promise.high.midi
                )
                bag.error(
                    "R103", event.line, f"{pitch} of `{line.part}` lies outside {promise.low} to {promise.high}",
                    label=place_in_words(movement, event.onset),
                    cure=f"move it by octaves with `within {promise.low}..{promise.high}`",
                    also=((promise.span, REQUIRED),),
                )


def _forces(promise: t.ExactForces[PartStaff], score: Score, bag: Diagnostics) -> None:
    wanted = {target.part: target.span for target in promise.parts}
    for part in score.parts:
        if part.name not in wanted:
            bag.error(
                "R105", part.span, f"`{part.name}` is not among the forces required", label="one part more",
                also=((promise.span, REQUIRED),),
            )  # fmt: skip
    playing = {
        part.name
        for movement in score.movements
        for part, staves in zip(score.parts, movement.staves, strict=True)
        if any(voice for staff in staves for voice in staff.voices)
    }
    for part in score.parts:
        if part.name in wanted and part.name not in playing:
            bag.error(
                "R105", part.span, f"`{part.name}` is required, but has nothing to play", label="never heard",
                also=((promise.span, REQUIRED),),
            )  # fmt: skip


def _parallels(promise: t.NoParallels[PartStaff, Where], score: Score, bag: Diagnostics) -> None:
    count = 0
    for movement, begin, end in meant_stretches(score, promise.places):
        lines = tuple(named_voices(score, movement, promise.parts))
        for one, other in combinations(lines, 2):
            for found in parallels(one.events, other.events, promise.interval):
                event = found.first[1]
                if not begin <= event.onset < end or count == MOST_EACH:
                    continue
                count += 1
                bag.error(
                    "R106", event.line, f"parallel {promise.interval} between `{one.part}` and `{other.part}`: {found}",
                    label=place_in_words(movement, event.onset),
                    also=((found.second[1].line, "the other line"), (promise.span, REQUIRED)),
                )


def _rests(promise: t.Rests[PartStaff], score: Score, bag: Diagnostics) -> None:
    for movement in score.movements:
        for target in promise.parts:
            events = [event for line in named_voices(score, movement, (target,)) for event in line.events]
            runs = unbroken(movement, sorted(events, key=lambda event: event.onset), promise.length, promise.bars)
            for begin, event in runs[:MOST_EACH]:
                bars = so_many(promise.bars, "bar")
                bag.error(
                    "R107", event.line, f"`{target.part}` plays for more than {bars} without such a rest",
                    label=f"without one since {place_in_words(movement, begin)}",
                    cure="let it rest, or share its line with another part",
                    also=((promise.span, REQUIRED),),
                )


# ------------------------------------------------------------------ players


def _playable(
    promise: t.Playable[PartStaff], score: Score, profiles: Sequence[t.Profile], bag: Diagnostics
) -> None:
    from cavata.playing.finding import Degree
    from cavata.playing.playing import findings
    from cavata.playing.profiles import profiles_of

    profile = profiles_of(profiles, Diagnostics())[promise.by.text]
    wanted = {target.part for target in promise.parts}
    told: dict[tuple[str, str, Span], ScoreEvent] = {}
    for movement, part, finding in findings(score, profile, wanted):
        where = (part.name, finding.kind.word, finding.event.line)
        if finding.degree is Degree.IMPOSSIBLE and where not in told:
            told[where] = finding.event
            if len(told) <= MOST_EACH:
                bag.error(
                    "R108", finding.event.line,
                    f"`{part.name}` {finding.what}, which is not playable by `{profile.name}`",
                    label=f"{finding.text}; {place_in_words(movement, finding.event.onset)}", cure=finding.cure,
                    also=((promise.span, REQUIRED),),
                )


# ------------------------------------------------------------------ length


def _length(promise: t.Takes[Where], score: Score, bag: Diagnostics) -> None:
    chosen = [m for m in score.movements if promise.what.movement in ("", m.name)]
    seconds = sum((length(movement) for movement in chosen), Fraction(0))
    what = f"`{promise.what.movement}`" if promise.what.movement else "the piece"
    least, most = promise.least * 60, promise.most * 60
    kept = length_verdict(seconds, least, most)
    if kept != "within":
        bag.error(
            "R104", promise.span, f"{what} takes {time_in_words(seconds)}", label=kept,
            cure="change its tempo, or its bars",
            also=_where(chosen),
        )  # fmt: skip


def _where(chosen: list[Movement]) -> tuple[tuple[Span, str], ...]:
    return tuple((movement.span, time_in_words(length(movement))) for movement in chosen[:MOST_EACH])
