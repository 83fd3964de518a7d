"""Finding and reading the files of a piece: the only pass that opens files.

In: the path of a script. Out: its module and every module it uses, and the scores of other programs that tunes are
taken from. Only `.cavata` files and scores inside the script's own folder, the composer's library and the standard
library are ever opened; `library` tells where those lie.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from cavata import EDITION, resources
from cavata.diagnostics import Diagnostics, closest, did_you_mean
from cavata.foreign.heard import HeardScore
from cavata.record import SLOTS, record
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.kept import KeptFiles
from cavata.syntax.tree_cache import read_module
from cavata.text import backticked

if TYPE_CHECKING:
    from cavata.foreign.score_file import Unreadable

# ----------------------------------------------------------------
# Where modules are looked for: beside the script, in the composer's own library, in the standard library.
#
# A script may come from somebody else, so what it says itself must not open the whole disk: its row `library` names a
# folder inside the folder above the script's. Any other folder is given from outside, by `--library` or
# `CAVATA_LIBRARY`.


SUFFIX = ".cavata"
VARIABLE = "CAVATA_LIBRARY"
_DEFINITION = re.compile(r"^(?:cipher|rhythm|motif|figure|transform|mode|name|passage) +(\w+)", re.MULTILINE)


@record
class ModuleLibrary:
    """A folder of modules, and how messages call it."""

    folder: Path
    shown: str

    def module(self, name: str) -> Path:
        """Where the module of that name would lie; links are followed."""
        return Path(os.path.realpath(self.folder / f"{name}{SUFFIX}"))

    def modules(self) -> tuple[str, ...]:
        """The names of its modules."""
        return tuple(sorted(path.stem for path in self.folder.glob(f"*{SUFFIX}")))


def standard_library() -> ModuleLibrary:
    """The library that comes with the compiler."""
    return ModuleLibrary(resources.folder("stdlib").resolve(), "library")


@lru_cache(maxsize=1)
def library_names() -> Mapping[str, tuple[str, ...]]:
    """For each name that the standard library defines, the modules that do. Read for a message only."""
    library = standard_library()
    modules: dict[str, tuple[str, ...]] = {}
    for module in library.modules():
        for name in defined_in(library.module(module)):
            modules[name] = (*modules.get(name, ()), module)
    return modules


def defined_in(path: Path) -> tuple[str, ...]:
    """The names that a script on the disk seems to define, without reading its rows; none if it cannot be opened."""
    try:
        return tuple(found[1] for found in _DEFINITION.finditer(path.read_text(encoding="utf-8")))
    except (OSError, ValueError):
        return ()


def brought_by(name: str, step: bool = False) -> str:
    """The row that brings a name of the standard library into a script, or the rows where modules share the name;
    empty if the library has no such name. A `step` is a word after an arrow, where a rhythm or figure follows `in`."""
    modules = library_names().get(name, ())
    rows = " or ".join(f"`use {name} from {module}`" for module in modules)
    told = f"the library has it: {rows}" if rows else ""
    return f"it is written `-> in {name}`; {told}" if step and {*modules} & {"figures", "rhythms"} else told


def given_library(folder: Path | None, bag: Diagnostics) -> tuple[ModuleLibrary, ...]:
    """The folder that was given, else the one that the environment names; one that is not there is reported."""
    by, given = ("--library", str(folder)) if folder is not None else (VARIABLE, os.environ.get(VARIABLE, ""))
    if not given:
        return ()
    if not os.path.isdir(given):
        bag.warning(
            "O401", None, f"the library folder `{given}` is not there", label=f"given by `{by}`",
            cure="give the folder that holds your modules",
        )  # fmt: skip
        return ()
    return (ModuleLibrary(Path(os.path.realpath(given)), Path(given).as_posix()),)


def library_of_piece(module: t.Module, root: Path, bag: Diagnostics) -> tuple[ModuleLibrary, ...]:
    """The folder that the row `library` of a piece names, relative to the script; reported if it may not be used."""
    rows = [row for piece in module.declarations if isinstance(piece, t.Piece) for row in piece.rows]
    for row in (row for row in rows if row.word == "library"):
        folder = _inside(root / row.text, root.parent)
        if folder is None:
            bag.error(
                "N601", row.span, "this library lies too far away for a script to name it", label="leads outside",
                cure="it may lie in the script's folder or the one above; give any other by `--library`",
            )  # fmt: skip
        elif not os.path.isdir(folder):
            bag.error("N602", row.span, "there is no such folder", cure="name a folder as seen from the script's own")
        else:
            return (ModuleLibrary(folder, Path(row.text).as_posix()),)
    return ()


def _inside(path: Path, folder: Path) -> Path | None:
    """Where a path that a script names leads; None if that is outside a folder, or nowhere."""
    try:
        real = Path(os.path.realpath(path))
    except (OSError, ValueError, RuntimeError):
        return None
    return real if "\0" not in str(path) and real.is_relative_to(folder) else None


# ----------------------------------------------------------------

NOTHING_ELSE: Mapping[str, str] = {}
LARGEST_FILE = 2_000_000
"""Bytes in one script; a symphony takes a tenth of it."""


@record
class Loaded:
    """The modules of a piece by their keys, in the order in which they were met, the script's own first."""

    main: str
    modules: Mapping[str, t.Module]
    uses: Mapping[str, tuple[tuple[t.Use, str], ...]]
    """For each module its `use` statements and the key of the module each leads to."""
    borrowed: frozenset[str] = frozenset()
    """The modules that lie in a library: of these only what is used is computed."""
    tunes: tuple[tuple[str, str, tuple[HeardScore, ...]], ...] = ()
    """Scores of other programs that tunes are taken from: the module, the file as it names it, and its pieces. One that
    cannot be read was reported, and is left out."""


