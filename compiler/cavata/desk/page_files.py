"""The page as files: its HTML with the scripts and styles that belong to it, in their order.

In: the folder `page`. Out: the text that a browser is given, for the server with addresses of the files, for a folder
that opens without a server with their texts in it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from html import escape
from pathlib import Path

FOLDER = Path(__file__).parent / "page"
SCRIPTS = ("words", "core", "names", "map", "score", "note", "sound", "offers", "compare")
STYLES = ("desk", "score", "sound")
ICON = "icon.svg"
KINDS = {".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml"}


@cache
def files() -> dict[str, bytes]:
    """The scripts, styles and the icon by their names, in the order in which the page has them."""
    names = [*(f"{each}.css" for each in STYLES), *(f"{each}.js" for each in SCRIPTS), ICON]
    return {name: (FOLDER / name).read_bytes() for name in names}


def page(title: str, token: str) -> str:
    """The page as the server gives it."""
    icon = f'<link rel="icon" href="page/{ICON}">'
    return _filled(title, token, _linked).replace("<!-- icon -->", icon)


def whole_page(title: str, data: str) -> str:
    """The page with everything in it; `data` is a script that comes before all others."""
    return _filled(title, "", _within).replace("<!-- data -->", f"<script>{data}</script>")


def _filled(title: str, token: str, put: Callable[[str], str]) -> str:
    text = (FOLDER / "desk.html").read_text("utf-8")
    styles = "\n".join(put(name) for name in files() if name.endswith(".css"))
    scripts = "\n".join(put(name) for name in files() if name.endswith(".js"))
    text = text.replace("{token}", escape(token)).replace("{title}", escape(title))  # a title may hold braces
    return text.replace("<!-- styles -->", styles).replace("<!-- scripts -->", scripts)


def _linked(name: str) -> str:
    if name.endswith(".css"):
        return f'<link rel="stylesheet" href="page/{name}">'
    return f'<script src="page/{name}"></script>'


def _within(name: str) -> str:
    text = files()[name].decode("utf-8")
    return f"<style>\n{text}</style>" if name.endswith(".css") else f"<script>\n{text}</script>"
