"""An editor for tests: it starts the language server as editors do, and speaks to it over its standard streams.

The client is that of pygls, a general-purpose library of the open protocol.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

from lsprotocol import types as lsp
from patience import WAIT
from pygls.lsp.client import LanguageClient


class Editor:
    """A client with its files."""

    def __init__(self) -> None:
        self.client = LanguageClient("tests", "1")
        self.messages: dict[str, list[lsp.Diagnostic]] = {}
        self.told = asyncio.Event()
        self.versions: dict[str, int] = {}

        @self.client.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        def published(parameters: lsp.PublishDiagnosticsParams) -> None:
            if parameters.version in (None, self.versions.get(parameters.uri)):
                self.messages[parameters.uri] = list(parameters.diagnostics)
                self.told.set()

    async def start(
        self, *units: lsp.PositionEncodingKind, workspace: lsp.WorkspaceClientCapabilities | None = None,
        window: lsp.WindowClientCapabilities | None = None, text: lsp.TextDocumentClientCapabilities | None = None,
        options: Any = None,
    ) -> lsp.InitializeResult:
        """Start the server, which may count by these units, and ask for what the rest says."""
        await self.client.start_io(sys.executable, "-m", "cavata.cli.main", "language-server")
        general = lsp.GeneralClientCapabilities(position_encodings=list(units) or None)
        can = lsp.ClientCapabilities(general=general, workspace=workspace, window=window, text_document=text)
        result = await self.client.initialize_async(lsp.InitializeParams(can, initialization_options=options))
        self.client.initialized(lsp.InitializedParams())
        return result

    async def stop(self) -> None:
        """As an editor ends."""
        await self.client.shutdown_async(None)
        self.client.exit(None)
        await self.client.stop()

    async def open(self, path: Path, text: str | None = None) -> str:
        """Open a file, with a text that may not be saved yet; answered when its messages are there."""
        return await self.open_at(path.as_uri(), path.read_text("utf-8") if text is None else text)

    async def open_at(self, uri: str, text: str) -> str:
        """Open whatever has an address."""
        self.versions[uri] = 1
        item = lsp.TextDocumentItem(uri, "cavata", 1, text)
        self.messages.pop(uri, None)
        self.client.text_document_did_open(lsp.DidOpenTextDocumentParams(item))
        await self.until(lambda: uri in self.messages)
        return uri

    async def until(self, holds: Callable[[], bool]) -> None:
        """Wait for messages with which something holds."""
        while not holds():
            self.told.clear()
            await asyncio.wait_for(self.told.wait(), WAIT)

    async def change(self, uri: str, text: str) -> list[lsp.Diagnostic]:
        """Put another text in a file's place; its messages."""
        return await self.edit(uri, lsp.TextDocumentContentChangeWholeDocument(text))

    async def edit(self, uri: str, *changes: Any) -> list[lsp.Diagnostic]:
        """Change a file as typing does; its messages."""
        self.versions[uri] += 1
        self.messages.pop(uri, None)
        document = lsp.VersionedTextDocumentIdentifier(self.versions[uri], uri)
        self.client.text_document_did_change(lsp.DidChangeTextDocumentParams(document, list(changes)))
        await self.until(lambda: uri in self.messages)
        return self.messages[uri]


class Running:
    """An editor that is there for many tests."""

    def __init__(
        self, *units: lsp.PositionEncodingKind, text: lsp.TextDocumentClientCapabilities | None = None
    ) -> None:
        self.editor = Editor()
        self._loop = asyncio.new_event_loop()
        self._await(self.editor.start(*units, text=text))

    def do(self, steps: Callable[[Editor], Coroutine[Any, Any, None]]) -> None:
        """Let the editor do something."""
        self._await(steps(self.editor))

    def end(self) -> None:
        """End it and its server."""
        self._await(self.editor.stop())
        self._loop.close()

    def _await(self, what: Coroutine[Any, Any, object]) -> None:
        self._loop.run_until_complete(asyncio.wait_for(what, 10 * WAIT))