def load(
    path: Path, shown: str, bag: Diagnostics, text: str | None = None, library: Path | None = None,
    texts: Mapping[str, str] = NOTHING_ELSE, kept: KeptFiles | None = None,
) -> Loaded | None:
    """Read a script and everything it uses; None if the script itself cannot be read.

    `shown` is the name that messages use; `text` stands in for the file's content where it is given; `library` is
    the composer's folder of modules, by default what the environment says; `texts` stand in for the contents of the
    files at these paths; what is `kept` from the time before is not read again.
    """
    loader = _Loader(bag, path.resolve().parent, given_library(library, bag), texts, kept)
    source = loader.read(path, shown, None) if text is None else Source(shown, text)
    if source is None:
        return None
    loader.follow(source, str(path.resolve()))
    return Loaded(str(path.resolve()), loader.modules, loader.uses, frozenset(loader.borrowed), tuple(loader.tunes))


class _Loader:
    def __init__(
        self, bag: Diagnostics, root: Path, libraries: tuple[ModuleLibrary, ...], texts: Mapping[str, str],
        kept: KeptFiles | None,
    ) -> None:
        self.texts = texts
        self.kept = kept
        self.bag = bag
        self.home = ModuleLibrary(root, "")
        self.libraries = libraries
        self.standard = standard_library()
        self.modules: dict[str, t.Module] = {}
        self.uses: dict[str, tuple[tuple[t.Use, str], ...]] = {}
        self.borrowed: set[str] = set()
        self.tunes: list[tuple[str, str, tuple[HeardScore, ...]]] = []

    def follow(self, source: Source, key: str) -> None:
        """Parse one source and every module it uses, without recursion into Python's stack limit."""
        waiting: list[tuple[Source, Path, ModuleLibrary, t.Use | None]] = [(source, Path(key), self.home, None)]
        while waiting:
            source, path, library, asked = waiting.pop()
            module = self.modules[str(path)] = self.parsed(source, path)
            _check_edition(module, asked, self.bag)
            if asked is None:
                self.libraries = library_of_piece(module, self.home.folder, self.bag) + self.libraries
            self.read_tunes(module, path, library)
            uses = []
            for use in (d for d in module.declarations if isinstance(d, t.Use)):
                target = self.target(use, path, library)
                if target is None:
                    continue
                found, holds = target
                uses.append((use, str(found)))
                if str(found) not in self.modules:
                    self.modules[str(found)] = t.Module(Source("", ""), ())
                    read = self.read(found, self.shown(found), use.origin.span)
                    if read is None:
                        uses.pop()
                        continue
                    if holds is not self.home:
                        self.borrowed.add(str(found))
                    waiting.append((read, found, holds, use))
            self.uses[str(path)] = tuple(uses)
        self.report_cycles()

    def parsed(self, source: Source, path: Path) -> t.Module:
        """The module that a text is."""
        if self.kept is None:
            return read_module(source, self.bag)
        return self.kept.module(str(path), source, self.bag, str(path) in self.borrowed)

    def shown(self, path: Path) -> str:
        """How messages name a file: by its place beside the script, or in a library."""
        for library in (self.standard, self.home, *self.libraries):
            if path.is_relative_to(library.folder):
                inside = path.relative_to(library.folder).as_posix()
                return f"{library.shown}/{inside}" if library.shown else inside
        return path.name

    def target(self, use: t.Use, path: Path, library: ModuleLibrary) -> tuple[Path, ModuleLibrary] | None:
        """The file that a `use` means, and the library that holds it; reported if it is none or may not be opened."""
        if isinstance(use.origin, t.Word):
            return self.module(use.origin, path, library)
        found = self.file(use.origin, path.parent, library)
        return None if found is None else (found, library)

    def module(self, word: t.Word, path: Path, library: ModuleLibrary) -> tuple[Path, ModuleLibrary] | None:
        """The nearest module of that name: beside the file, in the folder it belongs to, then in the libraries.

        A file never means itself: so `ciphers.cavata` of one's own can add to the library's `ciphers`.
        """
        places = [(ModuleLibrary(path.parent, ""), library), (library, library)]
        if library is not self.standard:
            places += [(other, other) for other in (*self.libraries, self.standard)]
        for place, holds in places:
            found = place.module(word.text)
            if found == path or not os.path.isfile(found):  # a name may be longer than the disk allows
                continue
            if not found.is_relative_to(holds.folder):
                self.report_outside(word.span)
                return None
            hidden = self.standard.module(word.text)
            if holds is not self.standard and found != hidden and path != hidden and os.path.isfile(hidden):
                self.bag.warning(
                    "N603", word.span, f"`{word.text}` means a file of yours, not the standard library's",
                    label=f"`{self.shown(found)}` is nearer",
                    cure="give the file another name"
                    + (f", or write `\"{found.name}\"` where you mean it" if holds is library else ""),
                )  # fmt: skip
            return found, holds
        known = sorted({name for other, _ in places for name in other.modules()} - {path.stem})
        self.bag.error(
            "N103", word.span, f"there is no module `{word.text}`",
            label="neither beside the script nor in a library" if self.libraries else "not there",
            cure=did_you_mean(word.text, known) or "there are " + backticked(known[:12]),
        )  # fmt: skip
        return None

    def file(self, origin: t.Text, folder: Path, library: ModuleLibrary) -> Path | None:
        """The file in quotes, as seen from a folder; never outside the folder that all belongs to."""
        wanted, path = origin.text, self.place_of(origin, folder, library)
        if path is None:
            return None
        if path.suffix != SUFFIX:
            self.bag.error(
                "N105", origin.span, f"`{wanted}` is no script", cure=f"scripts have names that end in `{SUFFIX}`"
            )
            return None
        return path

    def read_tunes(self, module: t.Module, path: Path, library: ModuleLibrary) -> None:
        """Read the scores that a module takes tunes from, each once; one that cannot be read is reported."""
        met: dict[str, t.ForeignTune] = {}
        for tune in tunes_in(module):
            # What reads scores is loaded only where there is one.
            from cavata.foreign.kept import read_kept
            from cavata.foreign.score_file import Unreadable

            if tune.file.text in met:
                continue
            met[tune.file.text] = tune
            found = self.place_of(tune.file, path.parent, library)
            read = None if found is None else read_kept(found)
            if isinstance(read, Unreadable):
                self.report_unread(tune, found, read)
            elif read is not None:
                self.tunes.append((str(path), tune.file.text, read))

    def report_unread(self, tune: t.ForeignTune, path: Path | None, reason: Unreadable) -> None:
        """A score that cannot be read."""
        from cavata.foreign.score_file import FORMATS

        span = tune.file.span
        if path is None or not os.path.isfile(path):
            message = f"there is no score `{tune.file.text}`"
            self.bag.error("N872", span, message, label="no such file", cure=reason.cure)
        elif path.suffix.lower() not in FORMATS:
            cure = "scores have names that end in " + backticked(FORMATS)
            self.bag.error("N873", span, f"`{tune.file.text}` is no score", label="by its name", cure=cure)
        else:
            self.bag.error("N873", span, reason.message, label="not to be read", cure=reason.cure)

    def place_of(self, origin: t.Text, folder: Path, library: ModuleLibrary) -> Path | None:
        """Where a file in quotes lies, as seen from a folder; None outside the folder that all belongs to: reported."""
        path = _inside(folder / origin.text, library.folder)
        if path is None:
            self.report_outside(origin.span)
        return path

    def report_outside(self, span: Span) -> None:
        """A file that a script may not open."""
        self.bag.error(
            "N104",
            span,
            "a file outside the piece's folder cannot be used",
            label="leads outside",
            cure="copy it into the folder of the piece, or into your library",
        )

    def read(self, path: Path, shown: str, asked: Span | None) -> Source | None:
        """The text of a file; reported if it cannot be had or is no UTF-8."""
        instead = self.texts.get(str(path.resolve())) if self.texts else None
        if instead is not None:
            return Source(shown, instead)
        try:
            if not path.is_file():
                raise FileNotFoundError
            with path.open("rb") as file:
                raw = file.read(LARGEST_FILE + 1)
        except (OSError, ValueError):
            self.bag.error(
                "N106", asked, f"`{shown}` cannot be read",
                label="not a readable file" if os.path.exists(path) else "no such file",
                cure=_perhaps(path, shown) or "look at its name and its place",
            )
            return None
        return decoded_source(raw, shown, asked, self.bag)

    def report_cycles(self) -> None:
        """A file that uses itself, straight or by others."""
        done: set[str] = set()
        for start in self.uses:
            stack: list[tuple[str, int]] = [(start, 0)]
            path = [start]
            while stack:
                key, number = stack.pop()
                uses = self.uses.get(key, ())
                if key in done or number >= len(uses):
                    done.add(key)
                    path.pop()
                    continue
                stack.append((key, number + 1))
                use, target = uses[number]
                if target in path:
                    self.bag.error(
                        "N108",
                        use.origin.span,
                        "files use each other in a circle",
                        label="leads back to " + ("itself" if target == key else f"`{self.shown(Path(target))}`"),
                        cure="take this row out" if target == key else "put what both need into a third file",
                    )
                elif target not in done:
                    stack.append((target, 0))
                    path.append(target)


