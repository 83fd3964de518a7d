"""What each picture of the documentation shows, and from what it is made, so that a test can tell which one is old.

In: the name of a picture. Out: its page before it is engraved. `examples/pictures/made_from.json` holds, for each, the
digest of what it was made from; `make_pictures.py` writes both.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from pathlib import Path

from cavata.diagnostics import Diagnostics
from cavata.edition.copies import WantedCopies, copies, full_score
from cavata.lilypond.document import lilypond_text
from cavata.notate.text import score_text
from cavata.notate.written import WrittenScore
from cavata.pipeline import Compiled, compile_loaded, compile_script, written
from cavata.source import Span
from cavata.tell.guide.guide import Guide, guide_of
from cavata.tell.guide.pictures import examples_of
from cavata.tell.guide.tagged_pdf import guide_document
from cavata.tell.guide.words import Telling
from cavata.tell.language import language
from cavata.tell.map.map import map_of
from cavata.tell.map.svg import WIDTH, map_svg

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
FOLDER = EXAMPLES / "pictures"
MADE_FROM = FOLDER / "made_from.json"

SCRIPTS = {
    **{f"tutorial-{path.name[:2]}": path for path in sorted((EXAMPLES / "tutorial").glob("[0-9]*.cavata"))},
    **{path.parent.name: path for path in sorted(EXAMPLES.glob("*/*.cavata")) if path.stem == path.parent.name},
    "piano": EXAMPLES / "piano" / "lamplight.cavata",
    **{f"gallery-{path.stem}": path for path in sorted((EXAMPLES / "gallery").glob("*.cavata"))},
}
"""Pictures of the first page of a script."""
LONG = frozenset(["three-watches", "the-long-night"])
"""Whose text for the engraver takes too long for a test; these go by their written bars."""
VERSIONS = {"tutorial-11-cello": ("tutorial-11", "cello")}
"""Pages of versions: of which script, and which one."""
_KEY = re.compile(r"\b[0-9a-f]{40}\b")
LIGHT, MAP, GUIDE, PART = "light", "map", "guide", "part"
"""The script of the project's own page; and what is told of, and made for a reader of, an example."""
OTHERS = (*VERSIONS, LIGHT, MAP, GUIDE, PART)
TOLD = EXAMPLES / "three-watches" / "three-watches.cavata"
READER = "bassoon"
"""Whose part of it is shown."""


def compiled_for(name: str) -> Compiled:
    """The piece that a picture shows."""
    if name in VERSIONS:
        script, version = VERSIONS[name]
        whole = compile_script(SCRIPTS[script])
        assert whole.loaded is not None
        return compile_loaded(whole.loaded, version, Diagnostics())
    if name == LIGHT:
        shown = re.search(r"^```cavata\n(.*?)^```$", (EXAMPLES.parent / "README.md").read_text("utf-8"), re.M | re.S)
        assert shown is not None
        return compile_script(EXAMPLES / "light.cavata", text=shown[1])
    return compile_script(SCRIPTS[name]) if name in SCRIPTS else _told()


@cache
def _told() -> Compiled:
    return compile_script(TOLD)


def page_of(name: str, compiled: Compiled) -> WrittenScore:
    """The pages of which a picture shows the first one with music."""
    assert compiled.score is not None, name
    if name != PART:
        return written(full_score(compiled.score))
    (copy,) = copies(compiled.score, WantedCopies(score=False, parts=(READER,)), Diagnostics())
    return written(copy.score)


def text_of(name: str, compiled: Compiled) -> str:
    """What is engraved or drawn."""
    if name not in (MAP, GUIDE):
        return lilypond_text(page_of(name, compiled))
    if name == MAP:
        return map_text(compiled, lambda span: "")
    guide, telling = guide_told(compiled)
    return guide_document(guide, telling, examples_of(telling.chapters()))


def map_text(compiled: Compiled, link: Callable[[Span], str] | None = None, width: float = WIDTH) -> str:
    """The map of a piece."""
    assert compiled.score is not None and compiled.program is not None and compiled.plan is not None
    return map_svg(map_of(compiled.program, compiled.plan, compiled.score), link, language("en"), width)


def guide_told(compiled: Compiled) -> tuple[Guide, Telling]:
    """The guide of a piece."""
    assert compiled.score is not None and compiled.program is not None and compiled.plan is not None
    assert compiled.loaded is not None
    tree = compiled.loaded.modules[compiled.loaded.main]
    guide = guide_of(compiled.program, compiled.plan, compiled.score, tree)
    return guide, Telling(guide, language("en"))


def digest(name: str, compiled: Compiled) -> str:
    """By what one sees whether a picture would come out otherwise now."""
    text = score_text(page_of(name, compiled), letters=True) if name in LONG else text_of(name, compiled)
    text = _KEY.sub("", text)  # by which examples are kept: they hang on the machine
    return sha256(text.encode("utf-8")).hexdigest()[:16]


def made_from() -> dict[str, str]:
    """The digests of what the pictures that lie there were made from."""
    found: dict[str, str] = json.loads(MADE_FROM.read_text("utf-8")) if MADE_FROM.is_file() else {}
    return found
