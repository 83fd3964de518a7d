"""What became of the mutants: a file of JSON lines, and the report made of it."""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from dataclasses import asdict, dataclass
from pathlib import Path

EQUIVALENT = Path(__file__).with_name("equivalent.toml")
OUTCOMES = ("noticed", "timed out", "equivalent", "survived", "not run by any test")


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one mutant."""

    key: str
    room: str
    file: str
    line: int
    function: str
    operator: str
    source: str
    changed: str
    outcome: str
    """`noticed`, `timed out`, `survived` or `not run by any test`."""
    seconds: float
    tests: int
    """How many tests were asked at most."""
    by: str
    """The test that noticed it."""


def kept(file: Path) -> dict[str, Result]:
    """The results that a file holds, by mutant."""
    if not file.exists():
        return {}
    lines = file.read_text("utf-8").splitlines()
    return {result.key: result for result in (Result(**json.loads(line)) for line in lines)}


def keep(file: Path, result: Result) -> None:
    """Add a result to the file."""
    with file.open("a", encoding="utf-8") as out:
        out.write(json.dumps(asdict(result), ensure_ascii=False) + "\n")


def equivalents() -> set[tuple[str, str, str, str]]:
    """File, line's text, operator and changed line of each mutant with a proof that it means the same."""
    listed = tomllib.loads(EQUIVALENT.read_text("utf-8")).get("mutant", [])
    for one in listed:
        if not str(one.get("proof", "")).strip():
            raise SystemExit(f"{EQUIVALENT.name}: no proof for {one}")
    return {(one["file"], one["source"], one["operator"], one.get("changed", "")) for one in listed}


def report(results: list[Result]) -> str:
    """Counts by room, and every survivor."""
    known = equivalents()
    rows: dict[str, Counter[str]] = {}
    survivors = []
    for result in results:
        outcome = result.outcome
        named = (result.file, result.source, result.operator)
        if outcome == "survived" and ((*named, "") in known or (*named, result.changed) in known):
            outcome = "equivalent"
        rows.setdefault(result.room, Counter())[outcome] += 1
        if outcome in ("survived", "not run by any test"):
            survivors.append((result, outcome))
    lines = ["| room | mutants | " + " | ".join(OUTCOMES) + " | share noticed |", "|---|" + "---:|" * 7]
    total: Counter[str] = Counter()
    for room, row in sorted(rows.items()):
        total += row
        lines.append(_row(room, row))
    lines.append(_row("all", total))
    if results:
        lines += ["", f"{sum(result.seconds for result in results) / len(results):.1f} s a mutant on the average"]
    for result, outcome in sorted(survivors, key=lambda one: (one[0].file, one[0].line)):
        told = "" if outcome == "survived" else f", {outcome}"
        lines += ["", f"{result.file}:{result.line} in {result.function or 'module'} ({result.operator}{told})"]
        lines += [f"- {result.source}", f"+ {result.changed}"]
    return "\n".join(lines) + "\n"


def _row(room: str, row: Counter[str]) -> str:
    count = sum(row.values())
    counted = count - row["equivalent"]
    noticed = row["noticed"] + row["timed out"]
    share = f"{100 * noticed / counted:.1f} %" if counted else ""
    return f"| {room} | {count} | " + " | ".join(str(row[outcome]) for outcome in OUTCOMES) + f" | {share} |"
