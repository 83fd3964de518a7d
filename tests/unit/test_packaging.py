"""What is released: the wheel has the grammar and the library as they lie in the tree, and works from there, on each
supported Python; the source holds the tree, and makes that wheel; nothing in them is under a license that is not told.
"""

from __future__ import annotations

import ast
import os
import re
import runpy
import shlex
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from importlib import metadata
from importlib.util import find_spec
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet

from cavata import EDITION, __version__

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

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
ASKED = {
    Requirement(each).name
    for group in (PROJECT["dependencies"], *list(PROJECT["optional-dependencies"].values())[:-1])
    for each in group
} - {PROJECT["name"]}
"""Every package that is asked for, but for those of the last extra, which the tests alone use."""
PYTHONS = [line.rpartition(" ")[2] for line in PROJECT["classifiers"] if re.search(r"Python :: 3\.", line)]
TOLD = ("installing", "changes", "licenses")
CHAPTERS = {name: (ROOT / "grammar" / f"{name}.md").read_text("utf-8") for name in TOLD}
OTHER_LICENSES = re.compile(
    r"SPDX-License-Identifier|Copyright \(c\) \d|Permission is hereby granted|Apache License|\bMIT License"
)
interpreter = runpy.run_path(str(ROOT / "tests" / "run.py"))["interpreter"]


# ------------------------------------------------------------------ what a release says of itself


def test_every_place_names_this_version() -> None:
    citation = (ROOT / "grammar" / "CITATION.cff").read_text("utf-8")
    said = dict(re.findall(r"^([\w-]+): (.*)$", citation, re.MULTILINE))
    assert said["version"] == __version__ and said["license"] == PROJECT["license"]
    assert {"cff-version", "message", "title"} <= set(said) and "\nauthors:\n  - name: " in citation
    newest = re.search(r"^## (\S+?)[,\n]", CHAPTERS["changes"], re.MULTILINE)
    assert newest is not None and newest[1] == __version__
    assert f"language edition {EDITION}" in CHAPTERS["changes"].split("\n## ")[1]


def test_supported_pythons_are_those_that_the_project_asks_for() -> None:
    asked = SpecifierSet(PROJECT["requires-python"])
    assert PYTHONS == ["3.11", "3.12", "3.13", "3.14"]
    assert all(asked.contains(version) for version in PYTHONS) and not asked.contains("3.10")
    assert all(f"Python {version}" in CHAPTERS["installing"] for version in PYTHONS)


def test_nothing_shipped_is_without_a_license() -> None:
    """All that lies in the wheel is the project's own: no file in it speaks of another license or copyright."""
    files = [p for name in ("compiler/cavata", *DATA) for p in (ROOT / name).rglob("*") if p.is_file()]
    speaking = [p for p in files if p.suffix != ".pyc" and OTHER_LICENSES.search(p.read_text("utf-8", "replace"))]
    assert [p for p in speaking if f"`{p.relative_to(ROOT).as_posix()}`" not in CHAPTERS["licenses"]] == []
    assert (ROOT / "LICENSE").read_text("utf-8").lstrip().startswith("GNU GENERAL PUBLIC LICENSE")


def test_the_license_of_everything_that_comes_along_is_told() -> None:
    told = dict(re.findall(r"^\| `([\w.-]+)` \| ([^|]+?) \|", CHAPTERS["licenses"], re.MULTILINE))
    assert set(told) == ASKED
    for name, license in told.items():
        try:
            about = metadata.metadata(name)
        except metadata.PackageNotFoundError:
            continue
        classified = [c.rpartition(" :: ")[2] for c in about.get_all("Classifier", []) if c.startswith("License ::")]
        own = " ".join(filter(None, [about.get("License-Expression"), (about.get("License") or "")[:60], *classified]))
        family = license.replace("-", " ").split()[0].split(".")[0]
        assert not own or family.lower() in own.lower(), f"{name}: told {license}, says {own}"


# ------------------------------------------------------------------ what is installed


def _rows(table: str) -> list[list[str]]:
    """The rows of the table of the chapter that one run of the tool made, without its head and its rule."""
    made = CHAPTERS["installing"].partition(f"installing.py {table} -->\n")[2].partition("<!-- until here -->")[0]
    return [line.strip("| ").split(" | ") for line in made.splitlines() if line.startswith("| ")][2:]


