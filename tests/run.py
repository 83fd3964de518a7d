"""Install Cavata with its test tools and run the tests, on Python 3.11 and on the newest later one.

Needs only the Python that runs it: `python3 tests/run.py`. Each interpreter gets an environment
of its own beside the checkout's files (`.venv-test-3.11` ...). Arguments go on to pytest.

The Python that runs this may be an older one, which looks for the others: nothing here is newer than Python 3.6.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
OLDEST, LATER = "3.11", ("3.14", "3.13", "3.12")


def interpreter(version: str) -> "str | None":
    """A working interpreter of that version: this one, on the path, or one that pyenv keeps."""
    candidates = [sys.executable] if sys.version.startswith(version + ".") else []
    on_path = shutil.which(f"python{version}")
    candidates += [on_path] if on_path else []
    kept = Path(os.environ.get("PYENV_ROOT", Path.home() / ".pyenv")) / "versions"
    candidates += [str(path / "bin" / "python") for path in sorted(kept.glob(f"{version}.*"), reverse=True)]
    for candidate in candidates:
        try:
            asking = [candidate, "-c", "import sys, venv; print(sys.version)"]
            said = subprocess.check_output(asking, stderr=subprocess.DEVNULL).decode()
        except (OSError, subprocess.CalledProcessError):
            continue
        if said.startswith(version + "."):
            return candidate
    return None


def environment(python: str, version: str) -> Path:
    """An environment with Cavata and its test tools in it."""
    folder = ROOT / f".venv-test-{version}"
    binaries = folder / ("Scripts" if os.name == "nt" else "bin")
    subprocess.run([python, "-m", "venv", str(folder)], check=True)
    installer = [str(binaries / "python"), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    subprocess.run([*installer, "--editable", f"{ROOT}[test]"], check=True)
    return binaries / "python"


def main() -> int:
    """Run the suite on every interpreter; the exit status of the first that fails."""
    later = ((version, interpreter(version)) for version in LATER)
    chosen = [(OLDEST, interpreter(OLDEST)), next((pair for pair in later if pair[1]), ("", None))]
    usable = [(version, python) for version, python in chosen if python]
    if not usable:
        here = ".".join(map(str, sys.version_info[:2]))
        print(f"Cavata needs Python 3.11 or later, and only Python {here} was found", file=sys.stderr)
        return 1
    # Hundreds of processes are started: what Python compiles for one of them is there for all.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    for version, python in usable:
        print(f"== Python {version}: installing what the tests need, then types, style and tests", flush=True)
        runner = str(environment(python, version))
        types = None
        if version == usable[0][0]:
            found = subprocess.run([runner, "-m", "ruff", "check"], cwd=str(ROOT)).returncode
            if found:
                return found
            # One process, which would leave the other processors idle: beside the tests.
            types = subprocess.Popen([runner, "-m", "mypy"], cwd=str(ROOT), stdout=subprocess.PIPE)
        found = subprocess.run([runner, "-m", "pytest", *sys.argv[1:]], cwd=str(ROOT)).returncode
        if types:
            print(types.communicate()[0].decode(), end="", flush=True)
        found = found or (types.returncode if types else 0)
        if found:
            return found
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
