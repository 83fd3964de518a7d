"""The short line of the forces, the list in full, lengths as they are said, and when a score has a title page."""

from __future__ import annotations

import re
from fractions import Fraction as F

import pytest
from compiling import score_from

from cavata.diagnostics import Diagnostics
from cavata.edition import instrumentation as tables
from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.edition.instrumentation import forces_list, instrumentation
from cavata.edition.title_page import length_of_movement, length_of_piece, title_page
from cavata.instruments.table import instruments
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.title_page import title_page_text
from cavata.pipeline import written
from cavata.score.percussionists import percussionists
from cavata.score.score import Score

EVERYTHING = WantedCopies(parts=None, short=True, rehearsal=(("p0",),))
STRINGS = "violins, violins, violas, cellos, double basses"


def compiled(text: str) -> Score:
    """The score of a script."""
    return score_from(f"language 2\n{text}\n")


def forces(players: str, rest: str = "") -> Score:
    """A score for players as a script calls them: `2 flute` are two parts, `solo violin` is a soloist."""
    rows: list[str] = []
    for words in players.split(", "):
        count, _, name = words.partition(" ")
        solo = f"{name}, soloist" if count == "solo" else words.replace("+", ", doubling ")
        rows += [name] * int(count) if count.isdigit() else [solo]
    block = "\n".join(f"    p{number} = {row}" for number, row in enumerate(rows))
    return compiled(f'piece "X"\n{rest}forces\n{block}\nmovement first\n    tempo 1/4 at 60\n    p0: 1 bar rest')


@pytest.mark.parametrize(
    ("players", "line"),
    [
        # Brahms, Symphony no. 2: double winds, 4 horns, 2 trumpets, 3 trombones, tuba (from memory).
        (f"2 flute, 2 oboe, 2 clarinet, 2 bassoon, 4 horn, 2 trumpet, 3 trombone, tuba, timpani, {STRINGS}",
         "2.2.2.2 - 4.2.3.1 - timp - str"),
        # Mozart, Symphony no. 41: one flute, no clarinets (from memory).
        (f"flute, 2 oboe, 2 bassoon, 2 horn, 2 trumpet, timpani, {STRINGS}", "1.2.0.2 - 2.2.0.0 - timp - str"),
        # Beethoven, Symphony no. 5, with the instruments of its last movement (from memory).
        (f"piccolo, 2 flute, 2 oboe, 2 clarinet, 2 bassoon, contrabassoon, 2 horn, 2 trumpet, 2 trombone"
         f", bass trombone, timpani, {STRINGS}", "2+picc.2.2.2+cbn - 2.2.3.0 - timp - str"),
        # The forces of Villa-Lobos, Symphony no. 11, as an encyclopedia lists them (tickerdossier.com, "Symphony No. 11
        # (Villa-Lobos)"), percussion for four players.
        (f"2 piccolo, 2 flute, 2 oboe, English horn, 2 clarinet, bass clarinet, 2 bassoon, contrabassoon, 4 horn"
         f", 4 trumpet, 4 trombone, tuba, timpani, triangle, cymbals, marimba, xylophone, 2 harp, celesta, piano"
         f", {STRINGS}",
         "2+2 picc.2+ca.2+bcl.2+cbn - 4.4.4.1 - timp - 4 perc - 2 hp - cel - pf - str"),
        # The worked form of a publisher's help page: auxiliaries without brackets are further players
        # (breitkopf.com/help/instrumentation).
        (f"piccolo, flute, oboe, clarinet, bassoon, horn, trumpet, {STRINGS}", "1+picc.1.1.1 - 1.1.0.0 - str"),
        # Brackets where a player takes up another instrument, as publishers explain it: `2(2pic)` for two flutes
        # of whom the second doubles (liamramseywhite.com/orchestration-shorthand).
        (f"flute, flute+piccolo, 2 oboe, clarinet, clarinet+bass clarinet, 2 bassoon, 2 horn, {STRINGS}",
         "2(picc).2.2(bcl).2 - 2.0.0.0 - str"),
        (f"flute+piccolo, flute+piccolo, oboe, English horn+oboe, clarinet, bassoon, horn, {STRINGS}",
         "2(2 picc).1+ca(ob).1.1 - 1.0.0.0 - str"),
        (STRINGS, "str"),
        (f"solo violin, {STRINGS}", "solo violin - str"),
        (f"2 flute, 2 oboe, 2 clarinet, 2 bassoon, 4 horn, sopranos, altos, tenors, bass voices, {STRINGS}",
         "2.2.2.2 - 4.0.0.0 - choir SATB - str"),
        (f"flutes, oboes, clarinets, bassoons, horns, {STRINGS}", "2.2.2.2 - 2.0.0.0 - str"),
        # Names with an apostrophe or a hyphen, which the script leaves out; letters of a choir by common practice.
        (f"flute, oboe, oboe damore, clarinet, bassoon, horn, trumpet, {STRINGS}", "1.1+obda.1.1 - 1.1.0.0 - str"),
        (f"2 flute, 2 horn, sopranos, mezzo sopranos, altos, {STRINGS}", "2.0.0.0 - 2.0.0.0 - choir SMzA - str"),
    ],
)  # fmt: skip
def test_orchestra_is_told_in_figures(players: str, line: str) -> None:
    assert instrumentation(forces(players)) == line


