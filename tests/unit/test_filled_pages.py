"""How far down the pages of a score are filled, by where the engraved staff lines lie.

Source of the measure: what was asked of a full page, its lowest staff line at 85 % of the paper's height or below; the
last page of a movement has what is left.
"""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from compiling import score_from
from pypdf import PageObject, PdfReader

from cavata.edition.copies import full_score
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Engraving
from cavata.pipeline import written

FILLED = 0.85
PIECE = 'piece "P"\n    title page none\n'
QUARTET = ("violin", "violin", "viola", "cello")
TEN = ("flute", "oboe", "clarinet", "bassoon", "horn", *QUARTET, "double bass")


def lowest_staff_line(page: PageObject) -> float:
    """The lowest line that is longer than half the page, as a part of its height from the top."""
    width, height = float(page.mediabox.width), float(page.mediabox.height)
    lines: list[float] = []
    begun = [0.0, 0.0]

    def draws(operator: Any, operands: Any, cm: Any, _: Any) -> None:
        if operator == b"m":
            begun[:] = map(float, operands)
        elif operator == b"l":
            x, y = map(float, operands)
            if abs(x - begun[0]) * abs(cm[0]) > width / 2 and abs(y - begun[1]) * abs(cm[3]) < 0.1:
                lines.append(float(cm[3] * y + cm[5]))

    page.extract_text(visitor_operand_before=draws)
    return 1 - min(lines) / height


@pytest.mark.slow
@pytest.mark.parametrize(("instruments", "bars"), [(QUARTET, 64), (TEN, 40)])
def test_pages_are_filled_to_their_foot(instruments: tuple[str, ...], bars: int) -> None:
    forces = "".join(f"    p{number} = {words}\n" for number, words in enumerate(instruments))
    low = {"bassoon", "cello", "double bass"}
    music = "".join(
        f"    p{number}: notes(1/4 C4 E4 G4 E4){' -> down P8' if words in low else ''} x {bars}\n"
        for number, words in enumerate(instruments)
    )
    page = written(full_score(score_from(f"language 2\n{PIECE}forces\n{forces}movement one\n{music}")))
    made = engrave(lilypond_text(page), frozenset({"pdf"}))
    assert isinstance(made, Engraving), made
    *full, last = map(lowest_staff_line, PdfReader(BytesIO(made.files[0].data)).pages)
    assert len(full) >= 2 and min(full) >= FILLED
    assert last <= max(full)
