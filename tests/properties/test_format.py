"""The layout of scripts: done twice it is done once, it changes no meaning, and it keeps every comment and string."""

from __future__ import annotations

import re
from unittest import mock

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from rounds import rounds

from cavata import resources
from cavata.diagnostics import Diagnostics
from cavata.source import Source
from cavata.syntax import format as layout
from cavata.syntax.format import format_script
from cavata.syntax.format_lines import WIDEST, TokenKind, tokens_of
from cavata.syntax.layout import lay_out, walk
from cavata.syntax.parse import parse
from cavata.syntax.tree import bare

pytestmark = pytest.mark.slow

LIBRARY = resources.folder("stdlib")
PATHS = [*sorted(LIBRARY.glob("*.cavata")), *sorted((LIBRARY.parent / "examples").rglob("*.cavata"))]
SCRIPTS = [path.read_text("utf-8") for path in PATHS]
PIECES = (
    "\n", "\n", "\n", "\n    ", "\n        ", "\n  ", "\n\t", " ", "  ", "\t", "\r\n", "\x0c", "\xa0", "\u2028", "\x00",
    "(", ")", ",", "+", "->", "..", ".", ":", "=", "|", "--", '"', "\\", "-- a note", '"a -- b"', '"c',
    "language 2", "piece", "name", "motif", "rhythm", "cipher", "movement first", "section one", "forces", "use",
    "remark", "meter", "3/4", "key D minor", "tempo", "weave(", "notes(", "chord(", "in", "bars", "bar", "at", "rest",
    "to", "x", "until end", "for", "over", "letters A..Z onto", "F♯4", "Bb3", "m3", "1/4.", "1/4..", "3:2", "-1", "2",
    "2+2", "ada", "inlet", "雨", "harp.left", "violin", "by french", "h", "é", "language", "require", "passage",
)  # fmt: skip
WORDS = st.sampled_from(
    ["ada", "tide", "hail_and_farewell", "weave(ada, tide)", "notes(1/4 D5 E5 | 1/2 A5)", "(ada)"]
)
STEPS = st.sampled_from(
    [
        "up P4", 'marked mf "quietly, as before"', "in (1/4 1/8 rest)", "within C3..E5", "sharp 1 last", "slurred",
        "up -1",
    ]
)  # fmt: skip
GAPS = st.sampled_from([" ", "  ", "", "\n    ", "\n          ", " -- why\n  ", "\n-- alone\n  ", "\n\n\n\n   "])


@st.composite
def sums(draw: st.DrawFn) -> str:
    """A value of words and steps, with breaks and comments wherever they may be."""
    text = draw(WORDS)
    for _ in range(draw(st.integers(0, 9))):
        link = draw(st.one_of(STEPS.map(lambda s: "->" + s), WORDS.map(lambda w: "+" + w)))
        text += draw(GAPS) + link
    return text


@st.composite
def movements(draw: st.DrawFn) -> str:
    """A movement indented in a way of its own, with score lines of several items."""
    step, deeper = draw(st.integers(1, 5)), draw(st.integers(1, 5))
    blank = draw(st.sampled_from(["", "\n", "\n\n\n\n", " " * step + "-- aside\n", " " * 9 + "--aside\n"]))
    rows = []
    for _ in range(draw(st.integers(1, 4))):
        items = draw(st.lists(sums().filter(lambda s: "\n" not in s), min_size=1, max_size=6))
        head = draw(st.sampled_from(["violin:", "cellos , harp.left at bar 3 :", "violin at bar 2 beat 1+1/8:"]))
        comment = draw(st.sampled_from(["", "", " -- on the bridge"]))
        line = head + draw(st.sampled_from([",", " , "])).join(items) + comment
        rows.append(" " * (step + deeper) + line + "\n" + blank)
    return f"movement first\n{' ' * step}meter 7/8 as 2 +2+3\n{' ' * step}section one 8 bars\n" + "".join(rows)


NAMED = 'name ada="ADA" by french --A\n  remark "first"\n'
well_formed = st.lists(
    st.one_of(
        st.tuples(st.sampled_from(["a1", "longer_name", "雨"]), sums()).map(lambda d: f"motif {d[0]}={d[1]}\n"),
        movements(),
        st.sampled_from(["\n", "\n\n\n", "-- alone\n", "   --alone\n", NAMED]),
    ),
    max_size=7,
).map("".join)
anything = st.one_of(
    st.lists(st.sampled_from(PIECES), max_size=40).map("".join),
    st.lists(st.sampled_from(PIECES), max_size=40).map(" ".join),
    st.text(max_size=60),
)


