"""Scripts of edition 1 keep their pitches, onsets and origins for ever; `edition-1/README.md` says what that means."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cavata.diagnostics import Severity, as_text
from cavata.music.event import Head, Origin
from cavata.pipeline import compile_script
from cavata.score.score import Score

FOLDER = Path(__file__).parent / "edition-1"
SCRIPTS = sorted(FOLDER.glob("*.cavata"))


def meaning(score: Score) -> Iterator[str]:
    """A line for every note: onset, duration, pitch, and after a bar what it remembers."""
    for movement in score.movements:
        yield f"{movement.name}: {movement.duration}"
        for part, staves in zip(score.parts, movement.staves, strict=True):
            for staff in staves:
                yield f"  {part.name}.{staff.name}".rstrip(".")
                for placed in (e for voice in staff.voices for e in voice):
                    heads = " ; ".join(_head(head) for head in placed.event.heads)
                    yield f"    {placed.onset} {placed.event.duration} {heads}"


def _head(head: Head) -> str:
    return " | ".join([str(head.pitch), *map(_origin, head.origins)])


def _origin(origin: Origin) -> str:
    letter = origin.letter
    said = [f"{letter.name} {letter.position} {letter.text} {letter.cipher}"] if letter else []
    last = [*([origin.inflection] if origin.inflection else []), *origin.steps, str(origin.span.line)]
    return " > ".join([*said, *last])


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_script_of_edition_1_keeps_its_meaning(script: Path) -> None:
    assert "language 2\n" in script.read_text("utf-8")
    compiled = compile_script(script)
    assert not [d for d in compiled.bag.ordered() if d.severity is Severity.ERROR], as_text(compiled.bag.ordered())
    assert compiled.score is not None
    made = "".join(f"{line}\n" for line in meaning(compiled.score))
    kept = script.with_suffix(".txt")
    if not kept.exists():
        kept.write_text(made, "utf-8", newline="\n")
        pytest.fail(f"{kept.name} was not there and has been written; read it, and keep it as it is for ever")
    assert made.splitlines() == kept.read_text("utf-8").splitlines()


def test_there_are_scripts() -> None:
    assert len(SCRIPTS) >= 5
