"""What is installed, where, and what of it a build loads: the tables of `grammar/installing.md`, asked of a registry.

`python tests/bench/installing.py wheels` asks for a wheel of every dependency on every machine and every Python, and
compares the answers with the markers of `pyproject.toml`; the exit status is 1 where they differ. `... weight` installs
Cavata into an environment of its own, measures each package, and builds a piece in it to see what is loaded. With
`--write` each puts its table into the chapter.

Both need a network and `uv` (`pip install uv`), which resolves for machines that are not this one; the registry is the
one that `pip config` names, else the usual one. Nothing here is a test.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from itertools import product
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
CHAPTER = ROOT / "grammar" / "installing.md"
AT_ONCE = 8
"""Questions to the registry; most of the time of each is its way."""
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
MACHINES = {
    "Linux, Intel and AMD": ("x86_64-unknown-linux-gnu", "linux", "x86_64"),
    "Linux, ARM": ("aarch64-unknown-linux-gnu", "linux", "aarch64"),
    "macOS, Apple processors": ("aarch64-apple-darwin", "darwin", "arm64"),
    "macOS, Intel": ("x86_64-apple-darwin", "darwin", "x86_64"),
    "Windows, Intel and AMD": ("x86_64-pc-windows-msvc", "win32", "AMD64"),
}
"""Each with what uv calls it, and with what Python says there of its system and processor."""
PYTHON_ALONE = frozenset(["abjad"])
"""What an installer makes anywhere from its source, which has nothing to compile: early versions have no wheels."""
FOR_TESTS = "test"
"""The extra of which nobody but the tests makes use."""
DEMO = ROOT / "examples" / "three-watches" / "three-watches.cavata"

_LOADED = """
import importlib.metadata, json, sys
from cavata.cli.main import main
main(["build", sys.argv[1], "--out", sys.argv[2], "--fresh", "--to", "pdf,musicxml,midi", "--quiet"])
of = importlib.metadata.packages_distributions()
names = sorted({name for module in sys.modules for name in of.get(module.split(".")[0], ())})
print(json.dumps(names))
"""
_MEASURED = """
import importlib.metadata, json
found = {}
for one in importlib.metadata.distributions():
    files = [file.locate() for file in one.files or ()]
    size = sum(file.stat().st_size for file in files if file.is_file())
    found[one.metadata["Name"]] = [size, one.requires or []]
print(json.dumps(found))
"""


# ---------------------------------------------------------------- the registry


@cache
def registry() -> tuple[str, ...]:
    """The option by which uv asks the registry that pip asks."""
    listed = subprocess.run([sys.executable, "-m", "pip", "config", "list"], capture_output=True, text=True).stdout
    found = re.search(r"^\S*\.index-url='(.*)'$", listed, re.MULTILINE)
    return ("--default-index", found[1]) if found else ()


def resolved(text: str, python: str, platform: str, source: bool, *options: str) -> dict[str, str] | None:
    """Names and versions of what would be installed; None if something has no wheel and `source` does not count."""
    wheels_only = () if source else ("--only-binary", ":all:")
    command = [
        "uv", "pip", "compile", "--quiet", "--no-header", "--no-annotate", *wheels_only,
        "--python", sys.executable, "--no-python-downloads", "--python-version", python, "--python-platform", platform,
        *registry(), *options, "-",
    ]  # fmt: skip
    done = subprocess.run(command, input=text, capture_output=True, text=True)
    return dict(re.findall(r"^([\w.-]+)==(\S+)", done.stdout, re.MULTILINE)) if done.returncode == 0 else None


# ---------------------------------------------------------------- wheels


def asked() -> tuple[list[Requirement], dict[str, list[Requirement]]]:
    """What the project needs, and what its extras add."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = {name: list(map(Requirement, words)) for name, words in project["optional-dependencies"].items()}
    own = project["name"]

    def whole(extra: str) -> list[Requirement]:
        """With what the extras add that it names."""
        named = [more for r in extras[extra] if r.name == own for more in sorted(r.extras)]
        return [*(r for more in named for r in whole(more)), *(r for r in extras[extra] if r.name != own)]

    return list(map(Requirement, project["dependencies"])), {name: whole(name) for name in extras if name != FOR_TESTS}


def plain(requirement: Requirement) -> str:
    """The requirement wherever it is asked."""
    extras = f"[{','.join(sorted(requirement.extras))}]" if requirement.extras else ""
    return f"{requirement.name}{extras}{requirement.specifier}"


def meant(requirement: Requirement, python: str, system: str, machine: str) -> bool:
    """Whether the markers ask for it on a machine."""
    where = {"sys_platform": system, "platform_machine": machine, "python_version": python}
    return requirement.marker is None or requirement.marker.evaluate(where)


def wheels() -> tuple[str, list[str]]:
    """The tables, and what the markers say otherwise than the registry."""
    needed, extras = asked()
    with ThreadPoolExecutor(AT_ONCE) as pool:
        whole = dict(zip(_places(), pool.map(lambda place: _whole(needed, *place), _places()), strict=True))
        everything = {r.name: r for group in (needed, *extras.values()) for r in group}
        single = [(name, *place) for name in everything for place in _places()]
        there = dict(zip(single, pool.map(lambda one: _there(everything[one[0]], *one[1:]), single), strict=True))
    faults = [f"{m}, Python {p}: not everything can be had" for (m, p), found in whole.items() if not found]
    for group in (needed, *extras.values()):
        for requirement, (machine, python) in product(group, _places()):
            if meant(requirement, python, *MACHINES[machine][1:]) and there[requirement.name, machine, python] == "no":
                faults.append(f"{machine}, Python {python}: {requirement.name} is asked for and has no wheel")
    rows = [(machine, *(whole[machine, python] or "no" for python in PYTHONS)) for machine in MACHINES]
    first = table(("machine", *(f"Python {python}" for python in PYTHONS)), rows)
    more = []
    for name, requirement in everything.items():
        asking = [f"`{extra}`" for extra, group in extras.items() if any(r.name == name for r in group)]
        by = ", ".join(["Cavata"] * any(r.name == name for r in needed) + asking)
        more.append((f"`{plain(requirement)}`", by, *(_cell(name, machine, there) for machine in MACHINES)))
    return f"{first}\n{table(('package', 'for', *MACHINES), more)}", faults