@st.composite
def bruised(draw: st.DrawFn) -> str:
    """A script of the library or the examples with a few places cut out or written over."""
    text = draw(st.sampled_from(SCRIPTS))
    start = draw(st.integers(0, len(text)))
    text = text[start : start + 1200]
    for _ in range(draw(st.integers(1, 5))):
        at, cut = draw(st.integers(0, len(text))), draw(st.integers(0, 4))
        text = text[:at] + draw(st.sampled_from(PIECES)) + text[at + cut :]
    return text


def read(text: str) -> tuple[object, list[str]]:
    """The tree without places, and what was said of it."""
    bag = Diagnostics()
    module = parse(Source("s", text), bag)
    return bare(module.declarations), [d.code for d in bag.ordered()]


def comments(text: str) -> list[str]:
    return [comment for line in re.split(r"\r\n|[\r\n]", text) if (comment := tokens_of(line.replace("\t", " "))[1])]


def strings(text: str) -> list[str]:
    return [token.text for line in text.split("\n") for token in tokens_of(line)[0] if token.kind is TokenKind.STRING]


some = settings(max_examples=rounds(12), deadline=None, suppress_health_check=list(HealthCheck))


@some
@given(well_formed)
def test_a_script_that_can_be_read_keeps_its_tree_comments_and_strings(text: str) -> None:
    before, codes = read(text)
    with mock.patch.object(layout, "_written", wraps=layout._written) as written:
        formatted = format_script(text)
    assert written.call_count == 1, "no declaration had to be left alone since it would have been read otherwise"
    assert codes == [] and formatted.messages == ()
    assert read(formatted.text) == (before, [])
    assert comments(formatted.text) == comments(text)
    assert strings(formatted.text) == strings(text)
    assert format_script(formatted.text).text == formatted.text


@some
@given(well_formed)
def test_signs_alone_decide_not_the_spaces_between(text: str) -> None:
    """What has no comment and no break is laid out the same with other spaces in it."""
    lines = [line for line in text.split("\n") if '"' not in line and "--" not in line and not line.startswith(" ")]
    wide = [line.replace(" ", "    ").replace("->", "  ->  ").replace(",", " , ") for line in lines]
    assert format_script("\n".join(lines)).text == format_script("\n".join(wide)).text


@some
@given(well_formed)
def test_only_what_cannot_be_broken_is_wider_than_the_page(text: str) -> None:
    for line in format_script(text).text.split("\n"):
        tokens, _ = tokens_of(line)
        code = line.split("--")[0].rstrip()
        if len(code) > WIDEST:
            assert not any(t.kind in (TokenKind.COMMA, TokenKind.PLUS, TokenKind.ARROW) for t in tokens[3:-1]), line


@some
@example("movement a\n   section b\n      x: y\n     z: y\n  -- c\n w\n")
@example("x\n\t\ty\n\tz\n -- c")
@example("motif a1 = (\n-- c\n\n)\n\n)")
@example("--\x0c")
@given(st.one_of(anything, bruised()))
def test_any_text_is_laid_out_and_stays(text: str) -> None:
    formatted = format_script(text)
    assert format_script(formatted.text).text == formatted.text
    assert formatted.text in ("", "\n") or formatted.text.endswith("\n") or formatted.text == text.lstrip("\ufeff")
    assert sorted(comments(formatted.text)) == sorted(comments(text.removeprefix("\ufeff")))


@some
@given(bruised())
def test_what_cannot_be_read_keeps_its_text(text: str) -> None:
    if "\t" in text or "\r" in text:
        return
    formatted = format_script(text)
    said_of = {m.span.line for m in formatted.messages if m.span is not None}
    source = Source("s", text)
    for statement in walk(list(lay_out(source, Diagnostics()))):
        if statement.span.line in said_of and "\n" not in statement.span.text:
            assert statement.span.text in formatted.text


@some
@given(bruised())
def test_bruises_change_no_other_statement(text: str) -> None:
    plain = text.replace("\t", " ").replace("\r\n", "\n").replace("\r", "\n")
    formatted = format_script(plain)
    assert read(formatted.text) == read(plain)
