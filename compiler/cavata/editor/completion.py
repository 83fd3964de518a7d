"""What may stand at a place of a script, and how the step or call under way is written.

In: a place. Out: the words that the grammar lets stand there and the names that are known there, each with what it is;
and the pattern of the step or combination in which the place lies. A half-written row gets answers too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from unicodedata import category

from cavata.editor.hover import statement_of
from cavata.editor.page import ScriptPage
from cavata.editor.tokens import ReadStatement, ScriptRow, WordToken, composed, read, row_at, start_under
from cavata.instruments.table import script_words
from cavata.music.event import ARTICULATIONS, DYNAMICS, TECHNIQUES
from cavata.music.mode import MODES
from cavata.names.loader import SUFFIX, ModuleLibrary, defined_in, library_names, standard_library
from cavata.names.program import DefinitionSort
from cavata.record import record, replace
from cavata.source import Span
from cavata.syntax.parse import parser_and_builder
from cavata.transforms.signature import (
    ArgumentKind,
    Choice,
    Fixed,
    Option,
    OptionalChoice,
    OptionalSlot,
    PatternPart,
    Slot,
)
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

_NAME = re.compile(r"[^\W\d]\w*")
_SPACES = re.compile(" +")


@record
class Offer:
    """A word that may stand at a place."""

    word: str
    what: str
    """Its sort, for the editor's picture of it: `keyword`, `step`, `combination`, `value`, `part` ..."""
    detail: str = ""
    """Its pattern, or what it is."""
    begun: str = ""
    """What stands of it before the place, and gives way to it."""


@record
class Written:
    """How a step or a combination is written, and which of its parts is under way."""

    pattern: str
    does: str
    parts: tuple[str, ...]
    now: int | None


# ------------------------------------------------------------------ where the place is


@record
class _Place:
    """A place in a statement: what stands before it there."""

    row: ScriptRow
    read: ReadStatement
    word: str
    """The beginning of the word that is under way; empty between words."""
    end: int
    """The place itself."""

    @property
    def phrase(self) -> str:
        """The same, where an instrument of several words may be under way; the words before it belong to it."""
        begun = self.tokens[-1].end if self.tokens else 0
        for token in reversed(self.tokens):
            if token.kind not in ("NAME", "IN"):
                break
            begun = token.start
        return self.row.span.source.text[begun : self.end - len(self.word)].lstrip() + self.word

    @property
    def tokens(self) -> tuple[WordToken, ...]:
        """The words before it."""
        return self.read.tokens


def _place(page: ScriptPage, offset: int) -> _Place:
    """What is read up to an offset; a line that begins anew is read by where it is indented."""
    text = page.source.text
    begin = offset
    while begin and (text[begin - 1].isalnum() or text[begin - 1] == "_" or category(text[begin - 1])[0] == "M"):
        begin -= 1
    word = text[begin:offset]
    line = text.rfind("\n", 0, offset) + 1
    row = row_at(page.rows, max(begin - 1, 0))
    fresh = not text[line:begin].strip()
    if row is None or (fresh and not _goes_on(page, row, begin)):
        indent = begin - line
        above = _above(page, line, indent)
        start = start_under(above)
        span = Span(page.source, begin, begin)
        return _Place(ScriptRow(span, start, above, begin), read(span, start), word, offset)
    span = Span(page.source, row.span.start, begin)
    return _Place(row, read(span, row.start), word, offset)


def _goes_on(page: ScriptPage, row: ScriptRow, begin: int) -> bool:
    """Whether a place at a line's beginning lies inside the statement before it."""
    if begin <= row.span.end and page.source.line_of(begin) != page.source.line_of(row.span.start):
        return True
    before = page.source.text[row.span.start : begin]
    return before.count("(") > before.count(")") or before.rstrip().endswith(("->", "+", ",", "="))


def _above(page: ScriptPage, line: int, indent: int) -> ScriptRow | None:
    """The statement under which a line of that indentation stands."""
    if not indent:
        return None
    for row in reversed(page.rows):
        if row.span.start < line and row.span.column - 1 < indent:
            return row
    return None


# ------------------------------------------------------------------ words


def offers(page: ScriptPage, offset: int) -> tuple[Offer, ...]:
    """What may stand at an offset, in the alphabet's order of each sort; nothing inside a text or a comment."""
    if _is_quiet(page, offset):
        return ()
    place = _place(page, offset)
    found: dict[str, Offer] = {}
    for offer in _offered(page, place):
        begun = place.phrase if offer.what == "instrument" else place.word
        if offer.word.startswith(_SPACES.sub(" ", composed(begun))):
            found.setdefault(offer.word, replace(offer, begun=begun))
    return tuple(found.values())


