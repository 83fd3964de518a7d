"""The server of a desk: the page, its views, its deeds and its events, to one browser on this machine.

In: a desk. Out: HTTP on the loopback address, at a port that the system chooses. Every request passes `safety.Guard`
first. A view or a deed runs in a thread of its own, so that a long one holds up no other.
"""

from __future__ import annotations

import asyncio
import json
import socket
import threading
from collections.abc import AsyncIterator, Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import TypeVar

import uvicorn
from starlette.applications import Starlette
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from cavata import __version__
from cavata.desk import page_files
from cavata.desk.answers import PICTURE, Answer, NotThere, as_json
from cavata.desk.desk import Desk, Notice
from cavata.desk.first_system import FIRST_SYSTEM, USUAL
from cavata.desk.safety import ADDRESS, HEADERS, MOST_SENT, Guard
from cavata.desk.score.engraver import ENGRAVER
from cavata.desk.views import number_of
from cavata.text import LONGEST_NUMBER

MOST_WAITING = 64
"""Events for a page that does not read them; of more the oldest are lost, since each tells the whole."""
HEARTBEAT = 15.0
"""Seconds after which a page that has nothing to hear is told so, that a closed one is noticed."""
_WORKERS = ThreadPoolExecutor(6, "view")
"""A few threads for all that is asked: what is loaded and freed in many of them is not given back."""
_Value = TypeVar("_Value")
SHUTTING = 1
"""Seconds that open requests have when the desk is closed."""


class Server:
    """One desk, served."""

    def __init__(self, desk: Desk, port: int = 0) -> None:
        """Raises OSError where the port cannot be had."""
        self.desk = desk
        self._socket = socket.create_server((ADDRESS, port))
        # Else the second half of an answer waits until the browser has confirmed the first, which it delays.
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.port: int = self._socket.getsockname()[1]
        self.guard = Guard(self.port)
        self._closing = threading.Event()
        config = uvicorn.Config(
            _Guarded(_app(self), self.guard), log_config=None, log_level="critical", access_log=False, lifespan="off",
            ws="none", loop="asyncio", http="h11", server_header=False, date_header=False,
            timeout_graceful_shutdown=SHUTTING,
        )  # fmt: skip
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._run, name="desk", daemon=True)

    def start(self) -> None:
        """Serve, in a thread."""
        self._thread.start()
        if self.desk.opening is None:
            self.desk.first_system.ask(USUAL)

    def stop(self) -> None:
        """Close every connection, and the port; what is seen first is kept for the next time."""
        self.desk.seen_first.keep(self.desk)
        self._closing.set()
        self._server.should_exit = True
        if self._thread.is_alive():
            self._thread.join(2 * SHUTTING + 1)
        self._socket.close()

    @property
    def is_closing(self) -> bool:
        """Whether it was told to stop."""
        return self._closing.is_set()

    def _run(self) -> None:
        self._server.run(sockets=[self._socket])


async def _apart(do: Callable[[], _Value]) -> _Value:
    """What a function gives that takes its time, in a thread of its own."""
    return await asyncio.get_running_loop().run_in_executor(_WORKERS, do)


