"""Matching the arguments of a step or combination with the patterns of its word.

In: atoms of the syntax tree. Out: bound arguments, or a report that shows how the step or combination is written. A
reader takes the atoms from left to right; what does not fit is a `Mismatch` that knows how far the reading came.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from cavata.diagnostics import Diagnostics, closest
from cavata.instruments.instrument import Instrument
from cavata.instruments.table import find
from cavata.music.event import DYNAMICS, NOTHING, TECHNIQUES, Bars
from cavata.music.pitch import Interval, Pitch, PitchClass
from cavata.names.modes import Mismatch, Reader, Reported, read_mode
from cavata.names.program import Bound, BoundArgument, Clause, Constant, Given, Taken
from cavata.source import Span
from cavata.syntax import tree as t
from cavata.syntax.trade_words import here
from cavata.text import so_many
from cavata.transforms.combinations import BELOW
from cavata.transforms.dress import AT_EACH_NOTE, Markings
from cavata.transforms.selection import ByLetter, ByNumber, ByText, Selection, TheLast
from cavata.transforms.signature import (
    KIND_WORDS,
    ArgumentKind,
    Choice,
    Fixed,
    Option,
    OptionalChoice,
    OptionalSlot,
    PatternPart,
    Slot,
    read_pattern,
)
from cavata.transforms.table import TRANSFORMS, Combination, Transform
from cavata.transforms.voicing import ChordParts

# ------------------------------------------------------------------ spans of time, parts, instruments


def read_span(reader: Reader) -> Given:
    """A duration, or a number of bars."""
    atom = reader.peek()
    if isinstance(atom, t.Atom) and isinstance(atom.value, Fraction):
        return Given(atom.value, (reader.take().span,))
    if not (isinstance(atom, t.Atom) and isinstance(atom.value, int) and atom.value > 0):
        raise reader.fail(KIND_WORDS[ArgumentKind.SPAN])
    reader.take()
    if reader.word() not in ("bar", "bars"):
        raise reader.fail("`bars`", f"write `{so_many(atom.value, 'bar')}`, or a duration such as `{atom.value}/4`")
    return Given(Bars(atom.value), (atom.span.to(reader.take().span),))


def read_players(reader: Reader) -> Given:
    """Parts and groups of the forces, each part once."""
    found: dict[str, Instrument] = {}
    start = reader.at
    while isinstance(word := reader.peek(), t.Word) and word.text != BELOW:
        players = reader.players(word)
        if players is None:
            raise Reported
        for name, instrument in players:
            found.setdefault(name, instrument)
        reader.take()
    if reader.at == start:
        raise reader.fail(KIND_WORDS[ArgumentKind.PARTS])
    whole = reader.atoms[start].span.to(reader.atoms[reader.at - 1].span)
    return Given(ChordParts(tuple(found), tuple(found.values())), (whole,))


def read_instrument(reader: Reader) -> Given:
    """An instrument's words, with its key if it has one: `piccolo`, `clarinet in A`."""
    start = reader.at
    words: list[str] = []
    while isinstance(atom := reader.peek(), t.Word) or (
        isinstance(atom, t.Atom) and isinstance(atom.value, PitchClass) and words[-1:] == ["in"]
    ):
        words.append(atom.text if isinstance(atom, t.Word) else atom.span.text)
        reader.take()
    called = " ".join(words)
    instrument = find(called)
    if called and instrument is None:
        from cavata.instruments.foreign import foreign, suggestions_in_any_language

        meant = foreign(called)
        instrument = meant.instrument if meant else None
    if instrument is None:
        near = suggestions_in_any_language(called) if called else ()
        reader.at = start
        raise reader.fail(KIND_WORDS[ArgumentKind.INSTRUMENT], f"did you mean `{near[0]}`?" if near else "")
    whole = reader.atoms[start].span.to(reader.atoms[reader.at - 1].span)
    return Given(instrument, (whole,))


# ------------------------------------------------------------------ steps


