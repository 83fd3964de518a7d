"""The script of a study's sheet: each reading on a piano staff, as it reads, backwards, upside down, and as a chord.

In: a study. Out: the text of a Cavata script, which is engraved like any piece; what stands on the sheet can be pasted
from it.
"""

from __future__ import annotations

from collections.abc import Iterator

from cavata.study.reading import Reading
from cavata.study.script_words import name_row, quoted, use_rows
from cavata.study.study import Study, reason
from cavata.study.text import cipher_text

_MOST_READINGS = 60


def study_script(study: Study) -> str:
    """The sheet as a script; each reading has a name of its own in it, with the reading's place in the order."""
    ranked = [(rank, r) for one in study.names for rank, r in enumerate(one.readings, start=1)][:_MOST_READINGS]
    rows = ["language 1", "", f"piece {quoted(' and '.join(one.name for one in study.names))}"]
    rows += ['    subtitle "as the ciphers read them"', "    show letters", "", *use_rows([r for _, r in ranked]), ""]
    rows += [_named(index, r) for index, (_, r) in enumerate(ranked)]
    rows += ["", "transform low(m) = m -> as chord -> within C2..D4", "", "forces", "    piano = piano"]
    for index, (rank, reading) in enumerate(ranked):
        rows += _movement(index, rank, reading)
    return "\n".join(rows) + "\n"


def _named(index: int, reading: Reading) -> str:
    return name_row(reading.name, reading.cipher.cipher.name).replace("name ", f"name reading{index}_", 1)


def _movement(index: int, rank: int, reading: Reading) -> Iterator[str]:
    word = _named(index, reading).split()[1]
    notes = len(reading.pitches)
    title = f"{rank}. {reading.name} by {cipher_text(reading)}"
    yield from ("", f"cadenza sheet{index} {quoted(title)}", "    key none")
    chord = f"{reading.chord}" if reading.chord else f"{reading.set_class.prime_text} ({reading.set_class.label})"
    forms = [word, f'{word} -> retrograde -> marked "backwards"']
    if reading.inversion is not None:
        forms.append(f'{word} -> inverted about {reading.pitches[0]} -> marked "upside down"')
    yield f"    section reason{index} {quoted(reason(reading))}"
    yield f"        piano.right: {', rest 1/2, '.join(forms)}"
    yield f"        piano.left:  {word} -> low -> lasting {notes}/4 -> marked {quoted(chord)}"
