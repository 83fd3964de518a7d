"""What if: cards with readings of names, placings of lines, other instruments, other lengths; each with its rows.

In: a state of the piece, and what is asked. Out: cards, by the functions of `study`, `explore`, `combine`, `recast` and
`fit`; a card as the piece would be with its rows, to be seen and heard; its rows written into the script. The edits of
a card count in the texts of the state that it was made for, and are written only while these stand.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cavata.desk.desk import Desk
from cavata.desk.rows import below, moved_starts, name_tree, row_of, used_from, uses_of
from cavata.desk.sound.differing import first_change
from cavata.desk.state import State
from cavata.desk.views import Answer, NotThere, as_json
from cavata.desk.writing import take as taken
from cavata.diagnostics import Diagnostics, Severity, said
from cavata.pipeline import Compiled
from cavata.syntax import tree as t
from cavata.syntax.edits import Edit

Edits = Mapping[str, Sequence[Edit]]
_KEPT = 200
"""Cards that can still be seen and taken."""
_DRESS = ("slurred", "marked", "crescendo", "diminuendo", "fermata", "sung")
"""Transforms after which a line is at its own pitch and in its own time."""
_MOST = 8
"""Cards of a kind that are shown."""


@dataclass(frozen=True, slots=True)
class Card:
    """One thing that the piece could have instead."""

    title: str
    facts: tuple[str, ...]
    rows: tuple[str, ...]
    """What would be written, for who reads scripts."""
    edits: Edits
    """By the paths of files."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked for, and the piece."""

    desk: Desk
    state: State
    compiled: Compiled
    wanted: Mapping[str, str]

    def word(self, key: str) -> str:
        """What was asked under a key. Raises NotThere if nothing was."""
        given = self.wanted.get(key, "").strip()
        if not given:
            raise NotThere(f"choose a {key}")
        return given

    @property
    def main(self) -> t.Module:
        """The script."""
        assert self.compiled.loaded is not None
        return self.compiled.loaded.modules[self.compiled.loaded.main]

    def edits(self, edits: Sequence[Edit]) -> Edits:
        """Edits of the script itself."""
        assert self.compiled.loaded is not None
        return {self.compiled.loaded.main: tuple(edits)}


# ---------------------------------------------------------------- what the page asks


