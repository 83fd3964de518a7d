"""The rules of strict counterpoint in two parts, and the judge that goes through them.

In: two lines with exact onsets and spelled pitches, and options. Out: every fault and license with its rule and notes.
A rule is hard where Fux himself never breaks it in the 39 two-part exercises of the Gradus that were counted (the open
data set Species Counterpoint, DOI 10.5281/zenodo.15450144); what he breaks, however seldom, is a license, and so is
what only some schools forbid. In free imitation some rules are licenses that the species keep.

Sources, by their words in the table: Fux: J. J. Fux, Gradus ad Parnassum (1725), as counted there. Grove: "Strict
Counterpoint", in A Dictionary of Music and Musicians 3 (1883). Lehmann: F. J. Lehmann, A Treatise on Simple
Counterpoint in Forty Lessons (1907). Jeppesen: K. Jeppesen, Counterpoint (1931), and Salzer: F. Salzer and C.
Schachter, Counterpoint in Composition (1969), both from memory. School: textbooks after Fux, without one source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache, partial

from cavata.combine.strict import dissonance, form, melody, motion
from cavata.combine.strict.scene import Note, Options, Scene, scene_of
from cavata.music.pitch import Pitch
from cavata.record import record

HARD, LICENSE = "hard", "license"


@record
class Rule:
    """One rule, in the species for which it holds."""

    name: str
    degree: str
    """HARD or LICENSE."""
    species: frozenset[int]
    find: Callable[[Scene], Iterator[tuple[Note, ...]]]
    source: str
    means: str
    """In a sentence."""
    melodic: bool = False
    """It looks at one line alone."""


@record
class Fault:
    """A rule broken, or a license taken."""

    rule: Rule
    notes: tuple[Note, ...]
    """In order of time; of two moments those of the earlier first."""
    at: Fraction
    """Where it is heard, in whole notes: of a move where it arrives."""
    onsets: tuple[Fraction, ...]
    """Where each of the notes begins."""
    is_hard: bool
    """As the options have it."""


def _rule(name: str, degree: str, species: str, find: object, source: str) -> Rule:
    found = partial(dissonance.treated, name=name) if find is None else find
    assert callable(found)
    means = dissonance.MEANINGS.get(name) or " ".join((found.__doc__ or "").split())
    melodic = getattr(found, "__module__", "") == melody.__name__
    return Rule(name, degree, frozenset(int(digit) for digit in species), found, source, means, melodic)


_ALL, _SPECIES = "012345", "12345"
RULES: tuple[Rule, ...] = (
    # One line alone.
    _rule("augmented or diminished leap", HARD, _ALL, melody.altered_leaps, "Fux, Grove, Jeppesen"),
    _rule("chromatic step", HARD, _ALL, melody.chromatic_steps, "Grove"),
    _rule("leap of a seventh", HARD, _ALL, melody.sevenths, "Fux, Grove"),
    _rule("leap over an octave", HARD, _ALL, melody.over_an_octave, "Fux, Grove"),
    _rule("leap of a major sixth", HARD, _ALL, melody.major_sixths, "Fux, Grove; Salzer allows it"),
    _rule("falling minor sixth", LICENSE, _ALL, melody.falling_minor_sixths, "Grove, Jeppesen; three in Fux"),
    _rule("leap not turned back", HARD, _SPECIES, melody.not_turned_back, "Fux"),
    _rule("leap not turned back", LICENSE, "0", melody.not_turned_back, "Fux"),
    _rule("leap not recovered by step", LICENSE, _ALL, melody.not_recovered_by_step, "School; twelve in Fux"),
    _rule("run over a tritone", HARD, _SPECIES, melody.runs_over_a_tritone, "Fux, Grove"),
    _rule("run over a tritone", LICENSE, "0", melody.runs_over_a_tritone, "Fux, Grove"),
    _rule("run over a seventh", LICENSE, _ALL, melody.runs_over_a_seventh, "School; fourteen in Fux"),
    _rule("two leaps the same way", LICENSE, _ALL, melody.leaps_the_same_way, "Jeppesen; 28 in Fux"),
    _rule("two leaps over an octave", HARD, _ALL, melody.leaps_over_an_octave, "Fux"),
    _rule("repeated note", HARD, "234", melody.repeated_notes, "Fux, Grove, Lehmann"),
    _rule("repeated note", LICENSE, "15", melody.repeated_notes, "Grove; eleven in Fux"),
    _rule("compass over a tenth", LICENSE, _ALL, melody.wide_compasses, "Jeppesen; three in Fux"),
    _rule("climax more than once", LICENSE, _ALL, melody.repeated_climaxes, "School; 16 in Fux"),
    _rule("more leaps than steps", LICENSE, _ALL, melody.mostly_leaps, "School"),
    # Two lines.
    _rule("parallel fifths", HARD, _ALL, motion.parallel_fifths, "Fux, Grove"),
    _rule("parallel octaves", HARD, _ALL, motion.parallel_octaves, "Fux, Grove"),
    _rule("direct fifth", HARD, _ALL, motion.direct_fifths, "Fux, Grove"),
    _rule("direct octave", HARD, _ALL, motion.direct_octaves, "Fux, Grove"),
    _rule("fifths or octaves by contrary motion", HARD, _ALL, motion.contrary_perfects, "Fux, Grove"),
    _rule("battuta octave", HARD, _SPECIES, motion.battuta_octaves, "Fux, Grove, Salzer"),
    _rule("battuta octave", LICENSE, "0", motion.battuta_octaves, "Fux, Grove, Salzer"),
    _rule("battuta fifth", LICENSE, _ALL, motion.battuta_fifths, "Salzer; 18 in Fux"),
    _rule("octave by leap", LICENSE, _ALL, motion.octaves_by_leap, "School"),
    _rule("unison on a strong beat", HARD, _ALL, motion.strong_unisons, "Fux, Grove"),
    _rule("unison left by leap", LICENSE, "0235", motion.unisons_left_by_leap, "Salzer; nine in Fux"),
    _rule("voices cross", LICENSE, _ALL, motion.crossings, "School; 21 in Fux"),
    _rule("more than a tenth apart", LICENSE, _ALL, motion.wide_distances, "School; six in Fux"),
    _rule("cross-relation", HARD, _ALL, motion.chromatic_relations, "Fux, Grove"),
    _rule("tritone cross-relation", LICENSE, _ALL, motion.tritone_relations, "School; 27 in Fux"),
    _rule("more than three thirds or sixths in a row", LICENSE, _ALL, motion.alike_in_a_row, "School; seven in Fux"),
    _rule("both voices leap the same way", LICENSE, _ALL, motion.both_leap, "School; 14 in Fux"),
    _rule("successive fifths or octaves on strong beats", HARD, "2", motion.strong_successions, "Fux, Grove"),
    _rule("successive fifths or octaves on strong beats", LICENSE, "0345", motion.strong_successions, "Grove, Lehmann"),
    _rule("successive fifths or octaves over a leap", LICENSE, "02345", motion.excused_successions, "Grove"),
    _rule("successive fifths or octaves off the beat", LICENSE, "4", motion.weak_successions, "School; eight in Fux"),
    # Beginning and ending.
    _rule("beginning on no perfect interval", HARD, _ALL, form.beginnings, "Fux, Grove"),
    _rule("ending on no octave or unison", HARD, _ALL, form.endings, "Fux, Grove"),
    _rule("ending off the final", HARD, _ALL, form.off_the_final, "Fux"),
    _rule("no cadence", HARD, _SPECIES, form.cadences, "Fux"),
    _rule("unusual cadence", LICENSE, "24", form.cadence_patterns, "School"),
    _rule("leading tone not led to the final", HARD, _ALL, form.leading_notes, "Fux"),
    # Dissonances.
    _rule(dissonance.TOGETHER, HARD, _ALL, None, "Fux, Grove"),
    _rule(dissonance.STRONG, HARD, _ALL, None, "Fux, Grove"),
    _rule(dissonance.LEAPT, HARD, _ALL, None, "Fux, Grove"),
    _rule(dissonance.UNPREPARED, HARD, _ALL, None, "Fux, Grove"),
    _rule(dissonance.UNRESOLVED, HARD, _ALL, None, "Fux, Grove"),
    _rule(dissonance.NEIGHBOR, HARD, _SPECIES, None, "Fux, Salzer; some schools allow it"),
    _rule(dissonance.NEIGHBOR, LICENSE, "0", None, "Jeppesen: the lower one"),
    _rule(dissonance.DOUBLE_PASSING, HARD, _ALL, None, "Fux; Salzer allows it"),
    _rule(dissonance.CAMBIATA, LICENSE, _ALL, None, "three in Fux"),
    _rule(dissonance.ANTICIPATION, LICENSE, _ALL, None, "Jeppesen"),
    _rule(dissonance.ORNAMENT, LICENSE, "5", None, "Lehmann; seven in Fux"),
    _rule(dissonance.ORNAMENTED, LICENSE, "05", None, "Lehmann; five in Fux"),
    _rule("dissonance on the third quarter", LICENSE, "3", dissonance.third_quarters, "School; seven in Fux"),
    _rule("suspended fourth below", LICENSE, "045", dissonance.lower_fourths, "School; five in Fux"),
    _rule("suspended ninth", LICENSE, "045", dissonance.ninths, "Jeppesen; one in Fux"),
    _rule("ninth after an octave", HARD, "045", dissonance.ninths_after_octaves, "Fux, School"),
    _rule("suspended seventh below", LICENSE, "045", dissonance.lower_sevenths, "School"),
    # Note values of the fifth species.
    _rule("misplaced eighths", HARD, "5", form.misplaced_eighths, "Fux, Lehmann"),
    _rule("leapt eighth", HARD, "5", form.leapt_eighths, "Fux"),
    _rule("more than one pair of eighths", LICENSE, "5", form.crowded_eighths, "School"),
    _rule("half note on the second beat", HARD, "5", form.misplaced_halves, "Fux"),
    _rule("short note tied over", HARD, "5", form.long_ties, "Fux"),
    _rule("untied half note after quarters", LICENSE, "5", form.untied_halves, "Lehmann; one in Fux"),
    _rule("one species for too long", LICENSE, "5", form.uniform_bars, "Lehmann, Salzer"),
)
LATER_FIGURES = (dissonance.DOUBLE_NEIGHBOR, dissonance.ESCAPE)
"""Figures of later schools, which may be allowed besides rules: Salzer has the first, textbooks after Fux the other."""
NAMES = tuple(dict.fromkeys((*(rule.name for rule in RULES), *LATER_FIGURES)))
"""What options may name."""


def judge(lines: tuple[Sequence[tuple[Fraction, Fraction, Pitch]], ...], options: Options) -> tuple[Fault, ...]:
    """The faults and licenses of two lines of notes (onset, duration, pitch), in order of time."""
    return judged(scene_of(lines, options))


@lru_cache(maxsize=64)
def rules_of(species: int, allowed: frozenset[str], avoided: frozenset[str]) -> tuple[tuple[Rule, bool], ...]:
    """The rules that hold in a species, and whether each is hard."""
    return tuple(
        (rule, rule.degree == HARD or rule.name in avoided)
        for rule in RULES if species in rule.species and rule.name not in allowed
    )  # fmt: skip


def count_faults(scene: Scene) -> tuple[int, int]:
    """How many faults and how many licenses there are."""
    found = [0, 0]
    for rule, hard in rules_of(scene.species, scene.options.allowed, scene.options.avoided):
        found[not hard] += sum(1 for _ in rule.find(scene))
    return found[0], found[1]


def judged(scene: Scene) -> tuple[Fault, ...]:
    """The faults and licenses of a scene, in order of time."""
    found = []
    for rule, hard in rules_of(scene.species, scene.options.allowed, scene.options.avoided):
        for notes in rule.find(scene):
            at = max(note.onset for note in notes)
            found.append(Fault(rule, notes, scene.tick * at, tuple(scene.tick * n.onset for n in notes), hard))
    return tuple(sorted(found, key=lambda fault: (fault.at, fault.rule.name)))


