"""A busy machine, made: answers and events of a desk come late by chance and overtake each other; the browser is slow.

`LATE=7 pytest tests/browser` runs every test so; the number is where chance begins. Nothing may fail by it: what a test
waits for comes, and what is pressed on the page is done.
"""

from __future__ import annotations

import asyncio
import os
import random
import time
from collections.abc import AsyncIterator, Callable
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from starlette.responses import Response

    from cavata.desk.answers import Answer
    from cavata.desk.desk import Desk
    from cavata.desk.server import Server
    from cavata.desk.state import State

SEED = os.environ.get("LATE", "")
LATEST = 2.0
"""Seconds by which an answer, an event or a look at the files comes late."""
SLOWER = (4, 8)
"""How many times slower the browser computes."""
_CHANCE = random.Random(SEED)


def _wait() -> float:
    """Often nothing, so that others overtake."""
    return _CHANCE.choice((0.0, 0.1, LATEST)) * _CHANCE.random()


def make_late(patch: pytest.MonkeyPatch) -> None:
    """Have every desk be late."""
    from cavata.desk import desk, server
    from cavata.desk.score.engraver import EngraverProcess

    answered, stream, save, draw = server._answered, server._stream, desk.Desk.save, EngraverProcess.drawn

    async def late_answer(ask: Callable[[], Answer]) -> Response:
        await asyncio.sleep(_wait())
        answer = await answered(ask)
        await asyncio.sleep(_wait())
        return answer

    async def late_events(served: Server) -> AsyncIterator[bytes]:
        async for event in stream(served):
            await asyncio.sleep(_wait())
            yield event

    def late_save(own: Desk, *unsaved: dict[str, str]) -> State:
        time.sleep(_wait())
        return save(own, *unsaved)

    def late_drawing(own: EngraverProcess, asked: bytes) -> bytes | None:
        time.sleep(_wait())
        return draw(own, asked)

    patch.setattr(server, "_answered", late_answer)
    patch.setattr(server, "_stream", late_events)
    patch.setattr(desk.Desk, "save", late_save)
    patch.setattr(EngraverProcess, "drawn", late_drawing)


def make_slow(page: Page) -> None:
    """Have a page compute slowly."""
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": _CHANCE.choice(SLOWER)})
