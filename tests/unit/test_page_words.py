"""The words that the compiler puts on a page are there in every language, and every copy and output has them.

Sources: the terms themselves are from memory; that they arrive on the page is read with Poppler's `pdftotext`, which is
not this project's.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path
from string import Formatter
from xml.etree import ElementTree

import pytest
from engraving import engraved_together

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies
from cavata.edition.proof import proof_copy
from cavata.edition.title_page import title_page
from cavata.instruments.instrument import PageLanguage
from cavata.lilypond.document import lilypond_text
from cavata.lilypond.engrave import find_lilypond
from cavata.musicxml.document import musicxml_bytes
from cavata.notate.notate import notate
from cavata.pipeline import compile_script
from cavata.score.page_words import page_words, words_in
from cavata.score.score import Score

OTHERS = [language for language in PageLanguage if language is not PageLanguage.ENGLISH]
SCRIPT = """\
language 2

piece "X"
    names in LANGUAGE
    title page
    show letters
    show colors

use german from ciphers

name hedda = "HEDDA" by german
name wacht = "WACHT" by german

forces
    fl      = flute, doubling piccolo
    cl      = clarinet
    strings = violins
    violas  = violas
    cellos  = cellos

motif tune = notes(1/4 D5 E5 F#5 A5)

movement first "One"
    tempo 1/4 at 60
    section only 16 bars
        strings: tune x 16
        violas: hedda -> from B4 -> in (1/4)
        cl at bar 12: tune -> down P8
        fl: tune, 2 bars rest, tune
        fl bars 3 to 4: on piccolo
        cellos at bar 13: hedda + wacht -> as chord -> down P8 -> down P8 held 1/1
        tempo at bar 3: broadening to 1/4 at 48 over 2 bars
        tempo at bar 6: back in tempo
        tempo at bar 8: pressing on to 1/4 at 90 over 2 bars
        tempo at bar 11: 1/4 at 80, "broadening"
movement second
    tempo 1/4 at 60
    section only 4 bars
        repeated 3 times
        strings: tune x 4
"""
EXPECTED = {
    PageLanguage.ENGLISH: {
        "": ("Transposing score", "about 2 minutes", "to Picc.", "3 times", "pressing on", "back in tempo",
             "The letters under the notes are those of the names.", "doubling"),
        "-cl": ("Movement 2", "pressing on"),
        "-short": ("short score, as it sounds", "Strings"),
        "-rehearsal-cl": ("and a reduction, a guide for the hands",),
        "-proof": ("Proof", "line 28"),
    },
    PageLanguage.ITALIAN: {
        "": ("Partitura in suoni trasposti", "circa 2 minuti", "muta in Ott.", "3 volte", "allargando", "stringendo",
             "a tempo", "Le lettere sotto le note sono quelle dei nomi.", "anche"),
        "-cl": ("Movimento 2", "stringendo"),
        "-short": ("partitura ridotta, in suoni reali", "Archi"),
        "-rehearsal-cl": ("e una riduzione, come guida per le mani",),
        "-proof": ("Bozza", "riga 28"),
    },
    PageLanguage.GERMAN: {
        "": ("Transponierende Partitur", "etwa 2 Minuten", "nimmt Picc.", "3-mal", "breiter werdend", "drängend",
             "wieder im Tempo", "Die Buchstaben unter den Noten sind die der Namen.", "auch"),
        "-cl": ("2. Satz", "drängend"),
        "-short": ("Particell, klingend notiert", "Streicher"),
        "-rehearsal-cl": ("und ein Auszug, ein Vorschlag für die Hände",),
        "-proof": ("Korrekturabzug", "Zeile 28"),
    },
    PageLanguage.FRENCH: {
        "": ("Partition transposée", "environ 2 minutes", "prend Pte Fl.", "3 fois", "en élargissant", "en pressant",
             "au mouvement", "Les lettres sous les notes sont celles des noms.", "aussi"),
        "-cl": ("Mouvement 2", "en pressant"),
        "-short": ("partition réduite, en sons réels", "Cordes"),
        "-rehearsal-cl": ("et une réduction, un guide pour les mains",),
        "-proof": ("Épreuve", "ligne 28"),
    },
    PageLanguage.SPANISH: {
        "": ("Partitura transportada", "alrededor de 2 minutos", "toma Ftn.", "3 veces", "ensanchando", "apresurando",
             "a tempo", "Las letras bajo las notas son las de los nombres.", "también"),
        "-cl": ("Movimiento 2", "apresurando"),
        "-short": ("partitura reducida, en sonidos reales", "Cuerda"),
        "-rehearsal-cl": ("y una reducción, una guía para las manos",),
        "-proof": ("Prueba", "línea 28"),
    },
}  # fmt: skip


@cache
def scores(language: PageLanguage) -> dict[str, Score]:
    """Every kind of copy of the script, by its suffix."""
    compiled = compile_script(Path("x.cavata"), "x.cavata", text=SCRIPT.replace("LANGUAGE", language.value))
    assert compiled.score is not None and compiled.plan is not None, compiled.bag.ordered()
    wanted = WantedCopies(parts=None, short=True, rehearsal=(("cl",),))
    made = {copy.suffix: copy.score for copy in copies(compiled.score, wanted, Diagnostics())}
    return made | {"-proof": proof_copy(made[""], compiled.plan)}


def printed(score: Score) -> str:
    """Every text in the copy's LilyPond source, side by side."""
    strings = re.findall(r'"((?:[^"\\]|\\.)*)"', lilypond_text(notate(score)))
    return " ".join(strings)


def blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize("language", OTHERS, ids=lambda language: language.value)
def test_every_language_has_every_word_with_the_same_blanks(language: PageLanguage) -> None:
    english, other = words_in(PageLanguage.ENGLISH), words_in(language)
    assert {group: list(words) for group, words in other.items()} == {
        group: list(words) for group, words in english.items()
    }
    for group, words in english.items():
        for key, text in words.items():
            assert other[group][key].strip(), (group, key)
            assert blanks(other[group][key]) == blanks(text), (group, key)


@pytest.mark.slow
@pytest.mark.parametrize("language", PageLanguage, ids=lambda language: language.value)
def test_every_copy_speaks_the_language(language: PageLanguage) -> None:
    assert language in EXPECTED, "state here what its copies are to say"
    for suffix, words in EXPECTED[language].items():
        text = printed(scores(language)[suffix])
        for word in words:
            assert word.lower() in text.lower(), (suffix, word)


@pytest.mark.parametrize("language", OTHERS, ids=lambda language: language.value)
def test_no_copy_has_an_english_word_of_the_compilers(language: PageLanguage) -> None:
    """But for what the composer wrote: the last tempo has the word `broadening` of its own."""
    known = {text for words in words_in(PageLanguage.ENGLISH).values() for text in words.values()}
    own = {text for words in words_in(language).values() for text in words.values()}
    stems = [re.sub(r"\{\w+\}", "", text).strip() for text in sorted(known - own) if text != "broadening"]
    for suffix, score in scores(language).items():
        text = printed(score)
        found = [stem for stem in stems if len(stem) > 3 and re.search(rf"\b{re.escape(stem)}", text)]
        assert not found, (suffix, found)
        assert text.count("broadening") == 1, suffix


@pytest.mark.parametrize("language", PageLanguage, ids=lambda language: language.value)
def test_musicxml_says_the_same(language: PageLanguage) -> None:
    made = scores(language)
    first, second = (
        ElementTree.fromstring(musicxml_bytes(notate(made[""]), name)) for name in ("first", "second")
    )
    words = [element.text for element in first.iter("words")]
    said = words_in(language)
    assert [word for word in words if word in {*said["tempo"].values(), "broadening"}] == [
        said["tempo"]["broadening"], said["tempo"]["back in tempo"], said["tempo"]["pressing on"], "broadening",
    ]  # fmt: skip
    assert page_words(language, "playing", "times", count=3) in [element.text for element in second.iter("words")]
    credits = [element.text for element in first.iter("credit-words")]
    assert said["reading"]["two_names"] in credits
    short = ElementTree.fromstring(musicxml_bytes(notate(made["-short"]), "first"))
    assert said["reading"]["short_score"] in [element.text for element in short.iter("credit-words")]


@pytest.mark.parametrize(
    ("language", "line"),
    [
        (PageLanguage.ITALIAN, "solo: clarinetto in Si♭ - 1(Ott).0.0.0 - 0.0.0.0 - Timp - 2 perc - coro SA - archi"),
        (PageLanguage.GERMAN, "Solo: Klarinette in B - 1(Picc).0.0.0 - 0.0.0.0 - Pk - 2 Schlg - Chor SA - Str"),
        (
            PageLanguage.FRENCH,
            "solo : clarinette en si♭ - 1(Pte Fl).0.0.0 - 0.0.0.0 - Timb - 2 perc - chœur SA - cordes"
        ),
    ],
)  # fmt: skip
def test_forces_in_one_line(language: PageLanguage, line: str) -> None:
    """Source: the order is that of the English line; the words are from memory."""
    players = (
        "flute, doubling piccolo", "timpani", "snare drum", "triangle", "clarinet, soloist", "sopranos", "altos",
        "violins", "violas", "cellos",
    )  # fmt: skip
    rows = "\n".join(f"    p{number} = {player}" for number, player in enumerate(players))
    text = f'language 2\npiece "X"\n    names in {language.value}\nforces\n{rows}\nmovement first\n    p7: 1 bar rest\n'
    score = compile_script(Path("x.cavata"), text=text).score
    assert score is not None
    assert title_page(score).instrumentation == line


@pytest.mark.parametrize(
    ("language", "lengths"),
    [
        (PageLanguage.ITALIAN, ("20 secondi", "1 minuto", "1½ minuti", "5 minuti")),
        (PageLanguage.GERMAN, ("20 Sekunden", "1 Minute", "1½ Minuten", "5 Minuten")),
        (PageLanguage.FRENCH, ("20 secondes", "1 minute", "1½ minute", "5 minutes")),
    ],
    ids=lambda value: value.value if isinstance(value, PageLanguage) else "",
)
def test_lengths_agree_in_number(language: PageLanguage, lengths: tuple[str, ...]) -> None:
    """French has the singular below two (Grevisse, Le Bon Usage, from memory)."""
    for bars, words in zip((5, 15, 22.5, 75), lengths, strict=True):
        music = f"section only {int(bars)} bars\n        v: {int(bars)} bars rest"
        if bars % 1:
            music = "meter 2/4\n    section only 45 bars\n        v: 45 bars rest"
        text = (
            f'language 2\npiece "X"\n    names in {language.value}\nforces\n    v = violin\n'
            f"movement first\n    tempo 1/4 at 60\n    {music}\n"
        )
        score = compile_script(Path("x.cavata"), text=text).score
        assert score is not None
        assert title_page(score).length == words


@pytest.mark.slow
def test_words_are_read_in_the_pdf(tmp_path: Path) -> None:
    if not isinstance(find_lilypond(), str) or shutil.which("pdftotext") is None:
        pytest.skip("LilyPond or pdftotext (Poppler) is not installed")
    texts = (lilypond_text(notate(scores(language)["-proof"])) for language in OTHERS)
    for language, path in zip(OTHERS, engraved_together(texts, tmp_path), strict=True):
        read = subprocess.run(["pdftotext", "-raw", str(path), "-"], capture_output=True, check=True)
        text = read.stdout.decode("utf-8")
        for word in (*EXPECTED[language][""], *EXPECTED[language]["-proof"]):
            assert word.lower() in text.lower(), (language, word)


def test_check_reads_no_words() -> None:
    """A check loads neither the words nor the module that knows them."""
    script = Path(__file__).parents[2] / "examples" / "three-watches"
    code = (
        "import sys; from cavata.cli.main import main; status = main(['check', sys.argv[1]]); "
        "assert 'cavata.score.page_words' not in sys.modules; raise SystemExit(status)"
    )
    subprocess.run([sys.executable, "-c", code, str(script)], check=True, capture_output=True)
