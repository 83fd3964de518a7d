"""From text to tree: each statement is parsed alone, so one mistake spoils one statement.

In: a source. Out: a `Module`. Holds after: every node has its span; everything that could not be
read was reported, and stands in the tree as `Broken` with the name it would have given.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import lark
from lark import Lark, Token
from lark.common import LexerConf
from lark.exceptions import UnexpectedCharacters, UnexpectedEOF, UnexpectedInput, UnexpectedToken
from lark.grammar import Rule
from lark.lexer import Lexer, TerminalDef

from cavata import resources
from cavata.cache import GRAMMAR, key_of
from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.record import replace
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.build import Builder
from cavata.syntax.build_values import report_reserved
from cavata.syntax.layout import DECLARATIONS, Statement, earlier_edition, lay_out
from cavata.syntax.trade_words import here
from cavata.syntax.words import (
    BEHIND_A_NAME,
    BRITISH,
    RESERVED,
    ROW_WORDS,
    VERSION_WORDS,
    describe,
    habit,
    last_resort,
    one_of,
    row_word,
)

if TYPE_CHECKING:
    from cavata.syntax.kept import KeptStatements

# ------------------------------------------------------------------ a statement cut into terminals


NAMES = frozenset(["NAME", "CALL"])
"""They are the same however their accents were typed: Unicode's normal form C."""


class StatementLexer(Lexer):
    """One pattern for all terminals; no two of them that are patterns match at the same place.

    A word is a keyword exactly where the parser's state asks for that keyword, else a name: the same rule as Lark's
    contextual lexer has, which compiles a pattern for each state, counts lines, and takes three times as long. What the
    grammar gives a priority goes before the others, but only where the state asks for it.
    """

    __future_interface__ = 2  # Lark then hands over our own input, and the parser's state with it

    def __init__(self, lexer_conf: LexerConf) -> None:
        self._words = {d.pattern.value: d.name for d in lexer_conf.terminals if d.pattern.type == "str"}
        signs = sorted(self._words, key=len, reverse=True)
        patterns = [d for d in lexer_conf.terminals if d.pattern.type == "re"]
        self._first = [(d.name, re.compile(d.pattern.to_regexp())) for d in patterns if d.priority > 0]
        self._patterns = {d.name: d.pattern.to_regexp() for d in patterns if d.priority <= 0}
        groups = [f"(?P<{name}>{pattern})" for name, pattern in sorted(self._patterns.items())]
        self._match = re.compile("|".join([*groups, *map(re.escape, signs)])).match
        self._ignored = frozenset(lexer_conf.ignore)

    def lex(self, lexer_state: Any, parser_state: Any) -> Iterator[Token]:
        """The statement's tokens. Raises Lark's errors for what no terminal, or none that can stand there, matches."""
        span: Span = lexer_state.text
        text, position, end = span.source.text, span.start, span.end
        states = parser_state.parse_conf.states
        while position < end:
            accepted = states[parser_state.position]
            for first, pattern in self._first:
                if first in accepted and (found := pattern.match(text, position, end)):
                    yield Token(first, found[0], position, end_pos=found.end())
                    position, accepted = found.end(), states[parser_state.position]
            if position >= end:
                break
            found = self._match(text, position, end)
            if found is None:
                allowed = self._allowed(accepted)
                raise UnexpectedCharacters(text, position, 0, 0, allowed)  # type: ignore[no-untyped-call]  # Lark's
            kind, value = found.lastgroup, found[0]
            if kind not in self._ignored:
                word = self._words.get(value)
                if word is not None and (word in accepted or kind is None):
                    kind = word
                assert kind is not None
                if not value.isascii() and kind in NAMES:
                    value = unicodedata.normalize("NFC", value)
                token = Token(kind, value, position, end_pos=found.end())
                if kind not in accepted:
                    raise UnexpectedToken(token, self._allowed(accepted))  # type: ignore[no-untyped-call]  # Lark's
                yield token
            position = found.end()

    def words_of(self, text: str, position: int) -> Iterator[Token]:
        """The terminals from a place on as they look by themselves, where the grammar cannot read on: a word that can
        be a name is one; what is no terminal is left out."""
        while position < len(text):
            found = self._match(text, position)
            kind, value = (None, "") if found is None else (found.lastgroup, found[0])
            end = position + max(1, len(value))
            kind = self._words.get(value) if kind is None or value in RESERVED else kind
            if kind is not None and kind not in self._ignored:
                value = unicodedata.normalize("NFC", value) if kind in NAMES else value
                yield Token(kind, value, position, end_pos=end)
            position = end

    def _allowed(self, accepted: Iterable[str]) -> set[str]:
        """The terminals that can stand in a state of the parser, or else the statement's end.

        A name stands for the keywords that look like one.
        """
        patterns = [re.compile(self._patterns[name]) for name in accepted if name in self._patterns]
        words = {n for word, n in self._words.items() if n in accepted and any(p.fullmatch(word) for p in patterns)}
        return {name for name in accepted if name.isupper() and name != "$END"} - words or {"$END"}


