"""Desks of the files that an editor has open, served by the language server that the editor started.

In: the language server. Out: a door by which `cavata desk` finds it; when it is asked for a script that is open, the
script's desk, served. Where the cursor stands in the editor is lit on the page, and what is taken there is written by
the editor.
"""

from __future__ import annotations

import re
import threading
from itertools import islice
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from cavata.desk.lock import Door
from cavata.draft import NotDrawn
from cavata.editor.asking import Asking
from cavata.editor.server import Scripts
from cavata.music.event import Motif, Texture

if TYPE_CHECKING:  # loaded when a desk is asked for
    from cavata.desk.server import Server
    from cavata.desk.watching import Watch

MOST_LIT = 400
"""Notes that are lit at once."""
UNITS = 4
"""Of a picture of music in a pixel, as on the page."""
_BOX = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')


class Beside:
    """The desks of one language server, used by `with`."""

    def __init__(self, scripts: Scripts) -> None:
        self._scripts = scripts
        self._desks: dict[Path, tuple[Server, Watch]] = {}
        self._door = Door(self._addresses)
        self._cursor: tuple[str, str, int] | None = None
        self._moved = threading.Event()
        self._closed = False

    def __enter__(self) -> Beside:
        self._scripts.looked.append(self._looked)
        self._scripts.drawn = drawn
        self._door.open()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._closed = True
        self._moved.set()
        self._door.close()
        for server, watch in self._desks.values():
            watch.stop()
            server.stop()

    def _addresses(self, script: Path) -> tuple[str, str] | None:
        """The addresses of a script's desk, which is begun if it is not there yet; None if the script is not open."""
        if script not in self._desks:
            if str(script) not in self._scripts.texts():
                return None
            try:
                from cavata.desk.desk import Desk
                from cavata.desk.server import Server
                from cavata.desk.watching import Watch
            except ModuleNotFoundError:  # the extra `desk` is not installed here
                return None
            scripts = self._scripts
            desk = Desk(script, library=scripts.library, lock=scripts.still, editor=Asking(scripts))
            made = self._desks[script] = Server(desk), Watch(desk)
            for each in made:
                each.start()
            if len(self._desks) == 1:
                threading.Thread(target=self._light, name="cursor", daemon=True).start()
        return self._desks[script][0].guard.addresses()

    def _looked(self, path: str, text: str, offset: int) -> None:
        """Remember where the cursor is, and go on: the editor waits."""
        self._cursor = path, text, offset
        self._moved.set()

    def _light(self) -> None:
        """Light the notes of the place where the cursor is, on every page that shows the file."""
        from cavata.desk.places import marks_at

        while self._moved.wait() and not self._closed:
            self._moved.clear()
            if self._cursor is None:
                continue
            path, text, offset = self._cursor
            for server, _ in [*self._desks.values()]:
                desk, state = server.desk, server.desk.last_good
                loaded = None if state is None else state.compiled.loaded
                if state is None or loaded is None or path not in loaded.modules or not desk.is_followed:
                    continue
                with desk.still:
                    found = islice(marks_at(state, loaded.modules[path].source.name, text, offset), MOST_LIT)
                    desk.light(found)


def drawn(value: Motif | Texture) -> str:
    """Music as a picture that stands by itself, of a long value the beginning; empty where it cannot be drawn here."""
    try:
        from cavata.desk.score.engraver import ENGRAVER
        from cavata.desk.score.origin import drawn_value, shown

        ENGRAVER.begin()
        picture = drawn_value(shown(value, None))
    except (ModuleNotFoundError, NotDrawn):
        return ""
    width, height = (float(each) for each in _BOX.findall(picture)[0])
    size = f'width="{width / UNITS:.0f}" height="{height / UNITS:.0f}" style="background: white"'
    return picture.replace("<svg ", f"<svg {size} ", 1)
