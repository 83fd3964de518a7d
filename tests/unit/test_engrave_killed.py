"""A build that is ended at any moment, by whatever signal, leaves the old files or the new ones, and nothing else.

`CAVATA_KILLS=100 pytest -n 0 tests/unit/test_engrave_killed.py` ends a hundred builds with each engraver.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from io import BytesIO
from pathlib import Path

import pytest
from fake_engravers import engrave_with
from patience import until
from pypdf import PdfWriter
from pypdf.generic import NameObject, StreamObject

from cavata.lilypond.engrave import left_behind_removed

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.name != "posix", reason="signals and process groups are of POSIX systems"),
]
KILLS = int(os.environ.get("CAVATA_KILLS", "0"))
SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGKILL, signal.SIGHUP)
SCRIPT = """language 2
piece "Three Watches"
motif tune = notes(1/8 D5 E5 F5 G5 A5 G5 F5 E5)
forces
    fiddle = violin
movement first "First Watch"
    meter 4/4
    section a {bars} bars
        fiddle: tune x {bars}
movement second "Middle Watch"
    meter 4/4
    section a {bars} bars
        fiddle: tune x {bars}
movement third "Morning Watch"
    meter 4/4
    section a {bars} bars
        fiddle: tune -> up M2 x {bars}
"""
DRAWS_PAGES = """
sleep 0.1
if grep -q 'bookpart' score.ly; then cp {frame} score.pdf; else cp {page} score.pdf; fi
sleep 0.1
"""


def pdf(pages: int) -> bytes:
    """A file of pages with a dot on each."""
    writer = PdfWriter()
    for _ in range(pages):
        page = writer.add_blank_page(595, 842)
        drawn = StreamObject()
        drawn.set_data(b"0 0 1 1 re f\n")
        page[NameObject("/Contents")] = writer._add_object(drawn)
    made = BytesIO()
    writer.write(made)
    return made.getvalue()


class Desk:
    """A script, its built files as they were and as they will be, and a folder for temporary files of our own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.script = folder / "watch.cavata"
        self.temporary = folder / "temporary"
        self.temporary.mkdir()
        self.environment = {
            **os.environ, "TMPDIR": str(self.temporary), "CAVATA_CACHE": str(folder / "cache"), "CAVATA_AT_ONCE": "2",
        }  # fmt: skip

    def build(self, out: Path) -> subprocess.Popen[bytes]:
        """A build on its way; it takes no page from what was kept."""
        command = [sys.executable, "-c", "from cavata.cli.main import program; program()", "build", str(self.script)]
        return subprocess.Popen(
            [*command, "--to", "pdf,midi", "--fresh", "--out", str(out)], env=self.environment,
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
        )  # fmt: skip

    def built(self, bars: int) -> tuple[dict[str, bytes], float]:
        """The files of a build that nobody disturbs, and the seconds it took."""
        self.script.write_text(SCRIPT.format(bars=bars), "utf-8")
        out = self.folder / f"of{bars}"
        begun = time.monotonic()
        child = self.build(out)
        said = child.communicate()[1]
        assert child.returncode == 0, said
        return contents(out), time.monotonic() - begun

    def orphans(self) -> list[str]:
        """Processes that still work in the temporary folder."""
        found = []
        for process in Path("/proc").glob("[0-9]*"):
            try:
                if str(self.temporary) in os.readlink(process / "cwd"):
                    found.append((process / "cmdline").read_text())
            except OSError:
                continue
        return found

    def settled(self) -> bool:
        """Whether nothing temporary is left, and nobody works there."""
        return not list(self.temporary.iterdir()) and not self.orphans()


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def end_many(desk: Desk, kills: int, bars: tuple[int, int]) -> Counter[str]:
    """End so many builds at random moments; returns how often the old files were there afterward, and the new."""
    old, _ = desk.built(bars[0])
    new, seconds = desk.built(bars[1])
    assert set(old) == set(new) == {"watch.pdf", "watch.mid"} and old["watch.mid"] != new["watch.mid"]
    chance = random.Random(kills)
    found: Counter[str] = Counter()
    for number in range(kills):
        out = desk.folder / "out"
        shutil.rmtree(out, ignore_errors=True)
        shutil.copytree(desk.folder / f"of{bars[0]}", out)
        child = desk.build(out)
        time.sleep(chance.uniform(0.1, 1.05) * seconds)
        child.send_signal(SIGNALS[number % len(SIGNALS)])
        said = child.communicate(timeout=600)[1].decode()
        after = contents(out)
        assert after in (old, new), (number, sorted(after))
        found["new" if after == new else "old"] += 1
        killed = SIGNALS[number % len(SIGNALS)] is signal.SIGKILL
        until(lambda killed=killed: desk.settled() or (killed and not desk.orphans()))
        if killed:
            # Killed just as it made its folder, nobody could take that away; the next build does.
            left_behind_removed(desk.temporary, old=0)
        assert desk.settled(), (number, list(desk.temporary.iterdir()), desk.orphans())
        assert "Traceback" not in said, said
        assert not list((desk.folder / "cache").rglob("*.part"))
    return found


def test_build_ended_at_any_moment_leaves_old_or_new(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With an engraver that only copies pages, so that the moments fall on our own work too."""
    (tmp_path / "page").write_bytes(pdf(2))
    (tmp_path / "frame").write_bytes(pdf(32))
    engrave_with(DRAWS_PAGES.format(page=tmp_path / "page", frame=tmp_path / "frame"), tmp_path, monkeypatch)
    print(dict(end_many(Desk(tmp_path), KILLS or 4, (20, 24))))


def test_build_ended_while_lilypond_runs_leaves_old_or_new(tmp_path: Path) -> None:
    print(dict(end_many(Desk(tmp_path), KILLS or 1, (4, 6))))


def test_folder_left_behind_by_a_killed_process_is_taken_away(tmp_path: Path) -> None:
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    for name in (f"cavata-{gone.pid}-a", f"cavata-{os.getpid()}-b", "cavata-somebody", "other"):
        (tmp_path / name / "inside").mkdir(parents=True)
    left_behind_removed(tmp_path)
    assert len(list(tmp_path.iterdir())) == 4, "all are young"
    left_behind_removed(tmp_path, old=0)
    assert {path.name for path in tmp_path.iterdir()} == {f"cavata-{os.getpid()}-b", "cavata-somebody", "other"}