def written_now(step: t.Step) -> str:
    """How a step that stands as edition 1 wrote it is written now, as a message says it; empty for any other."""
    from cavata.syntax.renew import step_renewed  # loads the parser, which only a message needs

    now = step_renewed(step.span.text)
    if not now:
        return ""
    first, *more = (part.strip() for part in now.removeprefix("->").split("->"))
    source = step.span.source.text
    has_arrow = source[: step.span.start].rstrip().endswith("->")
    if has_arrow:
        return f"`{' -> '.join((first, *more))}`" + ("" if now.startswith("->") else ", without an arrow")
    return f"`{first}`" + "".join(f", and in a row of its own `{part}`" for part in more)


def match_step(
    step: t.Step,
    candidates: tuple[Transform, ...],
    reader: Callable[[tuple[t.Argument, ...]], Reader],
    bag: Diagnostics,
) -> tuple[Transform, tuple[BoundArgument, ...]] | None:
    """The transform whose pattern the step fits, with its arguments; None when that was reported."""
    best: Mismatch | None = None
    for transform in candidates:
        try:
            return transform, fit_parts(transform.parts, reader(step.arguments))
        except Mismatch as mismatch:
            if best is None or mismatch.at > best.at:
                best = mismatch.with_traceback(None)  # with it the mismatch would hold itself, by our frame
        except Reported:
            return None
    assert best is not None
    if now := written_now(step):
        bag.error(
            "N810", step.span, "this is how edition 1 of the language wrote it", label="another order or word now",
            cure=f"write {now}",
        )  # fmt: skip
        return None
    ways = " or ".join(f"`{c.pattern}`" for c in candidates)
    word = step.word.text
    known = here(word, "", " ".join(argument.span.text for argument in step.arguments))
    meant = known if known.startswith(f"`{word} ") else ""  # a phrase of which ours is but the first word
    bag.error(
        "N210",
        best.span or (_end(step.span) if step.arguments else step.word.span),
        f"this does not fit `{step.word.text}`",
        label=f"expected {best.wanted}",
        cure=meant or best.cure or f"it is written {ways}",
    )
    return None


def fit_parts(parts: tuple[PatternPart, ...], reader: Reader) -> tuple[BoundArgument, ...]:
    """The arguments that the atoms give to a pattern; a Mismatch says where they do not fit it."""
    arguments: list[BoundArgument] = []
    unused: ArgumentKind | None = None
    for number, part in enumerate(parts):
        match part:
            case Slot(kind):
                arguments.append(slot(kind, reader))
            case OptionalSlot(kind):
                rest = parts[number + 1 :]
                handed = _handed_on(kind, rest, reader)
                if handed is not None:
                    return (*arguments, *handed)
                given = _given_notes(reader, rest)
                unused = kind if given.value is None else None
                arguments.append(given)
            case Fixed(word):
                reader.expect(word)
            case Choice(words):
                if reader.word() not in words:
                    raise reader.fail(" or ".join(f"`{w}`" for w in words))
                atom = reader.take()
                assert isinstance(atom, t.Word)
                arguments.append(Given(atom.text, (atom.span,)))
            case OptionalChoice(words):
                chosen = reader.word() if reader.peek() is not None else ""
                if chosen not in words and reader.peek() is not None:
                    raise reader.fail(" or ".join(f"`{w}`" for w in words))
                arguments.append(Given(chosen, (reader.take().span,) if chosen else ()))
            case Option(word):
                taken = reader.word() == word
                arguments.append(Given(taken, (reader.take().span,) if taken else ()))
    more = reader.peek()
    if more is not None:
        if unused is None or not isinstance(parts[-1], OptionalSlot):
            raise reader.fail("nothing more")
        cure = "numbers stand without brackets here" if isinstance(more, t.NoteList) else _in_quotes(more)
        raise reader.fail(KIND_WORDS[unused], cure)
    return tuple(arguments)


def _handed_on(kind: ArgumentKind, rest: tuple[PatternPart, ...], reader: Reader) -> tuple[BoundArgument, ...] | None:
    """The arguments where a parameter stands for the notes; None where it must be what comes after them."""
    parameter = reader.named()
    if parameter is None:
        return None
    start = reader.at
    reader.take()
    try:
        return (Taken(parameter, kind.value, parameter.span), *fit_parts(rest, reader))
    except Mismatch:
        reader.at = start
        return None