def _light() -> set[str]:
    """The packages of the lighter installation, without Cavata itself."""
    shown = re.search(r"pip install --no-deps \. (.*?)```", CHAPTERS["installing"], re.DOTALL)
    assert shown is not None
    return {Requirement(word).name for word in shlex.split(shown[1].replace("\\\n", " "))}


def test_tables_of_the_registry_have_every_package_that_is_asked_for() -> None:
    listed = {Requirement(row[0].strip("`")).name for row in _rows("wheels") if row[0].startswith("`")}
    assert listed == ASKED


def test_a_lighter_installation_has_all_that_a_build_loads_and_that_cavata_asks_for() -> None:
    weighed = [row for row in _rows("weight")[:-1] if row[0] != "cavata"]
    optional = {"fonttools", "pillow"}  # loaded where they are there, and not missed
    assert {row[0] for row in weighed if row[-1] == "yes"} - optional <= _light() <= {row[0] for row in weighed}
    assert {row[0] for row in weighed if "cavata" in row[2].split(", ")} <= _light()


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="links stand in for an installation")
def test_a_lighter_installation_builds_and_reads(tmp_path: Path) -> None:
    """An environment in which nothing else is: pages but for engraving, MIDI, and a score of another program."""
    site = tmp_path / "site"
    site.mkdir()
    for name in _light():
        try:
            files = metadata.distribution(name).files or ()
        except metadata.PackageNotFoundError:
            continue  # what has no wheel for this machine
        shared = {"fluent"}  # a folder in which several packages lie
        tops = {"/".join(file.parts[: 2 if file.parts[0] in shared else 1]) for file in files}
        for top in tops - {"..", "__pycache__"}:
            (site / top).parent.mkdir(exist_ok=True)
            (site / top).symlink_to(Path(str(metadata.distribution(name).locate_file(top))))
    (tmp_path / "bach.cavata").write_text(SCRIPT, encoding="utf-8")
    paths = os.pathsep.join((str(ROOT / "compiler"), str(site)))
    environment = {**os.environ, "PYTHONPATH": paths, "CAVATA_CACHE": str(tmp_path / "cache")}
    for words in (["build", "bach.cavata", "--to", "ly,musicxml,midi"], ["trace", "BACH", "bach-only.musicxml"]):
        command = [sys.executable, "-S", "-m", "cavata", *words]
        run = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True)
        assert run.returncode == 0, run.stderr
    assert (tmp_path / "bach.mid").is_file() and "significant" in run.stdout


# ------------------------------------------------------------------ Pythons that are too old


@pytest.mark.parametrize("path", ["compiler/cavata/__main__.py", "compiler/cavata/__init__.py", "tests/run.py"])
def test_an_old_python_can_read_what_tells_it_so(path: str) -> None:
    text = (ROOT / path).read_text("utf-8")
    ast.parse(text, feature_version=(3, 6))
    assert "from __future__ import annotations" not in text, "which is newer than Python 3.6"


def test_an_old_python_is_told_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 8, 18, "final", 0))
    with pytest.raises(SystemExit) as told:
        runpy.run_path(str(ROOT / "compiler" / "cavata" / "__main__.py"))
    assert told.value.code == "Cavata needs Python 3.11 or later; this is Python 3.8"


@pytest.mark.parametrize("version", ["3.6", "3.8", "3.10"])
def test_that_python_itself_says_so(version: str) -> None:
    python = interpreter(version)
    if python is None:
        pytest.skip(f"Python {version} is not here")
    run = subprocess.run(
        [python, "-m", "cavata", "check"], env={**os.environ, "PYTHONPATH": str(ROOT / "compiler")},
        capture_output=True, text=True,
    )  # fmt: skip
    assert run.returncode == 1
    assert run.stderr == f"Cavata needs Python 3.11 or later; this is Python {version}\n"


# ------------------------------------------------------------------ the wheel and the source

builds = pytest.mark.skipif(find_spec("hatchling") is None, reason="hatchling, which builds both, is missing")