def _perhaps(path: Path, shown: str) -> str:
    """A question after the script that may have been meant by one that is not there; empty where none is near."""
    if os.path.exists(path):
        return ""
    try:
        beside = [e.name for e in path.parent.iterdir() if e.suffix == SUFFIX or (e.is_dir() and e.name[0] != ".")]
        inside = path.parent / path.stem / path.name
        with_suffix = f"{path.name}{SUFFIX}"
        guess = (
            [f"{path.stem}/{path.name}"] if inside.is_file() else
            [with_suffix] if with_suffix in beside else closest(path.name, beside, 1)
        )  # fmt: skip
    except (OSError, ValueError):
        return ""
    return f"did you mean `{(Path(shown).parent / guess[0]).as_posix()}`?" if guess else ""


_TUNE = re.compile(r"""(?<!\w)from\s+\"""")


def tunes_in(module: t.Module) -> Iterator[t.ForeignTune]:
    """Every place of a module that takes a tune from another program's score, in order."""
    uses = sum(isinstance(d, t.Use) and isinstance(d.origin, t.Text) for d in module.declarations)
    if len(_TUNE.findall(module.source.text)) <= uses:
        return  # most scripts have none, and need not be gone through
    waiting: list[object] = [module.declarations]
    while waiting:
        node = waiting.pop()
        if isinstance(node, t.ForeignTune):
            yield node
        elif isinstance(node, tuple):
            waiting += reversed(node)
        elif type(node) in SLOTS and not isinstance(node, Span):
            waiting += reversed([getattr(node, name) for name in SLOTS[type(node)]])