def _given_notes(reader: Reader, rest: tuple[PatternPart, ...]) -> Given:
    """The notes that a transform names, if it names any; where words are to follow, a text is the first of them."""
    worded = bool(rest) and isinstance(rest[0], Slot) and rest[0].kind in (ArgumentKind.MARKINGS, ArgumentKind.TEXT)
    items, spans = _selected(reader, texts=not worded)
    return Given(Selection(items) if items else None, spans)


def slot(kind: ArgumentKind, reader: Reader) -> BoundArgument:
    """One argument of a kind."""
    atom = reader.peek()
    if kind in (ArgumentKind.RHYTHM, ArgumentKind.MOTIF):
        return _value(kind, reader)
    parameter = reader.named()
    if parameter is not None:
        return Taken(parameter, kind.value, reader.take().span)
    match kind:
        case ArgumentKind.NOTES:
            return read_notes(reader)
        case ArgumentKind.MARKINGS:
            return _markings(reader)
        case ArgumentKind.MODE:
            return read_mode(reader)
        case ArgumentKind.DYNAMIC:
            return _dynamic(reader)
        case ArgumentKind.SPAN:
            return read_span(reader)
        case ArgumentKind.PARTS:
            return read_players(reader)
        case ArgumentKind.INSTRUMENT:
            return read_instrument(reader)
        case ArgumentKind.TEXT if isinstance(atom, t.Text):
            return Given(atom.text, (reader.take().span,))
        case _:
            pass
    if isinstance(atom, t.Atom):
        constant = constant_of(kind, atom.value)
        if constant is not None:
            reader.take()
            return Given(constant, (atom.span,))
    raise reader.fail(KIND_WORDS[kind], _near_miss(kind, atom))


def constant_of(kind: ArgumentKind, value: object) -> Constant | None:
    """The value as that kind, or None if it is another kind."""
    match kind, value:
        case ArgumentKind.COUNT, int():
            return value
        case ArgumentKind.RATIO, int() if value > 0:
            return Fraction(value)
        case ArgumentKind.RATIO, t.Ratio(ratio):
            return ratio
        case (
            (ArgumentKind.DURATION, Fraction()) | (ArgumentKind.INTERVAL, Interval())
            | (ArgumentKind.PITCH, Pitch()) | (ArgumentKind.CLASS, PitchClass())
        ):
            assert isinstance(value, Fraction | Interval | Pitch | PitchClass)
            return value
        case ArgumentKind.RANGE, t.PitchRange(low, high):
            return (low, high)
        case _:
            return None


def _near_miss(kind: ArgumentKind, atom: t.Argument | None) -> str:
    value = atom.value if isinstance(atom, t.Atom) else None
    match kind, value:
        case ArgumentKind.PITCH, PitchClass():
            return f"give it an octave, as `{value}4`"
        case ArgumentKind.INTERVAL, Pitch() if str(value)[0] == "A" and value.alter == 0:
            return f"`{value}` is a pitch; the augmented interval is `aug{value.octave}`"
        case ArgumentKind.INTERVAL, int() if 1 <= value <= 15:
            return f"name its quality too, as `{'P' if value % 7 in (1, 4, 5) else 'M'}{value}`"
        case ArgumentKind.RATIO, Fraction():
            return f"a ratio has a colon, as `{value.numerator}:{value.denominator}`"
        case ArgumentKind.RHYTHM, Fraction():
            return "a rhythm stands in brackets, as `(1/4 1/8)`"
        case ArgumentKind.DURATION, int():
            return f"durations are fractions of a whole note, as `{value}/4`"
        case _:
            return ""


def _value(kind: ArgumentKind, reader: Reader) -> Taken:
    atom = reader.peek()
    if atom is None or isinstance(atom, t.Atom | t.Text):
        raise reader.fail(KIND_WORDS[kind], _near_miss(kind, atom))
    bound = reader.bind(reader.take())
    if bound is None:
        raise Reported
    return Taken(bound, kind.value, atom.span)