def _places() -> list[tuple[str, str]]:
    """Every machine with every Python."""
    return list(product(MACHINES, PYTHONS))


def _whole(needed: Iterable[Requirement], machine: str, python: str) -> str:
    """How many packages an installation has there; empty where something cannot be had."""
    platform, *where = MACHINES[machine]
    text = "\n".join(plain(requirement) for requirement in needed if meant(requirement, python, *where))
    found = resolved(text, python, platform, False)
    if found:
        return f"{len(found)} packages"
    found = resolved(text, python, platform, True)
    return f"{len(found)} packages, some from source" if found else ""


def _there(requirement: Requirement, machine: str, python: str) -> str:
    """Whether a package can be had there by itself: yes, from source, or no."""
    if resolved(plain(requirement), python, MACHINES[machine][0], False, "--no-deps"):
        return "yes"
    return "from source" if requirement.name in PYTHON_ALONE else "no"


def _cell(name: str, machine: str, there: dict[tuple[str, str, str], str]) -> str:
    """What is said of a package on a machine, in as few words as can be."""
    by: dict[str, list[str]] = {}
    for python in PYTHONS:
        by.setdefault(there[name, machine, python], []).append(python)
    return next(iter(by)) if len(by) == 1 else "; ".join(f"{said} on {', '.join(p)}" for said, p in by.items())


# ---------------------------------------------------------------- weight


def weight(python: str) -> tuple[str, list[str]]:
    """The table of what an installation holds."""
    with tempfile.TemporaryDirectory() as folder:
        environment = Path(folder) / "environment"
        subprocess.run(["uv", "venv", "--quiet", "--python", python, environment], check=True)
        interpreter = environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
        install = ["uv", "pip", "install", "--quiet", "--python", interpreter, *registry(), ROOT]
        subprocess.run(install, check=True)
        settings = {**os.environ, "PYTHONPATH": "", "CAVATA_CACHE": f"{folder}/cache"}
        said = [
            subprocess.run([interpreter, "-c", *words], check=True, capture_output=True, text=True, env=settings).stdout
            for words in ([_MEASURED], [_LOADED, DEMO, f"{folder}/out"])
        ]
        found, loaded = json.loads(said[0]), set(json.loads(said[1]))
    return weight_table(found, loaded), []


def weight_table(found: dict[str, tuple[int, list[str]]], loaded: set[str]) -> str:
    """A row for each package, the heaviest first."""
    called = {canonical(name): name for name in found}
    wanted: dict[str, list[str]] = {name: [] for name in called}
    for name, (_, requires) in found.items():
        for other in {canonical(r.name) for r in map(Requirement, requires) if not r.marker or r.marker.evaluate()}:
            if other in wanted:
                wanted[other].append(name)
    rows = []
    for name, by in sorted(wanted.items(), key=lambda item: -found[called[item[0]]][0]):
        size = found[called[name]][0] / 1e6
        shown = f"{size:.0f}" if size >= 1 else "under 1"
        rows.append((called[name], shown, ", ".join(sorted(by)) or "you", "yes" if called[name] in loaded else ""))
    total = sum(size for size, _ in found.values()) / 1e6
    of_these = sum(found[name][0] for name in found if name in loaded) / 1e6
    count = sum(name in loaded for name in found)
    rows.append((f"{len(found)} packages", f"{total:.0f}", "", f"{count} of them, {of_these:.0f} MB"))
    return table(("package", "MB", "asked for by", "a build loads it"), rows)


def canonical(name: str) -> str:
    """The one spelling of a package's name."""
    return re.sub(r"[-_.]+", "-", name).lower()


# ----------------------------------------------------------------


def table(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A table in Markdown."""
    head = tuple(head)

    def lines() -> Iterator[str]:
        for row in (head, ["---"] * len(head), *rows):
            yield f"| {' | '.join(row)} |\n"

    return "".join(lines())


def main() -> int:
    """Make a table; 1 if the markers do not say what the registry has."""
    reading = argparse.ArgumentParser(description=(__doc__ or "").split("\n", 1)[0])
    reading.add_argument("what", choices=("wheels", "weight"))
    reading.add_argument("--python", default="3.11", help="with `weight`: the Python to install it for")
    reading.add_argument("--write", action="store_true", help="put the table into the chapter")
    given = reading.parse_args()
    made, faults = wheels() if given.what == "wheels" else weight(given.python)
    print(made)
    if given.write:
        begin, end = f"<!-- made by tests/bench/installing.py {given.what} -->\n", "<!-- until here -->\n"
        head, _, rest = CHAPTER.read_text("utf-8").partition(begin)
        CHAPTER.write_text(f"{head}{begin}\n{made}\n{end}{rest.partition(end)[2]}", "utf-8", newline="\n")
    print(*faults, sep="\n", file=sys.stderr)
    return int(bool(faults))


if __name__ == "__main__":
    raise SystemExit(main())
