"""Arguments that are a span of time, parts of the forces, or an instrument.

In: a reader at such an argument. Out: the constant, bound. What does not fit is a `Mismatch`; a word that names no
part was reported.
"""

from __future__ import annotations

from fractions import Fraction

from cavata.instruments.instrument import Instrument
from cavata.instruments.table import find
from cavata.music.pitch import PitchClass
from cavata.names.program import Given
from cavata.names.reader import Reader, Reported
from cavata.syntax import tree as t
from cavata.transforms.canons import Bars
from cavata.transforms.signature import KIND_WORDS, Kind
from cavata.transforms.voicing import Players


def read_span(reader: Reader) -> Given:
    """A duration, or a number of bars."""
    atom = reader.peek()
    if isinstance(atom, t.Atom) and isinstance(atom.value, Fraction):
        return Given(atom.value, (reader.take().span,))
    if not (isinstance(atom, t.Atom) and isinstance(atom.value, int) and atom.value > 0):
        raise reader.fail(KIND_WORDS[Kind.SPAN])
    reader.take()
    if reader.word() not in ("bar", "bars"):
        raise reader.fail("`bars`", f"write `{atom.value} bars`, or a duration such as `{atom.value}/4`")
    return Given(Bars(atom.value), (atom.span.to(reader.take().span),))


def read_players(reader: Reader) -> Given:
    """Parts and groups of the forces, each part once."""
    found: dict[str, Instrument] = {}
    start = reader.at
    while isinstance(word := reader.peek(), t.Word):
        players = reader.players(word)
        if players is None:
            raise Reported
        for name, instrument in players:
            found.setdefault(name, instrument)
        reader.take()
    if reader.at == start:
        raise reader.fail(KIND_WORDS[Kind.PARTS])
    whole = reader.atoms[start].span.to(reader.atoms[reader.at - 1].span)
    return Given(Players(tuple(found), tuple(found.values())), (whole,))


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
        raise reader.fail(KIND_WORDS[Kind.INSTRUMENT], f"did you mean `{near[0]}`?" if near else "")
    whole = reader.atoms[start].span.to(reader.atoms[reader.at - 1].span)
    return Given(instrument, (whole,))