class _Guarded:
    """Lets through what may be answered, and says with every answer what a browser must not do with it."""

    def __init__(self, app: ASGIApp, guard: Guard) -> None:
        self.app, self.guard = app, guard

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return

        async def answered(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(HEADERS)
            await send(message)

        refused = self._refused(Request(scope))
        await (self.app if refused is None else refused)(scope, receive, answered)

    def _refused(self, request: Request) -> Response | None:
        headers = Headers(scope=request.scope)
        if any(len(headers.getlist(name)) > 1 for name in ("host", "origin")) or not self.guard.is_here(headers):
            return _error(403, "this is not where the desk is")
        if request.method == "GET" and request.url.path == "/" and "key" in request.query_params:
            cookie = self.guard.exchanged(request.query_params["key"])
            if cookie is None:
                return _error(403, "this address is not valid; begin the desk again")
            return RedirectResponse("/", 303, {"Set-Cookie": cookie})
        if not self.guard.is_known(headers):
            return _error(403, "open the address that `cavata desk` printed")
        if request.method not in ("GET", "HEAD") and not self.guard.may_write(headers):
            return _error(403, "this did not come from the page")
        return None


def _app(server: Server) -> Starlette:
    desk = server.desk

    async def page(_: Request) -> Response:
        # Not waited for: while a browser reads the page, the piece is compiled.
        score = desk.last_good.score if desk.last_good is not None else None
        title = score.header.title if score is not None else ""
        return Response(page_files.page(title or desk.shown, server.guard.token), media_type="text/html")

    async def file(request: Request) -> Response:
        name = request.path_params["name"]
        content = page_files.file(name)
        if content is None:
            return _error(404, "there is no such file")
        return Response(content, media_type=page_files.KINDS[name[name.rindex(".") :]])

    async def view(request: Request) -> Response:
        return await _answered(lambda: _viewed(desk, request.path_params["name"], dict(request.query_params)))

    async def deed(request: Request) -> Response:
        return await _answered(_done(desk, request.path_params["name"], await request.body()))

    return Starlette(
        routes=[
            Route("/", page), Route("/page/{name}", file), Route("/view/{name}", view),
            Route("/do/{name}", deed, methods=["POST"]), Route("/events", _events(server)),
        ],
        exception_handlers={404: _unknown, 405: _unknown},
        max_body_size=MOST_SENT,
    )  # fmt: skip


async def _unknown(_: Request, __: Exception) -> Response:
    return _error(404, "there is nothing of that name")


def _viewed(desk: Desk, name: str, wanted: dict[str, str]) -> Answer:
    """A view of the state that is asked about; of the last good one, where none is said."""
    if name == FIRST_SYSTEM:
        return _first_system(desk, wanted.get("room", ""))
    if desk.opening is not None and not desk.is_compiled:
        known = desk.opening.answer(name, wanted)
        if known is not None:
            return known
        desk.opening.wait()
    ENGRAVER.begin()
    from cavata.desk.routes import VIEWS

    view = VIEWS.get(name)
    if view is None:
        raise NotThere(f"there is no view `{name}`")
    asked = wanted.pop("state", "")
    number = number_of(asked)
    if asked and number is None:
        raise NotThere(f"`{asked[:LONGEST_NUMBER]}` is no state")
    state = desk.last_good or desk.state if number is None else desk.held(number)
    if state is None:
        raise NotThere(f"state {asked} is not kept any more")
    answer = view(desk, state, wanted)
    desk.seen_first.note(desk, state, name, wanted, answer)
    return answer


def _first_system(desk: Desk, room: str) -> Answer:
    """The first system of a piece that is shown for the first time, as soon as it is known that nothing is wrong."""
    if desk.opening is not None:
        return as_json({} if desk.is_compiled else desk.opening.first_system(room))
    ENGRAVER.begin()
    desk.first_system.ask(room)
    state = desk.last_good or desk.state
    told = desk.first_system.told(room, state)
    if told:
        # The page does not ask again for what it has.
        wanted = {"copy": told["copy"], "room": room, "system": "0"}
        desk.seen_first.note(desk, state, "system", wanted, Answer(PICTURE, told["picture"].encode("utf-8")))
    return as_json(told)


def _done(desk: Desk, name: str, body: bytes) -> Callable[[], Answer]:
    def do() -> Answer:
        from cavata.desk.routes import DEEDS

        deed = DEEDS.get(name)
        if deed is None:
            raise NotThere(f"there is no deed `{name}`")
        try:
            sent = json.loads(body or b"{}")
        except (ValueError, RecursionError):
            sent = None
        if not isinstance(sent, dict):
            raise NotThere("what was sent is no JSON object")
        return deed(desk, sent)

    return do


async def _answered(ask: Callable[[], Answer]) -> Response:
    try:
        answer = await _apart(ask)
    except NotThere as reason:
        return _error(404, str(reason))
    except Exception as fault:  # the desk goes on, and says that it is ours
        return _error(500, f"a fault in cavata {__version__}: {type(fault).__name__}: {fault}")
    return Response(answer.body, media_type=None, headers={"Content-Type": answer.kind})


def _error(status: int, text: str) -> Response:
    answer = as_json({"error": text})
    return Response(answer.body, status, {"Content-Type": answer.kind})


def _events(server: Server) -> Callable[[Request], Awaitable[Response]]:
    async def events(_: Request) -> Response:
        return StreamingResponse(_stream(server), media_type="text/event-stream")

    return events


async def _stream(server: Server) -> AsyncIterator[bytes]:
    """Events as they come, beginning with how things are."""
    loop = asyncio.get_running_loop()
    waiting: asyncio.Queue[Notice] = asyncio.Queue()

    def put(event: Notice) -> None:
        while waiting.qsize() >= MOST_WAITING:
            waiting.get_nowait()
        waiting.put_nowait(event)

    def follow(event: Notice) -> None:
        with suppress(RuntimeError):  # the server has stopped meanwhile
            loop.call_soon_threadsafe(put, event)

    end = server.desk.subscribe(follow)
    try:
        if server.desk.opening is not None and not server.desk.is_compiled:
            yield _told(server.desk.opening.event)
            await _apart(server.desk.opening.wait)
        yield _told(await _apart(server.desk.event))
        silent = 0.0
        while not server.is_closing:
            try:
                yield _told(await asyncio.wait_for(waiting.get(), 0.5))
                silent = 0.0
            except TimeoutError:
                silent += 0.5
                if silent >= HEARTBEAT:
                    silent = 0.0
                    yield b": still here\n\n"
    finally:
        end()


def _told(event: Notice) -> bytes:
    return f"data: {json.dumps(event, ensure_ascii=False)}\n\n".encode()
