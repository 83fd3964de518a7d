"""Strengths are what they say: under the null model the probabilities are uniform."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from fractions import Fraction

import pytest
from trace_lines import line, line_of_keys, score

from cavata.music.pitch import Pitch
from cavata.trace.chance import NullModel, at_least
from cavata.trace.find import find_lines, segments
from cavata.trace.heard import HeardLine, HeardNote, HeardScore
from cavata.trace.hits import Closeness, Spacing
from cavata.trace.subject import Form, subject_of_notes
from cavata.trace.trace import Freedom, trace

pytestmark = pytest.mark.slow

STEPS = {-11: 2, -5: 2, -4: 2, -3: 4, -2: 13, -1: 12, 0: 9, 1: 12, 2: 12, 3: 5, 4: 2, 5: 3, 7: 1, 9: 3, 11: 2}
"""Steps as a chorale has them, roughly, and some sixths and sevenths, so that names come in other octaves too."""
DSCH = subject_of_notes("D Eb C B")


def random_piece(chance: random.Random, lines: int = 4, notes: int = 150) -> HeardScore:
    made = []
    for number in range(lines):
        keys = [chance.randrange(55, 67)]
        for step in chance.choices(list(STEPS), list(STEPS.values()), k=notes - 1):
            keys.append(keys[-1] + step)
        # Moved as a whole to where all of it has key numbers; its steps stay.
        made.append(line_of_keys([key - min(keys) + 24 + keys[0] % 12 for key in keys], f"Part {number}"))
    return score(*made)


def probabilities(
    expected: Callable[[NullModel], float], counted: Callable[[HeardScore], int], pieces: int, seed: int
) -> list[float]:
    """For each random piece the chance of as many hits, made continuous by dividing the last step at random."""
    chance = random.Random(seed)
    found = []
    for _ in range(pieces):
        piece = random_piece(chance)
        model = NullModel(tuple(segment.notes for segment in segments(piece)))
        k, mean = counted(piece), expected(model)
        found.append(at_least(k + 1, mean) + chance.random() * (at_least(k, mean) - at_least(k + 1, mean)))
    return sorted(found)


def distance_from_uniform(values: list[float]) -> float:
    """Kolmogorov's statistic."""
    n = len(values)
    return max(max((i + 1) / n - v, v - i / n) for i, v in enumerate(values))


def counter(closeness: tuple[Closeness, ...], spacing: Spacing) -> Callable[[HeardScore], int]:
    return lambda piece: sum(
        hit.kind.form is Form.PRIME and hit.kind.spacing is spacing and hit.kind.closeness in closeness
        for hit in find_lines(piece, DSCH)
    )


@pytest.mark.parametrize(
    ("expected", "closeness", "spacing"),
    [
        (lambda m: m.expected_line(DSCH.steps), (Closeness.AT_PITCH, Closeness.TRANSPOSED), Spacing.ADJACENT),
        (
            lambda m: m.expected_line(DSCH.steps, 1, True),
            (Closeness.AT_PITCH, Closeness.TRANSPOSED, Closeness.OCTAVES),
            Spacing.ADJACENT,
        ),
        (
            lambda m: m.expected_line(DSCH.steps, 2) + m.expected_line(DSCH.steps, 3),
            (Closeness.AT_PITCH, Closeness.TRANSPOSED),
            Spacing.WOVEN,
        ),
    ],
    ids=["transposed", "octaves changed", "woven"],
)
def test_probabilities_are_uniform_on_random_lines(
    expected: Callable[[NullModel], float], closeness: tuple[Closeness, ...], spacing: Spacing
) -> None:
    """Kolmogorov's test on 200 random pieces; 99 of 100 uniform samples stay below 1.63 over the root (from tables)."""
    found = probabilities(expected, counter(closeness, spacing), 200, seed=7)
    assert distance_from_uniform(found) < 1.63 / math.sqrt(len(found))