@pytest.mark.parametrize(
    ("players", "line"),
    [
        ("violin, violin, viola, cello", "string quartet"),
        ("flute, oboe, clarinet, horn, bassoon", "wind quintet"),
        ("trumpet, trumpet, horn, trombone, tuba", "brass quintet"),
        ("soprano saxophone, alto saxophone, tenor saxophone, baritone saxophone", "saxophone quartet"),
        ("sopranos, altos, tenors, bass voices", "mixed choir"),
        ("piano", "piano"),
        ("clarinet, piano", "clarinet in B♭, piano"),
        ("guitar, guitar, flute", "2 guitars, flute"),
        ("flute, viola, harp", "flute, viola, harp"),
        ("violin, English horn, cello", "violin, English horn, cello"),
    ],
)
def test_chamber_music_is_called_by_its_ensemble_or_by_name(players: str, line: str) -> None:
    """Source: common practice."""
    assert instrumentation(forces(players)) == line


def test_every_instrument_of_the_short_line_is_one_of_the_table() -> None:
    keys = {instrument.key for instrument in instruments().values()}
    desks = {key for desk in (*tables._WOODWIND, *tables._BRASS) for key in (*desk.usual, *desk.beside)}
    assert {*desks, *tables._NAMED, *tables._SHORT, *tables._CHOIR, *tables._ORDER, *tables._BODY} <= keys


def test_list_in_full_counts_players_and_keeps_own_names() -> None:
    block = "a = flute\n    b = flute\n    c = horns\n    d = snare drum\n    e = violins\n    f = violins"
    own = 'g = cello, called "Far cello"'
    score = compiled(f"forces\n    {block}\n    {own}\nmovement first\n    a: 1 bar rest")
    assert forces_list(score) == (
        "2 Flutes", "Horns in F", "Snare drum", "Violins I, II", "Far cello",
    )  # fmt: skip


def test_set_of_percussion_on_one_staff_is_one_player() -> None:
    """Source: common practice; a set is one player's part here too."""
    sets = "    t = triangle\n    w = wood block\n    b = bass drum\n    s = snare drum\n"
    staff = 'staff set "Percussion 1" = t, w, b\n'
    music = "movement first\n    t: (1/1)"
    chamber = full_score(compiled(f"forces\n    p = piano\n{sets}{staff}{music}"))
    assert instrumentation(chamber) == "piano, percussion 1 (triangle, wood block, bass drum), snare drum"
    assert forces_list(chamber)[1] == (
        "Percussion (2 players): percussion 1 (triangle, wood block, bass drum), snare drum"
    )
    strings = "".join(f"    s{place} = {name}\n" for place, name in enumerate(STRINGS.split(", ")))
    orchestra = full_score(compiled(f"forces\n{strings}{sets}{staff}{music}"))
    assert instrumentation(orchestra) == "2 perc - str"
    unnamed = full_score(compiled(f"forces\n    p = piano\n{sets}staff set = t, w, b\n{music}"))
    assert forces_list(unnamed)[1] == "Percussion (2 players): triangle, wood block, bass drum, snare drum"


def test_instrument_that_is_taken_up_is_written_as_its_own_name_is() -> None:
    score = compiled("forces\n    o = oboe, doubling English horn\n    p = piano\nmovement first\n    o: 1 bar rest")
    assert instrumentation(score) == "oboe (doubling English horn), piano"