def _is_quiet(page: ScriptPage, offset: int) -> bool:
    """Whether a place lies in a text in quotes or in a comment."""
    line = page.source.text[page.source.text.rfind("\n", 0, offset) + 1 : offset]
    before = line.replace('\\"', "")
    return before.count('"') % 2 == 1 or "--" in before.split('"')[-1]


def _offered(page: ScriptPage, place: _Place) -> Iterator[Offer]:
    tokens = place.tokens
    last = tokens[-1].kind if tokens else ""
    step = _step_under_way(tokens)
    over_bars = last == "COLON" and any(each.text in ("bars", "bar") for each in tokens)
    if last == "ARROW" or over_bars and "AS" in place.read.follows:
        yield from _steps(page)
        return
    broken = not place.read.follows and last in ("COMMA", "COLON", "PLUS", "EQUAL")
    done = step is not None and any(_may_end(transform.parts, step[1]) for transform in TRANSFORMS[step[0]])
    if "NAME" in place.read.follows or broken:
        yield from _names(page, place) if step is None else _of_step(page, *step)
        if not done:
            yield from (Offer(name, "value", "parameter") for name in page.parameters(place.row.top))
    if step is not None and not done:
        return
    inside = _IN_STEPS if _arrow_under_way(tokens) else frozenset[str]()
    for terminal in sorted(place.read.follows - inside):
        word = words().get(terminal, "")
        if word.replace("(", "").isalpha() and not (step and word.endswith("(")):
            yield Offer(word, "keyword", statement_of(word))


@lru_cache(maxsize=1)
def words() -> dict[str, str]:
    """The word of every keyword's terminal."""
    parser, _ = parser_and_builder()
    return {each.name: each.pattern.value for each in parser.terminals if each.pattern.type == "str"}


def _steps(page: ScriptPage) -> Iterator[Offer]:
    for name in page.scope.names(DefinitionSort.TRANSFORM):
        yield Offer(name, "step", "transform of the script")
    for word, candidates in TRANSFORMS.items():
        yield Offer(word, "step", candidates[0].pattern)


_ENDS_STEPS = frozenset(["COMMA", "PLUS", "X", "FOR", "HELD", "UNTIL", "OVER"])
_IN_STEPS = frozenset([
    "ABOUT", "BY", "AT", "AFTER", "IN", "AS", "TO", "LAST", "LETTER", "VOICES", "CHORD", "NOTES",
])  # fmt: skip
"""Words that the grammar reads in any step; they belong to those whose pattern has them."""


def _arrow_under_way(tokens: tuple[WordToken, ...]) -> int | None:
    """Where the word of the step in which the tokens end stands, of whatever transform."""
    depth = 0
    for number in range(len(tokens) - 1, 0, -1):
        kind = tokens[number].kind
        depth += (kind == "RPAR") - tokens[number].text.endswith("(")
        if depth < 0 or depth == 0 and kind in _ENDS_STEPS:
            return None
        before = tokens[number - 1].kind
        if depth == 0 and (before == "ARROW" or before == "COLON" and tokens[number].name in TRANSFORMS):
            return number
    return None


def _step_under_way(tokens: tuple[WordToken, ...]) -> tuple[str, tuple[WordToken, ...]] | None:
    """The word of the language's step in which the tokens end, and what follows it."""
    number = _arrow_under_way(tokens)
    if number is None or tokens[number].name not in TRANSFORMS:
        return None
    return tokens[number].name, tokens[number + 1 :]


def _may_end(parts: tuple[PatternPart, ...], given: tuple[WordToken, ...]) -> bool:
    """Whether a step may be done after what is given."""
    return all(
        isinstance(part, Option | OptionalChoice | OptionalSlot)
        or bool(given) and isinstance(part, Slot) and part.kind in _SEVERAL
        for _, part in _next_parts(parts, given)
    )


def _of_step(page: ScriptPage, word: str, given: tuple[WordToken, ...]) -> Iterator[Offer]:
    """The words that may come next in a step, by each of its patterns."""
    for transform in TRANSFORMS[word]:
        for _, part in _next_parts(transform.parts, given):
            match part:
                case Fixed(fixed) | Option(fixed):
                    yield Offer(fixed, "keyword", transform.pattern)
                case Choice(several) | OptionalChoice(several):
                    yield from (Offer(each, "keyword", transform.pattern) for each in several)
                case Slot(kind) | OptionalSlot(kind):
                    yield from _of_kind(page, kind)


_SEVERAL = (ArgumentKind.NOTES, ArgumentKind.MARKINGS, ArgumentKind.PARTS)
"""Arguments of several words."""


