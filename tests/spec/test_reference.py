"""The language reference says what is there: its headings, its examples, and the values beside them."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from book import GRAMMAR, book
from lark import Lark
from reference import (
    Example,
    Section,
    as_shown,
    completed,
    examples,
    line_as_shown,
    sounds_shown,
    values_shown,
    versions_shown,
)

from cavata.cli.main import parser
from cavata.diagnostics import Diagnostics
from cavata.music.event import Event
from cavata.names.program import Identity
from cavata.pipeline import Compiled, compile_loaded, compile_script, compile_versions
from cavata.resources import folder
from cavata.score.score import Score
from cavata.syntax.parse import STARTS
from cavata.syntax.words import BRITISH, CHANGED_WORDS, DESCRIPTIONS, RESERVED
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

ROOT = Path(__file__).parents[2]
BESIDE = ROOT / "tests" / "spec" / "sketch"
"""The folder in which the examples are compiled, where a score of another program lies."""
REFERENCE = "\n".join([*(page.text for page in book()), (GRAMMAR / "playing.md").read_text("utf-8")])
"""The chapters about the language, and the one about players, of whom warnings tell."""
SECTIONS = [section for page in book() for section in page.sections]
EXAMPLES = [pytest.param(e, id=f"{page.stem}-{e.line}") for page in book() for e in page.examples]
BEFORE = book()[0].examples[0].text
"""The first script of the reference stands before every fragment."""

TRANSFORMING, COMBINED = ("Transforms of", "Markings and ornaments"), "Combinations"
FAMILIES = ("pitch", "order", "time", "vertical", "ornament", "dress")
WITHOUT_RULE = (
    "Layout", "Several parts in one line", "Parts on several staves", "Repairs", "An ossia", "Two voices on one staff",
    "Unpitched parts", "Ranges", "What one player has at once", "Parts for the players", "Cues",
    "Fair copies and proof copies",
    "A short score", "A rehearsal copy", "Changed words", "Score order", "Brackets, braces and bar lines", "Upbeats",
    "An ossia",
)  # fmt: skip
"""Sections about what holds for every statement, or what score lines do."""
ONLY_WARNING = "N301"
"""A definition in an example need not be heard."""


def compiled(script: str) -> Compiled:
    result = compile_script(BESIDE / "example.cavata", "example.cavata", text=script)
    compile_versions(result)
    wrong = [d for d in result.bag.ordered() if d.code != ONLY_WARNING]
    assert not wrong, [(d.code, d.message, d.span and d.span.line) for d in wrong]
    return result


def chapters() -> dict[str, tuple[Section, ...]]:
    """The sections of each chapter by its title."""
    return {page.title: page.sections for page in book()}


# ---------------------------------------------------------------- headings


def test_every_step_has_its_section_in_the_order_of_the_table() -> None:
    patterns = [t.pattern for family in FAMILIES for t in _steps(family)]
    headings = [
        section.title.strip("`")
        for chapter, under in chapters().items()
        if chapter.startswith(TRANSFORMING)
        for section in under
    ]
    assert headings == patterns


def test_every_family_of_steps_is_told() -> None:
    assert {t.family for group in TRANSFORMS.values() for t in group} == set(FAMILIES)


def _steps(family: str) -> list[object]:
    return [t for group in TRANSFORMS.values() for t in group if t.family == family]


def test_every_combination_has_its_section() -> None:
    assert [s.title.strip("`") for s in chapters()[COMBINED]] == [c.pattern for c in COMBINATIONS.values()]


def test_section_of_a_step_begins_with_the_sentence_of_the_table() -> None:
    """The reference, the editor and the messages must not tell different things."""
    sentences = {t.pattern: t.does for group in TRANSFORMS.values() for t in group}
    sentences |= {c.pattern: c.does for c in COMBINATIONS.values()}
    for section in SECTIONS:
        if section.title.strip("`") in sentences:
            sentence = sentences[section.title.strip("`")]
            assert " ".join(section.text.split()).startswith(sentence[0].upper() + sentence[1:]), section.title


def _rules() -> set[str]:
    """Every rule and alternative of the grammar that a tree can show."""
    text = (GRAMMAR / "cavata.lark").read_text(encoding="utf-8")
    lark = Lark(text, parser="lalr", start=list(STARTS), maybe_placeholders=True)
    return {name for rule in lark.rules if not (name := str(rule.alias or rule.origin.name)).startswith("_")}


def test_grammar_lines_name_every_rule_once() -> None:
    named = [name for line in re.findall(r"^Grammar: (.*)$", REFERENCE, re.MULTILINE) for name in _quoted(line)]
    assert sorted(named) == sorted(_rules())


def test_every_section_of_a_statement_says_its_rules() -> None:
    without = {"Reading the examples", "Defaults and the ledger", "Spelling", "Names and words"}
    for chapter, under in chapters().items():
        if chapter.startswith(TRANSFORMING) or chapter == COMBINED or chapter in without:
            continue
        for section in under:
            if section.title in WITHOUT_RULE:
                continue
            assert re.search(r"^Grammar: `", section.text, re.MULTILINE), section.title


def _quoted(line: str) -> list[str]:
    return re.findall(r"`(\w+)`", line)


def test_every_section_has_an_example() -> None:
    for chapter, under in chapters().items():
        for section in under:
            assert "```cavata" in section.text, (chapter, section.title)


def test_reserved_words_are_told() -> None:
    (section,) = [s for s in SECTIONS if s.title == "Reserved words"]
    told = re.search(r"^`([a-z ]+)`$", section.text, re.MULTILINE)
    assert told is not None
    assert set(told[1].split()) == RESERVED


def test_table_of_changed_words_is_that_of_the_compiler() -> None:
    """The table on the page, and the British spellings beside it."""
    (text,) = [s.text for s in SECTIONS if s.title == "Changed words"]
    assert dict(re.findall(r"^\| `(.+?)` \| `(.+?)` \|$", text, re.M)) == CHANGED_WORDS
    assert dict(re.findall(r"`(\w+)` into `(\w+)`", text)) == BRITISH


def test_kinds_of_values_are_told_as_messages_tell_them() -> None:
    """What a message calls `a ratio such as 3:2` must be findable by those words."""
    for words in set(DESCRIPTIONS.values()):
        for shown in re.findall(r"`([^`]+)`", words):
            assert shown in REFERENCE or shown.rstrip(")").split("(")[0] + "(" in REFERENCE, words


# ---------------------------------------------------------------- examples


@pytest.mark.parametrize("example", EXAMPLES)
def test_example_of_the_reference_compiles_and_gives_what_it_shows(example: Example) -> None:
    script = example.text if example.is_whole else completed(example.text, BEFORE)
    result = compiled(script)
    assert result.plan is not None
    for name, claim in values_shown(script):
        value = result.plan.values[Identity(result.plan.main, name)]
        assert as_shown(value, claim) == claim, name
    for movement, part, claim in sounds_shown(script):
        assert result.score is not None
        assert _played(result.score, movement, part, claim) == claim, (movement, part)
    for version, movement, part, claim in versions_shown(script):
        assert result.loaded is not None
        score = compile_loaded(result.loaded, version, Diagnostics()).score
        assert score is not None
        assert _played(score, movement, part, claim) == claim, (version, movement, part)


def _played(score: Score, movement: str, part: str, claim: str) -> str:
    """What a part or staff plays in a movement, with the rests between, as the claim shows it."""
    (found,) = [m for m in score.movements if m.name == movement]
    name, _, side = part.partition(".")
    index = [p.name for p in score.parts].index(name)
    (staff,) = [s for s in found.staves[index] if s.name == side]
    events: list[Event] = []
    at = Fraction(0)
    for event in staff.voices[0]:
        if event.onset > at:
            events.append(Event(event.onset - at))
        events.append(event.event)
        at = event.end
    return line_as_shown(tuple(events), claim)


def test_examples_show_enough() -> None:
    """Every step's section shows a value; without one, a comment gone astray would go unnoticed."""
    for chapter, under in chapters().items():
        if chapter.startswith(TRANSFORMING) or chapter == COMBINED:
            for section in under:
                assert list(values_shown(section.text)), section.title


