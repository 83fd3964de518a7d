"""The guide: the facts of the piece, HTML that a strict parser takes, and words for everything in every language."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from io import BytesIO
from pathlib import Path
from typing import Any

import html5lib
import pytest
from discovery_pages import holds_or_updates
from fluent.syntax import FluentParser
from fluent.syntax.ast import Junk, Message, MessageReference, VariableReference
from fluent.syntax.visitor import Visitor
from pypdf import PdfReader

from cavata.cli.main import main
from cavata.diagnostics import as_text
from cavata.draft import typesetting
from cavata.draft.engravers import Engraver
from cavata.lilypond.engrave import engrave
from cavata.lilypond.engraving import Failure
from cavata.music.event import Texture
from cavata.names import program as p
from cavata.pipeline import Compiled, compile_script
from cavata.resources import folder
from cavata.score.colors import PALETTE
from cavata.tell.guide import pictures, tagged_pdf
from cavata.tell.guide.derivation import Phrases
from cavata.tell.guide.derivation import blanks as blanks_of
from cavata.tell.guide.guide import Guide, guide_of
from cavata.tell.guide.html import guide_html
from cavata.tell.guide.pictures import Media, example_of, examples_of, media_of
from cavata.tell.guide.talk import places_in_words, talk_of
from cavata.tell.guide.words import Derivation, Telling
from cavata.tell.language import (
    CASES,
    Case,
    interval_in_words,
    language,
    languages,
    mode_in_words,
    named_in,
    note_name,
    text_key,
)
from cavata.transforms.table import COMBINATIONS, LENGTHS, TRANSFORMS

pytestmark = pytest.mark.slow

SCRIPT = """\
language 2
piece "Lantern <script>alert(1)</script>"
    composer   "A. & B. <i>Composer</i>"
    dedication "for \\"Tamsin\\""
    length     1 min
use french from ciphers
name tamsin = "TAMSIN" by french
    remark "<img src=x onerror=alert(2)> & 'always' falls home"
name corwen = "Corwen" by french
motif hail  = tamsin -> sharp 1 -> from F#3 -> in (1/4. 1/8 1/4) -> marked p
    remark "</p></section><h1>No heading</h1>"
motif reply = corwen -> inverted about A3 -> retrograde
motif both  = weave(tamsin, corwen) -> first 4
motif tide  = notes(1/2. D4 | 1/4 F4, 1/2 E4)
forces
    violin = violin, soloist
    cello  = cello
movement first "First & last"
    tempo 1/4 at 60
    violin: reply -> up P8, hail -> up P8
    cello at bar 6: both -> down P8, tide -> down P8
cadenza alone
    violin: hail -> up P8
