"""The ciphers that a name can be tried under: the library's, and a composer's own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from cavata import resources
from cavata.ciphers.cipher import Cipher
from cavata.diagnostics import Diagnostics, did_you_mean
from cavata.pipeline import Compiled, compile_script
from cavata.record import record
from cavata.syntax import tree as t
from cavata.text import backticked

LIBRARY = "ciphers"


@record
class OfferedCipher:
    """A cipher and where it is defined."""

    cipher: Cipher
    file: str = ""
    """The composer's file that defines it; empty for a cipher of the library."""


def library_ciphers() -> tuple[OfferedCipher, ...]:
    """The library's ciphers in the order of its file."""
    file = resources.folder("stdlib") / f"{LIBRARY}.cavata"
    # A library's definitions are computed only as far as a piece uses them; so it is read as a script of its own.
    elsewhere = resources.folder("stdlib").resolve().parent / file.name
    compiled = compile_script(elsewhere, file.name, file.read_text("utf-8"))
    assert compiled.plan is not None and not compiled.bag.has_errors
    found = {i.name: value for i, value in compiled.plan.values.items() if isinstance(value, Cipher)}
    assert compiled.loaded is not None
    declared = compiled.loaded.modules[compiled.loaded.main].declarations
    order = [row.name.text for row in declared if isinstance(row, t.Cipher)]
    return tuple(
        OfferedCipher(found[name]) for name in order if name in found
    )


def ciphers_of(path: Path, bag: Diagnostics) -> tuple[OfferedCipher, ...]:
    """The ciphers that a script defines itself; what is wrong with it goes into the bag."""
    compiled = compile_script(path, str(path))
    if compiled.bag.has_errors or compiled.plan is None:
        bag.report_all(compiled.bag.ordered())
        return ()
    own = own_ciphers(compiled, path.name)
    if not own:
        bag.error(
            "O311", None, f"`{path.name}` defines no cipher",
            cure="give it a `cipher` of your own, or leave `--from` out",
        )
    return own


def own_ciphers(compiled: Compiled, name: str) -> tuple[OfferedCipher, ...]:
    """The ciphers that a compiled script of that name defines itself."""
    values = {} if compiled.plan is None else compiled.plan.values
    return tuple(
        OfferedCipher(value, name)
        for identity, value in values.items()
        if isinstance(value, Cipher) and compiled.plan is not None and identity.module == compiled.plan.main
    )


def with_the_library(own: Sequence[OfferedCipher]) -> tuple[OfferedCipher, ...]:
    """Own ciphers and those of the library, each own one in the place of the library's of the same name."""
    names = {offered.cipher.name for offered in own}
    return (*own, *(offered for offered in library_ciphers() if offered.cipher.name not in names))


def offered_ciphers(own: Path | None, chosen: str | None, bag: Diagnostics) -> tuple[OfferedCipher, ...]:
    """The composer's own ciphers, then the library's; only those called `chosen` (commas between) if that is given.

    An own cipher stands in the place of the library's of the same name. What cannot be had goes into the bag.
    """
    mine = ciphers_of(own, bag) if own is not None else ()
    every = with_the_library(mine)
    if chosen is None:
        return every
    known = {offered.cipher.name: offered for offered in every}
    wanted = list(dict.fromkeys(word.strip() for word in chosen.split(",") if word.strip()))
    for word in wanted:
        if word not in known:
            bag.error(
                "O321", None, f"there is no cipher `{word}`",
                cure=did_you_mean(word, known) or
                "ciphers are " + backticked(known),
            )
    return tuple(known[word] for word in wanted if word in known)