def _next_parts(
    parts: tuple[PatternPart, ...], given: tuple[WordToken, ...]
) -> Iterator[tuple[int, PatternPart]]:
    """The parts of a pattern that may come after what is given, each with its number; a guess by counting, which offers
    rather too much."""
    texts = [token.text for token in given]
    place = 0
    for number, part in enumerate(parts):
        if isinstance(part, Fixed) and part.word in texts:
            place = texts.index(part.word) + 1
            continue
        taken = len(texts) - place
        if taken and isinstance(part, Slot) and part.kind in _SEVERAL:
            yield number, part
            place = len(texts)
            continue
        if taken > 0:
            is_tonic = isinstance(part, Slot) and part.kind is ArgumentKind.MODE
            if is_tonic and taken == 1:
                yield number, part
                return
            place += 2 if is_tonic else 1
            continue
        yield number, part
        if isinstance(part, Slot | Fixed | Choice):
            return


_MARKINGS = (
    (DYNAMICS, "dynamic"), (ARTICULATIONS, "articulation"), (TECHNIQUES, "technique"),
)  # fmt: skip


def _of_kind(page: ScriptPage, kind: ArgumentKind) -> Iterator[Offer]:
    match kind:
        case ArgumentKind.MARKINGS:
            for several, what in _MARKINGS:
                yield from (Offer(word, "keyword", what) for word in several)
        case ArgumentKind.DYNAMIC:
            yield from (Offer(word, "keyword", "dynamic") for word in DYNAMICS)
        case ArgumentKind.MODE:
            yield from (Offer(word, "keyword", "mode") for word in (*MODES, *page.scope.names(DefinitionSort.MODE)))
        case ArgumentKind.RHYTHM:
            yield from (
                Offer(name, "value", "rhythm") for name in page.scope.names(
                    DefinitionSort.RHYTHM, DefinitionSort.FIGURE
                )
            )
        case ArgumentKind.MOTIF:
            known = page.scope.names(DefinitionSort.MOTIF, DefinitionSort.NAME)
            yield from (Offer(name, "value", "motif") for name in known)
            yield from (Offer(word, "keyword", "") for word in ("notes(", "chord(", "chords("))
        case ArgumentKind.PARTS:
            yield from _players(page)
        case ArgumentKind.INSTRUMENT:
            yield from _instruments()
        case ArgumentKind.NOTES:
            yield from (Offer(word, "keyword", "notes of the line") for word in ("last", "letter"))
        case _:
            return


def _names(page: ScriptPage, place: _Place) -> Iterator[Offer]:
    """Names of the script that may stand in a place of a row."""
    tokens, start = place.tokens, place.row.start
    kinds = [token.kind for token in tokens]
    last = kinds[-1] if kinds else ""
    if start == "force_row" or (start == "version_row" and kinds[1:2] == ["EQUAL"]):
        yield from _instruments() if "EQUAL" in kinds else ()
    elif kinds[:1] == ["USE"]:
        yield from _used(page, place)
    elif last == "BY" or kinds[:1] == ["CIPHER"] and last == "EQUAL":
        yield from (Offer(name, "cipher", "cipher") for name in page.scope.names(DefinitionSort.CIPHER))
    elif last in ("MORSE", "DURATIONS"):
        yield from (Offer(name, "value", "name") for name in page.scope.names(DefinitionSort.NAME))
    elif kinds[-2:] == ["AFTER", "INT"]:
        yield from (Offer(word, "keyword", "") for word in ("bar", "bars"))
    elif tokens and tokens[0].text == "key":
        yield from _of_kind(page, ArgumentKind.MODE)
    elif tokens and tokens[0].text in ("group", "staff", "staves"):
        yield from _players(page)
    elif last == "DOT":
        yield from _within(page, tokens[-2].name)
    elif kinds[:1] == ["PASSAGE"] and start in ("movement_row", "section_row", "passage_row"):
        yield from _players(page)
        yield from _values(page)
    elif start in ("movement_row", "section_row", "passage_row", "version_row", "require_row") and "COLON" not in kinds:
        yield from _players(page)
        if start == "require_row":
            yield from (Offer(name, "value", "name") for name in page.scope.names(DefinitionSort.NAME))
        if kinds:
            yield from _sections(page)
    elif start not in ("piece_row", "cipher_row", "remark") and ("EQUAL" in kinds or "COLON" in kinds):
        # Where no bracket may follow stands a number or a length, which only a parameter can be.
        yield from _values(page) if "CALL" in place.read.follows or not place.read.follows else ()