"""


def compiled(path: Path, text: str | None = None) -> Compiled:
    if text is not None:
        path.write_text(text, "utf-8")
    made = compile_script(path, path.name)
    assert made.score is not None, as_text(made.bag.ordered())
    return made


def guide(made: Compiled) -> Guide:
    assert made.program and made.plan and made.score and made.loaded
    return guide_of(made.program, made.plan, made.score, made.loaded.modules[made.loaded.main])


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache folder for all tests that do not ask what is drawn."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def pages(kept: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, str]]:
    """The page of the script above in each language; its pictures are drawn once."""
    place = tmp_path_factory.mktemp("guide")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CAVATA_CACHE", str(kept))
        found = guide(compiled(place / "lantern.cavata", SCRIPT))
        made = {}
        for code in languages():
            telling = Telling(found, language(code))
            media = media_of(examples_of(telling.chapters()), lambda said: None)
            assert not isinstance(media, Failure), media
            made[code] = guide_html(found, telling, media)
        yield made


# ------------------------------------------------------------------ the words of every language


@cache
def messages(code: str) -> Mapping[str, Message]:
    """Every text of a file of words; each line of it belongs to one."""
    source = resources.files("cavata.tell").joinpath("words", f"{code}.ftl").read_text("utf-8")
    read = FluentParser().parse(source).body
    assert [entry.content for entry in read if isinstance(entry, Junk)] == []
    found = [entry for entry in read if isinstance(entry, Message)]
    assert len({message.id.name for message in found}) == len(found)
    return {message.id.name: message for message in found}


class _Named(Visitor):
    """What a text has filled in, and which other texts it takes in."""

    def __init__(self) -> None:
        self.blanks: set[str] = set()
        self.texts: set[str] = set()

    def visit_VariableReference(self, node: VariableReference) -> None:
        self.blanks.add(node.id.name)

    def visit_MessageReference(self, node: MessageReference) -> None:
        self.texts.add(node.id.name)


def blanks(code: str, key: str) -> set[str]:
    """What a text has filled in, with the texts that it takes in."""
    named = _Named()
    named.visit(messages(code)[key])
    return named.blanks.union(*(blanks(code, text) for text in named.texts))


def test_players_of_one_kind_are_told_together(tmp_path: Path) -> None:
    """As on the title page, but small as in a sentence; entries with commas of their own are parted by semicolons."""
    rows = "".join(f"    {name}\n" for name in (
        "h1 = horn", "h2 = horn", "alone = viola, soloist", "t = triangle", "w = whip", "v1 = violins", "v2 = violins",
    ))  # fmt: skip
    script = f'language 2\nforces\n{rows}staff set "Percussion" = t, w\nmovement first\n    h1: notes(1/1 D4)\n'
    told = guide(compiled(tmp_path / "piece.cavata", script))
    assert told.forces == (
        "2 horns in F", "solo viola", "Percussion (triangle, whip)", "violins I, II",
    )  # fmt: skip


def test_there_are_five_languages() -> None:
    assert set(languages()) == {"en", "de", "fr", "it", "es"}


@pytest.mark.parametrize("code", languages())
def test_language_has_every_text(code: str) -> None:
    """Only what a text is put together from differs between languages."""
    of_their_own = {"note-letter"}
    assert set(messages(code)) - of_their_own == set(messages("en")) - of_their_own


CHOSEN = {
    "list-and": {"before"}, "mode": {"small-tonic"}, "selection-": {"case"}, "thing-": {"case"},
    "combination-": {"listed", "capital"}, "program-name": {"count"},
}  # fmt: skip
"""What the compiler gives besides what English fills in, by how texts begin: by these a language may choose."""


@pytest.mark.parametrize("code", languages())
def test_blanks_of_a_text_are_those_of_english(code: str) -> None:
    """A blank that English has not cannot be filled in. Steps are looked at below."""
    for key in messages(code).keys() & messages("en").keys():
        given = set[str]().union(*(names for begins, names in CHOSEN.items() if key.startswith(begins)))
        if not key.startswith("step-"):
            assert blanks(code, key) <= blanks("en", key) | given, key


@pytest.mark.parametrize("code", languages())
def test_every_step_of_the_kernel_has_its_sentence(code: str) -> None:
    patterns = [transform for group in TRANSFORMS.values() for transform in group] + list(LENGTHS.values())
    steps = {text_key("step", transform.pattern): transform for transform in patterns}
    assert len(steps) == len(patterns)
    there = {key for key in messages(code) if key.startswith("step-")}
    assert set(steps) == there, f"each has its sentence in tell/words/{code}.ftl"
    for key, transform in steps.items():
        arguments = {name for name in blanks_of(transform.parts) if name != "count"}
        values: dict[str, object] = {name: f"<{name}>" for name in arguments}
        values |= {f"{name}-{case}": f"<{name}>" for name in arguments for case in CASES}
        for count in (1, 2, 5):
            said = language(code).text(key, **values, count=count)
            assert said.endswith(".") and said[0].isupper(), key
    there = {key for key in messages(code) if key.startswith("combination-")}
    assert there == {text_key("combination", word) for word in COMBINATIONS}


@pytest.mark.parametrize(
    ("code", "key", "one", "several"),
    [
        ("en", "step-first-count", "Only its first note is taken.", "Only its first 4 notes are taken."),
        ("en", "talk-more", "and once more", "and 4 times more"),
        ("de", "step-rotated-count", "Es beginnt anderswo: Ein Ton wandert vom Anfang ans Ende.",
         "Es beginnt anderswo: 4 Töne wandern vom Anfang ans Ende."),
        ("fr", "step-last-count", "On ne prend que la dernière note.", "On ne prend que les 4 dernières notes."),
        ("it", "step-x-count", "Si sente una volta.", "Si sente 4 volte."),
        ("es", "talk-more", "y otra vez", "y otras 4 veces"),
    ],
)  # fmt: skip
def test_one_is_told_otherwise_than_several(code: str, key: str, one: str, several: str) -> None:
    """Source: the plural rules of the Unicode CLDR for these languages (1 is `one`, 4 is `other` or `many`)."""
    assert [language(code).text(key, count=count) for count in (1, 4)] == [one, several]


def test_thousands_are_written_without_a_sign() -> None:
    assert language("en").text("place-bar", bar=1234) == "bar 1234"


@pytest.mark.parametrize(
    ("case", "said"),
    [("nominative", "jeder Ton"), ("dative", "jedem Ton"), ("accusative", "jeden Ton")],
)  # fmt: skip
def test_german_notes_have_cases(case: Case, said: str) -> None:
    """Source: German grammar (common practice)."""
    assert language("de").text("selection-every", case=case) == said


ARGUMENTS = {
    "COUNT": "2", "RATIO": "3:2", "DURATION": "1/4", "INTERVAL": "m3", "PITCH": "F#4", "CLASS": "F#", "RANGE": "C3..C5",
    "MODE": "D minor", "RHYTHM": "walk", "NOTES": "1 last", "MARKINGS": 'p staccato "calm"', "DYNAMIC": "mf",
    "SPAN": "1/2", "MOTIF": "glint", "PARTS": "violin cello", "TEXT": '"Hed-da"', "INSTRUMENT": "viola",
}  # fmt: skip


@pytest.mark.parametrize("code", languages())
def test_sentence_of_a_step_has_its_arguments_in_words(code: str, tmp_path: Path) -> None:
    """Every pattern with arguments of its kinds; what a step makes of the line is not asked here."""
    patterns = [transform.pattern for group in TRANSFORMS.values() for transform in group]
    bare = [[word.strip("[]") for word in pattern.split()] for pattern in patterns]
    texts = [" ".join(ARGUMENTS.get(word, word.split("|")[0]) for word in words) for words in bare]
    script = (
        "language 2\nrhythm walk = (1/4)\nmotif glint = notes(1/4 D4 E4)\nforces\n    violin = violin\n"
        "    cello = cello\n"
        + "".join(f"motif step{number} = glint -> {text}\n" for number, text in enumerate(texts))
    )
    path = tmp_path / "steps.cavata"
    path.write_text(script, "utf-8")
    program = compile_script(path, path.name).program
    assert program is not None
    phrases = Phrases(language(code), {})
    told: set[str] = set()
    for definition in program.definitions:
        if isinstance(definition, p.ValueDefinition) and isinstance(definition.value, p.BoundChain):
            for link in definition.value.links:
                assert isinstance(link, p.Apply)
                said = phrases.step(link)
                told.add(link.transform.pattern)
                assert "{" not in said and "=" not in said and "None" not in said and "  " not in said, said
    assert told == set(patterns)


@pytest.mark.parametrize("code", languages())
def test_every_cipher_of_the_library_is_explained_in_a_sentence(code: str) -> None:
    text = (folder("stdlib") / "ciphers.cavata").read_text("utf-8")
    told = {text_key("library-cipher", name) for name in re.findall(r"^cipher (\w+)", text, re.MULTILINE)}
    assert {key for key in messages(code) if key.startswith("library-cipher-")} == told


@pytest.mark.parametrize("code", ["french", "italian", "spanish"])
def test_notes_have_the_names_of_solmization(code: str) -> None:
    """Source: music21's names of pitches in these languages; double sharps and flats are told there by other words."""
    from music21.pitch import Pitch as Pitch21

    from cavata.music.pitch import parse_pitch_class

    words = language({"french": "fr", "italian": "it", "spanish": "es"}[code])
    for letter in "CDEFGAB":
        for sign in ("", "#", "b"):
            theirs = getattr(Pitch21(f"{letter}{sign.replace('b', '-')}"), code)
            assert note_name(parse_pitch_class(f"{letter}{sign}"), words) == theirs


