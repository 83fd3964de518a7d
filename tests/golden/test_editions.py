"""Scripts of an edition keep their pitches, onsets and origins for ever; the folders' `README.md` say what that means.

Those of edition 1 are read by this compiler once they are renewed; what they mean was written by the compiler that
read edition 1 itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cavata.cli.renew import renewed
from cavata.diagnostics import Diagnostics, Severity, as_text
from cavata.music.event import Head, Origin
from cavata.pipeline import compile_script
from cavata.score.score import Score

FIRST, SECOND = (Path(__file__).parent / name for name in ("edition-1", "edition-2"))


def scripts(folder: Path) -> list[Path]:
    return sorted(folder.glob("*.cavata"))


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


def without_words(line: str) -> str:
    """A line of a meaning without the words of the script: onset, duration, pitches and letters stay."""
    heads = (head.split(" | ") for head in line.split(" ; "))
    return " ; ".join(" | ".join([pitch, *map(_letter, origins)]) for pitch, *origins in heads)


def _letter(origin: str) -> str:
    """The name, place, sign and cipher, with which an origin begins if a letter gave the note."""
    first = origin.split(" > ")[0]
    words = first.split()
    return first if len(words) == 4 and words[1].isdigit() and words[2].isupper() else ""


def compiled(script: Path, text: str) -> Score:
    made = compile_script(script, text=text)
    assert not [d for d in made.bag.ordered() if d.severity is Severity.ERROR], as_text(made.bag.ordered())
    assert made.score is not None
    return made.score


@pytest.mark.parametrize("script", scripts(SECOND), ids=lambda path: path.stem)
def test_script_of_edition_2_keeps_its_meaning(script: Path) -> None:
    text = script.read_text("utf-8")
    assert "language 2\n" in text
    made = "".join(f"{line}\n" for line in meaning(compiled(script, text)))
    kept = script.with_suffix(".txt")
    if not kept.exists():
        kept.write_text(made, "utf-8", newline="\n")
        pytest.fail(f"{kept.name} was not there and has been written; read it, and keep it as it is for ever")
    assert made.splitlines() == kept.read_text("utf-8").splitlines()


@pytest.mark.parametrize("script", scripts(FIRST), ids=lambda path: path.stem)
def test_script_of_edition_1_keeps_its_notes_when_it_is_renewed(script: Path) -> None:
    assert "language 1\n" in script.read_text("utf-8")
    bag = Diagnostics()
    text = renewed([script], bag)[script]
    assert bag.is_empty
    kept = script.with_suffix(".txt").read_text("utf-8").splitlines()
    assert list(map(without_words, meaning(compiled(script, text)))) == list(map(without_words, kept))


def test_there_are_scripts() -> None:
    assert len(scripts(FIRST)) >= 5 and len(scripts(SECOND)) >= 5