# ------------------------------------------------------------------ statements


STARTS = (
    "declaration", "piece_row", "cipher_row", "force_row", "movement_row", "section_row", "remark",
    "passage_row", "require_row", "version_row", "profile_row",
)  # fmt: skip

_OPTIONS: dict[str, Any] = {
    "parser": "lalr", "start": list(STARTS), "maybe_placeholders": True, "propagate_positions": False,
}  # fmt: skip
_DECLARED = re.compile(
    r"(?:name|cipher|rhythm|motif|figure|transform|mode|group|staff|staves|movement|cadenza|passage|version)\s+"
    r"([^\W\d]\w*)"
)
_WORD = re.compile(r"[^\W\d]\w*")
_RUN = re.compile(r"[\w#♯♭.]+|.")


class _RuleCalls:
    """The builder's methods as the parser calls them, with the list of a rule's parts.

    Lark's own `v_args` does this too, but wraps the method anew for every rule that it matches, which took a
    fifth of the parsing.
    """

    def __init__(self, builder: Builder) -> None:
        self._builder = builder

    def __getattr__(self, rule: str) -> Callable[[list[Any]], Any]:
        method = getattr(self._builder, rule)
        return lambda parts: method(*parts)


@lru_cache(maxsize=1)
def parser_and_builder() -> tuple[Lark, Builder]:
    """The grammar of the language, built."""
    grammar = (resources.folder("grammar") / "cavata.lark").read_text(encoding="utf-8")
    builder = Builder()
    return built_grammar(grammar, _OPTIONS, {"transformer": _RuleCalls(builder), "lexer": StatementLexer}), builder


def built_grammar(grammar: str, options: Mapping[str, Any], own: Mapping[str, Any]) -> Lark:
    """A grammar built, from the cache where it is there: building it takes several times longer than reading it.

    `own` are options that Lark does not read back: they are ours, and no data.
    """
    key = key_of(lark.__version__, grammar, repr(options))
    parser = GRAMMAR.read_as(key, lambda body: _loaded(body, own))
    if parser is None:
        parser = Lark(grammar, **options, **own)
        GRAMMAR.keep(key, _saved(parser, own))
    return parser


def _saved(parser: Lark, own: Iterable[str]) -> bytes:
    """What Lark's own `save` would pickle, and it is plain data: as JSON."""
    data, memo = parser.memo_serialize([TerminalDef, Rule])
    data["options"] = {name: value for name, value in data["options"].items() if name not in own}
    del data["parser"]["lexer_conf"]["lexer_type"]
    return json.dumps({"data": data, "memo": memo}).encode()


def _loaded(body: bytes, own: Mapping[str, object]) -> Lark:
    """A parser that was saved. Raises some exception if it is none."""
    saved = json.loads(body, object_pairs_hook=_with_numbers)
    saved["data"]["options"].update(own)
    saved["data"]["parser"]["lexer_conf"]["lexer_type"] = own["lexer"]
    return Lark.load(saved)