def test_notes_and_intervals_have_the_names_of_the_language() -> None:
    """Source: the German and English names of notes and intervals (common practice; LilyPond's deutsch)."""
    from cavata.music.mode import Mode
    from cavata.music.pitch import Interval, parse_pitch_class

    en, de = language("en"), language("de")
    german = ["C", "Cis", "Des", "Es", "E", "Fis", "As", "B", "H", "His", "Heses", "Asas", "Eses", "Cisis"]
    written = ["C", "C#", "Db", "Eb", "E", "F#", "Ab", "Bb", "B", "B#", "Bbb", "Abb", "Ebb", "C##"]
    assert [note_name(parse_pitch_class(note), de) for note in written] == german
    assert [note_name(parse_pitch_class(n), en) for n in ("F#", "Bb", "C##")] == ["F sharp", "B flat", "C double sharp"]
    assert interval_in_words(Interval(2, 3), en) == "a minor third"
    assert interval_in_words(Interval(3, 6), de) == "eine übermäßige Quarte"
    assert mode_in_words(Mode(parse_pitch_class("Eb"), "minor"), de) == "es-Moll"


@pytest.mark.parametrize(
    ("code", "last", "joint"),
    [
        ("es", "Isolda", "e"), ("es", "«Inés»", "e"), ("es", "Hilda", "e"), ("es", "Íñigo", "e"),
        ("es", "hierro", "y"), ("es", "Ian", "y"), ("es", "Yolanda", "y"), ("es", "Elsa", "y"),
        ("it", "Isolda", "e"), ("fr", "Isolde", "et"),
    ],
)  # fmt: skip
def test_a_list_is_joined_by_the_word_that_sounds_well(code: str, last: str, joint: str) -> None:
    """Source: Real Academia Española, Diccionario panhispánico de dudas, `y` (from memory)."""
    assert language(code).listed(["Corwen", last]) == f"Corwen {joint} {last}"
    assert language(code).listed([last]) == last


# ------------------------------------------------------------------ what is told


def test_names_and_themes_stand_in_the_order_of_first_hearing(tmp_path: Path) -> None:
    """`reply` of Corwen begins the piece, `hail` of Tamsin follows; `both` comes at bar 6, 20 s in, then `tide`."""
    found = guide(compiled(tmp_path / "lantern.cavata", SCRIPT))
    assert [name.called for name in found.names] == ["Corwen", "Tamsin"]
    assert [theme.identity.name for theme in found.themes] == ["reply", "hail", "both"]
    assert [tune.identity.name for tune in found.tunes] == ["tide"]
    assert found.themes[2].first.clock == "0:20" and found.themes[2].first.bar == 6
    assert found.themes[2].names == ("Tamsin", "Corwen")


@pytest.mark.parametrize("name", ["three-watches", "monograms"])
def test_last_step_of_a_derivation_is_the_theme(name: str) -> None:
    """Source: the evaluator's own value of the motif, and of a name its line."""
    made = compiled(folder("examples") / name / f"{name}.cavata")
    found = guide(made)
    assert made.plan is not None
    assert found.names
    for theme in (*found.themes, *found.tunes):
        assert theme.steps[-1].value == made.plan.values[theme.identity]
        assert theme.steps[0].begins and not any(step.begins for step in theme.steps[1:])
    for told in found.names:
        assert told.line == made.plan.values[told.identity]


def test_steps_are_told_in_their_order(tmp_path: Path) -> None:
    found = guide(compiled(tmp_path / "lantern.cavata", SCRIPT))
    chapters = {chapter.key: chapter for chapter in Telling(found, language("en")).chapters()}
    hail = next(topic for topic in chapters["themes"].topics if topic.title == "Hail")
    (steps,) = [block for block in hail.blocks if isinstance(block, Derivation)]
    assert [step.text for step in steps.steps] == [
        "It begins as the name Tamsin.",
        "The composer raises note 1 by a semitone.",
        "It is moved by whole octaves, to begin on a higher or lower F sharp.",
        "It takes on a rhythm of a dotted quarter note, an eighth note and a quarter note.",
        "The composer marks it p.",
    ]
    assert [step.example is not None for step in steps.steps] == [False, True, True, True, False]


