"""The page as files: its HTML, and the scripts and styles that belong to it, all of a kind as one, in their order.

In: the folder `page`, and the music font that comes with Verovio. Out: the text that a browser is given, for the server
with addresses of the files, for a folder that opens without a server with their texts in it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from html import escape
from pathlib import Path

FOLDER = Path(__file__).parent / "page"
SCRIPTS = ("words", "core", "names", "map", "score", "notes", "note", "sound", "offers", "compare")
STYLES = ("desk", "score", "sound")
SCRIPT, STYLE, ICON, MUSIC = "page.js", "page.css", "icon.svg", "music.woff2"
KINDS = {
    ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
}  # fmt: skip


def file(name: str) -> bytes | None:
    """A file of the page, by one of the names above; None if there is none of that name."""
    return _content(name) if name in (SCRIPT, STYLE, ICON, MUSIC) else None


@cache
def _content(name: str) -> bytes:
    if name == MUSIC:
        from cavata.draft.fonts import font_of_music  # it is asked for after all others

        return font_of_music()
    if name == ICON:
        return (FOLDER / ICON).read_bytes()
    joined = {SCRIPT: [f"{each}.js" for each in SCRIPTS], STYLE: [f"{each}.css" for each in STYLES]}
    return b"".join((FOLDER / each).read_bytes() for each in joined[name])


def page(title: str, token: str) -> str:
    """The page as the server gives it."""
    icon = f'<link rel="icon" href="page/{ICON}">'
    return _filled(title, token, _linked).replace("<!-- icon -->", icon)


def whole_page(title: str, data: str) -> str:
    """The page with everything in it; `data` is a script that comes before all others."""
    return _filled(title, "", _within).replace("<!-- data -->", f"<script>{data}</script>")


def _filled(title: str, token: str, put: Callable[[str], str]) -> str:
    text = (FOLDER / "desk.html").read_text("utf-8")
    text = text.replace("{token}", escape(token)).replace("{title}", escape(title))  # a title may hold braces
    return text.replace("<!-- styles -->", put(STYLE)).replace("<!-- scripts -->", put(SCRIPT))


def _linked(name: str) -> str:
    if name == STYLE:
        return f'<link rel="stylesheet" href="page/{name}">'
    return f'<script src="page/{name}"></script>'


def _within(name: str) -> str:
    text = _content(name).decode("utf-8")
    return f"<style>\n{text}</style>" if name == STYLE else f"<script>\n{text}</script>"
