"""Edits made at random are found again, each told as exactly what it was, and nothing else.

The expected words and places are worked out here from the edit, by arithmetic on eighths and bars.
"""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest
from edited_pieces import PARTS, PITCHES, Note, Piece, Spot, pitch, random_bar, random_piece, random_section, spots
from hypothesis import given, settings
from hypothesis import strategies as st
from rounds import rounds

from cavata.compare.changes import Change, ChangeKind
from cavata.compare.comparing import compared
from cavata.compare.text import change_text
from cavata.music.pitch import parse_interval
from cavata.pipeline import compile_script

pytestmark = pytest.mark.slow

seeds = st.integers(0, 10**9)
few = settings(max_examples=rounds(5), deadline=None)
INTERVALS = {
    "m3": "a minor third", "M3": "a major third", "P4": "a perfect fourth", "P5": "a perfect fifth", "P8": "an octave",
    "M2": "a major second",
}  # fmt: skip
SAME_KEY = {"C#5": "Db5", "F#4": "Gb4", "Bb4": "A#4", "Eb4": "D#4", "G#3": "Ab3"}


def told(old: Piece, new: Piece) -> list[str]:
    return [change_text(change) for change in changes(old, new)]


def changes(old: Piece, new: Piece) -> tuple[Change, ...]:
    return compared(old.score(), new.score()).changes


def bars(first: int, last: int) -> str:
    return f"bar {first}" if first == last else f"bars {first} to {last}"


def chosen(seed: int) -> tuple[Piece, Piece, random.Random, Spot]:
    """A piece, a copy to be changed, further chances, and one of its notes."""
    old, chance = random_piece(seed), random.Random(seed + 1)
    return old, old.copy(), chance, chance.choice(spots(old))


@few
@given(seeds)
def test_a_piece_is_the_same_as_itself(seed: int) -> None:
    piece = random_piece(seed)
    assert compared(piece.score(), piece.score()).same


@few
@given(seeds)
def test_a_note_taken_out_is_gone(seed: int) -> None:
    old, new, _, spot = chosen(seed)
    note = spot.note(new)
    was, note.pitch = note.pitch, ""
    assert told(old, new) == [f"{spot.printed(old)}, {spot.part}: {was} is gone"]
    assert told(new, old) == [f"{spot.printed(old)}, {spot.part}: {was} is new"]


@few
@given(seeds)
def test_another_pitch_is_told_with_both(seed: int) -> None:
    old, new, chance, spot = chosen(seed)
    note = spot.note(new)
    was = note.pitch
    note.pitch = chance.choice([p for p in PITCHES if pitch(p).midi != pitch(was).midi])
    assert told(old, new) == [f"{spot.printed(old)}, {spot.part}: {was} is now {note.pitch}"]


@few
@given(seeds)
def test_another_spelling_is_told_as_one(seed: int) -> None:
    old, new, chance, _ = chosen(seed)
    for spot in (s for s in spots(old) if s.note(old).pitch in SAME_KEY):
        note = spot.note(new)
        was, note.pitch = note.pitch, SAME_KEY[note.pitch]
        assert told(old, new) == [f"{spot.printed(old)}, {spot.part}: {was} is now written {note.pitch}"]
        return


@few
@given(seeds, st.sampled_from(["staccato", "f", "accent", '"calm"', "pizzicato"]))
def test_a_marking_is_told(seed: int, mark: str) -> None:
    old, new, _, spot = chosen(seed)
    spot.note(new).mark = mark
    assert told(old, new) == [f"{spot.printed(old)}, {spot.part}: now {mark}"]
    assert told(new, old) == [f"{spot.printed(old)}, {spot.part}: no longer {mark}"]


@few
@given(seeds)
def test_a_longer_note_is_told_with_both_lengths(seed: int) -> None:
    old, _, _, spot = chosen(seed)
    bar = old.sections[spot.section].music[spot.part][spot.bar]
    note = spot.note(old)
    if note.eighths < 2:
        return
    bar.insert(spot.place + 1, Note(1, ""))
    note.eighths -= 1
    new = old.copy()
    longer = spot.note(new)
    longer.eighths += 1
    del new.sections[spot.section].music[spot.part][spot.bar][spot.place + 1]
    lengths = [length_of(each.eighths) for each in (longer, note)]
    assert told(old, new) == [f"{spot.printed(old)}, {spot.part}: lasts {lengths[0]}, not {lengths[1]}"]


