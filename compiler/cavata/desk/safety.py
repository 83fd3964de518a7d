"""Who is let in: the one browser that was given the address, on this machine, from the desk's own page.

In: what a request says of itself. Out: whether it is answered. Holds after: the server listens on the loopback address
only; the secret of an address is exchanged for a cookie that no script can read and no other site has sent, and is
taken out of the address; what writes must have the page's token besides. Sources: RFC 9110 (Host), RFC 6454 (Origin),
RFC 6265bis (SameSite), W3C, Content Security Policy Level 3; W3C, Referrer Policy.
"""

from __future__ import annotations

from collections.abc import Mapping
from hmac import compare_digest
from pathlib import Path
from secrets import token_urlsafe
from urllib.parse import quote

from cavata.source import Source

ADDRESS = "127.0.0.1"
SECRET_BYTES = 16
"""128 bits."""
TOKEN_HEADER = "x-cavata-token"
MOST_SENT = 1 << 20
"""Bytes that a page may send at once."""
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
"""What every answer says; none says that another site may read it."""
EDITORS = {
    "vscode": "vscode://file{path}:{line}:{column}",
    "vscodium": "vscodium://file{path}:{line}:{column}",
    "zed": "zed://file{path}:{line}:{column}",
    "textmate": "txmt://open?url=file://{path}&line={line}&column={column}",
    "idea": "idea://open?file={path}&line={line}&column={column}",
}
"""Editors that open a place by an address, and no others. Source: from memory."""


class Guard:
    """The secrets of one server, and what it asks of each request."""

    def __init__(self, port: int) -> None:
        self.host = f"{ADDRESS}:{port}"
        self.origin = f"http://{self.host}"
        self.cookie_name = f"cavata-{port}"
        """A browser sends cookies to every port of a machine, so that two desks must call theirs differently."""
        self.token = token_urlsafe(SECRET_BYTES)
        self._cookie = token_urlsafe(SECRET_BYTES)
        self._key = token_urlsafe(SECRET_BYTES)
        self._once: set[str] = set()

    def addresses(self) -> tuple[str, str]:
        """Where the page is opened: an address that stays, and one that works once, for where others may read it."""
        once = token_urlsafe(SECRET_BYTES)
        self._once.add(once)
        return f"{self.origin}/?key={self._key}", f"{self.origin}/?key={once}"

    def exchanged(self, key: str) -> str | None:
        """The cookie for a secret, as a header; None if it is not, or no longer, one."""
        given = key.encode("utf-8", "replace")
        known = [each for each in (self._key, *self._once) if compare_digest(given, each.encode())]
        if not known:
            return None
        self._once.difference_update(known)
        return f"{self.cookie_name}={self._cookie}; Path=/; HttpOnly; SameSite=Strict"

    def is_here(self, headers: Mapping[str, str]) -> bool:
        """Whether a request was sent to this address under this very name, and by no other site."""
        origin = headers.get("origin")
        site = headers.get("sec-fetch-site", "none")
        return headers.get("host") == self.host and origin in (None, self.origin) and site in ("none", "same-origin")

    def is_known(self, headers: Mapping[str, str]) -> bool:
        """Whether it has the cookie."""
        found = [part.strip().partition("=") for part in headers.get("cookie", "").split(";")]
        given = [value.encode("utf-8", "replace") for name, _, value in found if name == self.cookie_name]
        return any(compare_digest(each, self._cookie.encode()) for each in given)

    def may_write(self, headers: Mapping[str, str]) -> bool:
        """Whether it comes from the page: it says so itself, has the page's token, and could not be a form."""
        given = headers.get(TOKEN_HEADER, "").encode("utf-8", "replace")
        plain = headers.get("content-type", "").partition(";")[0].strip().lower()
        return (
            headers.get("origin") == self.origin and plain == "application/json"
            and compare_digest(given, self.token.encode())
        )  # fmt: skip


def writable_place(path: Path, script: Path, own: Mapping[str, str]) -> Path | None:
    """The real place of a file that may be written: the script, or one that it uses from its own folder; else None."""
    real, home = path.resolve(), script.resolve().parent
    return real if str(path) in own and real.is_relative_to(home) and real.is_file() else None


def link_to(editor: str, path: Path, source: Source, offset: int) -> str:
    """The address by which an editor opens a place; empty for an editor that is not known."""
    form = EDITORS.get(editor, "")
    return form.format(path=quote(path.as_posix()), line=source.line_of(offset), column=source.column_of(offset))