def _with_numbers(pairs: list[tuple[str, Any]]) -> dict[Any, Any]:
    """An object of JSON whose names may have been numbers."""
    return {int(name) if name.isdecimal() else name: value for name, value in pairs}


def parse(source: Source, bag: Diagnostics, before: KeptStatements | None = None) -> t.Module:
    """Read one source; of one that is written in an earlier edition only that it is, and the names that it gives.

    Statements that are among those `before` are not parsed again.
    """
    declarations: list[t.Declaration] = []
    is_earlier = earlier_edition(source.text)
    statements = lay_out(source, bag)
    if before is not None:
        before.find(statements)
    for statement in statements:
        if is_earlier and not statement.span.text.startswith("language"):
            given = _DECLARED.match(statement.span.text)
            declarations += [t.Broken(given[1], _head(statement.span))] if given else []
            continue
        if statement.indent:
            bag.error(
                "S108",
                _head(statement.span),
                "this line is indented, but nothing stands above it",
                label="a declaration begins at column 1",
                cure="take the spaces away",
            )
            continue
        declarations.append(_declaration(statement, bag))
    return t.Module(source, tuple(declarations))


def _declaration(statement: Statement, bag: Diagnostics) -> t.Declaration:
    word = _WORD.match(statement.span.text)
    if not statement.broken and (word is None or word[0] not in DECLARATIONS):
        begin = statement.span.start
        first = Span(statement.span.source, begin, begin + (len(word[0]) if word else 1))
        cure = _begun_otherwise(statement.span, first)
        bag.error("S110", first, f"no statement begins with `{first.text}`", cure=cure)
        statement.broken = True
    node = _read("declaration", statement, bag)
    if node is None:
        _rows(statement, "movement_row", bag, quiet=True)
        match = _DECLARED.match(statement.span.text)
        return t.Broken(match[1] if match else "", _head(statement.span))
    return _with_block(node, statement, bag)


_PART_LINE = re.compile(r"[\w., ]+:")


def _begun_otherwise(statement: Span, first: Span) -> str:
    """What may have been meant by a word that begins no statement."""
    word = first.text
    if word in ROW_WORDS:
        return f"`{word}` is a row: it stands indented under a movement or a section"
    if meant := here(word, "", statement.text[len(word) :]):
        return meant
    if meant := did_you_mean(word, DECLARATIONS):
        return meant
    if _PART_LINE.match(statement.text):
        return "a part's line is a row: it stands indented under a movement or a section"
    return (
        "statements begin with `name`, `motif`, `forces`, `movement` ...; `cavata why S110` lists all of them"
    )


def _read(start: str, statement: Statement, bag: Diagnostics) -> Any:
    """Parse one statement; None when anything in it was reported."""
    if statement.broken:
        return None
    if statement.read is not None and start in statement.read:
        node, said = statement.read[start]
        bag.report_all(said)
        return node
    parser, builder = parser_and_builder()
    span = statement.span
    with bag.within() as own:
        builder.read(span.source, own)
        try:
            node = parser.parse(span, start=start)
        except UnexpectedInput as error:
            if not any(message.code == "S205" for message in own.collected):  # which is why it cannot be read
                _report(error, span, start, own)
            node = None
    node = node if own.is_empty else None
    if statement.read is not None:
        statement.read[start] = node, tuple(own.collected)
    return node


def _old_wording(span: Span, start: str, bag: Diagnostics) -> bool:
    """Report a statement that is written as edition 1 had it, and how it is written now; whether it is one."""
    from cavata.syntax.renew import first_old_words

    change = first_old_words(span, start)
    if change is None:
        return False
    where, now = change
    bag.error(
        "S810", where, "this is how edition 1 of the language wrote it", label="another order or word now",
        cure=f"write `{now}`",
    )
    return True