def length_of(eighths: int) -> str:
    return {8: "1/1", 6: "3/4", 4: "1/2", 2: "1/4"}.get(eighths, f"{eighths}/8")


@few
@given(seeds, st.sampled_from(sorted(INTERVALS)), st.booleans(), st.integers(1, 3))
def test_a_transposed_passage_is_one_change(seed: int, interval: str, up: bool, count: int) -> None:
    old, new, chance, spot = chosen(seed)
    section = new.sections[spot.section]
    first = chance.randrange(section.bars)
    last = chance.randrange(first, section.bars)
    step = parse_interval(interval) if up else -parse_interval(interval)
    parts = PARTS[:count]
    sounding: list[int] = []
    for part in parts:
        for number in range(first, last + 1):
            for note in (note for note in section.music[part][number] if note.pitch):
                note.pitch = str(pitch(note.pitch) + step)
                sounding.append(number)
    if len(sounding) == 1:
        return  # told as another pitch
    start = new.first_bar(spot.section)
    named = parts[0] if count == 1 else " and ".join([", ".join(parts[:-1]), parts[-1]])
    where = bars(start + min(sounding), start + max(sounding))
    assert told(old, new) == [f"{where}, {named}: {INTERVALS[interval]} {'higher' if up else 'lower'}"]


@few
@given(seeds)
def test_notes_that_move_up_are_told_with_the_one_that_went(seed: int) -> None:
    """A note taken out of a line, and the rest of its section earlier: two changes, not one for every note."""
    old, new, _, _ = chosen(seed)
    section = new.sections[0]
    line = [note for bar in section.music["viola"] for note in bar]
    sounding = [note for note in line if note.pitch]
    if len(sounding) < 6:
        return
    gone = sounding[2]
    line.remove(gone)
    section.music["viola"] = [[*line, Note(gone.eighths, "")]]
    found = changes(old, new)
    assert len(found) <= 3
    assert Counter(change.kind for change in found)[ChangeKind.MOVED] >= 1
    assert sum(len(change.pairs) for change in found if change.kind is ChangeKind.GONE) == 1


@few
@given(seeds)
def test_a_moved_section_is_told_as_moved(seed: int) -> None:
    old, new, chance, _ = chosen(seed)
    place = chance.randrange(len(new.sections))
    section = new.sections.pop(place)
    target = chance.choice([n for n in range(len(new.sections) + 1) if n != place])
    new.sections.insert(target, section)
    found = changes(old, new)
    assert found and all(change.kind is ChangeKind.SECTION and "moved here from" in change.said for change in found)
    moved = [change.said.split()[1] for change in found]
    stays = [s.name for s in new.sections if s.name not in moved]
    assert stays == [s.name for s in old.sections if s.name not in moved]
    # No more bars are told as moved than were: a longer section that changed places with a shorter one stays.
    sizes = {s.name: s.bars for s in old.sections}
    assert sum(sizes[name] for name in moved) <= section.bars
    for change in found:
        name = change.said.split()[1]
        before, after = (next(n for n, s in enumerate(p.sections) if s.name == name) for p in (old, new))
        size = sizes[name] - 1
        assert change.said.endswith(bars(old.first_bar(before), old.first_bar(before) + size))
        assert change_text(change).startswith(bars(new.first_bar(after), new.first_bar(after) + size))


@few
@given(seeds)
def test_a_section_put_in_makes_nothing_else_different(seed: int) -> None:
    old, new, chance, _ = chosen(seed)
    place = chance.randint(0, len(new.sections))
    new.sections.insert(place, random_section(chance, "fresh", chance.randint(1, 4)))
    first = new.first_bar(place)
    where = bars(first, first + new.sections[place].bars - 1)
    assert told(old, new) == [f"{where}: section fresh is new"]
    assert told(new, old) == [f"{where} of the old version: section fresh is gone"]