@pytest.mark.parametrize(
    ("letters", "step", "said", "told"),
    [
        ("EG", "sharp 1", "The composer raises note 1 by a semitone.", [("E", "raised")]),
        ("BG", "sharp 1", "The composer raises note 1 by a whole tone.", [("B", "raised")]),
        ("BG", "raised 1", "The composer raises note 1 by a semitone.", [("B", "raised")]),
        ("SE", "flat 1 2", "The composer gives note 1 and note 2 a flat.", [("E", "lowered")]),
        ("SE", "lowered 2", "The composer lowers note 2 by a semitone.", [("E", "lowered")]),
        ("BE", "sharp 1 2", "The composer gives note 1 and note 2 a sharp.", [("B", "raised"), ("E", "raised")]),
    ],
)
def test_what_is_said_of_inflections_is_true(
    letters: str, step: str, said: str, told: list[tuple[str, str]], tmp_path: Path
) -> None:
    """B and S are B flat and E flat: a sharp lifts them by a whole tone, a flat leaves them. By counting."""
    script = (
        f'language 2\nuse german from ciphers\nname anna = "{letters}" by german\nmotif hail = anna -> {step}\n'
        "forces\n    violin = violin\nmovement first\n    violin: hail\n"
    )
    made = compiled(tmp_path / "piece.cavata", script)
    found = guide(made)
    chapters = {chapter.key: chapter for chapter in Telling(found, language("en")).chapters()}
    (steps,) = [block for block in chapters["themes"].topics[0].blocks if isinstance(block, Derivation)]
    assert steps.steps[1].text == said
    assert sorted(found.names[0].inflections) == told


def test_letters_silent_or_read_as_one_stand_over_their_notes(tmp_path: Path) -> None:
    """SCHARN with SCH as one E flat, and a Y that has no note."""
    script = (
        'language 2\ncipher own\n    letters A..N onto A B C D E F G\n    "SCH" = Eb\n    R = rest\n'
        '    other letters silent\nname skerry = "SCHARYN" by own\nforces\n    violin = violin\n'
        "movement first\n    violin: skerry\n"
    )
    found = guide(compiled(tmp_path / "piece.cavata", script))
    chapters = {chapter.key: chapter for chapter in Telling(found, language("en")).chapters()}
    letters = chapters["names"].topics[0].blocks[0]
    assert letters.pairs == (("SCH", "E flat"), ("A", "A"), ("R", ""), ("Y", ""), ("N", "G"))  # type: ignore[union-attr]


@pytest.mark.parametrize("code", languages())
def test_the_short_version_tells_of_every_name_in_150_words(code: str, tmp_path: Path) -> None:
    """What it says of notes and of how often the names sound is what the index says; source: the index of names,
    which is tried against the score elsewhere. 150 words: what a printed program has room for."""
    found = guide(compiled(tmp_path / "lantern.cavata", SCRIPT))
    words = language(code)
    chapter = Telling(found, words).chapters()[0]
    (said,) = (block.text for topic in chapter.topics for block in topic.blocks if hasattr(block, "text"))
    assert chapter.key == "program" and 20 < len(said.split()) <= 150
    total = sum(len(name.entries) for name in found.index.names)
    assert re.search(rf"(?<!\d){total}(?!\d)", said)
    for name in found.names:
        heads = [event.heads[0].pitch.pitch_class for event in name.line.events if event.heads]
        assert name.called in said and words.listed([note_name(note, words) for note in heads]) in said


FIRST = {
    "en": "The piece lasts about 0:38 and is written for solo violin, Far cello and horn in F.",
    "de": "Das Stück dauert etwa 0:38 und ist geschrieben für Violine solo, Far cello und Horn in F.",
    "es": "La obra dura alrededor de 0:38 y está escrita para violín solo, Far cello y trompa en fa.",
    "fr": "L’œuvre, qui dure environ 0:38, est écrite pour violon solo, Far cello et cor en fa.",
    "it": "Il pezzo dura circa 0:38 ed è scritto per violino solo, Far cello e corno in Fa.",
}


@pytest.mark.parametrize("code", languages())
def test_the_short_version_names_the_players_in_the_language_of_the_guide(code: str, tmp_path: Path) -> None:
    """Whatever `names in` says; a name that the composer gave stays. Source: common practice of these languages."""
    script = SCRIPT.replace("    cello  = cello\n", '    cello  = cello, called "Far cello"\n    horn   = horn\n')
    made = compiled(tmp_path / "lantern.cavata", script.replace('    length ', '    names in Italian\n    length '))
    assert made.program and made.plan and made.score and made.loaded
    words = language(code)
    tree = made.loaded.modules[made.loaded.main]
    found = guide_of(made.program, made.plan, named_in(made.score, words), tree)
    said = getattr(Telling(found, words).chapters()[0].topics[0].blocks[0], "text", "")
    assert said.startswith(FIRST[code]), said


def test_a_percussionist_is_called_after_what_he_has_in_the_language_of_the_guide(tmp_path: Path) -> None:
    forces = "forces\n    t = triangle\n    w = whip\n    flute = flute\nstaff set = t, w\n"
    script = f"{SCRIPT.partition('forces')[0]}{forces}movement first\n    flute: tamsin\n"
    score = compiled(tmp_path / "piece.cavata", script).score
    assert score is not None
    named = named_in(score, language("it"))
    assert [staff.label for staff in named.shared] == ["Triangolo, Frusta"]
    kept = compiled(tmp_path / "piece.cavata", script.replace("staff set", 'staff set "Lamps"')).score
    assert kept is not None and named_in(kept, language("it")).shared[0].label == "Lamps"


REPEATED = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
forces
    violin = violin
movement first
    meter 4/4
    tempo 1/4 at 60
    section a 2 bars
        repeated 3 times
        violin: tamsin
    section b 2 bars
        violin: tamsin -> retrograde
