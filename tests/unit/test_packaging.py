"""The wheel carries the grammar and the library as they lie in the tree, and works from there."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from importlib.util import find_spec
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DATA = ("grammar", "stdlib", "examples")
BUILT = (".pdf", ".mid", ".musicxml", ".mxl", ".ly", ".mp3", ".wav", ".svg", ".html")
"""What builds leave beside the examples."""
SCRIPT = """\
language 2
use german from ciphers
name bach = "BACH" by german
forces
    organ = organ
movement only
    organ: bach x 2
"""
WRONG = SCRIPT.replace("bach x 2", "back x 2")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(find_spec("hatchling") is None, reason="hatchling, which builds the wheel, is missing"),
]


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the contents of a freshly built wheel; the checkout is not touched."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "pip", "wheel", "--no-deps", "--no-build-isolation", "--quiet"]
    subprocess.run(
        [*build, "--disable-pip-version-check", "--wheel-dir", str(folder), str(ROOT)],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    (wheel,) = folder.glob("cavata-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "site")
    return folder / "site"


def _kept(folder: Path) -> dict[str, bytes]:
    """Every file under a folder; what Python, a tool or a desktop leaves behind does not count."""
    found = {path.relative_to(folder): path for path in sorted(folder.rglob("*")) if path.is_file()}
    return {
        inside.as_posix(): path.read_bytes()
        for inside, path in found.items()
        if not any(part.startswith((".", "__pycache__")) for part in inside.parts)
        and not ("examples" in path.parts and inside.suffix in BUILT)
    }


@pytest.mark.parametrize("name", DATA)
def test_wheel_has_the_data_of_the_tree(unpacked: Path, name: str) -> None:
    tree, wheel = _kept(ROOT / name), _kept(unpacked / "cavata" / name)
    assert sorted(wheel) == sorted(tree)
    assert wheel == tree


def test_wheel_has_every_module_and_nothing_else(unpacked: Path) -> None:
    tree = _kept(ROOT / "compiler" / "cavata")
    in_wheel = _kept(unpacked / "cavata")
    wheel = {path: data for path, data in in_wheel.items() if path.split("/")[0] not in DATA}
    assert wheel == tree
    assert "py.typed" in wheel


def test_wheel_has_the_license_and_the_command(unpacked: Path) -> None:
    (about,) = unpacked.glob("cavata-*.dist-info")
    assert (about / "licenses" / "LICENSE").read_bytes() == (ROOT / "LICENSE").read_bytes()
    assert "cavata = cavata.cli.main:program" in (about / "entry_points.txt").read_text(encoding="utf-8")


def _check(unpacked: Path, script: Path) -> subprocess.CompletedProcess[str]:
    """`cavata check` from the unpacked wheel; the checkout must not be found."""
    code = (
        "import sys; from cavata import resources; from cavata.cli.main import main; "
        "print(*map(resources.folder, ('grammar', 'stdlib', 'examples')), sep='\\n'); "
        "raise SystemExit(main(sys.argv[1:]))"
    )
    return subprocess.run(
        [sys.executable, "-c", code, "check", str(script)],
        env={**os.environ, "PYTHONPATH": str(unpacked), "CAVATA_CACHE": str(unpacked.parent / "cache")},
        cwd=unpacked.parent, capture_output=True, text=True,
    )  # fmt: skip


def test_check_runs_from_the_wheel(unpacked: Path, tmp_path: Path) -> None:
    script = tmp_path / "bach.cavata"
    script.write_text(SCRIPT, encoding="utf-8")
    run = _check(unpacked, script)
    assert run.returncode == 0, run.stderr
    assert run.stdout.splitlines()[:3] == [str(unpacked / "cavata" / name) for name in DATA]
    script.write_text(WRONG, encoding="utf-8")
    run = _check(unpacked, script)
    assert run.returncode == 1
    assert "bach.cavata:7:12  N204" in run.stderr


def test_a_message_is_explained_from_the_wheel(unpacked: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "cavata.cli.main", "why", "N204"],
        env={**os.environ, "PYTHONPATH": str(unpacked)},
        cwd=unpacked.parent, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert run.stdout == (ROOT / "grammar" / "messages" / "N204.md").read_text(encoding="utf-8")
