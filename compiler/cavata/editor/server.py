"""The language server: what the rooms of the compiler know of a script, told to an editor over the open protocol.

A thin translator. In: requests of the Language Server Protocol 3.17 by way of pygls. Out: what `page`, `hover`,
`completion`, `structure`, `hints`, `names` and `mending` answer, as values of that protocol. Each file that is open is
compiled by a compiler that stays, with the texts of all files that are open.
"""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import Callable, Iterable
from pathlib import Path
from threading import RLock
from typing import Protocol

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer
from pygls.uris import from_fs_path, to_fs_path

from cavata import __version__
from cavata.diagnostics import Diagnostic, Severity, said
from cavata.editor import completion, hints, mending, names, structure
from cavata.editor.hover import hover
from cavata.editor.page import ScriptPage
from cavata.editor.structure import Class
from cavata.pipeline import Compiled
from cavata.source import Source, Span
from cavata.standing import Standing
from cavata.syntax.format import format_script

PAUSE = 0.01
"""Seconds of quiet after a change before the piece is compiled: what is typed at once is compiled once."""
CLASSES = list(Class)
_SYMBOLS = {
    "piece": lsp.SymbolKind.Module, "name": lsp.SymbolKind.Constant, "cipher": lsp.SymbolKind.Class,
    "rhythm": lsp.SymbolKind.Array, "motif": lsp.SymbolKind.Variable, "figure": lsp.SymbolKind.Array,
    "transform": lsp.SymbolKind.Function, "mode": lsp.SymbolKind.Class, "forces": lsp.SymbolKind.Struct,
    "movement": lsp.SymbolKind.Namespace, "cadenza": lsp.SymbolKind.Namespace, "section": lsp.SymbolKind.Method,
    "passage": lsp.SymbolKind.Function,
}  # fmt: skip
_SEVERITIES = {
    Severity.ERROR: lsp.DiagnosticSeverity.Error, Severity.WARNING: lsp.DiagnosticSeverity.Warning,
}  # fmt: skip
_OFFERS = {
    "keyword": lsp.CompletionItemKind.Keyword, "step": lsp.CompletionItemKind.Function,
    "combination": lsp.CompletionItemKind.Function, "value": lsp.CompletionItemKind.Variable,
    "part": lsp.CompletionItemKind.Property, "module": lsp.CompletionItemKind.Module,
    "cipher": lsp.CompletionItemKind.Class, "section": lsp.CompletionItemKind.Reference,
}  # fmt: skip


class _AtPlace(Protocol):
    """A request about a place in a file."""

    text_document: lsp.TextDocumentIdentifier
    position: lsp.Position


def path_of(uri: str) -> str | None:
    """The path by which a file is known here; None for what lies on no disk."""
    path = to_fs_path(uri)
    return None if path is None else str(Path(path).resolve())


