"""The names before the staves: those that were asked for, and a soloist's beside others with his instrument.

Source: common practice.
"""

from __future__ import annotations

import pytest
from compiling import score_from

from cavata.edition.copies import full_score
from cavata.text import plain_text

MUSIC = "movement one\n    a: notes(1/4 C4)\n"


def names(forces: str, language: str = "") -> list[tuple[str, str]]:
    """Each part's name and its short form; `forces` are instruments, one a part."""
    rows = "".join(f"    {name} = {words}\n" for name, words in zip("abcdef", forces.split("; "), strict=False))
    piece = f'piece "P"\n    names in {language}\n' if language else ""
    made = full_score(score_from(f"language 2\n{piece}forces\n{rows}{MUSIC}"))
    return [(part.label, part.abbreviation) for part in made.parts]


@pytest.mark.parametrize(
    ("asked", "printed"),
    [
        ("English horn", ("English horn", "E. Hn.")),
        ("cor anglais", ("Cor anglais", "C. A.")),
        ("cors anglais", ("Cors anglais", "C. A.")),
        ("violoncellos", ("Violoncellos", "Vc.")),
        ("cellos", ("Cellos", "Vc.")),
        ("contrabasses", ("Contrabasses", "Cb.")),
        ("tenor horn", ("Tenor horn in E♭", "T. Hn. (E♭)")),
        ("clarinet in Bb", ("Clarinet in B♭", "Cl. (B♭)")),
        ("French horn", ("Horn in F", "Hn. (F)")),
    ],
)
def test_an_instrument_is_called_as_the_script_calls_it(asked: str, printed: tuple[str, str]) -> None:
    assert names(asked) == [printed]


def test_soloist_beside_a_section_is_called_so_and_not_counted_with_it() -> None:
    made = names("viola, soloist; clarinet, soloist; clarinet; clarinet; violas")
    assert made == [
        ("Solo Viola", "Solo Vla."), ("Solo Clarinet in B♭", "Solo Cl. (B♭)"),
        ("Clarinet I in B♭", "Cl. I (B♭)"), ("Clarinet II in B♭", "Cl. II (B♭)"), ("Violas", "Vla."),
    ]  # fmt: skip
    assert names("violin, soloist; violin, soloist; violins")[:2] == [
        ("Solo Violin I", "Solo Vln. I"), ("Solo Violin II", "Solo Vln. II"),
    ]  # fmt: skip
    assert names("viola, soloist; violin")[0] == ("Viola", "Vla.")
    assert names("viola, soloist; violas", "Italian")[0][0] == "Viola solo"


def test_a_staff_of_a_soloist_and_others_has_the_name_of_each() -> None:
    rows = "    a = flute\n    b = flute, soloist\n    c = flute\n"
    made = full_score(score_from(f"language 2\nforces\n{rows}staff flutes = a, b, c\n{MUSIC.replace('C4', 'C5')}"))
    assert [(part.label, part.abbreviation) for part in made.parts] == [
        ("Flute I, Solo Flute, Flute II", "Fl. I, Solo Fl., Fl. II")
    ]
    (event,) = made.movements[0].staves[0][0].voices[0]
    assert event.event.marks.who == "Fl. I"


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("The Keeper's Stair", "The Keeper’s Stair"),
        ('for "all" of them', "for “all” of them"),
        ("'quoted'", "‘quoted’"),
        ("the '90s", "the ’90s"),
        ("\"it's 5\" (\"so\")", "“it’s 5” (“so”)"),
        ("5' 30\"", "5' 30\""),
        ("„so“ «or» ’so’", "„so“ «or» ’so’"),
    ],
)  # fmt: skip
def test_apostrophes_and_quotes_are_those_of_print(typed: str, printed: str) -> None:
    assert plain_text(typed) == printed