"""


def told(script: str, path: Path, code: str = "en") -> list[str]:
    """All that is told in sentences and lists."""
    telling = Telling(guide(compiled(path, script)), language(code))
    blocks = [block for chapter in telling.chapters() for topic in chapter.topics for block in topic.blocks]
    return [text for block in blocks for text in (getattr(block, "text", None), *getattr(block, "rows", ())) if text]


def test_what_is_repeated_counts_each_time_that_it_is_heard(tmp_path: Path) -> None:
    """Three times forward and once backward, by counting; a talk has all three times, 8 s apart."""
    said = told(REPEATED, tmp_path / "piece.cavata")
    assert "Heard 4 times, repeats counted. How it is heard:" in said
    assert {"in its original form: 3", "in retrograde: 1"} <= set(said)
    assert "In all, the names sound 4 times." in said[0]
    once = told(REPEATED.replace("        repeated 3 times\n", ""), tmp_path / "piece.cavata")
    assert "Heard twice. How it is heard:" in once
    found = guide(compiled(tmp_path / "piece.cavata", REPEATED))
    telling = Telling(found, language("en"))
    assert places_in_words(talk_of(found, telling)[0].places, telling) == ("0:00, 0:08 and 0:16, First, bar 1",)


def test_how_a_cipher_goes_is_said_at_the_first_name_that_is_read_by_it(tmp_path: Path) -> None:
    names = 'name hedda = "HEDDA" by german\nname corwen = "CORWEN" by french\nname dag = "DAG" by german\n'
    script = REPEATED.replace("name tamsin", f"use german from ciphers\n{names}name tamsin", 1)
    said = told(f"{script}    section c\n        violin: hedda, corwen, dag\n", tmp_path / "piece.cavata")
    for begins in ("The letters are written out under the seven notes", "Each letter that names a note in German"):
        assert sum(each.startswith(begins) for each in said) == 1


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("cadenza alone\n    tempo 1/4 at 60\n    violin: tamsin\n",
         "It lasts about 0:06; that is an estimate, since the players decide."),
        ("movement first\n    tempo 1/4 at 60\n    violin: tamsin\ncadenza alone\n    violin: tamsin\n",
         "It lasts about 0:14; 0:06 of that is an estimate, since the players decide there."),
        ("movement first\n    tempo 1/4 at 60\n    violin: tamsin\n", "It lasts about 0:08."),
    ],
)  # fmt: skip
def test_what_is_an_estimate_is_said_once(rows: str, said: str, tmp_path: Path) -> None:
    head = REPEATED.partition("movement")[0]
    assert said in told(head + rows, tmp_path / "piece.cavata")


@pytest.mark.parametrize("code", languages())
def test_a_short_version_of_eight_names_tells_of_each(code: str, tmp_path: Path) -> None:
    """None is left out for want of room: where they are many, each is told in fewer words."""
    names = ("Isolde", "Hugo", "Anais", "Olafur", "Odette", "Corwen", "Tamsin", "Rosalba")
    script = "language 2\nuse french from ciphers\n" + "".join(
        f'name {name.lower()} = "{name}" by french\n' for name in names
    ) + "forces\n    violin = violin\nmovement first\n    violin: " + ", ".join(names).lower() + "\n"
    said = told(script, tmp_path / "piece.cavata", code)[0]
    words = language(code)
    found = guide(compiled(tmp_path / "piece.cavata"))
    for name in found.names:
        notes = [note_name(event.heads[0].pitch.pitch_class, words) for event in name.line.events]
        assert f"{name.called}" in said and words.listed(notes) in said
    assert len(said.split()) <= 150


SPOKEN = """\
language 2
use french from ciphers
name tamsin = "TAMSIN" by french
motif hail = tamsin -> marked sul_ponticello "dolce" -> sung "o a o a o a"
forces
    violin = violin
movement first
    violin: hail