class Scripts(LanguageServer):
    """The scripts that an editor has open."""

    def __init__(self, library: Path | None = None) -> None:
        super().__init__("cavata", __version__, lsp.TextDocumentSyncKind.Incremental)
        self.library = library
        self._standing: dict[str, Standing] = {}
        self._pages: dict[str, tuple[dict[str, str], ScriptPage]] = {}
        self.still = RLock()
        """Held while something is compiled: other threads may compile as well."""
        self.loop: asyncio.AbstractEventLoop | None = None
        """In which it speaks with the editor; None before that."""
        self.looked: list[Callable[[str, str, int], None]] = []
        """What is told where the cursor is: the path of the file, its text and the offset."""
        self._told: defaultdict[str, set[str]] = defaultdict(set)
        """For each open file the files beside it of which messages were told with it."""

    # -------------------------------------------------------------- what is open

    def texts(self) -> dict[str, str]:
        """The texts of the files that are open, by path."""
        found = {}
        for uri, document in [*self.workspace.text_documents.items()]:  # other threads ask as well
            path = path_of(uri)
            if path is not None:
                found[path] = document.source.replace("\r\n", "\n").replace("\r", "\n")
        return found

    def page(self, uri: str) -> ScriptPage | None:
        """A file as it is now, compiled."""
        key, texts = path_of(uri), self.texts()
        if key is None or key not in texts:
            return None
        known = self._pages.get(uri)
        if known is None or known[0] != texts:
            standing = self._standing.setdefault(key, Standing(Path(key), library=self.library))
            with self.still:
                page = ScriptPage(Source(Path(key).name, texts[key]), key, standing.compile(texts))
            known = self._pages[uri] = texts, page
        return known[1]

    def close(self, uri: str) -> None:
        """Forget a file that is no longer open."""
        self._pages.pop(uri, None)
        path = path_of(uri)
        if path is not None:
            self._standing.pop(path, None)
        for other in (uri, *self._told.pop(uri, ())):
            self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(other, []))

    # -------------------------------------------------------------- places

    def range(self, span: Span) -> lsp.Range:
        """A place as the protocol has it, in the units that the editor counts by."""
        return lsp.Range(self.position(span.source, span.start), self.position(span.source, span.end))

    def position(self, source: Source, offset: int) -> lsp.Position:
        """An offset as line and column."""
        line = source.line_of(offset)
        before = source.text[source.line_start(line) : offset]
        return lsp.Position(line - 1, self.workspace.position_codec.client_num_units(before))

    def offset(self, source: Source, position: lsp.Position) -> int:
        """The offset of a line and column; beyond a line's end its end."""
        if position.line >= len(source.line_starts):
            return len(source.text)
        text, units = source.line_text(position.line + 1), self.workspace.position_codec.client_num_units
        column = passed = 0
        while column < len(text) and passed < position.character:
            passed += units(text[column])
            column += 1
        return source.line_start(position.line + 1) + column

    def at(self, parameters: _AtPlace) -> tuple[ScriptPage, int] | None:
        """The page and the offset that a request speaks of."""
        page = self.page(parameters.text_document.uri)
        return None if page is None else (page, self.offset(page.source, parameters.position))

    # -------------------------------------------------------------- messages

    def tell(self, uri: str) -> None:
        """Hand over the messages of a file, and those of the files that it uses where these are not open."""
        page = self.page(uri)
        if page is None:
            return
        by_file: defaultdict[str, list[lsp.Diagnostic]] = defaultdict(list)
        paths = {page.source.name: uri, **_uris(page.compiled, page.key, set(self.texts()))}
        for message in page.compiled.bag.ordered():
            name = page.source.name if message.span is None else message.span.source.name
            if name in paths:
                by_file[paths[name]].append(self.message(message, page, paths))
        for other in {uri, *by_file, *self._told[uri]}:
            # Of which text it is told, so that an editor can leave out what came too late.
            version = self.workspace.get_text_document(uri).version if other == uri else None
            self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(other, by_file[other], version))
        self._told[uri] = {*by_file} - {uri}

    def message(self, message: Diagnostic, page: ScriptPage, uris: dict[str, str]) -> lsp.Diagnostic:
        """A message with its label, its cure and the other places."""
        text = "\n".join([
            said(message.message) + (f" ({said(message.label)})" if message.label else ""),
            *([f"to mend: {said(message.cure)}"] if message.cure else []),
        ])  # fmt: skip
        span = message.span or Span(page.source, 0, 0)
        return lsp.Diagnostic(
            self.range(span), text, code=message.code, source="cavata",
            severity=_SEVERITIES[message.severity],
            related_information=[
                lsp.DiagnosticRelatedInformation(lsp.Location(uris[other.source.name], self.range(other)), said(note))
                for other, note in message.also if other.source.name in uris
            ],
        )  # fmt: skip


def _uris(compiled: Compiled, main: str, opened: set[str]) -> dict[str, str]:
    """Where the files of a piece lie by the names that messages use; those that are open tell their own."""
    if compiled.loaded is None:
        return {}
    return {
        module.source.name: from_fs_path(key) or "" for key, module in compiled.loaded.modules.items()
        if key != main and key not in opened and names.is_own(key)
    }  # fmt: skip


def server(library: Path | None = None) -> Scripts:
    """A server with all that it answers."""
    scripts = Scripts(library)
    _open_and_close(scripts)
    _words(scripts)
    _names(scripts)
    _whole_files(scripts)
    _marks(scripts)
    return scripts


