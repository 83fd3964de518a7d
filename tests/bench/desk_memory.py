"""How much memory a desk takes after ten and after a thousand different edits: of its process, and of its page.

    python tests/bench/desk_memory.py [PIECE] [--edits 1000] [--no-page]

Each edit is another dynamic at another place of the piece, saved; the next is made when the page was told of it and has
shown it. Before it is measured the page goes back to the beginning, so that the same systems are drawn. Memory of the
processes is what the system counts as its own (`Private` of Linux's `smaps_rollup`), that of the page what Chromium
counts as used by scripts after a collection, and its elements.
"""

from __future__ import annotations

import argparse
import http.client
import json
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from cavata.standing import Standing

ROOT = Path(__file__).resolve().parent.parent.parent
FIRST = 10
SETTLED = 12_000
"""Milliseconds that desk and page have before they are measured: what changed glows for six seconds, and a desk tidies
its memory when nothing was saved for ten."""
_DYNAMIC = re.compile(r"(?<= )(?:pp|p|mp|mf|f|ff)(?=[,)\s])")
_DYNAMICS = ("pp", "p", "mp", "mf", "f", "ff")


def edits(text: str, may_be_made: Callable[[str], bool]) -> Iterator[str]:
    """Texts without end, no two of them alike: one dynamic more is changed each time, and then changed again."""
    between, said = _DYNAMIC.split(text), _DYNAMIC.findall(text)
    number = 0
    while True:
        at, before = (number * 7919) % len(said), [*said]
        said[at] = _DYNAMICS[(_DYNAMICS.index(said[at]) + 1) % len(_DYNAMICS)]
        number += 1
        changed = "".join(one + other for one, other in zip(between, (*said, f"-- {number}\n"), strict=True))
        if may_be_made(changed):
            yield changed
        else:  # a crescendo would lead to what is softer
            said = before


def private(process: int) -> int:
    """Kilobytes that a process has for itself, with those of the processes that it has begun."""
    found = 0
    for each in (process, *children(process)):
        rows = Path(f"/proc/{each}/smaps_rollup").read_text().splitlines()
        found += sum(int(row.split()[1]) for row in rows if row.startswith("Private"))
    return found


def children(process: int) -> list[int]:
    """The processes that a process has begun."""
    found = []
    for task in Path(f"/proc/{process}/task").iterdir():
        found += [int(each) for each in (task / "children").read_text().split()]
    return found


def memory_of_page(page: Any) -> tuple[float, int]:
    """Kilobytes of the page's scripts, and how many elements and texts there are."""
    session = page.context.new_cdp_session(page)
    session.send("HeapProfiler.collectGarbage")
    session.send("Performance.enable")
    found = {each["name"]: each["value"] for each in session.send("Performance.getMetrics")["metrics"]}
    session.detach()
    return found["JSHeapUsedSize"] / 1024, int(found["Nodes"])


def at_the_beginning(page: Any) -> tuple[float, int]:
    """The memory of the page when it has gone to its beginning, from where it does not follow what changes."""
    page.locator("#follow").uncheck()
    page.evaluate("dispatchEvent(new Event('wheel')); scrollTo(0, 0)")
    page.wait_for_timeout(SETTLED)
    found = memory_of_page(page)
    page.locator("#follow").check()
    return found


class Events:
    """What the desk tells."""

    def __init__(self, address: str) -> None:
        host = address.removeprefix("http://").partition("/")[0]
        entering = http.client.HTTPConnection(host)
        entering.request("GET", f"/?{address.partition('?')[2]}")
        cookie = entering.getresponse().headers["set-cookie"].partition(";")[0]
        self.connection = http.client.HTTPConnection(host, timeout=120)
        self.connection.request("GET", "/events", headers={"Cookie": cookie})
        self.answer = self.connection.getresponse()
        self.next()

    def next(self) -> dict[str, Any]:
        """The next event."""
        while True:
            line = self.answer.readline()
            if line.startswith(b"data: "):
                event: dict[str, Any] = json.loads(line.removeprefix(b"data: "))
                return event


def measured(script: Path, count: int, with_page: bool) -> None:
    """Edit and tell."""
    command = [sys.executable, "-m", "cavata.cli.main", "desk", str(script), "--no-open"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    address = process.stdout.readline().strip()
    try:
        events = Events(address)
        if not with_page:
            _edited(script, count, events, process.pid, None)
            return
        from playwright.sync_api import sync_playwright

        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
            page = browser.new_page(viewport={"width": 1280, "height": 900})
            page.goto(address)
            page.wait_for_timeout(3000)
            _edited(script, count, events, process.pid, page)
            browser.close()
    finally:
        process.terminate()
        process.wait()


def _edited(script: Path, count: int, events: Events, process: int, page: Any) -> None:
    first: tuple[float, ...] = ()
    standing = Standing(script)

    def is_good(text: str) -> bool:
        return standing.compile({str(standing.path): text}).score is not None

    for number, text in enumerate(edits(script.read_text("utf-8"), is_good), 1):
        script.write_text(text, "utf-8")
        while events.next()["state"] <= number:
            pass
        if page is not None:
            page.wait_for_timeout(30)
        if number in (FIRST, 100, 300, count):
            time.sleep(SETTLED / 1000)
            of_page = () if page is None else at_the_beginning(page)
            found = (private(process), *of_page)
            first = first or found
            ratios = ", ".join(f"{one / other:.2f}" for one, other in zip(found, first, strict=True))
            print(f"after {number} edits: {', '.join(f'{each:.0f}' for each in found)} ({ratios} x)", flush=True)
        if number >= count:
            return


def main() -> None:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    usual = ROOT / "examples" / "the-long-night" / "the-long-night.cavata"
    parser.add_argument("piece", nargs="?", type=Path, default=usual)
    parser.add_argument("--edits", type=int, default=1000)
    parser.add_argument("--no-page", action="store_true", help="the process alone")
    arguments = parser.parse_args()
    with TemporaryDirectory() as folder:
        script = Path(shutil.copytree(arguments.piece.parent, Path(folder) / "piece")) / arguments.piece.name
        print("kilobytes of the process" + ("" if arguments.no_page else ", of the page's scripts; its elements"))
        measured(script, arguments.edits, not arguments.no_page)


if __name__ == "__main__":
    main()
