"""Words over a tempo that say a change and make none.

In: a row of tempo. A player slows down at `"rit."`, and nothing else does: the sound, the timings and a rehearsal go on
as before. So such words are told, with the row that changes the tempo too. Source of the words: common practice.
"""

from __future__ import annotations

import re

from cavata.diagnostics import Diagnostics
from cavata.syntax import tree as t

_CHANGE = re.compile(
    r"\b(rit|ritard\w*|riten\w*|rall\w*|accel\w*|stringendo|allarg\w*|broadening|pressing on|slowing|speeding up"
    r"|langsamer werden\w*|breiter werden\w*|schneller werden\w*|drängend|beschleunig\w*|en élargissant|en pressant"
    r"|ralenti\w*|cédez)\b", re.IGNORECASE,
)  # fmt: skip
_BACK = re.compile(r"(a|im) tempo( primo| i)?|tempo (primo|i)|wieder im tempo|au mouvement", re.IGNORECASE)


def report_words_alone(row: t.TempoRow, bag: Diagnostics) -> None:
    """Warn of words that say a change of tempo where the row changes none: who counts on it hears the old speed."""
    if row.beat is not None or row.back or not row.words:
        return
    if _BACK.fullmatch(row.words.strip(" .()")):
        cure = f'write `back in tempo, "{row.words}"`'
    elif _CHANGE.search(row.words):
        cure = f'say where it leads: `"{row.words}" to 1/4 at 48 over 2 bars`'
    else:
        return
    bag.warning("N841", row.span, "these words alone change no tempo", label="it goes on as before", cure=cure)
