"""What is asked of the editor rather than by it: its texts as they are, edits that it shall make, places to show.

In: questions from other threads than the one that speaks with it. Out: whether it was done; an editor that cannot do
it, or does not answer, has not done it.
"""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine, Iterable
from pathlib import Path
from typing import Any, TypeVar

from lsprotocol import types as lsp

from cavata.editor.server import Scripts
from cavata.source import Source, Span
from cavata.syntax.edits import Edit

WAIT = 5.0
"""Seconds for an answer; an editor may ask its user."""
_Answer = TypeVar("_Answer")


class Asking:
    """The editor, as a desk sees it."""

    def __init__(self, scripts: Scripts) -> None:
        self._scripts = scripts

    def text(self, path: str) -> str | None:
        """What it has of a file now; None if it is not open there."""
        return self._scripts.texts().get(path)

    def edit(self, path: str, edits: Iterable[Edit], text: str, what: str) -> bool:
        """Make edits in a file that is open there and has just this text; whether that was done."""

        async def asked() -> bool:
            opened = self._opened(path)
            if opened is None or self.text(path) != text:
                return False
            uri, version = opened
            source = Source(Path(path).name, text)
            changes = [
                lsp.TextEdit(self._scripts.range(Span(source, each.start, each.end)), each.text) for each in edits
            ]
            can = self._scripts.client_capabilities.workspace
            if can is None or not can.apply_edit:
                return False
            if can.workspace_edit is not None and can.workspace_edit.document_changes:
                # By its version, so that the editor itself sees whether something was typed meanwhile.
                document = lsp.OptionalVersionedTextDocumentIdentifier(uri, version)
                edit = lsp.WorkspaceEdit(document_changes=[lsp.TextDocumentEdit(document, [*changes])])
            else:
                edit = lsp.WorkspaceEdit(changes={uri: changes})
            wanted = lsp.ApplyWorkspaceEditParams(edit, what)
            return (await self._scripts.workspace_apply_edit_async(wanted)).applied

        return self._answered(asked()) or False

    def show(self, path: str, start: int, end: int) -> bool:
        """Show a place in a file that is open there, from and to, by characters; whether that was done."""

        async def asked() -> bool:
            opened, text = self._opened(path), self.text(path)
            can = self._scripts.client_capabilities.window
            if opened is None or text is None or can is None or can.show_document is None:
                return False
            source = Source(Path(path).name, text)
            place = self._scripts.range(Span(source, min(start, len(text)), min(end, len(text))))
            wanted = lsp.ShowDocumentParams(opened[0], external=False, take_focus=True, selection=place)
            return (await self._scripts.window_show_document_async(wanted)).success

        return self._answered(asked()) or False

    def _opened(self, path: str) -> tuple[str, int | None] | None:
        """How the editor calls a file, and which version of it there is."""
        document = self._scripts.opened().get(path)
        return None if document is None else (document.uri, document.version)

    def _answered(self, asked: Coroutine[Any, Any, _Answer]) -> _Answer | None:
        loop = self._scripts.loop
        if loop is None:
            asked.close()
            return None
        waiting = asyncio.run_coroutine_threadsafe(asked, loop)
        try:
            return waiting.result(WAIT)
        except Exception:  # whatever an editor answers, it has not done it
            waiting.cancel()
            return None