@pytest.fixture(scope="module")
def released(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a freshly built wheel and source; the checkout is not touched."""
    folder = tmp_path_factory.mktemp("released")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-t", "sdist", "-d", str(folder)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    return folder


@pytest.fixture(scope="module")
def unpacked(released: Path) -> Path:
    """A folder with the contents of the wheel."""
    (wheel,) = released.glob("cavata-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(released / "site")
    return released / "site"


def _kept(folder: Path) -> dict[str, bytes]:
    """Every file under a folder; what Python, a tool or a desktop leaves behind does not count."""
    found = {path.relative_to(folder): path for path in sorted(folder.rglob("*")) if path.is_file()}
    return {
        inside.as_posix(): path.read_bytes()
        for inside, path in found.items()
        if not any(part.startswith((".", "__pycache__")) for part in inside.parts)
        and not ("examples" in path.parts and inside.suffix in BUILT)
    }


@builds
@pytest.mark.slow
@pytest.mark.parametrize("name", DATA)
def test_wheel_has_the_data_of_the_tree(unpacked: Path, name: str) -> None:
    tree, wheel = _kept(ROOT / name), _kept(unpacked / "cavata" / name)
    assert sorted(wheel) == sorted(tree)
    assert wheel == tree


@builds
@pytest.mark.slow
def test_wheel_has_every_module_and_nothing_else(unpacked: Path) -> None:
    tree = _kept(ROOT / "compiler" / "cavata")
    in_wheel = _kept(unpacked / "cavata")
    wheel = {path: data for path, data in in_wheel.items() if path.split("/")[0] not in DATA}
    assert wheel == tree
    assert "py.typed" in wheel


@builds
@pytest.mark.slow
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


@builds
@pytest.mark.slow
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


@builds
@pytest.mark.slow
def test_a_message_is_explained_from_the_wheel(unpacked: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "cavata.cli.main", "why", "N204"],
        env={**os.environ, "PYTHONPATH": str(unpacked)},
        cwd=unpacked.parent, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert run.stdout == (ROOT / "grammar" / "messages" / "N204.md").read_text(encoding="utf-8")


NEEDED = ("lark", "mido", "packaging")
"""What a check and a MIDI file need, each a folder of Python alone, so that any interpreter may take this one's."""


@builds
@pytest.mark.slow
@pytest.mark.parametrize("version", PYTHONS)
def test_wheel_works_on_each_python(version: str, unpacked: Path, tmp_path: Path) -> None:
    """A MIDI file is made away from the checkout; what engraves is tried where the suite runs whole."""
    python = interpreter(version)
    if python is None:
        pytest.skip(f"Python {version} is not here")
    site = tmp_path / "site"
    site.mkdir()
    for name in NEEDED:
        found = find_spec(name)
        assert found is not None and found.origin is not None
        shutil.copytree(Path(found.origin).parent, site / name)
    (tmp_path / "bach.cavata").write_text(SCRIPT, encoding="utf-8")
    paths = os.pathsep.join(map(str, (unpacked, site)))

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        command = [python, "-S", "-W", "error::SyntaxWarning", "-m", "cavata", *words]
        environment = {**os.environ, "PYTHONPATH": paths, "CAVATA_CACHE": str(tmp_path / "cache")}
        return subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True)

    assert run("--version").stdout.startswith(f"cavata {__version__}, language edition {EDITION}, Python {version}.")
    done = run("build", "bach.cavata", "--to", "midi")
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "bach.mid").read_bytes()[:4] == b"MThd"


@builds
@pytest.mark.slow
def test_source_holds_all_of_which_the_wheel_is_made(released: Path, tmp_path: Path) -> None:
    (source,) = released.glob("cavata-*.tar.gz")
    with tarfile.open(source) as archive:
        archive.extractall(tmp_path, filter="data")
    tree = tmp_path / source.name.removesuffix(".tar.gz")
    for name in ("compiler/cavata", *DATA):
        assert _kept(tree / name) == _kept(ROOT / name)
    for name in ("pyproject.toml", "README.md", "LICENSE", "DEVELOPERS.md", "tests/run.py", "examples/README.md"):
        assert (tree / name).read_bytes() == (ROOT / name).read_bytes()
