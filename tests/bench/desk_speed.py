"""How long a desk takes until its score is seen in a browser, beside a build of MusicXML as it once was.

    python tests/bench/desk_speed.py --old CHECKOUT [-n PAIRS]

CHECKOUT is a checkout of the commit that is measured against; its modules are run from there. Each pair is one thing
done at the desk and one `build --to musicxml --fresh` of the same piece by the old commit, in turn. Wall times, as
ratios of pairs; how busy the machine was is told at the end. On saving: from the moment at which the script is written
until what changed stands on the page. On opening: from the start of the command, the browser running, until the first
system is there: for the first time of all, where not even the grammar is kept; where another piece was read before; and
once more, with what was kept of the time before.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path += [str(ROOT / "tests" / "bench"), str(ROOT / "tests" / "unit")]

from editor_speed import asked, built, tell  # noqa: E402  # beside this

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
LONGEST = 60.0
"""Seconds after which what does not come is taken never to come."""
KEPT = 5.0
"""Seconds for which a page is looked at before it is closed."""
_SEEN = "seen at "
_WATCHED = """
() => {
  window.isSeen = false;
  const look = () => {
    if (window.isSeen || !document.querySelector(window.wanted || ".system[data-drawn=yes]")) return;
    window.isSeen = true;
    requestAnimationFrame(() => { console.info("SEEN" + Date.now()); });
  };
  new MutationObserver(look).observe(document, { subtree: true, childList: true, attributes: true });
}
""".replace("SEEN", _SEEN)
"""The page says by itself when it shows what is waited for: to ask it again and again would take the processor from
the desk."""


def environment(cache: Path) -> dict[str, str]:
    """In which our commands run."""
    found = {**os.environ, "PYTHONPATH": str(ROOT / "compiler"), "CAVATA_CACHE": str(cache)}
    found.pop("PYTHONDONTWRITEBYTECODE", None)  # as for what it is measured against
    return found


def acquainted(cache: Path) -> None:
    """Have another piece read, so that what every piece needs is kept."""
    command = [sys.executable, "-m", "cavata.cli.main", "check", str(ROOT / "examples" / "three-watches")]
    subprocess.run(command, env=environment(cache), check=True, capture_output=True)


@contextmanager
def desk(script: Path, cache: Path) -> Iterator[str]:
    """A desk of a script; its address."""
    command = [sys.executable, "-m", "cavata.cli.main", "desk", str(script), "--no-open"]
    process = subprocess.Popen(
        command, env=environment(cache), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    try:
        assert process.stdout is not None
        yield process.stdout.readline().strip()
    finally:
        process.terminate()
        process.wait()


@contextmanager
def watched(browser: Any) -> Iterator[tuple[Any, list[float]]]:
    """A page that is ready, and the moments at which it showed what is waited for, in seconds of the clock."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    moments: list[float] = []

    def heard(message: Any) -> None:
        if message.text.startswith(_SEEN):
            moments.append(float(message.text.removeprefix(_SEEN)) / 1000)

    page.on("console", heard)
    page.add_init_script(f"({_WATCHED})()")
    page.wait_for_timeout(1000)
    yield page, moments
    page.context.close()


def seen_at(page: Any, moments: list[float]) -> float:
    """When what is waited for was seen, in seconds of the clock."""
    end = time.monotonic() + LONGEST
    while time.monotonic() < end:
        if moments:
            return moments.pop()
        page.wait_for_timeout(200)
    raise AssertionError("it was never seen")


def opened(browser: Any, script: Path, cache: Path) -> float:
    """Seconds from the start of the command until the first system is seen."""
    with watched(browser) as (page, moments):
        begun = time.time()
        with desk(script, cache) as address:
            page.goto(address)
            taken = seen_at(page, moments) - begun
            page.wait_for_timeout(KEPT * 1000)
    return taken


def edits(text: str) -> Iterator[tuple[str, str]]:
    """One note's dynamic changed to and fro, each time to another one, and with it lines above everything."""
    at = text.index(" mf", 2 * len(text) // 3)
    for number in range(1, 10_000):
        changed = text[:at] + (" f", " p")[number % 2] + text[at + 3 :]
        yield "one note changed", "-- a remark\n" * (number - 1) + changed
        changed = text[:at] + (" ff", " pp")[number % 2] + text[at + 3 :]
        yield "the same, and a line inserted above everything", "-- a remark\n" * number + changed


def measured(browser: Any, name: str, now: Path, then: Path, old: Path, folder: Path, count: int) -> None:
    """Pairs for each thing that is done."""
    script = folder / "piece" / now.name
    shutil.copytree(now.parent, script.parent, dirs_exist_ok=True)
    text = script.read_text("utf-8")
    ratios: dict[str, list[tuple[float, float]]] = {}
    for number in range(count):
        bare, used = folder / f"bare-{number}", folder / f"used-{number}"
        acquainted(used)
        for what, cache in (
            ("opened for the first time of all", bare), ("opened, nothing of it kept", used), ("opened again", used),
        ):
            taken = opened(browser, script, cache)
            ratios.setdefault(what, []).append((taken, built(old, then, folder)))
    with watched(browser) as (page, moments), desk(script, folder / "used-0") as address:
        page.goto(address)
        seen_at(page, moments)
        page.wait_for_timeout(3000)
        page.evaluate("window.wanted = '.glow'")
        for number, (kind, changed) in zip(range(2 * count + 2), edits(text), strict=False):
            page.evaluate("document.querySelectorAll('.glow').forEach((each) => each.classList.remove('glow'))")
            page.evaluate("window.isSeen = false")
            script.write_text(changed, "utf-8")
            begun = time.time()
            taken = seen_at(page, moments) - begun
            page.wait_for_timeout(1500)
            if number > 1:
                ratios.setdefault(kind, []).append((taken, built(old, then, folder)))
    for kind, pairs in ratios.items():
        tell(f"{name}, {kind}", pairs)
    shutil.rmtree(script.parent)


def main() -> None:
    """Measure both pieces."""
    from playwright.sync_api import sync_playwright

    pieces = asked(__doc__ or "", 5)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        for each in pieces:
            measured(browser, *each)
        browser.close()


if __name__ == "__main__":
    main()