_NAMING_ROWS = frozenset(["force_row", "movement_row", "section_row", "passage_row", "require_row", "version_row"])
"""Rows that may begin with the name of a part or of a value."""
_NAMED = re.compile(rf"([^\W\d]\w*)\s*(?:{BEHIND_A_NAME})")
_WITH_PARAMETERS = re.compile(r"(?:transform|passage)\s+[^\W\d]\w*\(([^()]*)\)")


def _reserved_names(span: Span, start: str, before: str) -> list[Span]:
    """The reserved words by which a statement that cannot be read calls something; `before` is what could be read."""
    if start == "declaration":
        listed = _WITH_PARAMETERS.match(span.text)
        words = [] if listed is None else [(listed.start(1) + w.start(), w[0]) for w in _WORD.finditer(listed[1])]
    else:
        first = _NAMED.match(span.text) if start in _NAMING_ROWS else None
        words = [(0, first[1])] if first is not None and before.strip() in ("", first[1]) else []
    return [
        Span(span.source, span.start + at, span.start + at + len(word)) for at, word in words if word in RESERVED
    ]


def _report(error: UnexpectedInput, span: Span, start: str, bag: Diagnostics) -> None:
    parser = parser_and_builder()[0]
    patterns: dict[str, str | None] = {
        d.name: d.pattern.value if d.pattern.type == "str" else None for d in parser.terminals
    }
    place, found = Span(span.source, span.end - 1, span.end), ""
    expected: set[str] = set()
    if isinstance(error, UnexpectedToken):
        expected = set(error.accepts or error.expected)
        if error.token.type != "$END":
            begin = error.token.start_pos or span.start
            place = Span(span.source, begin, begin + len(error.token.value))
            found = f"`{error.token.value}`"
    elif isinstance(error, UnexpectedCharacters):
        expected = set(error.allowed or ())
        begin = error.pos_in_stream or 0
        run = _RUN.match(span.source.text, begin)
        place = Span(span.source, begin, begin + (len(run[0]) if run else 1))
        found = f"`{place.text}`"
    elif isinstance(error, UnexpectedEOF):
        expected = set(error.expected)
    before = span.source.text[span.start : place.start if found else span.end]
    if reserved := _reserved_names(span, start, before):
        for word in reserved:
            report_reserved(word, bag)
        return
    if _old_wording(span, start, bag):
        return
    wanted = one_of(describe(name, patterns.get(name)) for name in expected) if expected else "something else"
    message = f"{found} cannot stand here" if found else "the statement ends too early"
    cure = habit(place.text if found else "", span.text, before, start == "version_row")
    if before.strip() in patterns.values():
        cure = cure or row_word(before, place.text if found else "")
    words = [w for name in expected if (w := patterns.get(name)) and w.isalpha() and w not in BRITISH]
    if found:
        after = span.source.text[place.end : span.end]
        cure = cure or did_you_mean(place.text, words) or here(place.text, before, after)
    cure = cure or (here(before.strip()) if len(before.split()) == 1 else "")
    if start != "require_row":  # those begin with names of the script
        rows = VERSION_WORDS if start == "version_row" else ROW_WORDS
        cure = cure or did_you_mean("".join(before.split()[:1]), rows)
    if found:
        cure = cure or last_resort(place.text, span.text, before)
    bag.error("S101", place, message, label=f"expected {wanted}", cure=cure)


def _head(span: Span) -> Span:
    """The first line of a span."""
    end = span.source.text.find("\n", span.start, span.end)
    return span if end < 0 else Span(span.source, span.start, end)


# ------------------------------------------------------------------ blocks


