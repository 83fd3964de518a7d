"""The rows of a table that no other row beats.

A row beats another if it is at least as good in every column and better in one. Every column counts downwards: less is
better. Equal rows do not beat one another, so all of them stand.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray


def unbeaten(columns: Sequence[NDArray[np.float64]]) -> NDArray[np.intp]:
    """The numbers of the rows that nothing beats, rising; a table without rows gives none.

    What beats a row has the smaller sum, so of the rows that are left the one with the least sum is always unbeaten;
    it is taken out together with its equals and all that it beats. Numbers must be so coarse that sums keep their
    differences: counts, and values rounded to 1e-9.
    """
    left = np.arange(len(columns[0]))
    sums = np.sum(columns, axis=0)
    found: list[NDArray[np.intp]] = []
    while len(left):
        best = int(sums.argmin())
        better = np.zeros(len(left), np.bool_)
        equal = sums == sums[best]
        for column in columns:
            better |= column < column[best]
            equal &= column == column[best]
        found.append(left[equal])
        columns = [column[better] for column in columns]
        left, sums = left[better], sums[better]
    return np.sort(np.concatenate(found)) if found else left
