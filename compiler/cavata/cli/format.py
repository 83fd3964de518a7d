"""`cavata format`: scripts in the one layout. A script that is laid out already is not written."""

from __future__ import annotations

import argparse
import difflib
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from cavata.cli.arguments import MESSAGES_AND_PATHS, add_form_to
from cavata.cli.speaking import Progress, near, report_unwritten, say, tell
from cavata.diagnostics import Diagnostic, Diagnostics
from cavata.names.folder import script_of, scripts_in
from cavata.names.loader import LARGEST_FILE, load
from cavata.record import record
from cavata.syntax.layout import earlier_edition


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    command = commands.add_parser(
        "format",
        help="lay a script out: columns, indentation, long lines",
        description=(
            "Rewrite scripts in the one layout and print the paths of those that changed. Comments, strings, blank "
            "lines and the breaks in long statements stay; a statement that cannot be read is left as it stands, "
            "with its message. The meaning of a script never changes."
        ),
    )
    command.add_argument("scripts", metavar="FILE", nargs="+", help="a script, or a folder: the scripts in it")
    command.add_argument(
        "--check", action="store_true", help="write nothing; print the paths of what would change, exit with 1 if any"
    )
    command.add_argument("--diff", action="store_true", help="write nothing; print what would change")
    command.add_argument(
        "--renew", action="store_true", help="turn scripts of edition 1 of the language into edition 2, the same music"
    )
    add_form_to(command, MESSAGES_AND_PATHS)
    command.set_defaults(run=run)


@record
class _Page:
    """A script as it is and as it should be; byte order mark and line ends are part of what is."""

    path: Path
    old: str
    new: str


def run(arguments: argparse.Namespace) -> int:
    """Format; 1 if anything could not be read or written, or with `--check` if anything would change."""
    bag = Diagnostics()
    changed: list[_Page] = []
    messages: list[Diagnostic] = []
    paths = list(_paths(arguments.scripts, bag))
    pages = _renewed(paths, bag) if arguments.renew else (_laid_out(path, bag) for path in paths)
    progress = Progress(sys.stderr)
    progress.say("reading the scripts")
    for page, said in pages:
        messages += said
        if page is not None and page.old != page.new:
            changed.append(page)
    progress.done()
    would_fail = arguments.check and bool(changed)
    if arguments.diff:
        say("".join(_differences(changed)))
        changed = []
    elif not arguments.check:
        changed = [page for page in changed if _written(page, bag)]
    messages += bag.ordered()
    tell(messages, [str(page.path) for page in changed])
    return int(bool(messages) or would_fail)


def _paths(given: Sequence[str], bag: Diagnostics) -> Iterator[Path]:
    """Each script once; of a folder those that lie in it. Folders below are other pieces, and are left alone."""
    seen: set[Path] = set()
    for name in given:
        path = Path(name)
        scripts = [path]
        if path.is_dir():
            scripts = scripts_in(path)
            if not scripts:
                script_of(path, bag)
        for script in scripts:
            if script not in seen:
                seen.add(script)
                yield script


def _renewed(given: Sequence[Path], bag: Diagnostics) -> Iterator[tuple[_Page | None, Sequence[Diagnostic]]]:
    """The pages of scripts of edition 1, and of what they use, in edition 2; those of any other script laid out."""
    from cavata.cli.renew import renewed

    texts = renewed(given, bag)
    shown = {path.resolve(): path for path in given}
    for path in dict.fromkeys([*shown, *texts]):
        if path in texts:
            yield _Page(shown.get(path, near(path)), _text_of(path) or "", texts[path]), ()
        else:
            yield _laid_out(shown[path], bag)


def _laid_out(path: Path, bag: Diagnostics) -> tuple[_Page | None, Sequence[Diagnostic]]:
    """The page, and the messages about what in it is left alone; None if the file cannot be read, or is old."""
    text = _text_of(path)
    if text is None or earlier_edition(text):
        load(path, str(path), bag)  # It has the message for everything that can be wrong with a file.
        return None, ()
    from cavata.syntax.format import format_script

    formatted = format_script(text, str(path))
    return _Page(path, text, formatted.text), formatted.messages


def _text_of(path: Path) -> str | None:
    """The text with its byte order mark and line ends; None if it is no readable script."""
    try:
        if not path.is_file() or path.stat().st_size > LARGEST_FILE:
            return None
        return path.read_bytes().decode("utf-8")
    except (OSError, ValueError):
        return None


def _written(page: _Page, bag: Diagnostics) -> bool:
    """Write a page whole, in the file that a link leads to, with the rights that it had."""
    from cavata.files import write_whole

    try:
        target = page.path.resolve()
        rights = target.stat().st_mode & 0o7777
        write_whole(target, page.new.encode("utf-8"))
        target.chmod(rights)
    except OSError as error:
        report_unwritten(page.path.parent, error, bag)
        return False
    return True


def _differences(pages: Sequence[_Page]) -> Iterator[str]:
    """A unified diff of each page."""
    for page in pages:
        name = str(page.path)
        for line in difflib.unified_diff(_lines(page.old), _lines(page.new), name, name):
            yield line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n"


def _lines(text: str) -> list[str]:
    """Lines with their ends, cut where a diff cuts them: at line feeds only."""
    parts = text.split("\n")
    return [f"{part}\n" for part in parts[:-1]] + ([parts[-1]] if parts[-1] else [])
