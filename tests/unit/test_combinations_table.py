"""The table of combinations: what a script may write reaches a parameter of the function, and none waits in vain."""

from __future__ import annotations

from inspect import Parameter, signature

import pytest

from cavata.transforms.table import COMBINATIONS, Combination


@pytest.mark.parametrize("row", COMBINATIONS.values(), ids=COMBINATIONS)
def test_every_argument_of_a_combination_has_its_parameter(row: Combination) -> None:
    parameters = signature(row.apply).parameters
    assert {*row.operands, *row.clauses.values(), *row.options} == set(parameters)
    needed = {name for name, parameter in parameters.items() if parameter.default is Parameter.empty}
    assert needed == {*row.operands, *(row.clauses[pattern] for pattern in row.needs)}