NoteItem = ByNumber | ByLetter | ByText | TheLast


def read_notes(reader: Reader) -> Given:
    """One or more notes, by number, letter or `last`."""
    items, spans = _selected(reader)
    if not items:
        raise reader.fail(KIND_WORDS[ArgumentKind.NOTES], _in_quotes(reader.peek()))
    return Given(Selection(items), spans)


def _in_quotes(atom: t.Argument | None) -> str:
    """The cure where a letter of a name was written as a note is; empty for anything else."""
    if isinstance(atom, t.Atom) and isinstance(atom.value, PitchClass):
        return f'a letter of a name stands in quotes: `"{atom.span.text}"`'
    return ""


def _selected(reader: Reader, texts: bool = True) -> tuple[tuple[NoteItem, ...], tuple[Span, ...]]:
    """The notes that are named next, none or more; `texts`: a text is a letter of a name."""
    found: list[tuple[NoteItem, Span]] = []
    while (texts or not isinstance(reader.peek(), t.Text)) and (item := _note(reader)) is not None:
        found.append(item)
    return tuple(item for item, _ in found), tuple(span for _, span in found)


def _note(reader: Reader) -> tuple[NoteItem, Span] | None:
    """One item of a selection; None where none begins."""
    match reader.peek():
        case t.Atom(t.NoteRange(first, end), span):
            reader.take()
            return ByNumber(first, end), span
        case t.Atom(int(number), span):
            reader.take()
            return ByNumber(number, number), span
        case t.Word("last", span):
            reader.take()
            return TheLast(), span
        case t.Text(letters, span):
            reader.take()
            return ByText(letters), span
        case t.Word("letter", span):
            reader.take()
            number_atom = reader.peek()
            if not (isinstance(number_atom, t.Atom) and isinstance(number_atom.value, int)):
                raise reader.fail("a number: which letter of the name")
            reader.take()
            return ByLetter(number_atom.value), span.to(number_atom.span)
        case _:
            return None


_MARKED = "-> marked "
"""What a hint need not say where a marking is read already."""


def _dynamic(reader: Reader) -> Given:
    word = reader.word()
    if word not in DYNAMICS and word != NOTHING:
        cure = here(word).replace(_MARKED, "") if word else ""
        known = " ".join((*DYNAMICS, NOTHING))
        cure = "without `to`, as `crescendo p f`" if word == "to" else cure or f"dynamics are {known}"
        raise reader.fail(KIND_WORDS[ArgumentKind.DYNAMIC], cure)
    return Given(word, (reader.take().span,))


def _markings(reader: Reader) -> Given:
    """`(dynamic | articulation | technique | "words") ...`."""
    dynamic, articulations, words, techniques = "", [], [], []
    first_mark = reader.at
    while (atom := reader.peek()) is not None:
        if isinstance(atom, t.Text):
            words.append(atom.text)
        elif isinstance(atom, t.Word) and atom.text in DYNAMICS and not dynamic:
            dynamic = atom.text
        elif isinstance(atom, t.Word) and atom.text in AT_EACH_NOTE:
            articulations.append(atom.text)
        elif isinstance(atom, t.Word) and atom.text in TECHNIQUES:
            techniques.append(atom.text)
        else:
            text = reader.word()
            if text in DYNAMICS:
                raise reader.fail("no second dynamic", f"give it a transform of its own, as `marked last {text}`")
            if text == "fermata":
                raise reader.fail(
                    KIND_WORDS[ArgumentKind.MARKINGS], "a fermata is a transform of its own: `-> fermata last`"
                )
            if text in TRANSFORMS:
                raise reader.fail(
                    KIND_WORDS[ArgumentKind.MARKINGS], f"`{text}` is a transform of its own, after another `->`"
                )
            known = (*DYNAMICS, *AT_EACH_NOTE, *TECHNIQUES)
            guess = (closest(text, known, 1) or _in_full(text, known)) if text else ()
            meant = f"did you mean `{guess[0]}`?" if guess else f'words stand in quotes, as `marked "{text or "calm"}"`'
            known_here = here(text, "", _after(reader)).replace(_MARKED, "") if text else ""
            raise reader.fail(KIND_WORDS[ArgumentKind.MARKINGS], known_here or meant)
        reader.take()
    if reader.at == first_mark:
        raise reader.fail(KIND_WORDS[ArgumentKind.MARKINGS])
    spans = tuple(reader.atoms[i].span for i in range(first_mark, reader.at))
    return Given(Markings(dynamic, tuple(articulations), tuple(words), tuple(techniques)), spans)


