"""What is told of a word when an editor points at it, as Markdown."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from cavata import resources
from cavata.ciphers.cipher import Cipher
from cavata.editor.page import Meaning, ScriptPage, WordKind
from cavata.editor.tokens import WordToken
from cavata.evaluate.plan import Value
from cavata.evaluate.text import value_lines
from cavata.music.event import Motif, Rhythm, Texture
from cavata.names.program import DefinitionSort, Identity
from cavata.source import Span
from cavata.text import backticked
from cavata.transforms.table import COMBINATIONS, TRANSFORMS

MOST_SHOWN = 24
"""Notes of a value that a hover shows."""


def hover(page: ScriptPage, offset: int) -> tuple[str, Span] | None:
    """What the word at an offset is, and where it stands; None for what needs no words."""
    found = page.meaning_at(offset)
    if found is not None:
        token, meaning = found
        text = _told(page, meaning, token)
        return (text, Span(page.source, token.start, token.end)) if text else None
    at = page.token_at(offset)
    if at is None:
        return None
    token = at[1].tokens[at[2]]
    text = _keyword(token.text)
    return (text, Span(page.source, token.start, token.end)) if text else None


def value_at(page: ScriptPage, offset: int) -> Motif | Texture | None:
    """The music that the word at an offset stands for, if it is a name, a motif or the like."""
    found = page.meaning_at(offset)
    value = None if found is None else _value(page, found[1])
    return value if isinstance(value, Motif | Texture) else None


def plain(told: str) -> str:
    """The same for an editor that reads no Markdown."""
    return re.sub(r"^```\w*\n|\n```$|`| {2}$", "", told, flags=re.MULTILINE)


def _told(page: ScriptPage, meaning: Meaning, token: WordToken) -> str:
    match meaning.kind:
        case WordKind.STEP:
            rows = [f"`{each.pattern}`  \n{each.does}" for each in TRANSFORMS[meaning.name]]
            return "\n\n".join(rows)
        case WordKind.COMBINATION:
            combination = COMBINATIONS[meaning.name]
            return f"`{combination.pattern}`  \n{combination.does}"
        case WordKind.PART:
            return _part(page, meaning.name)
        case WordKind.GROUP:
            members = page.compiled.program.groups.get(meaning.name, ()) if page.compiled.program else ()
            return f"group `{meaning.name}`: " + backticked(members)
        case WordKind.SECTION | WordKind.MOVEMENT:
            return _bars(page, meaning)
        case WordKind.PARAMETER:
            return f"`{meaning.name}`: a parameter of `{meaning.within.rpartition(' ')[2]}`"
        case WordKind.WORD:
            return _keyword(token.text)
        case WordKind():
            return ""
        case sort:
            return _definition(page, meaning, sort)


def _definition(page: ScriptPage, meaning: Meaning, sort: DefinitionSort) -> str:
    value = _value(page, meaning)
    written = "" if meaning.declared is None else meaning.declared.source.line_text(meaning.declared.line).strip()
    parts = [f"{sort.value} `{meaning.name}`" + ("" if value is None else f": {measured(value)}")]
    parts += [f"```cavata\n{written}\n```"] if written and not isinstance(value, Cipher) else []
    parts += ["```text\n" + "\n".join(shown(value)) + "\n```"] if value is not None else []
    remark = _remark(page, meaning)
    return "\n\n".join([*parts, *([remark] if remark else [])])


def _value(page: ScriptPage, meaning: Meaning) -> Value | None:
    plan = page.compiled.plan
    return None if plan is None else plan.values.get(Identity(meaning.within, meaning.name))


def _remark(page: ScriptPage, meaning: Meaning) -> str:
    declared = page.known[meaning.within].own.get(meaning.name) if meaning.within in page.known else None
    tree = None if declared is None else declared.tree
    return getattr(tree, "remark", "") if tree is not None else ""


def shown(value: Value) -> list[str]:
    """A value note by note, a long one by its beginning."""
    if isinstance(value, Cipher):
        return [re.sub(r"(\S+?):", r"\1 = ", line).replace("|", " or ") for line in value_lines(value)[0].split(" ")]
    found = []
    for line in value_lines(value):
        words = line.split(" ")
        found.append(" ".join(words[:MOST_SHOWN]) + (" ..." if len(words) > MOST_SHOWN else ""))
    return found


def lasting(duration: Fraction) -> str:
    """A length in words: `3 whole notes`, `7/8 of a whole note`."""
    if duration.denominator == 1:
        return f"{duration} whole note{'s' * (duration != 1)}"
    return f"{duration} of a whole note"


def measured(value: Value) -> str:
    """How much a value holds: `11 notes, 3 whole notes`."""
    match value:
        case Motif(events):
            notes = sum(bool(event.heads) for event in events)
            return f"{notes} note{'s' * (notes != 1)}, {lasting(value.duration)}"
        case Texture(lines):
            return f"{len(lines)} lines, {lasting(value.duration)}"
        case Rhythm(beats):
            return f"{len(beats)} values, {lasting(sum((beat.duration for beat in beats), Fraction(0)))}"
        case Cipher(entries=entries):
            return f"{len(entries)} letters"
        case _:
            return "voices of a chord"


def _part(page: ScriptPage, name: str) -> str:
    program = page.compiled.program
    part = None if program is None else next((each for each in program.forces if each.name == name), None)
    if part is None:
        return f"part `{name}`"
    instrument = part.instrument
    lines = [f"part `{name}`: {part.label or instrument.name}"]
    if instrument.lowest is not None and instrument.highest is not None:
        lines.append(f"sounds from {instrument.lowest} to {instrument.highest}")
        if instrument.comfortable is not None:
            low, high = instrument.comfortable
            lines.append(f"easily from {low} to {high}; this is a guide: the player knows better")
    return "  \n".join(lines)


def _bars(page: ScriptPage, meaning: Meaning) -> str:
    score = page.compiled.score
    if score is None:
        return ""
    called = meaning.name if meaning.kind is WordKind.MOVEMENT else meaning.within.rpartition(" ")[2]
    movement = next((each for each in score.movements if each.name == called), None)
    if movement is None:
        return ""
    if meaning.kind is WordKind.MOVEMENT:
        return f"movement `{called}`: {len([b for b in movement.bars if b.meter is not None])} bars"
    for number, section in enumerate(movement.sections):
        if section.name == meaning.name:
            bars = [bar.number for bar in movement.bars if bar.section == number and bar.meter is not None]
            return f"section `{meaning.name}`: bars {bars[0]} to {bars[-1]}" if bars else f"section `{meaning.name}`"
    return ""


@lru_cache(maxsize=1)
def _statements() -> dict[str, tuple[str, ...]]:
    """For each word the rows of the reference that begin with it: the pattern, and the first sentence about it."""
    found: dict[str, tuple[str, ...]] = {}
    page = (resources.folder("grammar") / "every-word.md").read_text("utf-8")
    for patterns, sentence in re.findall(r"^\| \[(.*)\]\(\S+\) \| (.*) \|$", page, re.MULTILINE):
        plain = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", sentence)
        for pattern in re.findall(r"`([^`]*)`", patterns):
            word = re.split(r"[ (]", pattern)[0]
            found[word] = (*found.get(word, ()), f"`{pattern}`  \n{plain}".replace("\\|", "|"))
    return found


def _keyword(word: str) -> str:
    """What the reference says of rows that begin with a word."""
    return "\n\n".join(_statements().get(word.rstrip("("), ())[:4])


def statement_of(word: str) -> str:
    """How rows that begin with a word are written; empty for another word."""
    rows = _statements().get(word.rstrip("("), ())
    return rows[0].partition("`  ")[0].strip("`") if rows else ""


