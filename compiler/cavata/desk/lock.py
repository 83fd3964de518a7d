"""Where open desks are found: by a file that only its owner can read, and a door that opens to who has read it.

In: for each process the scripts that it can show. Out: the address of a script's page. The file names a port of the
loopback address and a secret of 128 bits; who sends the secret and the path of a script is told its addresses.
"""

from __future__ import annotations

import json
import os
import socket
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from hmac import compare_digest
from pathlib import Path
from secrets import token_urlsafe
from typing import Any

from cavata import __version__
from cavata.cache import DESKS
from cavata.desk.safety import ADDRESS, SECRET_BYTES
from cavata.files import lives

WAIT = 30.0
"""Seconds for an answer: the piece may have to be compiled for it."""
ASKING = 10.0
"""Seconds for a question, however busy the machine is on which it is asked."""
LONGEST = 1 << 16
"""Bytes of a question."""
AddressesOf = Callable[[Path], tuple[str, str] | None]
"""The addresses of a script's page, one that stays and one that works once; None if it is not open here."""


class Door:
    """Answers other processes of the same user."""

    def __init__(self, addresses_of: AddressesOf) -> None:
        self._addresses_of = addresses_of
        self._secret = token_urlsafe(SECRET_BYTES)
        self._socket = socket.create_server((ADDRESS, 0))
        self._thread = threading.Thread(target=self._serve, name="door", daemon=True)

    def open(self) -> None:
        """Answer from now on, and say where."""
        self._thread.start()
        told = {"port": self._socket.getsockname()[1], "secret": self._secret, "version": __version__}
        DESKS.keep(str(os.getpid()), json.dumps(told).encode())

    def close(self) -> None:
        """Answer no longer."""
        forget(os.getpid())
        with suppress(OSError):
            self._socket.shutdown(socket.SHUT_RDWR)
        self._socket.close()

    def _serve(self) -> None:
        while True:
            try:
                connection, _ = self._socket.accept()
            except OSError:
                return
            # Whatever is asked, and however little can be answered now, the next one is answered.
            with connection, suppress(Exception):
                connection.settimeout(ASKING)
                asked = json.loads(_line(connection))
                known = compare_digest(str(asked["secret"]).encode(), self._secret.encode())
                addresses = self._addresses_of(Path(str(asked["script"]))) if known else None
                connection.sendall(json.dumps(addresses or ()).encode() + b"\n")


def found(script: Path) -> tuple[str, str] | None:
    """The addresses of a script's page, where a process has it open; None where none has."""
    folder = DESKS.folder()
    numbers = [] if folder is None or not folder.is_dir() else [each.name for each in folder.iterdir()]
    for number in sorted(number for number in numbers if number.isdecimal()):
        if int(number) == os.getpid():
            continue
        if not lives(int(number)):
            forget(int(number))
            continue
        told = DESKS.read_as(number, json.loads)
        if isinstance(told, dict) and told.get("version") == __version__:
            addresses = _asked(told, script)
            if addresses is not None:
                return addresses
    return None


def forget(process: int) -> None:
    """Take away what a process said of itself."""
    folder = DESKS.folder()
    if folder is not None:
        with suppress(OSError):
            (folder / str(process)).unlink()


def _asked(told: Mapping[str, Any], script: Path) -> tuple[str, str] | None:
    try:
        with socket.create_connection((ADDRESS, int(told["port"])), ASKING) as connection:
            connection.settimeout(WAIT)
            asked = {"secret": told["secret"], "script": str(script.resolve())}
            connection.sendall(json.dumps(asked).encode() + b"\n")
            stays, once = (str(each) for each in json.loads(_line(connection)))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    own = f"http://{ADDRESS}:"
    return (stays, once) if stays.startswith(own) and once.startswith(own) else None


def _line(connection: socket.socket) -> bytes:
    data = b""
    while not data.endswith(b"\n"):
        more = connection.recv(4096)
        if not more or len(data) > LONGEST:
            raise ValueError("no whole line")
        data += more
    return data
