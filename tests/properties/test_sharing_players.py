"""Players who share a staff lose nothing by it: every note, origin, sign and slur of each of them stands there."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

from hypothesis import HealthCheck, Phase, event, example, given, settings
from hypothesis import strategies as st
from random_scripts import compiled
from rounds import rounds

from cavata.edition.copies import full_score
from cavata.edition.struck import with_struck_notes
from cavata.notate.written import leaves
from cavata.pipeline import written
from cavata.score.score import ScoreEvent, Staff

NOTES = (
    "notes(1/2 D5 E5)", "notes(1/2 F5 G5)", "notes(1/1 D5)", "notes(1/4 A5 G5, 1/2 F5)", "1 bar rest", "1/2 rest",
    "notes(1/4 D5 rest E5 rest)", "notes(3/2 C5)", "notes(1/12 C5 D5 E5)",
    "notes(1/1 D5) -> graced 1 by notes(1/8 C5)",
)  # fmt: skip
DRESS = ("", "", "", " -> slurred", " -> marked p", " -> marked f", " -> crescendo p f", " -> marked staccato")
KINDS = ("flute", "violins", "horn", "alto", "tambourine")


@st.composite
def scripts(draw: st.DrawFn) -> str:
    kind = draw(st.sampled_from(KINDS))
    names = [f"p{number}" for number in range(draw(st.integers(2, 4)))]
    rows = ["forces", *(f"    {name} = {kind}" for name in names), f"staff all = {', '.join(names)}", "movement first"]
    both = st.tuples(st.sampled_from(NOTES), st.sampled_from(DRESS))
    tune = draw(st.lists(both, min_size=1, max_size=5))
    for name in names:
        same = draw(st.booleans())
        items = tune if same else draw(st.lists(both, min_size=1, max_size=5))
        shown = [notes if notes.endswith(" rest") else notes + dress for notes, dress in items]
        rows.append(f"    {name}: " + ", ".join(shown))
    return "\n".join(rows) + "\n"


SHORT_UNDER_LONG = (
    "forces\n    p0 = alto\n    p1 = alto\nstaff all = p0, p1\nmovement first\n"
    "    p0: notes(1/1 D5) -> crescendo p f, notes(1/2 D5 E5) -> crescendo p f\n"
    "    p1: notes(1/4 D4 rest E4 rest) -> crescendo p f, 1/1 rest\n"
)
"""Two hairpins that begin together: the one below comes to its forte while the one above is still growing."""

ONE_ENDS_EARLIER = (
    "forces\n    p0 = horn\n    p1 = horn\nstaff all = p0, p1\nmovement first\n"
    "    p0: notes(1/2 F5 G5) -> marked f, notes(3/2 C5) -> crescendo p f,"
    " notes(1/4 D5 rest E5 rest) -> crescendo p f, notes(1/4 D5 rest E5 rest)\n"
    "    p1: notes(1/2 F5 G5) -> marked f, notes(3/2 C5) -> crescendo p f,"
    " notes(1/12 C5 D5 E5) -> crescendo p f, notes(1/4 D5 rest E5 rest)\n"
)
"""Two hairpins that begin together: below is a forte before the one above reaches the note that ends it."""

NOTHING_BETWEEN = (
    "forces\n    p0 = tambourine\n    p1 = tambourine\n    p2 = tambourine\nstaff all = p0, p1, p2\n"
    "movement first\n    p0: notes(1/2 D5 E5)\n    p1: notes(1/2 D5 E5) -> marked p\n"
    "    p2: notes(1/2 D5 E5) -> marked f\n"
)
"""A player who was told nothing goes with either of two others, but these do not go with each other."""


def notes_of(events: list[ScoreEvent], pitched: bool) -> Counter[object]:
    return Counter(
        (placed.onset, placed.event.duration, head.pitch if pitched else None, origin)
        for placed in events for head in placed.event.heads for origin in head.origins
    )  # fmt: skip


def signs_of(events: list[ScoreEvent]) -> set[object]:
    return {
        (placed.onset, sign) for placed in events
        for sign in (*placed.event.marks.articulations, "(" * placed.event.marks.slur_begins,
                     ")" * placed.event.marks.slur_ends, placed.event.marks.dynamic, placed.event.marks.hairpin)
    }  # fmt: skip


def sounding(staves: tuple[Staff, ...]) -> list[ScoreEvent]:
    return [placed for staff in staves for voice in staff.voices for placed in voice]


@settings(
    max_examples=rounds(15), deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip
@given(scripts())
@example(SHORT_UNDER_LONG)
@example(ONE_ENDS_EARLIER)
@example(NOTHING_BETWEEN)
def test_nothing_is_lost_and_nothing_added(script: str) -> None:
    score = compiled(script).score
    assert score is not None
    shared = full_score(score)
    event(f"{len(score.parts)} parts on {len(shared.parts)} staves")
    pitched = not score.parts[0].instrument.unpitched
    struck = with_struck_notes(score).movements[0].staves  # on the page a struck note is not tied
    before = [placed for staves in struck for placed in sounding(staves)]
    after = [placed for staves in shared.movements[0].staves for placed in sounding(staves)]
    assert set(notes_of(before, pitched)) == set(notes_of(after, pitched))
    assert signs_of(before) == signs_of(after)
    for staves in shared.movements[0].staves:
        for staff in staves:
            assert len(staff.voices) <= 2
            for voice in staff.voices:
                assert all(one.end <= other.onset for one, other in pairwise(voice))


@settings(
    max_examples=rounds(6), deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip
@given(scripts())
def test_bars_of_a_shared_staff_are_full_and_slurs_end_in_their_voice(script: str) -> None:
    score = compiled(script).score
    assert score is not None
    for part in written(full_score(score)).movements[0].parts:
        for voice in range(max(len(bar.voices) for bar in part.staves[0].bars)):
            opened = 0
            for bar in part.staves[0].bars:
                for leaf in leaves(bar.voices[voice] if voice < len(bar.voices) else ()):
                    opened -= leaf.marks.slur_ends
                    assert opened >= 0
                    opened += leaf.marks.slur_begins
            assert opened == 0
