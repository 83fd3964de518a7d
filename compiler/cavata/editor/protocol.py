"""How messages of an editor come in: in their order, each request answered, texts cut into lines as the protocol does.

In: messages of the Language Server Protocol 3.17, as pygls reads them. Out: the same, but that what is malformed, comes
before the beginning or after the end is answered with the error that the protocol names for it; and that only line feed
and carriage return end a line of a text.
"""

from __future__ import annotations

import re
from collections.abc import Generator, Mapping, Sequence
from typing import Any
from urllib.parse import unquote

from lsprotocol import types as lsp
from pygls.exceptions import (
    JsonRpcException,
    JsonRpcInvalidParams,
    JsonRpcInvalidRequest,
    JsonRpcServerNotInitialized,
)
from pygls.protocol import LanguageServerProtocol, lsp_method
from pygls.workspace import PositionCodec, TextDocument, Workspace

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_LONE_SURROGATES = re.compile("[\ud800-\udfff]")
_Steps = Generator[Any, Any, Any]


def characters(text: str, units: int, codec: PositionCodec) -> int:
    """How many characters of a text so many units of an editor are; no more than there are."""
    count = passed = 0
    while count < len(text) and passed < units:
        passed += codec.client_num_units(text[count])
        count += 1
    return count


class Document(TextDocument):
    """A text that an editor has open."""

    _read: tuple[str, str] | None = None
    """The text as it came, and as it is read."""

    @property
    def lines(self) -> Sequence[str]:
        """Its lines with their ends. Python itself would end lines at form feeds and other signs too."""
        return tuple(_LINE.findall(self.source))

    def place(self, position: lsp.Position) -> int:
        """The offset of a line and column; beyond a line's end its end, and of half a sign the place after it."""
        lines = self.lines
        before = sum(map(len, lines[: position.line]))
        if position.line >= len(lines):
            return before
        return before + characters(lines[position.line].rstrip("\r\n"), position.character, self.position_codec)

    def _apply_incremental_change(self, change: lsp.TextDocumentContentChangePartial) -> None:
        start, end = sorted(map(self.place, (change.range.start, change.range.end)))
        self._source = self.source[:start] + change.text + self.source[end:]

    @property
    def text(self) -> str:
        """As the compiler reads it: lines end in line feeds, and half a sign is no sign."""
        if self._read is None or self._read[0] is not self.source:
            text = _LONE_SURROGATES.sub("\ufffd", self.source.replace("\r\n", "\n").replace("\r", "\n"))
            self._read = self.source, text
        return self._read[1]


class _Documents(Workspace):
    def _create_text_document(
        self, doc_uri: str, source: str | None = None, version: int | None = None, language_id: str | None = None
    ) -> TextDocument:
        return Document(
            doc_uri, source, version, language_id, sync_kind=self._sync_kind, position_codec=self.position_codec
        )


class Protocol(LanguageServerProtocol):
    """What pygls does with messages, and what it leaves out."""

    shows_pictures = False
    """Whether the editor shows pictures where a word is told, as it says itself: the protocol has no word for it."""

    @property
    def is_shut_down(self) -> bool:
        """Whether the editor asked for the end, after which it may exit."""
        return self._shutdown

    def structure_message(self, data: dict[str, Any]) -> Any:
        """A message as a value; None for one that cannot be read, which is answered here if it is a request."""
        try:
            return super().structure_message(data)
        except JsonRpcException:
            if "id" in data and "method" in data:
                self._send_response(data["id"], error=JsonRpcInvalidParams().to_response_error())
            return None

    def handle_message(self, message: Any) -> None:
        """Take up a message, if it is one, and its time has come."""
        method = getattr(message, "method", None)
        refusal: JsonRpcException | None = None
        if message is None or not hasattr(message, "jsonrpc"):
            return
        if self._workspace is None and method not in (None, lsp.INITIALIZE, lsp.EXIT):
            refusal = JsonRpcServerNotInitialized("`initialize` comes first")
        elif self._shutdown and method not in (None, lsp.EXIT):
            refusal = JsonRpcInvalidRequest("nothing comes after `shutdown` but `exit`")
        elif self._workspace is not None and method == lsp.INITIALIZE:
            refusal = JsonRpcInvalidRequest("`initialize` comes once")
        if refusal is None:
            super().handle_message(message)
        elif hasattr(message, "id"):
            self._send_response(message.id, error=refusal.to_response_error())

    @lsp_method(lsp.INITIALIZE)
    def lsp_initialize(self, params: lsp.InitializeParams) -> _Steps:
        """Begin, with documents of ours."""
        result = yield from super().lsp_initialize(params)
        asked = params.initialization_options
        self.shows_pictures = isinstance(asked, Mapping) and asked.get("pictures") is True
        begun = self.workspace
        self._workspace = _Documents(
            begun.root_uri, begun._sync_kind, list(begun.folders.values()), begun.position_encoding
        )
        return result

    @lsp_method(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def lsp_text_document__did_change(self, params: lsp.DidChangeTextDocumentParams) -> _Steps:
        """Change a text that is open; one without a change has another version all the same."""
        document = self.workspace.text_documents.get(unquote(params.text_document.uri))
        if document is not None:
            document.version = params.text_document.version
            yield from super().lsp_text_document__did_change(params)