def _used(page: ScriptPage, place: _Place) -> Iterator[Offer]:
    """What a row `use` may name: modules, or what the file has that the row names further on."""
    home = ModuleLibrary(Path(page.key).parent, "")
    beside = [name for name in home.modules() if name != Path(page.key).stem]
    if "FROM" in [token.kind for token in place.tokens]:
        for name in beside:
            written = name if _NAME.fullmatch(name) else f'"{name}{SUFFIX}"'
            yield Offer(written, "module", "file beside the script")
        yield from (Offer(name, "module", "module of the library") for name in standard_library().modules())
        return
    module = page.module_named(place.row)
    if module is None:
        for file in beside:
            yield from (Offer(name, "value", f'from "{file}{SUFFIX}"') for name in defined_in(home.module(file)))
        yield from (Offer(name, "value", "from " + ", ".join(found)) for name, found in library_names().items())
    else:
        yield from (Offer(name, "value", f"from {module.stem}") for name in defined_in(module))


def _within(page: ScriptPage, name: str) -> Iterator[Offer]:
    """What may follow the dot after a name: the staves of a part, the sections of a movement."""
    program = page.compiled.program
    for part in () if program is None else program.forces:
        if part.name == name:
            yield from (Offer(staff, "keyword", f"staff of {name}") for staff in part.instrument.staves if staff)
    if name in page.movements:
        yield from (Offer(each, "section", f"section of {name}") for each in page.movements[name][1])


def _values(page: ScriptPage) -> Iterator[Offer]:
    for name in page.scope.names(DefinitionSort.NAME, DefinitionSort.MOTIF, DefinitionSort.RHYTHM):
        declared = page.scope.find(name)
        yield Offer(name, "value", declared.sort.value if declared and declared.sort else "")
    for name in page.scope.names(DefinitionSort.TRANSFORM):
        yield Offer(f"{name}(", "step", "transform of the script")
    for combination in COMBINATIONS.values():
        yield Offer(f"{combination.word}(", "combination", combination.pattern)


def _players(page: ScriptPage) -> Iterator[Offer]:
    yield from (Offer(name, "part", meaning.kind.value) for name, meaning in page.players.items())


def _sections(page: ScriptPage) -> Iterator[Offer]:
    for name, (_, sections) in page.movements.items():
        yield Offer(name, "section", "movement")
        yield from (Offer(each, "section", f"section of {name}") for each in sections)


@lru_cache(maxsize=1)
def _instruments() -> tuple[Offer, ...]:
    words = sorted(word for word, _ in script_words().values())
    return tuple(Offer(word, "instrument", "instrument") for word in words)


# ------------------------------------------------------------------ patterns


def written(page: ScriptPage, offset: int) -> tuple[Written, ...]:
    """How the step or combination in which an offset lies is written."""
    row = row_at(page.rows, offset)
    if row is None:
        return ()
    tokens = read(Span(page.source, row.span.start, max(offset, row.span.start)), row.start).tokens
    step = _step_under_way(tokens)
    if step is not None:
        word, given = step
        return tuple(
            Written(
                each.pattern, each.does, tuple(each.pattern.split()[1:]),
                next((number for number, _ in _next_parts(each.parts, given)), None),
            )
            for each in TRANSFORMS[word]
        )  # fmt: skip
    number = _arrow_under_way(tokens)
    own = () if number is None else page.called(tokens[number].name)[1:]
    if number is not None and own:  # the first of its arguments stands before the arrow
        now = min(len(tokens) - number - 1, len(own) - 1)
        return (Written(f"{tokens[number].name} {' '.join(own)}", "", own, now),)
    return tuple(_call_under_way(page, tokens))


def _call_under_way(page: ScriptPage, tokens: tuple[WordToken, ...]) -> Iterator[Written]:
    depth = commas = 0
    begun = ""  # the word with which the argument under way begins
    for token in reversed(tokens):
        depth += (token.kind == "RPAR") - (token.text.endswith("("))
        if depth < 0:
            combination, own = COMBINATIONS.get(token.name), page.called(token.name)
            if combination is not None:
                yield _call(combination.pattern, combination.does, commas, begun)
            elif own:
                yield _call(f"{token.name}({', '.join(own)})", "", commas, "")
            return
        if depth == 0 and token.kind == "COMMA":
            commas += 1
        elif depth == 0 and not commas:
            begun = token.text


def _call(pattern: str, does: str, commas: int, begun: str) -> Written:
    """How a call is written; an argument that begins with a word of its own may stand anywhere."""
    inside = pattern.partition("(")[2].rpartition(")")[0]
    parts = tuple(part.strip(" []") for part in inside.split(","))
    heads = [part.split()[0] for part in parts]
    last = heads.index("...") if "..." in heads else len(parts) - 1
    return Written(pattern, does, parts, heads.index(begun) if begun in heads else min(commas, last))
