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
from functools import cache
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
CHAPTER = ROOT / "grammar" / "installing.md"
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
EXTRAS = ("audio", "draft", "editor", "pictures")
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
        "--python-version", python, "--python-platform", platform, *registry(), *options, "-",
    ]  # fmt: skip
    done = subprocess.run(command, input=text, capture_output=True, text=True)
    return dict(re.findall(r"^([\w.-]+)==(\S+)", done.stdout, re.MULTILINE)) if done.returncode == 0 else None


# ---------------------------------------------------------------- wheels


def asked() -> tuple[list[Requirement], dict[str, list[Requirement]]]:
    """What the project needs, and what its extras add."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project["optional-dependencies"]
    return list(map(Requirement, project["dependencies"])), {n: list(map(Requirement, extras[n])) for n in EXTRAS}


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
    faults: list[str] = []
    whole, single = [], []
    for machine, (platform, system, processor) in MACHINES.items():
        cells = []
        for python in PYTHONS:
            text = "\n".join(plain(r) for r in needed if meant(r, python, system, processor))
            found = resolved(text, python, platform, False)
            how = "" if found else ", some from source"
            found = found or resolved(text, python, platform, True)
            if found is None:
                faults.append(f"{machine}, Python {python}: what the project asks for cannot be installed")
            cells.append("no" if found is None else f"{len(found)} packages{how}")
        whole.append((machine, *cells))
    everything = {r.name: r for group in (needed, *extras.values()) for r in group}
    for name, requirement in everything.items():
        cells = []
        for machine, (platform, system, processor) in MACHINES.items():
            there = [p for p in PYTHONS if resolved(plain(requirement), p, platform, False, "--no-deps") is not None]
            made = [p for p in PYTHONS if p not in there and name in PYTHON_ALONE]
            said = "yes" if len(there) == len(PYTHONS) else ", ".join(there) or "no"
            cells.append(f"{said}; {', '.join(made)} from source" if made else said)
            there += made
            faults += [
                f"{machine}, Python {p}: {r.name} is asked for and has no wheel" for group in (needed, *extras.values())
                for r in group if r.name == name for p in PYTHONS if p not in there and meant(r, p, system, processor)
            ]  # fmt: skip
        asking = [f"`{extra}`" for extra, group in extras.items() if any(r.name == name for r in group)]
        by = ["Cavata"] * any(r.name == name for r in needed) + asking
        single.append((f"`{plain(requirement)}`", ", ".join(by), *cells))
        print(*single[-1], sep="  ", flush=True)
    first = table(("machine", *(f"Python {python}" for python in PYTHONS)), whole)
    return f"{first}\n{table(('package', 'for', *MACHINES), single)}", faults


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
