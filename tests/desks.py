"""Desks for tests: a script in a folder of its own, served and watched in this process."""

from __future__ import annotations

import http.client
import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from patience import WAIT

from cavata.desk.desk import Desk, Notice
from cavata.desk.safety import TOKEN_HEADER

if TYPE_CHECKING:
    from cavata.desk.server import Server

SCRIPT = """\
language 2

piece "The Lamp"
    composer "A. Composer"

use french from ciphers

name tamsin = "TAMSIN" by french

motif hail = tamsin -> from F4 -> in (1/4)

forces
    violin = violin
    cello  = cello

movement first
    meter 3/4
    tempo 1/4 at 84
    section opening 4 bars
        violin: hail x 2
        cello:  hail -> down P8 for 4 bars
    section closing 2 bars
        violin: hail -> up P8
"""
WRONG = SCRIPT.replace("violin: hail -> up P8", "violin: hale -> up P8")


@contextmanager
def served(script: Path, watched: bool = True) -> Iterator[Server]:
    """A script with its server, and with the watch on its files."""
    from cavata.desk import watching
    from cavata.desk.server import Server  # of the extra `desk`, without which tests that need it are left out
    from cavata.desk.watching import Watch

    watching.EMPTY = WAIT  # tests write into the script, and a busy machine may write long after it has emptied it
    desk = Desk(script, script.name)
    server, watch = Server(desk), Watch(desk)
    server.start()
    try:
        if watched:
            watch.start()
            assert watch.began.wait(WAIT)
        yield server
    finally:
        watch.stop()
        server.stop()


class Browser:
    """A plain client that behaves as a browser does, but for what a test changes."""

    def __init__(self, server: Server) -> None:
        self.server = server
        self.host = server.guard.host
        self.cookie = ""

    def enter(self, once: bool = False) -> None:
        """Open the address that was printed."""
        address = self.server.guard.addresses()[once]
        status, headers, _ = self.ask("GET", address.removeprefix(self.server.guard.origin))
        assert status == 303 and headers["location"] == "/"
        self.cookie = headers["set-cookie"].partition(";")[0]

    def ask(self, method: str, path: str, body: bytes = b"", **changed: str) -> tuple[int, dict[str, str], bytes]:
        """Status, headers and content; a header that is given empty is left out."""
        headers = {"Host": self.host, "Cookie": self.cookie}
        if method == "POST":
            headers |= {
                "Origin": self.server.guard.origin, "Content-Type": "application/json",
                TOKEN_HEADER: self.server.guard.token,
            }  # fmt: skip
        headers |= {name.replace("_", "-"): value for name, value in changed.items()}
        connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=WAIT)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in headers.items():
                if value:
                    connection.putheader(name, value)
            if method == "POST":
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body)
            answer = connection.getresponse()
            return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read()
        finally:
            connection.close()

    def view(self, path: str) -> Any:
        """What a view answers in JSON."""
        status, _, body = self.ask("GET", f"/view/{path}")
        assert status == 200, body
        return json.loads(body)

    def do(self, deed: str, **sent: Any) -> tuple[int, Any]:
        """Status and answer of a deed."""
        status, _, body = self.ask("POST", f"/do/{deed}", json.dumps(sent).encode())
        return status, json.loads(body)


@contextmanager
def events(desk: Desk) -> Iterator[list[Notice]]:
    """What pages are told meanwhile."""
    found: list[Notice] = []
    end = desk.subscribe(found.append)
    try:
        yield found
    finally:
        end()
