"""Finding and reading the files of a piece: the only pass that opens files.

In: the path of a script. Out: its module and every module it uses. Only `.cavata` files inside the
script's own folder, and the standard library, are ever opened.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from cavata import EDITION, resources
from cavata.diagnostics.record import Diagnostics
from cavata.diagnostics.spelling import closest
from cavata.source import Source, Span
from cavata.syntax import tree as t
from cavata.syntax.parse import parse

LARGEST_FILE = 2_000_000
"""Bytes in one script; a symphony takes a tenth of it."""
SUFFIX = ".cavata"


@dataclass(frozen=True, slots=True)
class Loaded:
    """The modules of a piece by their keys, in the order in which they were met, the script's own first."""

    main: str
    modules: Mapping[str, t.Module]
    uses: Mapping[str, tuple[tuple[t.Use, str], ...]]
    """For each module its `use` statements and the key of the module each leads to."""


def library_modules() -> tuple[str, ...]:
    """The names of the standard library's modules."""
    return tuple(sorted(path.stem for path in resources.folder("stdlib").glob(f"*{SUFFIX}")))


def load(path: Path, shown: str, bag: Diagnostics, text: str | None = None) -> Loaded | None:
    """Read a script and everything it uses; None if the script itself cannot be read.

    `shown` is the name that messages use; `text` stands in for the file's content where it is given.
    """
    loader = _Loader(bag, path.resolve().parent)
    source = loader.read(path, shown, None) if text is None else Source(shown, text)
    if source is None:
        return None
    loader.follow(source, str(path.resolve()), path.resolve().parent)
    return Loaded(str(path.resolve()), loader.modules, loader.uses)


class _Loader:
    def __init__(self, bag: Diagnostics, root: Path) -> None:
        self.bag = bag
        self.root = root
        self.modules: dict[str, t.Module] = {}
        self.uses: dict[str, tuple[tuple[t.Use, str], ...]] = {}
        self.path: list[tuple[str, Span]] = []

    def follow(self, source: Source, key: str, folder: Path) -> None:
        """Parse one source and every module it uses, without recursion into Python's stack limit."""
        waiting = [(source, key, folder)]
        while waiting:
            source, key, folder = waiting.pop()
            module = self.modules[key] = parse(source, self.bag)
            _check_edition(module, self.bag)
            uses = []
            for use in (d for d in module.declarations if isinstance(d, t.Use)):
                target = self.target(use, folder)
                if target is None:
                    continue
                uses.append((use, str(target)))
                if str(target) not in self.modules:
                    self.modules[str(target)] = t.Module(Source("", ""), ())
                    read = self.read(target, self.shown(target), use.origin.span)
                    if read is None:
                        uses.pop()
                        continue
                    waiting.append((read, str(target), target.parent))
            self.uses[key] = tuple(uses)
        self.report_cycles()

    def shown(self, path: Path) -> str:
        """How messages name a file: by its place beside the script, or in the library."""
        library = resources.folder("stdlib").resolve()
        if path.is_relative_to(library):
            return f"library/{path.relative_to(library).as_posix()}"
        return path.relative_to(self.root).as_posix() if path.is_relative_to(self.root) else path.name

    def target(self, use: t.Use, folder: Path) -> Path | None:
        """The file that a `use` means; reported if there is none or if it may not be opened."""
        span = use.origin.span
        if isinstance(use.origin, t.Word):
            name = use.origin.text
            if name in library_modules():
                return (resources.folder("stdlib") / f"{name}{SUFFIX}").resolve()
            guess = closest(name, library_modules(), 1)
            self.bag.error(
                "N103",
                span,
                f"the standard library has no module `{name}`",
                "not there",
                f"did you mean `{guess[0]}`?" if guess else "it has " + ", ".join(f"`{m}`" for m in library_modules()),
            )
            return None
        wanted = use.origin.text
        try:
            path = Path(os.path.realpath(folder / wanted))
        except (OSError, ValueError, RuntimeError):
            path = Path(wanted)
        if "\0" in wanted or not path.is_relative_to(self.root):
            self.bag.error(
                "N104",
                span,
                "a file outside the piece's folder cannot be used",
                "leads outside",
                "copy it into the folder of the piece",
            )
            return None
        if path.suffix != SUFFIX:
            self.bag.error(
                "N105", span, f"`{wanted}` is no script", "", f"scripts have names that end in `{SUFFIX}`"
            )
            return None
        return path

    def read(self, path: Path, shown: str, asked: Span | None) -> Source | None:
        """The text of a file; reported if it cannot be had or is no UTF-8."""
        try:
            if not path.is_file():
                raise FileNotFoundError
            if path.stat().st_size > LARGEST_FILE:
                self.bag.error(
                    "N107",
                    asked,
                    f"`{shown}` is larger than {LARGEST_FILE // 1_000_000} MB",
                    "too large for a script",
                    "divide it into files that `use` each other",
                )
                return None
            raw = path.read_bytes()
        except (OSError, ValueError):
            self.bag.error(
                "N106", asked, f"`{shown}` cannot be read", "not a readable file" if os.path.exists(path) else "no such file",
                "look at its name and its place",
            )
            return None
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            # The decoder counts from after a byte order mark.
            before = _lines(error.object[: error.start].decode("utf-8", "replace"))
            source = Source(shown, before + _lines(error.object[error.start :].decode("utf-8", "replace")))
            at = len(before)
            self.bag.error(
                "S100", Span(source, at, at + 1), "the file is not UTF-8", "this byte belongs to another encoding",
                "save it as UTF-8",
            )
            return None
        return Source(shown, _lines(text))

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
                        "leads back to " + ("itself" if target == key else f"`{self.shown(Path(target))}`"),
                        "take this row out" if target == key else "put what both need into a third file",
                    )
                elif target not in done:
                    stack.append((target, 0))
                    path.append(target)


def _lines(text: str) -> str:
    """The text with one kind of line end."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _check_edition(module: t.Module, bag: Diagnostics) -> None:
    rows = [d for d in module.declarations if isinstance(d, t.Language)]
    for row in rows:
        if row.edition != EDITION:
            bag.error(
                "N101",
                row.span,
                f"this script is written in edition {row.edition} of the language",
                f"this compiler knows edition {EDITION}",
                "get a newer compiler" if row.edition > EDITION else f"`language {EDITION}`",
            )
    if not rows and module.declarations:
        span = module.declarations[0].span
        bag.warning(
            "N102", span, "the script does not say its edition of the language", "",
            f"begin the file with `language {EDITION}`, so that it keeps its meaning",
        )
