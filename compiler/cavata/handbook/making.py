"""The handbook as local pages, by Sphinx with the theme Furo.

In: the folders `grammar`, `stdlib` and `examples`; sounds of pieces. Out: a folder of HTML that is read and searched
without a network, from `file://` too. It needs the extra `handbook`; where a wheel brings the pages, nothing is made.
"""

from __future__ import annotations

import io
import json
import re
import shutil
import warnings
from collections.abc import Callable, Mapping
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from cavata import __version__, resources
from cavata.handbook.gallery import SOUNDS
from cavata.handbook.pages import addresses, handbook_pages

FOLDERS = ("grammar", "stdlib", "examples")
STYLE = Path(__file__).parent / "handbook.css"
NEEDED = ("sphinx", "furo", "myst_parser")
"""What the pages are made with."""
LINKED = (".cavata", ".png", ".lark", ".json", ".py")
"""Files beside the pages to which they lead."""
_EMPTY_HEADING = re.compile(r"<th class=\"[^\"]*\">(?:<p></p>)?</th>")
PLACES = "places.json"
"""In the folder of the book: where each word and message is told."""


def make(
    folder: Path, sounds: Mapping[str, bytes], say: Callable[[str], None], only: Callable[[str], bool] | None = None
) -> str:
    """Write the pages into a folder, which must not be there yet; what Sphinx warned of.

    `sounds` are MP3 files by the stems of pieces. `only` leaves pages out. Raises ModuleNotFoundError where what the
    pages are made with is not installed.
    """
    root = {name: resources.folder(name) for name in FOLDERS}
    with TemporaryDirectory() as made:
        source, target = Path(made) / "source", Path(made) / "pages"
        told = handbook_pages(root, frozenset(sounds))
        for page, text in told.items():
            if only is None or only(page):
                _write(source / page, text.encode())
        for name, folder_of in root.items():
            for path in folder_of.rglob("*"):
                if path.suffix in LINKED:
                    _write(source / name / path.relative_to(folder_of), path.read_bytes())
        for name, content in sounds.items():
            _write(source / "beside" / SOUNDS / f"{name}.mp3", content)
        _write(source / "beside" / PLACES, json.dumps(addresses(told)).encode())
        _write(source / "static" / STYLE.name, STYLE.read_bytes())
        say("setting the pages")
        warned = _set(source, target)
        shutil.copytree(target, folder)
    return warned


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def _set(source: Path, target: Path) -> str:
    import furo  # noqa: F401  # told as missing by its own name
    import myst_parser  # noqa: F401
    from sphinx.application import Sphinx

    warned = io.StringIO()
    (source / "beside").mkdir(exist_ok=True)
    app = Sphinx(
        source, None, target, source.parent / "trees", "html", _settings(), status=None, warning=warned, freshenv=True
    )
    app.add_lexer("cavata", _lexer())
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of MyST about Sphinx
        app.build()
    for unneeded in (".buildinfo", "objects.inv", "_sources"):
        path = target / unneeded
        shutil.rmtree(path) if path.is_dir() else path.unlink(missing_ok=True)
    for page in target.rglob("*.html"):
        page.write_text(readable(page.read_text("utf-8")), "utf-8")
    return warned.getvalue()


def readable(page: str) -> str:
    """A page of the theme as screen readers and keyboards need it. Source: the rules of axe-core 4."""
    page = page.replace('role="heading"', 'role="heading" aria-level="2"')
    page = page.replace('<aside class="sidebar-drawer">', '<aside class="sidebar-drawer" aria-label="Book">')
    page = page.replace('<aside class="toc-drawer">', '<aside class="toc-drawer" aria-label="Page">')
    page = page.replace("<pre>", '<pre tabindex="0">')
    page = page.replace('<div class="script docutils container"', '<div class="script docutils container" tabindex="0"')
    page = page.replace('<div id="search-results">', '<h1>Search</h1><div id="search-results">')
    return _EMPTY_HEADING.sub("<td></td>", page)


def _settings() -> dict[str, Any]:
    """How Sphinx makes the pages; nothing in them is fetched from elsewhere."""
    return {
        "project": "Cavata", "version": __version__, "release": __version__, "language": "en",
        "extensions": ["myst_parser"], "myst_heading_anchors": 4,
        "myst_enable_extensions": ["colon_fence", "attrs_inline"],
        "html_theme": "furo", "html_title": f"Cavata {__version__}", "html_static_path": ["static"],
        "html_extra_path": ["beside"], "html_css_files": [STYLE.name], "html_show_sourcelink": False,
        "html_copy_source": False, "html_show_sphinx": False, "html_last_updated_fmt": None,
        "pygments_style": "xcode", "exclude_patterns": ["static", "beside"],
        "suppress_warnings": ["misc.highlighting_failure"],  # of scripts that show what cannot be read
    }  # fmt: skip


def _lexer() -> Any:
    """The lexer that is made from the grammar."""
    spec = spec_from_file_location("cavata_pygments", resources.folder("grammar") / "cavata_pygments.py")
    assert spec is not None and spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.CavataLexer
