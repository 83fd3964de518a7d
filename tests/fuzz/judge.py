"""What must hold of any script and of any foreign score, whatever is in it.

In: bytes. Out: None, or a `Fault`: a traceback, a message whose place is not in its text or that cannot be shown, too
much time of the processor, an exit status that is neither 0 nor 1, an output of a clean script that cannot be made.
"""

from __future__ import annotations

import gc
import json
import signal
import traceback
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from cavata.cli.main import main
from cavata.diagnostics import Diagnostics, as_text, messages_json
from cavata.edition.copies import WantedCopies
from cavata.foreign.foreign_score import read_foreign
from cavata.foreign.score_file import Unreadable
from cavata.pipeline import Build, Compiled, build, compile_script

SOON = 20.0
"""Seconds of the processor that any text may take; how busy the machine is does not count."""
PATIENCE = 5.0
"""Seconds after which the reader of a foreign score is left alone."""
TEXTS = ("ly", "musicxml", "midi")
"""The outputs that are asked for of every clean script."""
_WRITTEN = frozenset(["ly", "musicxml"])
_UNSEEN = frozenset(["Cc", "Cs", "Zl", "Zp"])
_SCRIPT = "example.cavata"


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that must not be."""

    kind: str
    """The same for the same fault: an exception with the place it came from, or a phrase."""
    told: str


class TooLong(BaseException):
    """More time than any text may take; no handler of exceptions in the compiler is to catch it."""


@contextmanager
def ending_soon(seconds: float) -> Iterator[None]:
    """Raise TooLong after so many seconds of the processor; only where the system has such a clock."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def stop(*_: object) -> None:
        raise TooLong

    before = signal.signal(signal.SIGVTALRM, stop)
    # Again and again, as a library may catch whatever is raised in it.
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds, 1.0)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def judged(judge: Callable[[], Fault | None], what: str) -> Fault | None:
    """What a judge finds, with anything it raises."""
    try:
        with ending_soon(SOON):
            return judge()
    except TooLong:
        return Fault(f"{what}: takes too long", "")
    except MemoryError:
        return Fault(f"{what}: takes too much memory", "")
    except Exception as error:
        place = traceback.extract_tb(error.__traceback__)[-1]
        kind = f"{what}: {type(error).__name__} at {Path(place.filename).name}:{place.name}"
        return Fault(kind, "".join(traceback.format_exception(error))[-4000:])


def script_fault(
    content: bytes, folder: Path, formats: tuple[str, ...] = TEXTS, every_copy: bool = False
) -> Fault | None:
    """Check a script; if it is clean, make its outputs, with `every_copy` of parts, short and rehearsal scores too.

    The folder is for the file.
    """
    path = folder / _SCRIPT
    path.write_bytes(content)
    results: list[Compiled] = []

    def check() -> Fault | None:
        results.append(compile_script(path, _SCRIPT))
        return messages_fault(results[0].bag)

    fault = judged(check, "check")
    if fault is not None or results[0].score is None or not results[0].score.movements:
        return fault
    every = [(each, copies) for each in formats for copies in _copies(results[0], every_copy and each in _WRITTEN)]
    return next((fault for each, copies in every if (fault := _made(results[0], each, copies))), None)


def _copies(compiled: Compiled, every: bool) -> tuple[WantedCopies, ...]:
    """What is asked for; a copy for rehearsals needs two players."""
    assert compiled.score is not None
    if not every:
        return (WantedCopies(),)
    names = [part.name for part in compiled.score.parts]
    beside_others = ((names[0],),) if names[1:] else ()
    return WantedCopies(), WantedCopies(False, None, short=True, rehearsal=beside_others)


def _made(compiled: Compiled, output: str, copies: WantedCopies) -> Fault | None:
    return judged(lambda: _built(compiled, Build((output,), copies, "example")), output)


def _built(compiled: Compiled, order: Build) -> Fault | None:
    bag = Diagnostics()
    files = build(compiled, order, bag, lambda _: None)
    if bag.has_errors or not files:
        return Fault(f"{order.formats[0]}: refused after a clean check", as_text(bag.ordered()))
    return messages_fault(bag)


def messages_fault(bag: Diagnostics) -> Fault | None:
    """Whether every message can be shown, and has its place in its text."""
    found = bag.ordered()
    for message in found:
        for span in ([message.span] if message.span else []) + [span for span, _ in message.also]:
            if not 0 <= span.start < span.end <= max(1, len(span.source.text)):
                return Fault(f"{message.code}: a place outside the text", repr((span.start, span.end)))
    json.loads(json.dumps(messages_json(found)))
    for sign in as_text(found).replace("\n", ""):
        if unicodedata.category(sign) in _UNSEEN:
            return Fault("a message with a control character", as_text(found)[:2000])
    return None


def command_fault(content: bytes, folder: Path) -> Fault | None:
    """`cavata check --json` ends with 0 or 1, and its document says whether something is wrong."""
    path = folder / _SCRIPT
    path.write_bytes(content)

    def check() -> Fault | None:
        said = StringIO()
        with redirect_stdout(said), redirect_stderr(StringIO()):
            status = main(["check", str(path), "--json"])
        document = json.loads(said.getvalue())
        wrong = any(message["severity"] == "error" for message in document["messages"])
        if status != int(wrong):
            return Fault(f"the command ends with {status}", said.getvalue()[:2000])
        return None

    return judged(check, "command")


def foreign_fault(name: str, content: bytes, folder: Path) -> Fault | None:
    """A foreign score is read, or said in words not to be.

    Its reader is called as the child process calls it that the compiler gives it. To end one that takes too long or too
    much memory is that child's part, so that this is no fault here.
    """
    path = folder / name
    path.write_bytes(content)

    def read() -> Fault | None:
        try:
            with ending_soon(PATIENCE), redirect_stdout(StringIO()), redirect_stderr(StringIO()):
                read_foreign(path)
        except (TooLong, MemoryError):
            gc.collect()
            return None
        except Unreadable as reason:
            # What a reader says of a file stands in the message, which is made printable where it is shown.
            bag = Diagnostics()
            bag.error(reason.code, None, reason.message, cure=reason.cure)
            return messages_fault(bag)
        return None

    return judged(read, path.suffix)
