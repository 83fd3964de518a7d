"""The rules of performance give the figures that their sources give.

Each figure is that of a source, or computed by hand from its formula (`worked`): the research code of the Stockholm
group (rules part I and II, phrase arch, final ritard, punctuation, articulation rules of R. Bresin), which is read and
not copied; R. Bresin and G. U. Battel (2000), abstract; A. Friberg and J. Sundberg (1999), abstract, and the ritard as
H. Honing quotes it (2005); R. B. Dannenberg (2006). The printed tables of 1991 and 2006 were not seen.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest

from cavata.perform import rules
from cavata.perform.touch import STACCATISSIMO, STACCATO


def tempo_in_ritard(x: float, final: float, q: float = 3) -> float:
    """The sources give the tempo at a place, the rule the time up to it."""
    bit = 1e-6
    return 2 * bit / (rules.time_in_ritard(x + bit, final, q) - rules.time_in_ritard(x - bit, final, q))


@pytest.mark.parametrize(
    ("rule", "arguments", "figure", "within"),
    [
        # high loud, rules part II: 3 dB an octave (worked)
        (rules.high_loud, (12,), 3.0, 1e-9),
        (rules.high_loud, (3,), 0.75, 1e-9),
        (rules.high_loud, (-6,), -1.5, 1e-9),
        # duration contrast, rules part II: the curve, durations and levels (worked); 2.2 is called medium there
        *((rules.contrast, (ms,), figure, 0.005) for ms, figure in (
            (100, -4.53), (150, -7.76), (200, -11.0), (250, -10.0), (300, -9.0), (400, -7.0), (500, -3.5), (600, 0),
            (20, 0), (700, 0),
        )),
        (rules.contrast_time, (250,), -15.0, 0.005),
        (rules.contrast_time, (500,), -5.25, 0.005),
        (rules.contrast_time, (200, 2.2), -36.3, 0.005),
        (rules.contrast_level, (200,), -0.825, 0.0005),
        (rules.contrast_level, (500,), -0.2625, 0.0005),
        (rules.contrast_silence, (200,), 49.5, 0.005),
        (rules.contrast_silence, (500,), 15.75, 0.005),
        # double duration, rules part II (worked): 500 and 250 ms become 470 and 280
        (rules.double_duration, (250,), 30.0, 1e-9),
        # punctuation (worked)
        (rules.punctuation, (250,), 27.5, 0.005),
        (rules.punctuation, (400,), 40.0, 0.005),
        (rules.punctuation, (640,), 60.0, 0.005),
        (rules.punctuation, (2000,), 60.0, 0.005),
        # final ritard to a quarter and to a half of the tempo, q 3 and q 2 (worked)
        *((tempo_in_ritard, (x, 0.25), v, 0.0006) for x, v in (
            (0.25, 0.910), (0.5, 0.798), (0.75, 0.640), (1, 0.25),
        )),
        *((tempo_in_ritard, (x, 0.5), v, 0.0006) for x, v in (
            (0.25, 0.921), (0.5, 0.826), (0.75, 0.701), (1, 0.5),
        )),
        *((tempo_in_ritard, (x, 0.5, 2), v, 0.0006) for x, v in ((0.25, 0.901), (0.5, 0.791), (0.75, 0.661))),
        (rules.time_in_ritard, (1, 0.25), 1.4286, 0.0001),
        (rules.time_in_ritard, (1, 0.5), 1.2857, 0.0001),
        (rules.time_in_ritard, (1, 0.5, 2), 1.3333, 0.0001),
        # melodic charge, rules part I: fifths upward and downward from C
        *((rules.melodic_charge, (7 * fifths,), charge, 0) for fifths, charge in enumerate((0, 1, 2, 3, 4, 5, 6, 6.5))),
        *((rules.melodic_charge, (-7 * fifths,), charge, 0) for fifths, charge in enumerate((0, 2.5, 3.5, 4.5, 5.5))),
        (rules.melodic_level, (6.5,), 1.30, 1e-9),
        (rules.melodic_level, (6,), 1.20, 1e-9),
        (rules.melodic_share, (6.5,), 0.0433, 0.0001),
        (rules.melodic_share, (6,), 0.04, 1e-9),
        # harmonic charge, rules part I: I, V, IV, ii, II and flat II by the formula (worked) ...
        (rules.charge_of_tones, ((0, 4, 7),), 0.0, 1e-9),
        (rules.charge_of_tones, ((7, 11, 14),), 2.0, 1e-9),
        (rules.charge_of_tones, ((5, 9, 12),), 1.5, 1e-9),
        (rules.charge_of_tones, ((2, 5, 9),), 1.667, 0.001),
        (rules.charge_of_tones, ((2, 6, 9),), 4.0, 1e-9),
        (rules.charge_of_tones, ((1, 5, 8),), 7.0, 1e-9),
        # ... and by the table in use, which stands in the formula's place for triads
        (rules.harmonic_charge, ((7, 11, 14),), 1.5, 0),
        (rules.harmonic_charge, ((9, 12, 16),), 1.5, 0),
        (rules.harmonic_charge, ((11, 14, 17),), 5.0, 0),
        (rules.harmonic_level, (1.5,), 1.84, 0.005),
        (rules.harmonic_level, (4,), 3.0, 1e-9),
        (rules.harmonic_level, (7,), 3.97, 0.005),
        (rules.harmonic_time, (1000, 4, 3, False), 26.6 + 4.0, 0.1),
        (rules.harmonic_time, (1000, 4, 3, True), 26.6 + 4.0 + 16.0, 0.1),
        # slurs and staccato at the piano (worked), in milliseconds
        (rules.overlap, (250,), 36.0, 0.5),
        (rules.overlap, (500,), 59.0, 0.5),
        (rules.overlap, (750,), 67.0, 0.5),
        (rules.staccato, (500,), 500 - 167.5, 0.05),
        (rules.staccato, (100, 0.5), 100 - 56.4, 0.05),
        (rules.detached, (500,), 500 - 375, 1e-9),
        # measured at the piano, Bresin and Battel: a staccato sounds for 40 % of its time
        (rules.staccato, (100, STACCATO), 60.0, 0.05),
        (rules.staccato, (100, STACCATISSIMO), 75.0, 0.2),
        # square law of velocities, Dannenberg (worked): 3 dB from 64 upward and downward
        (rules.louder, (64, 3), 76, 0),
        (rules.louder, (64, -3), 54, 0),
        (rules.louder, (127, 6), 127, 0),
    ],
)  # fmt: skip
def test_rule_gives_the_published_figure(
    rule: Callable[..., float], arguments: tuple[object, ...], figure: float, within: float
) -> None:
    assert rule(*arguments) == pytest.approx(figure, abs=within)


def test_arch_over_nine_equal_notes() -> None:
    """The group's phrase arch, worked: nine notes of 500 ms, quantity and amplitude 1, turning at the fifth."""
    shares = [place / 8 for place in range(9)]
    durations = [500 * (1 + rules.arch(x, 0.5, *rules.ARCH_TIME)) for x in shares]
    levels = [rules.arch(x, 0.5, *rules.ARCH_LEVEL) for x in shares]
    assert durations == pytest.approx([550, 528.1, 512.5, 503.1, 500, 506.2, 525, 556.2, 600], abs=0.06)
    assert levels == pytest.approx([-0.5, -0.28, -0.13, -0.03, 0, -0.06, -0.25, -0.56, -1], abs=0.006)


@pytest.mark.parametrize(
    ("final", "q", "durations"),
    [(0.25, 3, (523, 585, 693, 1057)), (0.5, 3, (520, 572, 654, 825))],
)
def test_four_notes_in_a_final_ritard(final: float, q: float, durations: tuple[int, ...]) -> None:
    """Four notes of 500 ms that slow down to the end, worked from the ritard of Friberg and Sundberg."""
    times = [2000 * rules.time_in_ritard(place / 4, final, q) for place in range(5)]
    assert [after - before for before, after in pairwise(times)] == pytest.approx(durations, abs=0.6)