def _open_and_close(scripts: Scripts) -> None:
    @scripts.feature(lsp.INITIALIZED)
    async def begun(_: lsp.InitializedParams) -> None:
        scripts.loop = asyncio.get_running_loop()

    @scripts.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(parameters: lsp.DidOpenTextDocumentParams) -> None:
        scripts.tell(parameters.text_document.uri)

    @scripts.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    async def changed(parameters: lsp.DidChangeTextDocumentParams) -> None:
        document = parameters.text_document
        await asyncio.sleep(PAUSE)
        if document.version != scripts.workspace.get_text_document(document.uri).version:
            return  # changed again: the later one tells
        scripts.tell(document.uri)
        for uri in [*scripts.workspace.text_documents]:
            if uri != document.uri:
                scripts.tell(uri)

    @scripts.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(parameters: lsp.DidCloseTextDocumentParams) -> None:
        scripts.close(parameters.text_document.uri)


def _words(scripts: Scripts) -> None:
    @scripts.feature(lsp.TEXT_DOCUMENT_HOVER)
    def told(parameters: lsp.HoverParams) -> lsp.Hover | None:
        at = scripts.at(parameters)
        found = hover(*at) if at else None
        if found is None:
            return None
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, found[0]), scripts.range(found[1]))

    @scripts.feature(lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=[" ", ">", ":", "("]))
    def offered(parameters: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        at = scripts.at(parameters)
        return [
            lsp.CompletionItem(
                offer.word, kind=_OFFERS.get(offer.what, lsp.CompletionItemKind.Text), detail=offer.detail or None,
                sort_text=f"{number:04}",
            )
            for number, offer in enumerate(completion.offers(*at) if at else ())
        ]  # fmt: skip

    @scripts.feature(lsp.TEXT_DOCUMENT_SIGNATURE_HELP, lsp.SignatureHelpOptions(trigger_characters=[" ", "(", ","]))
    def written(parameters: lsp.SignatureHelpParams) -> lsp.SignatureHelp | None:
        at = scripts.at(parameters)
        found = completion.written(*at) if at else ()
        if not found:
            return None
        signatures = [
            lsp.SignatureInformation(
                each.pattern, each.does, [lsp.ParameterInformation(part) for part in each.parts], each.now
            )
            for each in found
        ]
        return lsp.SignatureHelp(signatures, 0, found[0].now)


def _names(scripts: Scripts) -> None:
    def located(places: Iterable[tuple[str, Span]]) -> list[lsp.Location]:
        return [lsp.Location(from_fs_path(key) or "", scripts.range(span)) for key, span in places]

    @scripts.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def definition(parameters: lsp.DefinitionParams) -> list[lsp.Location]:
        at = scripts.at(parameters)
        found = names.definition(*at) if at else None
        return [] if found is None else located([found])

    @scripts.feature(lsp.TEXT_DOCUMENT_REFERENCES)
    def references(parameters: lsp.ReferenceParams) -> list[lsp.Location]:
        at = scripts.at(parameters)
        places = names.uses(*at) if at else ()
        if at and not parameters.context.include_declaration:
            defined = names.definition(*at)
            places = tuple(place for place in places if defined is None or not _same_place(place, defined))
        return located(places)

    @scripts.feature(lsp.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT)
    def lit(parameters: lsp.DocumentHighlightParams) -> list[lsp.DocumentHighlight]:
        at = scripts.at(parameters)
        places = names.uses(*at) if at else ()
        for tell in scripts.looked if at else ():
            assert at is not None
            tell(at[0].key, at[0].source.text, at[1])
        return [lsp.DocumentHighlight(scripts.range(span)) for key, span in places if at and key == at[0].key]

    @scripts.feature(lsp.TEXT_DOCUMENT_PREPARE_RENAME)
    def renamable(parameters: lsp.PrepareRenameParams) -> lsp.Range | None:
        at = scripts.at(parameters)
        found = names.renamable(*at) if at else None
        return None if found is None else scripts.range(found)

    @scripts.feature(lsp.TEXT_DOCUMENT_RENAME, lsp.RenameOptions(prepare_provider=True))
    def rename(parameters: lsp.RenameParams) -> lsp.WorkspaceEdit | None:
        at = scripts.at(parameters)
        found = names.renamed(*at, parameters.new_name) if at else None
        if found is None:
            return None
        changes: defaultdict[str, list[lsp.TextEdit]] = defaultdict(list)
        for key, span in found:
            changes[from_fs_path(key) or ""].append(lsp.TextEdit(scripts.range(span), parameters.new_name))
        return lsp.WorkspaceEdit(changes=dict(changes))


def _same_place(one: tuple[str, Span], other: tuple[str, Span]) -> bool:
    return (one[0], one[1].start) == (other[0], other[1].start)


def _whole_files(scripts: Scripts) -> None:
    @scripts.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def outline(parameters: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol]:
        page = scripts.page(parameters.text_document.uri)
        return [_symbol(scripts, entry) for entry in (structure.outline(page) if page else ())]

    @scripts.feature(lsp.TEXT_DOCUMENT_FOLDING_RANGE)
    def folds(parameters: lsp.FoldingRangeParams) -> list[lsp.FoldingRange]:
        page = scripts.page(parameters.text_document.uri)
        return [lsp.FoldingRange(first - 1, last - 1) for first, last in (structure.folds(page) if page else ())]

    @scripts.feature(lsp.TEXT_DOCUMENT_SELECTION_RANGE)
    def selections(parameters: lsp.SelectionRangeParams) -> list[lsp.SelectionRange]:
        page = scripts.page(parameters.text_document.uri)
        found = []
        for position in parameters.positions if page else ():
            assert page is not None
            grown: lsp.SelectionRange | None = None
            for span in reversed(structure.selections(page, scripts.offset(page.source, position))):
                grown = lsp.SelectionRange(scripts.range(span), grown)
            found.append(grown or lsp.SelectionRange(lsp.Range(position, position)))
        return found

    @scripts.feature(lsp.TEXT_DOCUMENT_FORMATTING)
    def laid_out(parameters: lsp.DocumentFormattingParams) -> list[lsp.TextEdit]:
        page = scripts.page(parameters.text_document.uri)
        if page is None:
            return []
        text = format_script(page.source.text, page.source.name).text
        whole = scripts.range(Span(page.source, 0, len(page.source.text)))
        return [] if text == page.source.text else [lsp.TextEdit(whole, text)]

    @scripts.feature(lsp.TEXT_DOCUMENT_INLAY_HINT)
    def hinted(parameters: lsp.InlayHintParams) -> list[lsp.InlayHint]:
        page = scripts.page(parameters.text_document.uri)
        found = [(scripts.position(page.source, at), text) for at, text in hints.hints(page)] if page else []
        first, last = parameters.range.start, parameters.range.end
        return [lsp.InlayHint(place, text) for place, text in found if first <= place <= last]


def _marks(scripts: Scripts) -> None:
    legend = lsp.SemanticTokensLegend([each.value for each in CLASSES], [])

    @scripts.feature(lsp.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, legend)
    def classes(parameters: lsp.SemanticTokensParams) -> lsp.SemanticTokens:
        page = scripts.page(parameters.text_document.uri)
        data: list[int] = []
        line = column = 0
        for start, end, kind in structure.classes(page) if page else ():
            assert page is not None
            place = scripts.range(Span(page.source, start, end))
            down = place.start.line - line
            column = 0 if down else column
            length = place.end.character - place.start.character
            data += [down, place.start.character - column, length, CLASSES.index(kind), 0]
            line, column = place.start.line, place.start.character
        return lsp.SemanticTokens(data)

    @scripts.feature(lsp.TEXT_DOCUMENT_CODE_ACTION, lsp.CodeActionOptions([lsp.CodeActionKind.QuickFix]))
    def mended(parameters: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        page = scripts.page(parameters.text_document.uri)
        found = []
        for message in page.compiled.bag.ordered() if page else ():
            text = mending.instead(message)
            if page is None or text is None or message.span is None or message.span.source.name != page.source.name:
                continue
            place = scripts.range(message.span)
            if place.end < parameters.range.start or parameters.range.end < place.start:
                continue
            edit = lsp.WorkspaceEdit(changes={parameters.text_document.uri: [lsp.TextEdit(place, text)]})
            told = [each for each in parameters.context.diagnostics if each.code == message.code]
            found.append(lsp.CodeAction(f"write `{text}`", lsp.CodeActionKind.QuickFix, told, edit=edit))
        return found


def _symbol(scripts: Scripts, entry: structure.OutlineEntry) -> lsp.DocumentSymbol:
    return lsp.DocumentSymbol(
        entry.name or entry.what, _SYMBOLS.get(entry.what, lsp.SymbolKind.Object), scripts.range(entry.whole),
        scripts.range(entry.named), entry.detail or entry.what,
        children=[_symbol(scripts, each) for each in entry.below],
    )  # fmt: skip
