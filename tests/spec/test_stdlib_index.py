"""The library's index is what its scripts say, and each of its definitions says what it is for."""

from __future__ import annotations

import pytest
from library_examples import divided, example_of
from make_stdlib_index import in_a_script, index_text, module
from reference import as_shown

from cavata.diagnostics import as_text
from cavata.instruments.table import instruments
from cavata.names.loader import standard_library
from cavata.names.program import Identity
from cavata.pipeline import compile_script
from cavata.resources import folder
from cavata.syntax import tree as t

INDEX = folder("stdlib") / "README.md"


def test_index_is_what_the_library_says(request: pytest.FixtureRequest) -> None:
    made = index_text()
    if request.config.getoption("--update"):
        INDEX.write_text(made, encoding="utf-8", newline="\n")
    assert INDEX.read_text(encoding="utf-8") == made, "stdlib/README.md is old: pytest --update"


def test_every_definition_has_a_remark_and_stands_in_the_index() -> None:
    """The remark is all that the index can say of it."""
    text = INDEX.read_text(encoding="utf-8")
    found = 0
    for name in standard_library().modules():
        for tree in module(name).declarations:
            if isinstance(tree, t.Cipher | t.Definition | t.OwnTransform):
                found += 1
                assert tree.remark.strip(), tree.name.text
                assert divided(tree.remark)[0] in text, tree.name.text
    assert found > 40


@pytest.mark.parametrize("name", standard_library().modules())
def test_every_definition_does_what_its_example_says(name: str) -> None:
    """`example:` in a remark is computed in a script that uses the definition, and its value compared."""
    for tree in module(name).declarations:
        if not isinstance(tree, t.Cipher | t.Definition | t.OwnTransform):
            continue
        example = example_of(tree)
        assert example is not None, f"{tree.name.text} shows no example"
        compiled = compile_script(INDEX.parent.parent / "shown.cavata", text=example.script(tree.name.text, name))
        assert not compiled.bag.ordered(), (tree.name.text, as_text(compiled.bag.ordered()))
        assert compiled.plan is not None
        value = compiled.plan.values[Identity(compiled.plan.main, "heard")]
        assert not example.claim or as_shown(value, example.claim) == example.claim, tree.name.text


def test_every_cipher_has_a_description() -> None:
    for tree in module("ciphers").declarations:
        if isinstance(tree, t.Cipher):
            assert tree.description, tree.name.text


def test_every_word_of_an_instrument_can_be_written_in_a_script() -> None:
    words = [in_a_script(word) for word in instruments()]
    assert all(f"`{word}`" in INDEX.read_text(encoding="utf-8") for word in words)
    for start in range(0, len(words), 100):
        rows = "".join(f"    part{n} = {word}\n" for n, word in enumerate(words[start : start + 100]))
        compiled = compile_script(INDEX.parent / "all.cavata", text=f"language 2\nforces\n{rows}")
        assert compiled.bag.ordered() == ()
        assert compiled.program is not None
        # The page calls it by these words; in all else it is the instrument of its row.
        found = [force.instrument.key for force in compiled.program.forces]
        assert found == [made.key for made in instruments().values()][start : start + 100]
