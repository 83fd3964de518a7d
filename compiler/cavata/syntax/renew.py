"""Scripts of edition 1 turned into edition 2, statement by statement.

In: the text of a script. Out: edits of it, each the place of a few words and what stands there now, so that comments
and layout stay. The old grammar is kept as data, `grammar/edition-1.lark`; what it reads stays a tree of Lark's, of
which only the tokens and the names of the rules matter. Words that are only called otherwise come from the one table
`CHANGED_WORDS`.

Whether an old `for` or `until end` held its value or repeated it is not to be seen in the text. Such places are handed
over with the edits; whoever computes the script decides.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput

from cavata import EDITION, resources
from cavata.diagnostics import Diagnostics
from cavata.record import record
from cavata.source import Source, Span
from cavata.syntax.edits import Edit, applied
from cavata.syntax.layout import Statement, earlier_edition, lay_out
from cavata.syntax.parse import STARTS, StatementLexer, built_grammar
from cavata.syntax.words import CHANGED_WORDS

_ROWS = {
    "piece": "piece_row", "cipher": "cipher_row", "forces": "force_row", "movement": "movement_row",
    "cadenza": "movement_row", "passage": "passage_row", "require": "require_row", "section": "section_row",
}  # fmt: skip
_NEW_NAMES = {"held": "held_notes", "turned_table": "table_canon", "anapaest": "anapest"}
"""What a script of edition 1 may have called something, and is a word of the language now; two are of the library."""

_LATER = ("version_row", "profile_row")
"""Statements that edition 1 did not have."""

ParseNode = Tree[Token]


@record
class Doubt:
    """A length at the end of an item that did something else for some values: then these edits are to be made too.

    An old `for` held one note or chord: it becomes `held`. An old `-> repeated` let the words at its notes come again
    with each turn, as `x` does only within an expression: the item is put in brackets.
    """

    value: Span
    otherwise: tuple[Edit, ...]


@record
class Renewal:
    """What is to be changed in a script of edition 1."""

    edits: tuple[Edit, ...]
    doubts: tuple[Doubt, ...]
    unread: tuple[Span, ...] = ()
    """Statements that the grammar of edition 1 cannot read: they are left as they stand."""
    remarks: tuple[tuple[Span, str], ...] = ()
    """Places that somebody has to look at, and why."""
    texts: tuple[tuple[Span, bool], ...] = ()
    """The steps that lay a text under notes: one that these had was replaced; now the text is their next verse.
    With each whether it stands over bars of a part, where the value under it cannot be told."""


@lru_cache(maxsize=1)
def _parser() -> Lark:
    grammar = (resources.folder("grammar") / "edition-1.lark").read_text(encoding="utf-8")
    options = {
        "parser": "lalr", "start": [start for start in STARTS if start not in _LATER],
        "maybe_placeholders": False, "keep_all_tokens": True,
        "propagate_positions": False,
    }  # fmt: skip
    return built_grammar(grammar, options, {"lexer": StatementLexer})


def is_old(source: Source) -> bool:
    """Whether a script says that an earlier edition is its own, or says none."""
    return earlier_edition(source.text) or not re.search(r"^language\b", source.text, re.MULTILINE)


def renewal(source: Source) -> Renewal:
    """What is to be changed in a script, whatever edition it says that it is written in."""
    roots = lay_out(source, Diagnostics())
    work = _Work(source, whole=True)
    for root in roots:
        work.statement(root, "declaration")
    if not work.says_edition and roots:
        work.edit(roots[0].span.start, roots[0].span.start, f"language {EDITION}\n\n")
    return work.done()


def statement_renewal(span: Span, start: str) -> Renewal:
    """What is to be changed in one statement, read by one start rule of the old grammar."""
    work = _Work(span.source)
    work.statement(Statement(span, 0), start)
    return work.done()


def first_old_words(span: Span, start: str) -> tuple[Span, str] | None:
    """The first words of a statement that edition 1 wrote otherwise, and how they stand now; None where there are none.

    Edits with only spaces between them are one change.
    """
    work = statement_renewal(span, start)
    if work.unread or not work.edits:
        return None
    edits = sorted(work.edits, key=lambda edit: edit.start)
    begin, end = edits[0].start, edits[0].end
    for edit in edits[1:]:
        if span.source.text[end : edit.start].strip():
            break
        end = edit.end
    inside = [edit for edit in edits if edit.end <= end]
    text = span.source.text[begin:end]
    now = " ".join(applied(text, inside, begin).split())
    return (Span(span.source, begin, end), now) if text and now else None


def step_renewed(step: str) -> str:
    """How a step of edition 1, as `lasting 1/2`, is written now, with its arrow if it has one; empty for any other."""
    begin = "motif m = m "
    source = Source("", f"{begin}-> {step}")
    work = statement_renewal(Span(source, 0, len(source.text)), "declaration")
    if work.unread or not work.edits:
        return ""
    return applied(source.text, work.edits)[len(begin) :].strip()


def _tokens(node: ParseNode | Token) -> Iterator[Token]:
    if isinstance(node, Token):
        yield node
    else:
        for child in node.children:
            yield from _tokens(child)


def _first(node: ParseNode | Token) -> Token:
    return next(_tokens(node))


def _start(node: ParseNode | Token) -> int:
    return _first(node).start_pos or 0


def _end(node: ParseNode | Token) -> int:
    return list(_tokens(node))[-1].end_pos or 0


class _Work:
    """The edits of one script, collected."""

    def __init__(self, source: Source, whole: bool = False) -> None:
        self.whole = whole
        """Also what is no fault in the new edition, but would look otherwise there, is changed."""
        self.source = source
        self.edits: list[Edit] = []
        self.doubts: list[Doubt] = []
        self.unread: list[Span] = []
        self.remarks: list[tuple[Span, str]] = []
        self.texts: list[tuple[Span, bool]] = []
        self.says_edition = False
        self.own: set[str] = set()
        """Transforms that the script defines or brings in: their words are no words of the language."""

    def done(self) -> Renewal:
        """All that was found."""
        unread, remarks, texts = tuple(self.unread), tuple(self.remarks), tuple(self.texts)
        return Renewal(tuple(self.edits), tuple(self.doubts), unread, remarks, texts)

    def edit(self, start: int, end: int, text: str) -> None:
        """Write this text there, if it is another one."""
        if self.source.text[start:end] != text:
            self.edits.append(Edit(start, end, text))

    def swap(self, tokens: Sequence[Token], order: Sequence[int]) -> None:
        """Let the tokens of these numbers stand in the places of all of them, in turn."""
        for token, number in zip(tokens, order, strict=True):
            self.put(token, tokens[number].value)

    def put(self, token: Token, text: str) -> None:
        """Write this text in place of a token."""
        self.edit(token.start_pos or 0, token.end_pos or 0, text)

    # -------------------------------------------------------------- statements

    def statement(self, statement: Statement, start: str) -> None:
        """Renew a statement and the rows under it; one that cannot be read is noted."""
        span = statement.span
        tree: ParseNode = Tree("unread", [])
        try:
            if start not in _LATER:
                tree = _parser().parse(span, start=start)
        except UnexpectedInput:
            self.unread.append(span)
        self.node(tree, span)
        word = re.match(r"[^\W\d]\w*", span.text)
        rows = _ROWS.get(word[0] if word else "", "remark")
        for row in statement.block:
            self.statement(row, rows)

    def node(self, tree: ParseNode, statement: Span) -> None:
        """Change what is to be changed in a tree, parts before the whole."""
        for child in tree.children:
            if isinstance(child, Tree):
                self.node(child, statement)
            elif child.type == "NAME" and child.value in _NEW_NAMES:
                if child.value == "held" and not self.whole:
                    continue  # in a statement of this edition it is the word of the language, whatever is wrong there
                if tree.data != "step_word" or child.value in self.own:
                    self.put(child, _NEW_NAMES[child.value])
            elif child.type == "CALL" and child.value[:-1] in _NEW_NAMES:
                self.put(child, _NEW_NAMES[child.value[:-1]] + "(")
        match tree.data:
            case "language":
                self.says_edition = True
                self.put(list(_tokens(tree))[-1], str(EDITION))
            case "own_transform":
                self.own.add(str(tree.children[1]).rstrip("("))
            case "use":
                self.own.update(t.value for t in _tokens(tree) if t.type == "NAME")
            case "rest_item":
                tokens = list(_tokens(tree))
                self.swap(tokens, [*range(1, len(tokens)), 0])
            case "rest_beat" | "chord_beat" | "silent_beat":
                self.swap(list(_tokens(tree)), [1, 0])
            case "item":
                self.item(tree)
            case "marking":
                self.marking(tree, statement)
            case "link" | "earlier":
                for arrow, step in zip(tree.children, tree.children[1:], strict=False):
                    if isinstance(step, Tree) and step.data == "step" and isinstance(arrow, Token):
                        self.step(step, arrow)
            case _:
                pass
        words = [child for child in tree.children if isinstance(child, Token)]
        if words and words[0].type != "NAME" and words[0].value.rstrip("(") not in self.own:
            self.renamed(words)

    def renamed(self, words: Sequence[Token]) -> None:
        """Words that are only called otherwise; the first one says where."""
        for old, new in CHANGED_WORDS.items():
            wanted, now = old.split(), new.split()
            found: list[Token] = []
            for word in words:
                if len(found) < len(wanted) and word.value == wanted[len(found)]:
                    found.append(word)
                elif not found:
                    break
            if len(found) == len(wanted):
                for token, text in zip(found, now, strict=True):
                    self.put(token, text)
                return

    # -------------------------------------------------------------- transforms

    def step(self, step: ParseNode, arrow: Token | None) -> None:
        """A step after its arrow, or over bars of a part."""
        head = _first(step.children[0])
        if head.value in self.own:
            return
        atoms = step.children[1:]
        words = [atom.children[0] if isinstance(atom, Tree) and atom.data == "word" else atom for atom in atoms]
        texts = [word.value if isinstance(word, Token) else "" for word in words]
        start = head.start_pos if arrow is None else arrow.start_pos
        match head.value, texts:
            case "lasting", [_]:
                self.edit(start or 0, head.end_pos or 0, "held")
            case "repeated", ["to", _]:
                self.edit(start or 0, _end(atoms[0]), "for")
            case "cut", ["to", _]:
                self.edit(start or 0, _end(atoms[0]), "for")
            case "repeated", [_]:
                self.edit(start or 0, head.end_pos or 0, "x")
            case "held", [_]:
                self.edit(start or 0, head.end_pos or 0, "held")
            case "held", _:
                self.put(head, "lengthened")
            case "graced", ["by", _, "before", *_]:
                self.graced(step, head)
            case "sung", [_, *_] if self.whole:  # edition 1 had no slur over the notes of one syllable
                self.texts.append((Span(self.source, _start(step), _end(step)), arrow is None))
                self.edit(_end(step), _end(step), " unslurred")
            case "marked", _:
                self.marked(step, head, arrow)
            case _:
                pass
        self.ranges(atoms)
        self.renamed([head, *(word for word in words if isinstance(word, Token))])

    def ranges(self, atoms: Sequence[ParseNode | Token]) -> None:
        """`2 to 4`."""
        for number in range(1, len(atoms) - 1):
            before, word, after = atoms[number - 1 : number + 2]
            if _is(before, "integer") and _is(word, "word", "to") and _is(after, "integer"):
                between = self.source.text[_end(before) : _start(after)]
                if between.split() == ["to"]:
                    self.edit(_end(before), _start(after), "..")
                else:
                    self.edit(_start(word), _end(word), "..")

    def renewed_text(self, nodes: Sequence[ParseNode | Token]) -> str:
        """The text of some neighbors as it stands now."""
        start, end = _start(nodes[0]), _end(nodes[-1])
        inside = [edit for edit in self.edits if start <= edit.start and edit.end <= end]
        return applied(self.source.text[start:end], inside, start)

    def graced(self, step: ParseNode, head: Token) -> None:
        """`graced by MOTIF before NOTES`."""
        before = next(n for n, atom in enumerate(step.children) if n > 2 and _is(atom, "word", "before"))
        notes = step.children[before + 1 :]
        self.ranges(notes)
        text = self.renewed_text(notes)
        gap = _end(step.children[before - 1])
        self.edits = [edit for edit in self.edits if not edit.start >= gap or edit.end > _end(step)]
        self.edit(head.end_pos or 0, head.end_pos or 0, " " + text)
        self.edit(gap, _end(step), "")

    def marked(self, step: ParseNode, head: Token, arrow: Token | None) -> None:
        """A fermata is a transform of its own; over bars of a part it needs a row of its own (see `marking`)."""
        fermata = _fermata(step)
        if fermata is None or arrow is None:
            return
        which = self.fermata_notes(step)
        if len(_marks(step)) == 1:
            self.edit(head.start_pos or 0, _end(step), f"fermata {which}")
            return
        self.without(fermata)
        self.edit(_end(step), _end(step), f" -> fermata {which}")

    def without(self, word: Token) -> None:
        """A word taken out, with the space before it."""
        start = word.start_pos or 0
        while self.source.text[start - 1] == " ":
            start -= 1
        self.edit(start, word.end_pos or 0, "")

    def fermata_notes(self, step: ParseNode) -> str:
        """The note on which `marked` put its fermata: the last of those that it named."""
        notes = step.children[1 : len(step.children) - len(_marks(step))]
        if not notes:
            return "last"
        texts = [" ".join(t.value for t in _tokens(note)) for note in notes]
        if "last" in texts:
            return "last"
        if all(_is(note, "integer") or text == "to" for note, text in zip(notes, texts, strict=True)):
            return str(max(int(text) for text in texts if text != "to"))
        if len(notes) > 2 or texts[0] != "letter":
            self.remarks.append((Span(self.source, _start(step), _end(step)), "which of these notes had the fermata"))
        return " ".join(texts)

    # -------------------------------------------------------------- rows

    def marking(self, tree: ParseNode, statement: Span) -> None:
        """`PARTS bars N to M: step`; a fermata beside other markings becomes a row of its own."""
        step = tree.children[-1]
        assert isinstance(step, Tree)
        head = _first(step.children[0])
        fermata = _fermata(step) if head.value == "marked" and "marked" not in self.own else None
        if fermata is None:
            self.step(step, None)
            return
        which = self.fermata_notes(step)
        if len(_marks(step)) == 1:
            self.edit(head.start_pos or 0, _end(step), f"fermata {which}")
            return
        self.ranges(step.children[1:])
        self.without(fermata)
        line = self.source.text.rfind("\n", 0, statement.start) + 1
        indent = self.source.text[line : statement.start]
        row = self.source.text[statement.start : head.start_pos or 0]
        below = self.source.text.find("\n", _end(step))
        below = len(self.source.text) if below < 0 else below
        self.edit(below, below, f"\n{indent}{row}fermata {which}")

    def item(self, tree: ParseNode) -> None:
        """`for` and `until end`, which held one note or chord and repeated everything else."""
        expression = tree.children[0]
        repeat = next((c for c in tree.children if isinstance(c, Tree) and c.data in _LENGTHS), None)
        value = Span(self.source, _start(expression), _end(expression))
        if repeat is not None and repeat.data == "until_end":
            at = _start(repeat)
            self.doubts.append(Doubt(value, (Edit(at, at, "held "),)))
        elif repeat is not None and repeat.data == "for_span":
            word = _first(repeat)
            self.doubts.append(Doubt(value, (Edit(word.start_pos or 0, word.end_pos or 0, "held"),)))
        elif repeat is None and isinstance(expression, Tree) and self.ends_repeated(expression):
            brackets = Edit(value.start, value.start, "("), Edit(value.end, value.end, ")")
            self.doubts.append(Doubt(value, brackets))

    def ends_repeated(self, expression: ParseNode) -> bool:
        """Whether the last thing of an expression was a transform that repeated or cut."""
        link = expression.children[-1]
        step = link.children[-1] if isinstance(link, Tree) and link.data == "link" else None
        if not isinstance(step, Tree) or step.data != "step":
            return False
        word = _first(step).value
        return word in ("repeated", "cut") and word not in self.own


_LENGTHS = ("for_span", "until_end", "times")


def _is(node: ParseNode | Token, rule: str, word: str = "") -> bool:
    """Whether a node was made by that rule, of that word if one is given."""
    if not isinstance(node, Tree) or node.data != rule:
        return False
    return not word or _first(node).value == word


def _marks(step: ParseNode) -> Sequence[ParseNode | Token]:
    """The markings of a step `marked`, without the notes before them; a text is words, never a letter."""
    atoms = step.children[1:]
    place = 0
    while place < len(atoms):
        atom = atoms[place]
        if _is(atom, "word", "letter"):
            place += 1
        elif not (_is(atom, "integer") or _is(atom, "word", "to") or _is(atom, "word", "last")):
            break
        place += 1
    return atoms[place:]


def _fermata(step: ParseNode) -> Token | None:
    """The word `fermata` among the markings of a step."""
    return next((_first(atom) for atom in _marks(step) if _is(atom, "word", "fermata")), None)
