"""The desk of an editor: `cavata desk` finds the language server that the editor started, and each sees the other.

A real client speaks the protocol over the server's standard streams; the page is asked for over HTTP.
"""

from __future__ import annotations

import asyncio
import base64
import http.client
import json
import re
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from desks import SCRIPT
from patience import WAIT, until

pytest.importorskip("pygls", reason="the extra `editor` is not installed")
pytest.importorskip("starlette", reason="the extra `desk` is not installed")

from editor_client import Editor
from lsprotocol import types as lsp

from cavata.desk.lock import found

pytestmark = pytest.mark.slow


class Page:
    """A page of the desk, opened in this process."""

    def __init__(self, address: str) -> None:
        self.host = address.removeprefix("http://").partition("/")[0]
        answer, _ = self.ask("GET", f"/?{address.partition('?')[2]}")
        self.cookie = answer.headers["set-cookie"].partition(";")[0]
        page = self.ask("GET", "/")[1].decode()
        self.token = page.partition('name="cavata-token" content="')[2].partition('"')[0]
        self.stream = http.client.HTTPConnection(self.host, timeout=WAIT)
        self.stream.request("GET", "/events", headers={"Cookie": self.cookie})
        self.events = self.stream.getresponse()
        self.event(lambda event: event)  # by then it follows

    cookie = ""

    def ask(self, method: str, path: str, body: bytes = b"", **more: str) -> tuple[http.client.HTTPResponse, bytes]:
        connection = http.client.HTTPConnection(self.host, timeout=WAIT)
        connection.request(method, path, body, {"Cookie": self.cookie, **more})
        answer = connection.getresponse()
        return answer, answer.read()

    def do(self, deed: str, **sent: Any) -> Any:
        headers = {
            "Origin": f"http://{self.host}", "Content-Type": "application/json", "X-Cavata-Token": self.token,
        }  # fmt: skip
        return json.loads(self.ask("POST", f"/do/{deed}", json.dumps(sent).encode(), **headers)[1])

    def event(self, wanted: Callable[[Any], Any]) -> Any:
        """The next event that is wanted."""
        while True:
            line = self.events.readline()
            assert line, "the events ended"
            if line.startswith(b"data: "):
                event = json.loads(line.removeprefix(b"data: "))
                if wanted(event):
                    return event

    def close(self) -> None:
        self.events.close()
        self.stream.close()


def played(
    script: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    steps: Callable[[Editor, str, Page], Coroutine[Any, Any, None]],
) -> None:
    """An editor with the script open, and the page of its desk."""
    monkeypatch.setenv("CAVATA_CACHE", str(tmp_path / "cache"))

    async def run() -> None:
        editor = Editor()
        await editor.start(
            workspace=lsp.WorkspaceClientCapabilities(
                apply_edit=True, workspace_edit=lsp.WorkspaceEditClientCapabilities(document_changes=True)
            ),
            window=lsp.WindowClientCapabilities(show_document=lsp.ShowDocumentClientCapabilities(support=True)),
            text=lsp.TextDocumentClientCapabilities(
                hover=lsp.HoverClientCapabilities(content_format=[lsp.MarkupKind.Markdown])
            ),
            options={"pictures": True},
        )
        try:
            assert found(script) is None  # it is not open yet
            uri = await editor.open(script)
            addresses = await asyncio.to_thread(until, lambda: found(script))
            page = await asyncio.to_thread(Page, addresses[1])
            try:
                await steps(editor, uri, page)
            finally:
                page.close()
        finally:
            await editor.stop()
        assert not [*(tmp_path / "cache" / "cavata" / "desks").iterdir()]

    asyncio.run(run())


def place(text: str, words: str) -> lsp.Position:
    before = text[: text.index(words)]
    return lsp.Position(before.count("\n"), len(before) - before.rfind("\n") - 1)