def _documents() -> list[tuple[str, Example]]:
    # The scripts in examples/README.md are those of its folder, which test_examples.py compiles.
    names = ("README.md", "DEVELOPERS.md", "stdlib/README.md")
    found = [(name, ROOT / name) for name in names if (ROOT / name).is_file()]
    return [(name, e) for name, path in found for e in examples(path.read_text(encoding="utf-8"))]


@pytest.mark.parametrize(("name", "example"), _documents(), ids=lambda v: v if isinstance(v, str) else f"line-{v.line}")
def test_script_in_a_document_compiles(name: str, example: Example) -> None:
    compiled(example.text if example.is_whole else completed(example.text, BEFORE))


# A remark shows steps and motifs in backticks; each is tried on a tune, its library names at hand.
_IN_REMARK = re.compile(r"`(\w+ -> [^`]+)`")


def _remarks() -> list[tuple[str, str, str]]:
    found = []
    for path in sorted(folder("stdlib").glob("*.cavata")):
        text = path.read_text(encoding="utf-8")
        for script in _IN_REMARK.findall(text):
            found.append((path.stem, re.findall(r"-> (\w+)", script)[-1], script))
    return found


@pytest.mark.parametrize(("module", "used", "script"), _remarks(), ids=lambda v: str(v))
def test_script_in_a_remark_of_the_library_compiles(module: str, used: str, script: str) -> None:
    subject = script.split()[0]
    tune = "" if f"name {subject} " in BEFORE else f"motif {subject} = notes(1/4 D4 E4, 1/2 F4)\n"
    compiled(f"{BEFORE}use {used} from {module}\n{tune}motif shown = {script}\n")


