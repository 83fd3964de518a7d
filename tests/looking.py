"""What is found of a short script, for the tests of all families."""

from __future__ import annotations

from textwrap import dedent, indent

from compiling import score_from

from cavata.diagnostics import Diagnostics
from cavata.playing import compass
from cavata.playing.finding import Degree, Finding
from cavata.playing.line import PlayerLine, Timing, player_lines
from cavata.playing.playing import findings, report_impossible
from cavata.playing.profile import PROFESSIONAL, Profile
from cavata.score.score import Score


def score_of(forces: str, rows: str, settings: str = "") -> Score:
    """The score of one movement: rows of its forces, of its settings and of its lines, each without its indentation."""
    blocks = (("forces", forces), ("movement first", f"{settings}\n{rows}"))
    script = "language 2\n" + "".join(f"{head}\n{indent(dedent(body), '    ')}\n" for head, body in blocks)
    return score_from(script)


def found(forces: str, rows: str, settings: str = "", profile: Profile = PROFESSIONAL) -> list[Finding]:
    """Everything that is found of it, in order."""
    return [finding for _, _, finding in findings(score_of(forces, rows, settings), profile)]


def told(forces: str, rows: str, settings: str = "", profile: Profile = PROFESSIONAL) -> list[tuple[str, str]]:
    """The degree and the kind of each, in words."""
    return [(each.degree.value, each.kind.word) for each in found(forces, rows, settings, profile)]


def line_of(forces: str, rows: str, settings: str = "") -> PlayerLine:
    """The line of the first part."""
    score = score_of(forces, rows, settings)
    movement = score.movements[0]
    return next(iter(player_lines(score.parts[0], movement, movement.staves[0], Timing(movement))))


def checked(forces: str, rows: str, settings: str = "") -> set[str]:
    """The codes in which a check tells what cannot be played."""
    bag = Diagnostics()
    report_impossible(score_of(forces, rows, settings), bag)
    return {each.code for each in bag.ordered()}


def impossible_codes(forces: str, rows: str, settings: str = "") -> set[str]:
    """The codes of all that is found of the first degree, but for ranges: a check must tell just these."""
    told = found(forces, rows, settings)
    return {each.kind.code for each in told if each.degree is Degree.IMPOSSIBLE and each.kind not in compass.KINDS}