def test_page_and_editor_follow_each_other(script: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A note opens its row in the editor, the cursor is seen on the page, and so is what the editor saves."""

    async def steps(editor: Editor, uri: str, page: Page) -> None:
        await a_name_is_seen_as_notes(editor, uri)
        await a_note_opens_its_row(editor, uri, page)
        await the_cursor_is_seen(editor, uri, page)
        await what_is_saved_is_seen(editor, uri, page, script)

    played(script, tmp_path, monkeypatch, steps)


async def a_name_is_seen_as_notes(editor: Editor, uri: str) -> None:
    async def told(words: str) -> str:
        wanted = lsp.HoverParams(lsp.TextDocumentIdentifier(uri), place(SCRIPT, words))
        found = await editor.client.text_document_hover_async(wanted)
        assert found is not None and isinstance(found.contents, lsp.MarkupContent)
        return found.contents.value

    encoded = re.findall(r"!\[the notes]\(data:image/svg\+xml;base64,([^)]*)\)", await told("hail ="))
    picture = ElementTree.fromstring(base64.b64decode(encoded[0]))  # a picture by itself: the data address of RFC 2397
    assert {"width", "height"} <= {*picture.keys()}
    assert sum(each.get("class") == "note" for each in picture.iter()) == len("TAMSIN")
    assert "data:" not in await told("french from")


async def a_note_opens_its_row(editor: Editor, uri: str, page: Page) -> None:
    shown: list[lsp.ShowDocumentParams] = []

    @editor.client.feature(lsp.WINDOW_SHOW_DOCUMENT)
    def show(parameters: lsp.ShowDocumentParams) -> lsp.ShowDocumentResult:
        shown.append(parameters)
        return lsp.ShowDocumentResult(True)

    told = await asyncio.to_thread(page.do, "show", id="first-violin-closing-hail-2")
    assert told["shown"] and (told["file"], told["line"]) == ("lamp.cavata", 23)
    begin = place(SCRIPT, "hail -> up P8")
    assert shown[0].uri == uri and shown[0].external is False and shown[0].selection is not None
    assert shown[0].selection.start == begin
    assert shown[0].selection.end == lsp.Position(begin.line, begin.character + len("hail -> up P8"))
    assert "error" in await asyncio.to_thread(page.do, "show", id="none")


async def the_cursor_is_seen(editor: Editor, uri: str, page: Page) -> None:
    async def lit(words: str, text: str = SCRIPT) -> set[str]:
        wanted = lsp.DocumentHighlightParams(lsp.TextDocumentIdentifier(uri), place(text, words))
        await editor.client.text_document_document_highlight_async(wanted)
        event = await asyncio.to_thread(page.event, lambda event: "highlight" in event)
        return {*event["highlight"]}

    closing = await lit("hail -> up P8")
    assert len(closing) == 6 and all(each.startswith("first-violin-closing-hail") for each in closing)
    everywhere = await lit("tamsin -> from F4")
    assert closing < everywhere
    assert {each.split("-")[1] for each in everywhere} == {"violin", "cello"}
    assert len(await lit("hail -> down P8")) == 12
    # What is typed and not saved yet moves lines, and no notes.
    text = SCRIPT.replace("forces", "-- above\n\nforces")
    await editor.change(uri, text)
    assert await lit("hail -> up P8", text) == closing


async def what_is_saved_is_seen(editor: Editor, uri: str, page: Page, script: Path) -> None:
    text = SCRIPT.replace("hail -> up P8", "hail -> up P5")
    await editor.change(uri, text)
    script.write_text(text, "utf-8")
    event = await asyncio.to_thread(page.event, lambda event: event["state"] == 2)
    assert event == {"state": 2, "good": 2, "messages": []}


def test_what_is_taken_the_editor_writes(script: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By `workspace/applyEdit`, of the version that it has; and it is taken back in the same way."""

    async def steps(editor: Editor, uri: str, page: Page) -> None:
        applied: list[lsp.ApplyWorkspaceEditParams] = []
        texts = [SCRIPT]

        @editor.client.feature(lsp.WORKSPACE_APPLY_EDIT)
        async def apply(parameters: lsp.ApplyWorkspaceEditParams) -> lsp.ApplyWorkspaceEditResult:
            applied.append(parameters)
            change = (parameters.edit.document_changes or [])[0]
            assert isinstance(change, lsp.TextDocumentEdit)
            assert (change.text_document.uri, change.text_document.version) == (uri, editor.versions[uri])
            texts.append(edited(texts[-1], [each for each in change.edits if isinstance(each, lsp.TextEdit)]))
            await editor.change(uri, texts[-1])
            return lsp.ApplyWorkspaceEditResult(True)

        asked = "/view/offers?kind=instrument&part=cello&instrument=bassoon"
        cards = json.loads((await asyncio.to_thread(page.ask, "GET", asked))[1])["cards"]
        told = await asyncio.to_thread(page.do, "take", card=cards[0]["card"])
        assert told == {"taken": cards[0]["title"]}
        event = await asyncio.to_thread(page.event, lambda event: event["state"] == 2)
        assert event["good"] == 2 and len(applied) == 1 and applied[0].label == cards[0]["title"]
        assert "cello  = bassoon" in texts[-1] and script.read_text("utf-8") == SCRIPT
        assert "undone" in await asyncio.to_thread(page.do, "undo")
        assert texts[-1] == SCRIPT and len(applied) == 2
        # What is typed meanwhile is never written over.
        await editor.change(uri, SCRIPT + "-- typed\n")
        cards = json.loads((await asyncio.to_thread(page.ask, "GET", asked))[1])["cards"]
        told = await asyncio.to_thread(page.do, "take", card=cards[0]["card"])
        assert told == {"error": "`lamp.cavata` has changed meanwhile; nothing was written"} and len(applied) == 2

    played(script, tmp_path, monkeypatch, steps)


def edited(text: str, edits: list[lsp.TextEdit]) -> str:
    """A text with edits, as an editor makes them: from the last to the first."""
    lines = text.splitlines(keepends=True)

    def offset(at: lsp.Position) -> int:
        return sum(map(len, lines[: at.line])) + at.character

    for edit in sorted(edits, key=lambda edit: edit.range.start, reverse=True):
        text = text[: offset(edit.range.start)] + edit.new_text + text[offset(edit.range.end) :]
    return text