def decoded_source(raw: bytes, shown: str, asked: Span | None, bag: Diagnostics) -> Source | None:
    """The text that the bytes of a file are; reported if they are too many or no UTF-8.

    `shown` is the name that messages use, `asked` the place that asks for the file.
    """
    if len(raw) > LARGEST_FILE:
        bag.error(
            "N107", asked, f"`{shown}` is larger than {LARGEST_FILE // 1_000_000} MB",
            label="too large for a script", cure="divide it into files that `use` each other",
        )  # fmt: skip
        return None
    try:
        return Source(shown, _lines(raw.decode("utf-8-sig")))
    except UnicodeDecodeError as error:
        # The decoder counts from after a byte order mark.
        before = _lines(error.object[: error.start].decode("utf-8", "replace"))
        source = Source(shown, before + _lines(error.object[error.start :].decode("utf-8", "replace")))
        at = len(before)
        bag.error(
            "S100", Span(source, at, at + 1), "the file is not UTF-8",
            label="this byte belongs to another encoding", cure="save it as UTF-8",
        )  # fmt: skip
        return None


def _lines(text: str) -> str:
    """The text with one kind of line end."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _way_here(row: t.Language) -> str:
    """What brings a file and this compiler together."""
    if row.edition > EDITION:
        return "get a newer compiler"
    if row.edition < 1:
        return f"`language {EDITION}`"
    return f"`cavata format --renew {row.span.source.name}` turns it into edition {EDITION}, with the same music"


def _check_edition(module: t.Module, asked: t.Use | None, bag: Diagnostics) -> None:
    """Whether this compiler knows the edition of a file; `asked` is the row that brings it in."""
    rows = [d for d in module.declarations if isinstance(d, t.Language)]
    kind = "script" if asked is None else "file"
    for row in rows:
        if row.edition != EDITION:
            bag.error(
                "N101",
                row.span,
                f"this {kind} is written in edition {row.edition} of the language",
                label=f"this compiler knows edition {EDITION}",
                cure=_way_here(row),
                also=() if asked is None else ((asked.origin.span, "used here"),),
            )
    if not rows and module.declarations:
        span = module.declarations[0].span
        bag.warning(
            "N102", span, f"the {kind} does not say its edition of the language",
            cure=f"begin the file with `language {EDITION}`, so that it keeps its meaning",
        )
