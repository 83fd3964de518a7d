"""The names of the piece as the page shows them, letter over note, and the notes in which they sound.

In: a state of the piece. Out: names with their letters, the notes that the cipher gives for them, their colors of the
map and their themes; for one letter, one name or one theme the ids of its notes in a copy and the bars where it sounds.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping

from cavata.ciphers.cipher import name_signs
from cavata.desk.desk import Desk
from cavata.desk.score.mapped import colors_of, piece_map
from cavata.desk.score.seen import layout
from cavata.desk.state import SCORE, State
from cavata.desk.views import Answer, NotThere, as_json
from cavata.evaluate.plan import Plan
from cavata.instruments.instrument import PageLanguage, note_in
from cavata.music.event import Motif, Origin
from cavata.names import program as p
from cavata.notate.written import Leaf
from cavata.place.place import header_of
from cavata.record import record


@record
class SpelledLetter:
    """A letter of a name with the note that the cipher gives for it."""

    text: str
    position: int
    """As in `Letter`; 0 for a sign between letters."""
    note: str
    """Empty where it makes none."""


def view(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """Every name of the piece, also before there is any music."""
    program, plan = state.compiled.program, state.compiled.plan
    if program is None or plan is None:
        raise NotThere("the names cannot be read yet")
    piece = piece_map(desk, state) if state.is_good else None
    colors = {} if piece is None else colors_of(piece)
    entries = {} if piece is None else {found.name: found.entries for found in piece.index.names}
    themes = _themes(program)
    language = header_of(program.piece, desk.shown).language
    names = []
    for definition in program.definitions:
        if not isinstance(definition, p.NameDefinition) or definition.identity not in plan.values:
            continue  # that it makes no note would not be true of a name that cannot be read
        name = definition.identity.name
        letters = spelled(definition, plan, language)
        heard = {position for entry in entries.get(name, ()) for position in entry.statement.positions}
        names.append({
            "name": name, "text": definition.tree.letters.text, "color": colors.get(name, ""),
            "letters": [
                {
                    "text": each.text, "position": each.position, "note": each.note,
                    "heard": each.position in heard,
                }
                for each in letters
            ],
            "themes": [theme for theme, names_of in themes.items() if name in names_of],
            "statements": len(entries.get(name, ())),
        })  # fmt: skip
    return as_json({"state": state.number, "names": names})


def spelled(definition: p.NameDefinition, plan: Plan, language: PageLanguage) -> tuple[SpelledLetter, ...]:
    """The letters of a name that the cipher reads, those that it reads together as one."""
    value = plan.values.get(definition.identity)
    events = value.events if isinstance(value, Motif) else ()
    notes: dict[int, list[str]] = {}
    read: dict[int, str] = {}
    for event in events:
        for head in event.heads:
            for origin in head.origins:
                if origin.letter:
                    notes.setdefault(origin.letter.position, []).append(note_in(language, head.pitch.pitch_class))
                    read[origin.letter.position] = origin.letter.text
    found: list[SpelledLetter] = []
    text = definition.tree.spelled.text
    written = {sign.offset: sign for sign in name_signs(text)}
    taken = 0
    for offset, char in enumerate(unicodedata.normalize("NFC", text)):
        sign = written.get(offset)
        if sign is None:
            found.append(SpelledLetter(char, 0, ""))
        elif sign.position > taken:
            letters = read.get(sign.position, sign.text)
            taken = sign.position + max(1, len(letters)) - 1
            found.append(SpelledLetter(letters, sign.position, " ".join(notes.get(sign.position, ()))))
    return tuple(found)


def _themes(program: p.Program) -> Mapping[str, frozenset[str]]:
    """The motifs of the piece itself, each with the names that it is made of, those of its own motifs included."""
    from cavata.tell.themes import references

    names_of: dict[p.Identity, frozenset[str]] = {}
    found: dict[str, frozenset[str]] = {}
    for definition in program.definitions:
        match definition:
            case p.NameDefinition(identity=identity):
                names_of[identity] = frozenset([identity.name])
            case p.ValueDefinition(identity=identity, sort=p.DefinitionSort.MOTIF):
                made_of = references(definition.value)
                names_of[identity] = frozenset().union(*(names_of.get(each, frozenset()) for each in made_of))
                if identity.module == program.main and names_of[identity]:
                    found[identity.name] = names_of[identity]
            case _:
                pass
    return found


def sounding(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
    """The ids of the notes of a name, of one letter of it by its `position`, or of a `theme`, and where they sound."""
    name, theme, position = wanted.get("name", ""), wanted.get("theme", ""), wanted.get("position", "")
    piece = piece_map(desk, state)
    with desk.still:
        now = layout(desk, state, wanted.get("copy", SCORE), wanted.get("room", "wide"))
        lines = {entry.line for entry in piece.index.themes if entry.theme == theme} if theme else None
        ids, places = [], []
        for movement, found, leaf, bar in now.notes():
            if (leaf.event is not None and leaf.event.line in lines) if lines is not None else any(
                _is_meant(origin, name, position) for origin in origins_of(leaf)
            ):
                ids.append(found)
                places.append((now.score.movements[movement].name, bar))
    return as_json({
        "ids": ids, "places": [{"movement": movement, "bar": bar} for movement, bar in dict.fromkeys(places)],
        "color": colors_of(piece).get(name, ""),
    })  # fmt: skip


def origins_of(leaf: Leaf) -> Iterator[Origin]:
    """What the notes of a leaf remember, its grace notes included."""
    for heads in (leaf.heads, *leaf.graces):
        for head in heads:
            yield from head.origins


def _is_meant(origin: Origin, name: str, position: str) -> bool:
    letter = origin.letter
    return letter is not None and letter.name == name and (not position or str(letter.position) == position)