def _with_block(node: Any, statement: Statement, bag: Diagnostics) -> t.Declaration:
    """Put the rows under a heading into it."""
    match node:
        case t.Piece():
            rows, remark = _rows(statement, "piece_row", bag)
            return replace(node, rows=tuple(rows), remark=remark)
        case t.Cipher():
            rows, remark = _rows(statement, "cipher_row", bag)
            said = sum(1 for row in statement.block if not row.span.text.startswith("remark"))
            if len(rows) < said:  # else the letters of what was not read would be missed in every name
                return t.Broken(node.name.text, _head(statement.span))
            return replace(node, rows=tuple(rows), remark=remark)
        case t.Forces():
            rows, _ = _rows(statement, "force_row", bag)
            names = [word[0] for row in statement.block if (word := _WORD.match(row.span.text))]
            unread = tuple(name for name in names if name not in {row.name.text for row in rows})
            return replace(node, rows=tuple(rows), span=_head(statement.span), unread=unread)
        case t.Movement():
            return _movement(node, statement, bag)
        case t.Passage():
            rows, remark = _rows(statement, "passage_row", bag)
            return replace(node, rows=tuple(rows), remark=remark)
        case t.Require():
            rows, _ = _rows(statement, "require_row", bag)
            return replace(node, rows=tuple(rows), span=_head(statement.span))
        case t.Profile():
            rows, remark = _rows(statement, "profile_row", bag)
            return replace(node, rows=tuple(rows), remark=remark)
        case t.Version():
            rows, remark = _rows(statement, "version_row", bag)
            return replace(node, rows=tuple(rows), remark=remark)
        case t.Name() | t.Definition() | t.OwnTransform() | t.OwnMode():
            _, remark = _rows(statement, "remark", bag)
            return replace(node, remark=remark)
        case _:
            _no_block(statement, bag)
            result: t.Declaration = node
            return result


def _rows(statement: Statement, start: str, bag: Diagnostics, quiet: bool = False) -> tuple[list[Any], str]:
    """Parse the rows of a block that may hold no further blocks; remarks are taken out and joined."""
    rows, remarks = [], []
    for row in statement.block:
        if quiet:
            row.broken = True
        node = _read(start, row, bag)
        if not quiet:
            _no_block(row, bag)
        if isinstance(node, t.Text):
            remarks.append(node.text)
        elif node is not None:
            rows.append(_placed(node, row))
    return rows, "\n".join(remarks)


def _placed(node: Any, row: Statement) -> Any:
    """Rows that hold no value take the whole row as their place."""
    return replace(node, span=_head(row.span)) if not node.span.ends else node


def _no_block(statement: Statement, bag: Diagnostics) -> None:
    if statement.block:
        first = statement.block[0]
        bag.error(
            "S109",
            _head(first.span),
            "nothing can be indented under this statement",
            cure="a line goes on only inside brackets, or when the next one begins with `->`, `+` or `,`",
            also=((_head(statement.span), "under this"),),
        )


def _movement(node: t.ParsedMovement, statement: Statement, bag: Diagnostics) -> t.ParsedMovement:
    settings: list[t.Setting] = []
    sections: list[t.ParsedSection] = []
    loose: list[Any] = []
    remarks: list[str] = []
    for row in statement.block:
        read = _read("movement_row", row, bag)
        if isinstance(read, t.Section):
            rows, _ = _rows(row, "section_row", bag)
            sections.append(replace(read, rows=(*read.rows, *rows)))
            continue
        if read is None and row.block:
            _rows(row, "section_row", bag)
            continue
        _no_block(row, bag)
        match read:
            case t.Text():
                remarks.append(read.text)
            case None:
                pass
            case t.MeterRow(place=None) | t.KeyRow(place=None) | t.TempoRow(place=None) | t.PickupRow() | t.Attacca():
                settings.append(_placed(read, row))
            case _:
                loose.append(_placed(read, row))
    if loose and sections:
        bag.error(
            "S111",
            loose[0].span,
            "this line stands in no section",
            cure="put it into a section, or give the movement no sections",
            also=((sections[0].span, "the movement has sections"),),
        )
    elif loose or not sections:
        sections = [t.Section(None, "", None, tuple(loose), node.span)]
    return replace(node, settings=tuple(settings), sections=tuple(sections), remark="\n".join(remarks))