@few
@given(seeds)
def test_bars_put_into_a_section_make_nothing_else_different(seed: int) -> None:
    old, new, chance, spot = chosen(seed)
    section = new.sections[spot.section]
    place, count = chance.randint(0, section.bars), chance.randint(1, 3)
    for part in PARTS:
        section.music[part][place:place] = [random_bar(chance) for _ in range(count)]
    section.bars += count
    first = new.first_bar(spot.section) + place
    verb = "is" if count == 1 else "are"
    assert told(old, new) == [f"{bars(first, first + count - 1)} {verb} new"]
    assert told(new, old) == [f"{bars(first, first + count - 1)} of the old version {verb} gone"]


@few
@given(seeds)
def test_tempo_key_and_title_are_told(seed: int) -> None:
    old, new, _, spot = chosen(seed)
    new.title = "Quay"
    new.sections[spot.section].rows += ["tempo 1/4 at 60", "key D minor"]
    first = new.first_bar(spot.section)
    last = first + new.sections[spot.section].bars - 1
    found = told(old, new)
    assert 'title: "Quay" instead of "Harbor"' in found
    assert f"{bars(first, last)}: key D minor instead of C major" in found
    assert any(text.startswith(f"bar {first} beat 1: tempo 1/4 at 60") for text in found)
    assert {change.kind for change in changes(old, new)} == {ChangeKind.PIECE, ChangeKind.KEY, ChangeKind.TEMPO}


@few
@given(seeds, st.sampled_from(PARTS))
def test_a_renamed_part_is_told_as_renamed(seed: int, part: str) -> None:
    old, new, _, _ = chosen(seed)
    new.names[part] = "other"
    assert told(old, new) == [f"{part} is called other"]


@few
@given(seeds)
def test_a_renamed_section_is_told_as_renamed(seed: int) -> None:
    old, new, _, spot = chosen(seed)
    section = new.sections[spot.section]
    was, section.name = section.name, "other"
    first = new.first_bar(spot.section)
    assert told(old, new) == [f"{bars(first, first + section.bars - 1)}: section other was called {was}"]


@few
@given(seeds, st.integers(2, 4))
def test_several_edits_are_all_found_and_nothing_else(seed: int, count: int) -> None:
    """Notes of different bars and parts taken out, put elsewhere and marked: one change each."""
    old, new, chance, _ = chosen(seed)
    places = {(spot.section, spot.part, spot.bar): spot for spot in spots(old)}
    picked = chance.sample(sorted(places.values(), key=str), min(count, len(places)))
    expected = set()
    for number, spot in enumerate(picked):
        note = spot.note(new)
        expected.add((ChangeKind.GONE if number % 2 else ChangeKind.MARKED, spot.part, spot.printed(old), note.pitch))
        if number % 2:
            note.pitch = ""
        else:
            note.mark = "tenuto"
    found = [(change.kind, pair.part, pair.old) for change in changes(old, new) for pair in change.pairs]
    assert sorted(map(str, expected)) == sorted(
        str((kind, part, f"bar {was.spot.bar} {was.spot.in_bar}", was.sound)) for kind, part, was in found if was
    )


@few
@given(seeds, seeds)
def test_what_one_way_is_new_is_gone_the_other_way(seed: int, other: int) -> None:
    """Two pieces that have nothing to do with each other: nothing is lost in telling, whichever is the old one."""
    old, new = random_piece(seed), random_piece(other)
    there, back = changes(old, new), changes(new, old)
    assert bool(there) == bool(back) == (old.script() != new.script())


@few
@given(seeds)
def test_layout_and_names_of_motifs_change_nothing(seed: int) -> None:
    piece = random_piece(seed)
    moved = piece.script().replace("language 2\n", "language 2\n\n-- a remark\n\n")
    moved = moved.replace("movement first", "-- now\nmovement first")
    other = compile_script(Path("harbor.cavata"), "harbor.cavata", moved)
    assert other.score is not None
    assert compared(piece.score(), other.score).same