"""


def test_a_theme_of_two_themes_is_shown_whole_in_guide_and_talk(tmp_path: Path) -> None:
    """What is joined is nowhere else: it has a picture, and the talk says what it is joined of."""
    row = "    violin: hail, reply, home\n"
    script = SPOKEN.replace("    violin: hail\n", row).replace("forces", "motif reply = tamsin -> retrograde\n"
                            "motif home = hail + reply\nforces")  # fmt: skip
    found = guide(compiled(tmp_path / "piece.cavata", script))
    telling = Telling(found, language("en"))
    shown = examples_of(telling.chapters())
    items = talk_of(found, telling)
    assert all(item.value in shown for item in items)
    (home,) = (item for item in items if item.title == "Home")
    assert home.sentence == "It begins as the theme ‘hail’. Then follows the theme ‘reply’."


def test_the_remark_on_a_piece_is_told(tmp_path: Path) -> None:
    remarked = REPEATED.replace("language 2\n", 'language 2\npiece "X"\n    remark "A year of letters."\n')
    assert "The composer: “A year of letters.”" in told(remarked, tmp_path / "piece.cavata")


@pytest.mark.parametrize(
    ("code", "quoted"),
    [
        ("en", "“dolce”"), ("de", "„dolce“"), ("es", "«dolce»"), ("fr", "«\u00a0dolce\u00a0»"), ("it", "«dolce»"),
    ],
)  # fmt: skip
def test_words_are_quoted_as_the_language_does_and_no_id_is_shown(code: str, quoted: str, tmp_path: Path) -> None:
    """Source: the usual quotation marks of each language, common practice."""
    telling = Telling(guide(compiled(tmp_path / "piece.cavata", SPOKEN)), language(code))
    blocks = [block for chapter in telling.chapters() for topic in chapter.topics for block in topic.blocks]
    (steps,) = (block.steps for block in blocks if isinstance(block, Derivation))
    said = " ".join(step.text for step in steps)
    assert quoted in said and "sul ponticello" in said and "_" not in said


def test_a_short_version_of_many_names_ends_with_a_whole_sentence(tmp_path: Path) -> None:
    """Forty names; the last sentence that does not fit is left out."""
    names = [f"{first}{second}" for first in "ABCDEFGH" for second in ("ADE", "EGA", "BED", "CAF", "DAG")]
    script = "language 2\nuse german from ciphers\n" + "".join(
        f'name n{number} = "{name}" by german\n' for number, name in enumerate(names)
    ) + "forces\n    violin = violin\nmovement first\n    violin: " + ", ".join(f"n{n}" for n in range(40)) + "\n"
    chapter = Telling(guide(compiled(tmp_path / "piece.cavata", script)), language("en")).chapters()[0]
    said = getattr(chapter.topics[0].blocks[0], "text", "")
    assert 100 < len(said.split()) <= 150 and said.endswith(".")


def test_page_has_the_map_and_names_in_its_colors(tmp_path: Path) -> None:
    """Colors by their numbers on the map. Source: the palette of Okabe and Ito, `score/colors.py`."""
    found = guide(compiled(tmp_path / "lantern.cavata", SCRIPT))
    telling = Telling(found, language("en"))
    page = guide_html(found, telling, Media({}, {}), "<svg/>")
    assert page.count('<figure class="map">') == 1 and "data:image/svg+xml,%3Csvg/%3E" in page
    heard = [name.name for name in found.index.names if name.entries]
    for name in found.names:
        color = PALETTE[heard.index(name.identity.name)]
        assert re.search(rf'<article style="--ink: {color};[^>]*>\s*<h3>{name.called}</h3>', page)


def test_piece_without_names_has_a_guide(tmp_path: Path) -> None:
    script = "language 2\nmotif tide = notes(1/4 D4)\nforces\n    violin = violin\nmovement first\n    violin: tide\n"
    found = guide(compiled(tmp_path / "piece.cavata", script))
    chapters = Telling(found, language("en")).chapters()
    assert [chapter.key for chapter in chapters] == ["piece", "tunes"]
    assert any(getattr(b, "text", "").startswith("No name became notes") for b in chapters[0].topics[0].blocks)


UNDERSCORED = """\
language 2
piece "Tide"
cipher my_own "of the tide"
    letters A..G onto A B C D E F G
mode low_mode = D E F G A Bb C
name tide_out = "BADE" by my_own
transform first_half(the_line) = the_line -> first 2
rhythm slow_walk = (1/4. 1/8)
motif out_again = tide_out -> in slow_walk -> step up 1 in low_mode -> first_half
motif on_shore = notes(1/4 D4 E4) -> voiced across far_one near_one
motif both_ways = weave(out_again, tide_out) -> as chord
forces
    far_one = violin
    near_one = viola
movement low_water
    section ebb_tide
        far_one: out_again, both_ways
    section flood_tide
        far_one, near_one: on_shore
"""


@pytest.mark.parametrize("code", languages())
def test_guide_calls_nothing_as_only_the_script_does(code: str, tmp_path: Path) -> None:
    """Who reads it never saw the script: identifiers are told as people read them, `tide_out` as tide out."""
    found = guide(compiled(tmp_path / "tide.cavata", UNDERSCORED))
    told = repr(Telling(found, language(code)).chapters())
    texts = re.findall(r"(?:text|title|caption|said|listen)='([^']*)'", told) + re.findall(r"rows=\(([^)]*)\)", told)
    assert any("out again" in text for text in texts) and any("Low water" in text for text in texts)
    assert [text for text in texts if re.search(r"[^\W\d]_[^\W\d]", text)] == []


# ------------------------------------------------------------------ the page


@pytest.mark.parametrize("code", languages())
def test_page_is_html_that_a_strict_parser_takes(code: str, pages: dict[str, str]) -> None:
    """Source: html5lib, strict, after the WHATWG HTML standard."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    tree = parser.parse(pages[code])
    assert tree.get("lang") == code


def parsed(page: str) -> Any:
    return html5lib.parse(page, namespaceHTMLElements=False)


def test_whatever_the_script_says_is_text(pages: dict[str, str]) -> None:
    for page in pages.values():
        tree = parsed(page)
        ours = resources.files("cavata.tell.guide").joinpath("guide.js").read_text("utf-8")
        assert [(found.text or "").strip() for found in tree.iter("script")] == [ours.strip()]
        assert len(list(tree.iter("h1"))) == 1
        assert all(image.get("onerror") is None for image in tree.iter("img"))
        said = " ".join("".join(tree.itertext()).split())
        assert "for “Tamsin”" in said  # the quotes of print
        said = said.translate(dict.fromkeys(map(ord, "“”„"), '"') | dict.fromkeys(map(ord, "‘’‚"), "'"))
        for written in (
            "Lantern <script>alert(1)</script>", "A. & B. <i>Composer</i>", 'for "Tamsin"',
            "<img src=x onerror=alert(2)> & 'always' falls home", "</p></section><h1>No heading</h1>", "First & last",
        ):  # fmt: skip
            assert written in said


def test_page_holds_everything_it_needs(pages: dict[str, str]) -> None:
    for page in pages.values():
        tree = parsed(page)
        ids = [element.get("id") for element in tree.iter() if element.get("id")]
        assert len(ids) == len(set(ids))
        for element in tree.iter():
            for attribute in ("src", "href"):
                leads = element.get(attribute)
                if leads is not None:
                    assert leads.startswith("data:") or leads[1:] in ids, leads
        assert "http" not in re.sub(r"data:[^\"]*", "", page) and "@import" not in page