def test_remarks_of_the_library_show_scripts() -> None:
    assert len(_remarks()) >= 3


# ---------------------------------------------------------------- messages


def _codes_of_the_compiler() -> set[str]:
    sources = (folder("compiler") / "cavata").rglob("*.py")
    return {code for path in sources for code in re.findall(r'"([SNVPIROX]\d{3})"', path.read_text(encoding="utf-8"))}


def test_every_code_named_exists_and_leads_to_its_page() -> None:
    linked = re.findall(r"\[([A-Z]\d{3})\]\(messages/([A-Z]\d{3})\.md\)", REFERENCE)
    assert linked
    assert all(shown == page for shown, page in linked)
    named = set(re.findall(r"\b[SNVPIROX]\d{3}\b", REFERENCE))
    assert named == {shown for shown, _ in linked}
    assert named <= _codes_of_the_compiler()
    assert [code for code in sorted(named) if not (GRAMMAR / "messages" / f"{code}.md").is_file()] == []


def test_every_message_about_a_script_is_named_where_its_cause_is_told() -> None:
    """Of those in the catalog; that every code has its page there is the catalog's own test."""
    about_scripts = {page.stem for page in (GRAMMAR / "messages").glob("[SNVPIR]*.md")}
    assert len(about_scripts) > 80
    assert about_scripts - set(re.findall(r"\[([SNVPIR]\d{3})\]", REFERENCE)) == set()


# ---------------------------------------------------------------- what the developers' page tells to do


def _commands() -> list[str]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    fences = re.findall(r"^```sh\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    inline = re.findall(r"`((?:pytest|python3?) [^`]+)`", text)
    return [line for fence in fences for line in fence.splitlines()] + inline


def test_commands_of_the_developers_page_are_there() -> None:
    """Paths exist, options are known, and the compiler's own commands are understood."""
    commands = _commands()
    assert len(commands) > 10
    for command in commands:
        program, *words = command.split()
        assert program in {"cavata", "pytest", "python", "python3", "mypy", "ruff"}, command
        if program == "cavata":
            parser().parse_args([w for w in words if w != "..."])
        for word in words:
            assert "/" not in word or (ROOT / word).exists(), command


def test_paths_of_the_developers_page_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    places = (ROOT, ROOT / "compiler" / "cavata")
    named = set(re.findall(r"`([\w./-]+(?:/|\.(?:py|md|toml|lark|cavata)))`", text))
    named -= {"grammar/messages/CODE.md", "grammar/commands/COMMAND.md"}
    assert len(named) > 20
    missing = {path for path in named if not any((place / path).exists() for place in places)}
    assert {path for path in missing if not list((ROOT / "compiler" / "cavata").rglob(path))} == set()