def test_title_is_broken_by_the_width_of_the_paper() -> None:
    """27 letters are too long for a line of A4 at that size, not for one of A3, which is 297 mm wide (ISO 216)."""
    script = (
        'piece "Concerto for the Lighthouse"\n    title page\n    paper {0}\nforces\n    p = piano\n'
        "movement first\n    p: 1 bar rest"
    )
    broken, whole = (lilypond_text(written(full_score(compiled(script.format(size))))) for size in ("A4", "A3"))
    assert '"Concerto for the" "Lighthouse"' in broken and '"Concerto for the" "Lighthouse"' not in whole


def test_heading_is_broken_by_the_width_of_the_paper() -> None:
    """68 letters are more than a line of A4 holds over the music, and fewer than one of A3 does."""
    subtitle = "for viola and orchestra, after a night of watching on the outer rock"
    script = (
        f'piece "X"\n    subtitle "{subtitle}"\n    paper {{0}}\nforces\n    p = piano\n'
        "movement first\n    p: 1 bar rest"
    )
    broken, whole = (lilypond_text(written(full_score(compiled(script.format(size))))) for size in ("A4", "A3"))
    assert f'"{subtitle}"' not in broken and f'"{subtitle}"' in whole


@pytest.mark.parametrize("size", [F(14), F(16), F(20)], ids=str)
def test_lists_are_set_with_the_leading_of_a_book(size: F) -> None:
    """Type of 10.5 points on lines of a ninth to a fourth more, however small the staves are: LilyPond counts lines in
    staff spaces, a quarter of the staff. Source: common practice of typography, about 120 %, and the manual of
    LilyPond on `baseline-skip`, from memory."""
    score = forces(f"2 flute, 2 horn, {STRINGS}")
    text = title_page_text(title_page(score), score.header, size)
    skips = [float(found) for found in re.findall(r"baseline-skip \. ([0-9.]+)", text)]
    assert len(skips) == 1
    assert 10.5 * 10 / 9 < skips[0] * float(size) / 4 < 10.5 * 5 / 4


@pytest.mark.parametrize(
    ("players", "listed"),
    [("solo violin, piano", ("Violin, solo", "Piano")), ("violin, viola", ()), ("violin", ())],
)
def test_forces_are_listed_where_one_line_does_not_say_all(players: str, listed: tuple[str, ...]) -> None:
    """Source: common practice."""
    assert title_page(forces(players)).forces == listed


def test_soloist_is_not_counted_among_the_choir() -> None:
    block = "voice = soprano, soloist\n    s = sopranos\n    a = altos"
    score = compiled(f"forces\n    {block}\nmovement first\n    s: 1 bar rest")
    assert forces_list(score) == ("Soprano, solo", "Sopranos", "Altos")


@pytest.mark.parametrize(
    ("tempo", "bars", "words"),
    [
        ("1/4 at 60", 1, "about 5 seconds"),
        ("1/4 at 60", 5, "20 seconds"),
        ("1/4 at 60", 15, "1 minute"),
        ("1/4 at 60", 22, "about 1½ minutes"),
        ("1/4 at 60", 75, "5 minutes"),
        ("1/4 at 60", 100, "about 7 minutes"),
        ("1/4 at 120", 210, "7 minutes"),
        ('"Freely"', 105, "about 7 minutes"),
    ],
)
def test_length_is_rounded_and_says_so(tempo: str, bars: int, words: str) -> None:
    """By arithmetic: a bar of four quarters lasts four seconds at 60, two at 120."""
    score = compiled(f"forces\n    violin = violin\nmovement first\n    tempo {tempo}\n    violin: {bars} bars rest")
    assert length_of_piece(score) == length_of_movement(score.movements[0], score.header.language) == words


def test_fermata_makes_a_length_an_estimate() -> None:
    music = "    tempo 1/4 at 60\n    violin: notes(1/1 C5) -> fermata last x 5"
    assert length_of_piece(compiled(f"forces\n    violin = violin\nmovement first\n{music}")) == "about 25 seconds"


def has_title_page(score: Score) -> bool:
    """Whether the full score begins with one."""
    return written(full_score(score)).title_page is not None


def test_title_page_stands_where_asked_or_where_the_score_is_long() -> None:
    short, long = forces("violin"), forces(STRINGS)
    assert not has_title_page(short)
    assert not has_title_page(long)
    assert has_title_page(forces("violin", "    title page\n"))
    many = compiled("forces\n    a = violin\n    b = piano\nmovement first\n    a: 300 bars rest")
    assert has_title_page(many)
    none = compiled('piece "X"\n    title page none\nforces\n    a = violin\nmovement first\n    a: 900 bars rest')
    assert not has_title_page(none)