def test_a_hit_that_was_put_there_is_seen_as_such() -> None:
    """Five more statements than chance gives leave the uniform far behind; else the test above could not fail."""
    chance = random.Random(3)
    found = []
    for _ in range(60):
        piece = random_piece(chance, lines=3)
        planted = line("D4 Eb4 C4 B3 " * 5, "Planted")
        whole = score(*piece.lines, planted)
        model = NullModel(tuple(segment.notes for segment in segments(whole)))
        count = counter((Closeness.AT_PITCH, Closeness.TRANSPOSED), Spacing.ADJACENT)(whole)
        found.append(at_least(count, model.expected_line(DSCH.steps)))
    assert distance_from_uniform(sorted(found)) > 1.63 / math.sqrt(len(found))
    assert sorted(found)[len(found) // 2] < 0.05


def test_expected_number_is_the_mean_of_what_is_counted() -> None:
    """At pitch, too: the mean over random pieces lies within four standard errors of the expected number."""
    chance = random.Random(11)
    counted = expected = 0.0
    for _ in range(150):
        piece = random_piece(chance)
        model = NullModel(tuple(segment.notes for segment in segments(piece)))
        expected += model.expected_line(DSCH.steps) * model.classes.get(2, 0.0)
        counted += counter((Closeness.AT_PITCH,), Spacing.ADJACENT)(piece)
    assert expected > 5
    assert abs(counted - expected) < 4 * math.sqrt(expected)


SPELLED = {(0, 0): 6, (1, 1): 8, (1, 2): 14, (6, 11): 8, (6, 10): 14, (2, 3): 4, (2, 4): 4, (5, 9): 4, (5, 8): 4}
"""Steps of the staff with their semitones, octaves left out."""


def random_spelled_piece(chance: random.Random, lines: int = 4, notes: int = 150) -> HeardScore:
    """Lines of the null model itself: each step of the staff with its semitones drawn by itself. Accidentals may pile
    up, which no page has; it is the arithmetic that is tried here."""
    made = []
    for number in range(lines):
        pitch = Pitch(chance.randrange(28, 35), 0)
        found = [pitch]
        for steps, semitones in chance.choices(list(SPELLED), list(SPELLED.values()), k=notes - 1):
            down = steps > 3
            position = pitch.position + steps - 7 * down
            midi = pitch.midi + semitones - 12 * down
            pitch = Pitch(position, midi - Pitch(position, 0).midi)
            found.append(pitch)
        heard = (HeardNote(Fraction(n, 4), Fraction(1, 4), (p,), "1") for n, p in enumerate(found))
        made.append(HeardLine(f"Part {number}", 1, tuple(heard)))
    return score(*made)


@pytest.mark.parametrize(("notes", "most"), [("D Eb C B", 1), ("C D E F E D", 2)])
def test_expected_number_of_moved_and_inflected_hits_is_their_mean(notes: str, most: int) -> None:
    subject, chance = subject_of_notes(notes), random.Random(17)
    counted = expected = 0.0
    letters = tuple(pitch.pitch_class for pitch in subject.pitches)
    for _ in range(120):
        piece = random_spelled_piece(chance)
        model = NullModel(tuple(segment.notes for segment in segments(piece)))
        expected += model.expected_moved_inflected(letters, most)
        counted += sum(
            hit.kind.closeness is Closeness.MOVED_INFLECTED and hit.kind.form is Form.PRIME
            for hit in find_lines(piece, subject)
        )
    assert expected > 20
    assert abs(counted - expected) < 4 * math.sqrt(expected)


@pytest.mark.parametrize(
    ("found", "expected", "probability"),
    [(0, 2.0, 1.0), (1, 1.0, 1 - math.exp(-1)), (2, 1.0, 1 - 2 * math.exp(-1)), (3, 0.5, 0.014387677966970713)],
)
def test_tail_of_poisson(found: int, expected: float, probability: float) -> None:
    """Source: the distribution's own formula; the last from tables of P(X >= 3) at mean 1/2, .0144."""
    assert math.isclose(at_least(found, expected), probability, rel_tol=1e-12)


def test_small_tails_keep_their_digits() -> None:
    """The leading term of P(X >= 7) at a mean of 1e-5 is (1e-5)^7 / 7!."""
    assert math.isclose(at_least(7, 1e-5), 1e-35 / math.factorial(7), rel_tol=1e-4)


def test_closer_hits_count_for_looser_kinds() -> None:
    """Two at pitch and one transposed make three of the transposed kind."""
    heard = score(line("D4 Eb4 C4 B3 G5 D4 Eb4 C4 B3 G5 E4 F4 D4 C#4"))
    found = [w for w in trace([heard], [DSCH], Freedom(together=False)) if w.hit.kind.form is Form.PRIME]
    assert [(w.hit.kind.closeness, w.chance.found) for w in found] == [
        (Closeness.AT_PITCH, 2), (Closeness.AT_PITCH, 2), (Closeness.TRANSPOSED, 3),
    ]  # fmt: skip