def choices(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """What can be asked about: names, motifs and parts of the script."""
    with desk.still:
        loaded = state.compiled.loaded
        declared = () if loaded is None else loaded.modules[loaded.main].declarations
        names = [each.name.text for each in declared if isinstance(each, t.Name)]
        motifs = [each.name.text for each in declared if isinstance(each, t.Definition) and each.kind == "motif"]
        forces = [row for each in declared if isinstance(each, t.Forces) for row in each.rows]
        parts = [{"name": row.name.text, "instrument": row.instrument.text} for row in forces]
        movements = [each.name.text for each in declared if isinstance(each, t.Movement)]
    return as_json({"names": names, "motifs": [*names, *motifs], "parts": parts, "movements": movements})


def offers(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """Cards of a kind; where there are none, why, with what would help."""
    try:
        return as_json({"cards": looked_for(desk, state, wanted), "said": ""})
    except NotThere as reason:
        return as_json({"cards": [], "said": str(reason)})


def looked_for(desk: Desk, state: State, wanted: Mapping[str, str]) -> list[dict[str, Any]]:
    """Cards of a kind, each with the number by which it is kept. Raises NotThere."""
    look = KINDS.get(wanted.get("kind", ""))
    if look is None:
        raise NotThere(f"nothing of the kind `{wanted.get('kind', '')}` is offered")
    compiled = desk.compiled(state.texts)
    if compiled.loaded is None or compiled.score is None:
        raise NotThere("the script has mistakes; mend them first")
    cards = [card for card in look(_Asked(desk, state, compiled, wanted)) if card.edits][:_MOST]
    kept = _kept(desk)
    told = []
    for card in cards:
        number = desk.shelf["offer"] = desk.shelf.get("offer", 0) + 1
        kept[str(number)] = state, card
        told.append({"card": number, "title": card.title, "facts": card.facts, "rows": card.rows})
    for old in [*kept][:-_KEPT]:
        del kept[old]
    return told


def offer(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The piece as it would be with a card: a state to be seen and heard, and where it is other than now."""
    before, card = _card(desk, wanted.get("card", ""))
    made = desk.edited(before, card.edits)
    wrong = [said(each.message) for each in made.messages if each.severity is Severity.ERROR]
    place = None if made.score is None or before.score is None else first_change(before.score, made.score)
    told: dict[str, Any] = {"state": made.number if made.is_good else None, "wrong": wrong[:3]}
    if place is not None:
        told |= {"movement": place.movement, "bar": place.bar, "last": place.last}
    return as_json(told)


def take(desk: Desk, sent: Mapping[str, Any]) -> Answer:
    """Write the rows of a card into the script."""
    state, card = _card(desk, str(sent.get("card", "")))
    if state.texts != desk.state.texts:
        raise NotThere("the script was changed since; look again")
    taken(desk, state, card.edits, card.title)
    return as_json({"taken": card.title})


def _kept(desk: Desk) -> dict[str, tuple[State, Card]]:
    kept: dict[str, tuple[State, Card]] = desk.shelf.setdefault("offers", {})
    return kept


def _card(desk: Desk, number: str) -> tuple[State, Card]:
    found = _kept(desk).get(number)
    if found is None:
        raise NotThere("this card is not kept any more; look again")
    return found


def _refuse(bag: Diagnostics) -> NotThere:
    """What went wrong, in the words of the commands."""
    errors = [each for each in bag.ordered() if each.severity is Severity.ERROR]
    return NotThere("; ".join(f"{said(e.message)}{f': {said(e.cure)}' if e.cure else ''}" for e in errors[:2]))


# ---------------------------------------------------------------- readings of a name


def _study(asked: _Asked) -> Iterator[Card]:
    """A name by every other cipher."""
    from cavata.study.library_ciphers import own_ciphers, with_the_library
    from cavata.study.shown import cipher_text, intervals_text, keys_text, without_octaves
    from cavata.study.study import study_names

    name = name_tree(asked.main, asked.word("name"))
    places = uses_of(asked.compiled, name.name.text)
    ciphers = with_the_library(own_ciphers(asked.compiled, asked.desk.path.name))
    for reading in study_names([name.letters.text], ciphers).names[0].readings:
        word = reading.cipher.cipher.name
        if word == name.cipher.text:
            continue
        use = [] if reading.cipher.file else used_from(asked.main, word, "ciphers")
        starts = moved_starts(places, reading.pitches[0])
        edits = (*use, Edit(name.cipher.span.start, name.cipher.span.end, word), *starts)
        intervals = intervals_text(reading).replace("-", "\N{MINUS SIGN}")  # at a hyphen a line would end
        facts = (without_octaves(reading.pitches), f"intervals: {intervals}", f"keys: {keys_text(reading)}")
        title = f"{name.letters.text} by {cipher_text(reading)}"
        yield Card(title, facts, (f"name {name.name.text} = {name.letters.span.text} by {word}",), asked.edits(edits))


def _explore(asked: _Asked) -> Iterator[Card]:
    """The best readings of a name by its own cipher, in the place of the name wherever a motif or a line uses it."""
    from cavata.explore.explore import reason
    from cavata.explore.exploring import Asked, Exploring
    from cavata.explore.shown import candidate_rows, changes_text, pasted
    from cavata.explore.space import SearchLimits

    word, bag = asked.word("name"), Diagnostics()
    name = name_tree(asked.main, word)
    wishes = Asked((word,), SearchLimits(2, 3, 5, 1), asked.wanted.get("mode") or None)
    found = Exploring(asked.compiled, bag, lambda _: None).run(wishes)
    if not found:
        raise _refuse(bag)
    places = uses_of(asked.compiled, word)
    if not places:
        raise NotThere(f"no motif and no line uses `{word}` yet")
    for row in candidate_rows(found[0], _MOST):
        motif = _free(asked.main, f"{word}_{row.rank}")
        *choice, line = pasted(row.candidate.space, row.candidate.index, motif)
        edits = [Edit(span.start, span.end, motif) for span in places]
        edits += moved_starts(places, row.candidate.line[0])
        if choice:
            whole = row_of(name.span).span
            edits.append(Edit(whole.start, whole.end, choice[0]))
        edits.append(below(name.span, line))
        pitches = " ".join(map(str, row.candidate.line))
        title = f"{word}: {changes_text(row.candidate)}"
        yield Card(title, (pitches, reason(row.candidate, found[0])), (*choice, line), asked.edits(edits))


def _free(module: t.Module, word: str) -> str:
    """The word, or with a letter more where the script calls something so."""
    taken = {each.name.text for each in module.declarations if isinstance(each, t.Name | t.Definition)}
    while word in taken:
        word += "b"
    return word


# ---------------------------------------------------------------- lines together


def _combine(asked: _Asked) -> Iterator[Card]:
    """One line over another, put into a part where the other begins a row of the score."""
    from cavata.combine.combining import AskedPair, Combining
    from cavata.combine.shown import Pair, entry, reason, what

    leader, follower, part = asked.word("motif"), asked.word("other"), asked.word("part")
    rules, bag = "canon" if leader == follower else "free", Diagnostics()
    quarter, half = Fraction(1, 4), Fraction(1, 2)
    pair = AskedPair(leader, follower, rules, Fraction(2), quarter, 24, Fraction(1), half, False, _MOST)
    found = Combining(asked.compiled, bag, lambda _: None).run(pair)
    if not isinstance(found, Pair):
        raise _refuse(bag)
    beside = next(_lines_of(asked, leader, part), None)
    if beside is None:
        raise NotThere(f"no row of another part than `{part}` begins with `{leader}` as it is, untransformed")
    line, plays = beside
    for placement in found.found.best:
        value = entry(follower, placement, found.follows)
        row = f"{part}{_place_of(line)}{' replace' if plays else ''}: {value}"
        edits = [below(line.span, row)]
        yield Card(what(placement, found).replace("`", ""), (reason(placement, found),), (row,), asked.edits(edits))


def _lines_of(asked: _Asked, leader: str, part: str) -> Iterator[tuple[t.ParsedLine, bool]]:
    """The rows of the score that begin with a motif at its own pitch, and whether the part plays in their section."""
    as_it_is = re.compile(rf"{re.escape(leader)}(\s*->\s*(?:{'|'.join(_DRESS)})\b[^>]*(?<!-))*")
    for declaration in asked.main.declarations:
        for section in declaration.sections if isinstance(declaration, t.Movement) else ():
            lines = [row for row in section.rows if isinstance(row, t.Line)]
            plays = any(part in [ref.part.text for ref in row.parts] for row in lines)
            for row in lines:
                first = row.items[0] if row.items else None
                begins = isinstance(first, t.Item) and as_it_is.fullmatch(first.value.span.text) is not None
                if begins and part not in [ref.part.text for ref in row.parts]:
                    yield row, plays


def _place_of(line: t.ParsedLine) -> str:
    """Where a row begins, as it says it: ` at bar 5`."""
    words = row_of(line.span).span.text.partition(":")[0]
    found = re.search(r"\s(?:at bar|after)\b.*", words)
    return found[0].rstrip().removesuffix(" replace") if found else ""


# ---------------------------------------------------------------- another instrument, another length


def _recast(asked: _Asked) -> Iterator[Card]:
    """A part on another instrument, each item in its best octave."""
    from cavata.revise.asked import force_of, instrument_words
    from cavata.revise.recast import octave_step, recasting
    from cavata.revise.recast_shown import changed_rows, lies, recast_words

    loaded, bag = asked.compiled.loaded, Diagnostics()
    assert loaded is not None
    force, words = force_of(asked.word("part"), loaded, bag), instrument_words(asked.word("instrument"), bag)
    found = recasting(loaded, asked.desk.path, asked.desk.library, force, words, bag) if force and words else None
    if found is None:
        raise _refuse(bag)
    moved = [each for each in found.items if each.octaves]
    facts = [f"{each.text}{each.bars}: {octave_step(each.octaves)}, then {lies(each.then)}" for each in moved[:4]]
    facts += [said(message.message) for message in (*found.left, *found.broken)][:3]
    rows = tuple(row for _, row in changed_rows(found, loaded))
    assert asked.compiled.score is not None
    now = next((each.label for each in asked.compiled.score.parts if each.name == found.part.name), found.part.name)
    title = f"{now}: {recast_words(found)}"
    yield Card(title, tuple(facts) or ("every item lies well as it is",), rows, found.edits)


def _fit(asked: _Asked) -> Iterator[Card]:
    """Ways to a length."""
    from cavata.revise.asked import lengths_of
    from cavata.revise.fit import Aim, FitLimits, fitting
    from cavata.revise.fit_shown import costs, doing, edits_of, exact, rows_to_paste

    loaded, bag = asked.compiled.loaded, Diagnostics()
    lengths = lengths_of(asked.word("length"))
    if lengths is None:
        raise NotThere("write a length as `5 min`, `4 min 30 s` or `4 min to 5 min`")
    assert loaded is not None
    aim = Aim(*lengths, asked.wanted.get("movement", ""))
    found = fitting(loaded, "", aim, FitLimits(Fraction(3, 20)), bag)
    if found is None:
        raise _refuse(bag)
    if not found.ways:
        now = exact(found.now.seconds)
        is_met = aim.is_met(found.now.seconds, Fraction(0))
        raise NotThere(f"it takes {now} already" if is_met else f"it comes as near as {exact(found.nearest.seconds)}")
    for way in found.ways:
        rows = tuple(row.row or f"-- {row.was}" for row in rows_to_paste(way.outcome.changes))
        title = f"{exact(way.outcome.seconds)}: {doing(way)}"
        yield Card(title, tuple(costs(way, aim)), rows, asked.edits(edits_of(way.outcome.changes)))


KINDS: Mapping[str, Callable[[_Asked], Iterator[Card]]] = {
    "cipher": _study, "reading": _explore, "together": _combine, "instrument": _recast, "length": _fit,
}  # fmt: skip
"""What can be looked for, by what the page calls it."""