def test_page_can_be_read_by_those_who_do_not_see_it(pages: dict[str, str]) -> None:
    """Headings in order, landmarks, and the notes of every picture in words. Source: WCAG 2.2, 1.1.1 and 1.3.1."""
    tree = parsed(pages["en"])
    levels = [int(e.tag[1]) for e in tree.iter() if isinstance(e.tag, str) and re.fullmatch(r"h[1-6]", e.tag)]
    assert levels[0] == 1 and all(after - before <= 1 for before, after in zip(levels, levels[1:], strict=False))
    assert all(len(list(tree.iter(landmark))) == 1 for landmark in ("header", "nav", "main", "footer"))
    images = list(tree.iter("img"))
    assert len(images) >= 8
    assert all(re.search(r"\b[A-G]\b", image.get("alt", "")) for image in images)
    assert images[0].get("alt") == "Corwen as notes: C is C; O is A; R is D; W is B; E is E; N is G."
    sounds = list(tree.iter("audio"))
    assert all(sound.get("aria-label") for sound in sounds) and len(sounds) in (0, len(images))


def test_colors_of_the_page_have_contrast() -> None:
    """4.5 to 1 and more on white. Source: WCAG 2.2, 1.4.3, with its formula for luminance."""
    css = (folder("compiler") / "cavata" / "tell" / "guide" / "guide.css").read_text("utf-8")

    def luminance(color: str) -> float:
        parts = [int(color[place : place + 2], 16) / 255 for place in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    colors = re.findall(r"(?<![-\w])color: (#[0-9a-f]{6})", css)
    assert len(colors) >= 4
    assert all(1.05 / (luminance(color) + 0.05) >= 4.5 for color in colors)


# ------------------------------------------------------------------ the command


def test_command_writes_page_and_pdf_and_the_second_time_draws_nothing(
    tmp_path: Path, kept: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(kept))
    script = tmp_path / "lantern.cavata"
    script.write_text(SCRIPT, "utf-8")
    assert main(["guide", str(script), "--language", "de"]) == 0
    page, pdf = (Path(line) for line in capsys.readouterr().out.splitlines())
    assert (page.name, pdf.name) == ("lantern-guide.html", "lantern-guide.pdf")
    first = page.read_bytes(), pdf.read_bytes()
    assert first[1].startswith(b"%PDF-") and b'lang="de"' in first[0]

    def draws_nothing(*_: object, **__: object) -> None:
        raise AssertionError("it was drawn before")

    monkeypatch.setattr(pictures, "engrave", draws_nothing)
    monkeypatch.setattr("cavata.tell.guide.tagged_pdf.typeset", draws_nothing)
    assert main(["guide", str(script), "--language", "de"]) == 0
    assert (page.read_bytes(), pdf.read_bytes()) == first


@pytest.mark.parametrize("tagged", [True, False])
def test_pdf_is_tagged_where_typst_is_and_else_set_by_lilypond(
    tagged: bool, tmp_path: Path, kept: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Source: ISO 32000-1, 14.8: a tagged PDF has a tree of its structure, says so, and says its language."""
    monkeypatch.setenv("CAVATA_CACHE", str(kept))
    monkeypatch.setattr("cavata.tell.guide.tagged_pdf.can_be_tagged", lambda: tagged)
    script = tmp_path / "lantern.cavata"
    script.write_text(SCRIPT, "utf-8")
    assert main(["guide", str(script), "--language", "de"]) == 0
    reader = PdfReader(tmp_path / "lantern-guide.pdf")
    root, text = reader.trailer["/Root"], " ".join("".join(page.extract_text() for page in reader.pages).split())
    assert ("/StructTreeRoot" in root) == tagged and (root.get("/Lang") == "de") == tagged
    assert "Für das Programmheft" in text and "Die Namen" in text
    if tagged:
        said = alts(reader)
        assert any(" in Tönen: " in one for one in said) and any("Die Zeit läuft" in one for one in said)


def alts(reader: PdfReader) -> list[str]:
    """The words that stand for pictures in the structure of a PDF."""
    found, waiting = [], [reader.trailer["/Root"]["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop()
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            waiting += node
        elif isinstance(node, dict):
            found += [str(node["/Alt"])] if "/Alt" in node else []
            waiting += [node["/K"]] if "/K" in node else []
    return found


@pytest.mark.parametrize(("piece", "close"), [("the-long-night", True), ("three-watches", False)])
def test_a_booklet_has_eight_pages_at_most(piece: str, close: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """What does not fit is set closer, and nothing is left out. Eight: two sheets of A4, folded; a choice of ours.

    In the place of every picture is an empty one, 11 cm by 28 mm, as most of them are.
    """
    pytest.importorskip("typst")
    found = guide(compiled(folder("examples") / piece / f"{piece}.cavata"))
    telling = Telling(found, language("en"))
    examples = examples_of(telling.chapters())
    empty = '<svg xmlns="http://www.w3.org/2000/svg" width="110mm" height="28mm" viewBox="0 0 110 28"/>'
    media = Media(dict.fromkeys(examples, pictures.Picture(empty.encode(), "", ())), {})
    square = '<svg xmlns="http://www.w3.org/2000/svg" width="110mm" height="110mm" viewBox="0 0 110 110"/>'
    for name in ("kept", "keep"):
        monkeypatch.setattr(tagged_pdf, name, lambda *_: None)
    made = tagged_pdf.tagged_pdf(found, telling, examples, media, square, Engraver.LILYPOND)
    assert not isinstance(made, Failure)
    pages = PdfReader(BytesIO(made.files[0].data)).pages
    assert 4 <= len(pages) <= tagged_pdf.MOST_PAGES
    assert all(len(page.extract_text().split()) > 20 for page in pages), "no page for a line that is left over"
    wide, closer = (tagged_pdf.guide_document(found, telling, examples, is_close) for is_close in (False, True))
    typeset = typesetting.typeset(wide, tagged_pdf.guide_pictures(examples, media, square), "pdf")
    assert (len(PdfReader(BytesIO(typeset[0])).pages) > tagged_pdf.MOST_PAGES) == close
    for sign in ("heading(level: 3", "image(", "alt: "):
        assert wide.count(sign) == closer.count(sign) > 10
    said = re.compile(r'"[^"\\]*"')
    words = [{word for text in said.findall(page) for word in text.strip('"').split()} for page in (wide, closer)]
    assert words[0] == words[1]


@pytest.mark.parametrize("engraver", list(Engraver))
def test_every_note_head_has_its_place_and_time(
    engraver: Engraver, tmp_path: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two lines, a chord, a tuplet, a note that is held over: heads by counting, times at 72 quarters a minute."""
    monkeypatch.setenv("CAVATA_CACHE", str(kept))
    if engraver is Engraver.VEROVIO:
        pytest.importorskip("verovio")
    lines = (
        "notes(1/4 C4, 1/12 D4 E4 F4, 1/4 chord(E4 G4 C5))", "notes(5/8 G3, 1/8 A3)",
    )  # fmt: skip
    script = SCRIPT.partition("forces")[0] + f"motif pair = together({', '.join(lines)})\nforces\n    piano = piano\n"
    made = compiled(tmp_path / "pair.cavata", f"{script}movement first\n    piano: tamsin\n")
    assert made.plan is not None
    value = next(value for identity, value in made.plan.values.items() if identity.name == "pair")
    assert isinstance(value, Texture)
    (picture,) = pictures.pictures([example_of(value, engraver)], lambda said: None).values()  # type: ignore[union-attr]
    quarter = 60 / 72
    begins = [(head.begin / quarter, round((head.end - head.begin) / quarter, 2)) for head in picture.lit]
    upper = [(0, 1), (1, 0.33), (1.33, 0.33), (1.67, 0.33), (2, 1), (2, 1), (2, 1)]
    lower = [(0, 2), (2, 0.5), (2.5, 0.5)]  # five eighths are written as a half note tied to an eighth
    assert sorted((round(at, 2), long) for at, long in begins) == sorted(upper + lower)
    assert all(0 < head.x < 1 and 0 < head.y < 1 for head in picture.lit)
    columns = {round(head.begin, 1): head.x for head in picture.lit}
    assert sorted(columns.values()) == [columns[moment] for moment in sorted(columns)]


def test_picture_is_as_high_as_its_music(tmp_path: Path, kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A staff of five lines with letters and ledger lines, or two such: 1 to 7 cm; 1 cm are 28.3 points."""
    monkeypatch.setenv("CAVATA_CACHE", str(kept))
    telling = Telling(guide(compiled(tmp_path / "lantern.cavata", SCRIPT)), language("en"))
    drawn = pictures.pictures(list(examples_of(telling.chapters()).values()), lambda said: None)
    assert not isinstance(drawn, Failure)
    for picture in drawn.values():
        size = re.search(rb'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', picture.svg)
        assert size is not None
        assert float(size[1]) == pytest.approx(110 / 25.4 * 72, abs=2) and 28 < float(size[2]) < 200


def test_only_what_is_new_is_drawn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    drawn: list[int] = []

    def counting(text: str, *given: Any, **named: Any) -> Any:
        drawn.append(text.count("\\book\n"))
        return engrave(text, *given, **named)

    monkeypatch.setattr(pictures, "engrave", counting)
    for script in (SCRIPT, "-- moved down by a line\n" + SCRIPT, SCRIPT.replace("first 4", "first 3")):
        telling = Telling(guide(compiled(tmp_path / "lantern.cavata", script)), language("en"))
        assert not isinstance(pictures.pictures(list(examples_of(telling.chapters()).values()), print), Failure)
    assert len(drawn) == 2 and drawn[0] > 8 and drawn[1] == 1


def test_without_the_extra_there_is_no_sound(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    monkeypatch.setitem(sys.modules, "midirenderer", None)
    telling = Telling(guide(compiled(tmp_path / "lantern.cavata", SCRIPT)), language("en"))
    assert pictures.sounds(list(examples_of(telling.chapters()).values()), lambda said: None) == {}


def test_without_an_engraver_it_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("CAVATA_LILYPOND", "no-such-program")
    watches = folder("examples") / "three-watches"
    assert main(["guide", str(watches), "--out", str(tmp_path)]) == 1
    assert holds_or_updates("O405", capsys.readouterr().err, request.config.getoption("--update"))
    assert not list(tmp_path.glob("*.html"))


def test_character_that_no_font_has_is_told_each_time(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """U+F1234 lies where Unicode gives no meaning to anything, so that no font need have it."""
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))
    script = tmp_path / "lantern.cavata"
    script.write_text(
        'language 2\npiece "\U000f1234"\nmotif tide = notes(1/4 D4)\nforces\n    violin = violin\n'
        "movement first\n    violin: tide\n", "utf-8",
    )  # fmt: skip
    for _ in range(2):
        assert main(["guide", str(script)]) == 0
        assert "O206" in capsys.readouterr().err


def test_language_that_is_not_there_is_a_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["guide", "lantern", "--language", "tlh"]) == 2
    assert "there is no language `tlh`; there are de, en" in capsys.readouterr().err