def test_parts_and_short_scores_have_no_title_page() -> None:
    score = forces("violin, piano", "    title page\n")
    made = {copy.suffix: written(copy.score) for copy in copies(score, EVERYTHING, Diagnostics())}
    assert {suffix for suffix, page in made.items() if page.title_page is not None} == {""}
    assert set(made) == {"", "-short", "-rehearsal-p0"}


def test_title_page_says_how_to_read_the_score() -> None:
    assert title_page(forces("clarinet")).notes == ("Transposing score",)
    assert title_page(forces("clarinet", "    concert score\n")).notes == ("Score in C",)
    assert title_page(forces("violin, double bass")).notes == ()
    assert len(title_page(forces("clarinet", "    show letters\n")).notes) == 2


def test_notes_on_performance_are_not_spread_over_the_page() -> None:
    """A page that is filled to its foot would have half of it between two paragraphs."""
    score = full_score(forces("clarinet", '    note "One."\n    note "Two."\n'))
    assert score.title_page is not None
    settings, _, body = title_page_text(score.title_page, score.header, F(20)).partition("markup \\column")
    assert "ragged-last-bottom = ##t" in settings and '"One."' in body and '"Two."' in body


def test_soloist_with_a_role_is_told_by_instrument_in_the_short_line() -> None:
    rows = 'keeper = baritone, soloist, called "The Keeper"'
    strings = "\n    ".join(f"s{place} = {name}" for place, name in enumerate(STRINGS.split(", ")))
    score = compiled(f"forces\n    {rows}\n    {strings}\nmovement first\n    keeper: 1 bar rest")
    assert instrumentation(score) == "solo baritone - str"
    assert forces_list(score)[0] == "The Keeper (baritone)"


@pytest.mark.parametrize(
    ("rows", "players"),
    [
        # A triangle, a cymbal five seconds later and a drum long after: one player walks from stand to stand.
        (["t: (1/4)", "c at bar 3: (1/4)", "d at bar 6: (1/4)"], 1),
        # The cymbal one second after the triangle: nobody walks so fast.
        (["t: (1/4)", "c at bar 1 beat 2: (1/4)", "d at bar 6: (1/4)"], 2),
        # All of them at once, and again.
        (["t: (1/4)", "c: (1/4)", "d: (1/4)", "t at bar 6: (1/4)"], 3),
        # A roll on the drum all along takes a player to itself.
        (["d: (1/1) x 8", "t: (1/4)", "c at bar 5: (1/4)"], 2),
    ],
)
def test_fewest_percussionists(rows: list[str], players: int) -> None:
    """Three seconds to the next stand, from memory; at 60 a quarter a bar takes four."""
    body = "\n    ".join(rows)
    score = compiled(
        f"forces\n    t = triangle\n    c = suspended cymbal\n    d = bass drum\n    f = flute\n"
        f"movement first\n    tempo 1/4 at 60\n    {body}\n    f: 8 bars rest"
    )
    assert percussionists(score) == players
    assert forces_list(score)[0].startswith(f"Percussion ({players} player")


def test_timpani_and_a_lone_triangle_need_no_count() -> None:
    """Common practice: the timpanist stands apart."""
    score = compiled("forces\n    t = timpani\n    g = triangle\nmovement first\n    g: (1/4)")
    assert forces_list(score) == ("Timpani", "Triangle")


@pytest.mark.parametrize(
    ("row", "names", "name"),
    [
        ("soprano, soloist", "English", "solo soprano"),
        ("flute, doubling piccolo, soloist", "English", "solo flute (doubling piccolo)"),
        ("clarinet in Bb, soloist", "German", "Klarinette solo in B"),
        ("bass drum", "German", "große Trommel"), ("bass drum", "Spanish", "bombo"),
        ("horn", "Spanish", "trompa en fa"),
        ("English horn", "English", "English horn"), ("English horn, soloist", "English", "solo English horn"),
        ('baritone, soloist, called "The Keeper"', "English", "The Keeper (baritone)"),
        ('violin, soloist, called "Far violin"', "English", "Far violin, solo"),
    ],
)
def test_names_in_a_sentence_have_no_capitals_and_a_soloist_no_comma(row: str, names: str, name: str) -> None:
    """The list on the page has a line for each, and a comma; a name of the composer's own is told as there."""
    forces = f"forces\n    a = {row}\n    b = tuba"
    score = compiled(f'piece "X"\n    names in {names}\n{forces}\nmovement first\n    b: 1 bar rest')
    assert forces_list(score, in_sentence=True)[0] == name