def _after(reader: Reader) -> str:
    """The words after the one that is read."""
    return " ".join(atom.span.text for atom in reader.atoms[reader.at + 1 :])


def _in_full(text: str, known: Sequence[str]) -> tuple[str, ...]:
    """What an abbreviation of three letters or more stands for, as `pizz` and `stacc`."""
    return tuple(word for word in known if len(text) > 2 and word.startswith(text))


# ------------------------------------------------------------------ clauses of combinations


_COUNTS = {1: "one value", 2: "two values"}


def match_clause(argument: t.Loose, combination: Combination, reader: Reader, bag: Diagnostics) -> Clause | None:
    """The clause that an argument is, as `at P5 below`; None when what is wrong with it was reported.

    A pattern of one capital word, as `PITCH`, is a constant without a word before it.
    """
    best: Mismatch | None = None
    for pattern in combination.clauses:
        reader.at = 0
        try:
            return _read(pattern, argument, reader)
        except Mismatch as mismatch:
            if mismatch.at and (best is None or mismatch.at > best.at):
                best = mismatch.with_traceback(None)  # as in `match_step`
        except Reported:
            return None
    if best is None:
        message, label = f"`{argument.span.text}` means nothing in `{combination.word}`", ""
    else:
        message, label = f"this does not fit `{combination.word}`", f"expected {best.wanted}"
    place = argument.span if best is None else best.span or _end(argument.span)
    cure = best.cure if best is not None else ""
    bag.error("N209", place, message, label=label, cure=cure or f"it is written `{combination.pattern}`")
    return None


def _read(pattern: str, argument: t.Loose, reader: Reader) -> Clause:
    head = pattern.split()[0]
    if head.isupper():
        given = slot(ArgumentKind(head), reader)
        if reader.peek() is not None:
            raise reader.fail("nothing more")
        return Clause(pattern, (given,), argument.span)
    reader.expect(head)
    return Clause(pattern, fit_parts(read_pattern(pattern), reader), argument.span)


def _end(span: Span) -> Span:
    return Span(span.source, max(span.start, span.end - 1), span.end)


def well_formed(
    call: t.Call, combination: Combination, operands: Sequence[Bound], clauses: Sequence[Clause], bag: Diagnostics
) -> bool:
    """Whether a combination has as many values as it takes, and every clause it needs once; reported if not."""
    written = f"it is written `{combination.pattern}`"
    least, most = combination.least, combination.most
    values = [*operands, *(clause for clause in clauses if clause.pattern.isupper())]
    if len(values) < least or (most is not None and len(values) > most):
        many = _COUNTS[least] + (" or more" if most is None else "")
        place = values[most].span if most is not None and len(values) > most else call.word.span
        if combination.word == "dialogue" and operands:
            lines = " + ".join(operand.span.text for operand in operands)
            written = f"one line goes from player to player: `dialogue({lines})`"
        bag.error("N209", place, f"`{call.word.text}` takes {many}", cure=written)
        return False
    seen: dict[str, Clause] = {}
    for clause in clauses:
        before = seen.setdefault(clause.pattern, clause)
        if before is not clause:
            message = f"`{clause.pattern.split()[0]}` stands twice in `{call.word.text}`"
            bag.error(
                "N209", clause.span, message,
                label="again here", cure="keep one of them", also=((before.span, "first here"),),
            )  # fmt: skip
            return False
    unsaid = next((what for pattern, what in combination.needs.items() if pattern not in seen), "")
    if unsaid:
        bag.error("N209", call.word.span, f"`{call.word.text}` does not say {unsaid}", cure=written)
    return not unsaid
