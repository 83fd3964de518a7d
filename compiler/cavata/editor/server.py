"""The language server: what the rooms of the compiler know of a script, told to an editor over the open protocol.

A thin translator. In: requests of the Language Server Protocol 3.17 by way of pygls. Out: what `page`, `hover`,
`completion`, `structure`, `hints`, `names` and `mending` answer, as values of that protocol. Each file that is open is
compiled by a compiler that stays, with the texts of all files that are open.
"""

from __future__ import annotations

import asyncio
import os
from base64 import b64encode
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from threading import RLock
from typing import Protocol as Shape
from urllib.parse import quote, unquote, urlsplit

from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException, JsonRpcParseError, PyglsError
from pygls.lsp.server import LanguageServer
from pygls.uris import from_fs_path, to_fs_path

from cavata import __version__
from cavata.diagnostics import Diagnostic, Diagnostics, Severity, said
from cavata.editor import completion, hints, mending, names, structure
from cavata.editor.hover import hover, plain, value_at
from cavata.editor.page import ScriptPage
from cavata.editor.protocol import Document, Protocol, characters
from cavata.editor.structure import Class
from cavata.foreign.score_file import FORMATS
from cavata.music.event import Motif, Texture
from cavata.names.loader import NOTHING_ELSE, SUFFIX, load
from cavata.names.program import DefinitionSort
from cavata.names.resolve import resolve
from cavata.pipeline import Compiled
from cavata.source import Source, Span
from cavata.standing import Standing
from cavata.syntax.format import format_script

PAUSE = 0.01
"""Seconds of quiet after a change before the piece is compiled: what is typed at once is compiled once."""
CLASSES = list(Class)
_WATCHED = f"**/*{{{','.join([SUFFIX, *FORMATS])}}}"
"""Scripts, and scores that scripts take tunes from."""
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


class _AtPlace(Shape):
    """A request about a place in a file."""

    text_document: lsp.TextDocumentIdentifier
    position: lsp.Position


class Scripts(LanguageServer):
    """The scripts that an editor has open."""

    def __init__(self, library: Path | None = None) -> None:
        super().__init__("cavata", __version__, lsp.TextDocumentSyncKind.Incremental, protocol_cls=Protocol)
        self.library = library
        self._standing: dict[str, Standing] = {}
        self._paths: dict[str, str] = {}
        self._pages: dict[str, tuple[frozenset[str], dict[str, str], ScriptPage]] = {}
        """For each open file what it is compiled from, as far as that is open, and what came of it."""
        self.still = RLock()
        """Held while something is compiled: other threads may compile as well."""
        self.loop: asyncio.AbstractEventLoop | None = None
        """In which it speaks with the editor; None before that."""
        self.looked: list[Callable[[str, str, int], None]] = []
        """What is told where the cursor is: the path of the file, its text and the offset."""
        self.drawn: Callable[[Motif | Texture], str] | None = None
        """What draws music as an SVG picture; it gives nothing where it cannot. None where nobody draws."""
        self._by_page: dict[str, dict[str, list[lsp.Diagnostic]]] = {}
        """For each open file the messages of its piece, by the address of the file that they speak of."""
        self._shown: dict[str, tuple[list[lsp.Diagnostic], int | None]] = {}
        """What the editor was last told of a file, and of which version."""

    @property
    def is_shut_down(self) -> bool:
        """Whether the editor asked for the end."""
        assert isinstance(self.protocol, Protocol)
        return self.protocol.is_shut_down

    async def picture(self, page: ScriptPage, offset: int) -> str:
        """The music that a word stands for as a picture in Markdown, for an editor that shows it; else nothing."""
        assert isinstance(self.protocol, Protocol)
        value = value_at(page, offset) if self.protocol.shows_pictures else None
        if value is None or self.drawn is None:
            return ""
        picture = await asyncio.get_running_loop().run_in_executor(None, self.drawn, value)
        encoded = b64encode(picture.encode()).decode()
        return f"\n\n![the notes](data:image/svg+xml;base64,{encoded})" if picture else ""

    def report_server_error(self, error: Exception, source: type[PyglsError | JsonRpcException]) -> None:
        """Show a fault of ours to whoever writes; what is no message at all is told to the editor."""
        if isinstance(error, ValueError) and source is JsonRpcException:
            told = {"code": JsonRpcParseError.CODE, "message": JsonRpcParseError.MESSAGE}
            self.protocol._send_data({"jsonrpc": "2.0", "id": None, "error": told})
        else:
            super().report_server_error(error, source)

    # -------------------------------------------------------------- what is open

    def path_of(self, uri: str) -> str:
        """The path by which a file is known here. What lies on no disk is taken to lie in the folder of its address, or
        in the one that is open, under a name that no file has."""
        try:
            path, aside = to_fs_path(uri), urlsplit(uri).path
        except ValueError:  # no address at all
            path, aside = None, ""
        if path is not None and "\0" not in path:
            return os.path.realpath(path)
        folder = os.path.dirname(unquote(aside))
        known = os.path.isabs(folder) and "\0" not in folder and os.path.isdir(folder)
        return os.path.join(os.path.realpath(folder if known else self.workspace.root_path or "."), quote(uri, safe=""))

    def opened(self) -> dict[str, Document]:
        """The files that are open, by path."""
        found = {}
        for document in [*self.workspace.text_documents.values()]:  # other threads ask as well
            assert isinstance(document, Document)
            if document.uri not in self._paths:
                self._paths[document.uri] = self.path_of(document.uri)
            found[self._paths[document.uri]] = document
        return found

    def texts(self) -> dict[str, str]:
        """Their texts."""
        return {path: document.text for path, document in self.opened().items()}

    def uri_of(self, path: str) -> str:
        """The address of a file; the editor's own, where it has the file open."""
        document = self.opened().get(path)
        return (from_fs_path(path) or "") if document is None else document.uri

    def page(self, uri: str) -> ScriptPage | None:
        """A file as it is now, compiled."""
        key = self.path_of(uri)
        return self.page_at(key) if key in self.opened() else None

    def page_at(self, key: str) -> ScriptPage:
        """An open file by its path."""
        opened = self.opened()
        texts = {path: document.text for path, document in opened.items()}
        if key in self._pages:
            read, given, page = self._pages[key]
            if given == {path: text for path, text in texts.items() if path in read}:
                return page
        shown = opened[key].filename or Path(key).name
        standing = self._standing.setdefault(key, Standing(Path(key), shown, self.library))
        with self.still:
            page = ScriptPage(Source(shown, texts[key]), key, standing.compile(texts))
        read = frozenset([key, *(page.loaded.modules if page.loaded else ())])
        self._pages[key] = read, {path: text for path, text in texts.items() if path in read}, page
        return page

    def pages_around(self, page: ScriptPage, offset: int) -> Iterator[ScriptPage]:
        """Other pieces in which what the word at an offset means may be used: what is open, and the scripts beside the
        file that defines it and in the folders of the editor."""
        found = page.meaning_at(offset)
        if found is None or not isinstance(found[1].kind, DefinitionSort):
            return  # it has a meaning in its own file only
        opened, defined = self.opened(), found[1].within
        for key in opened:
            if key != page.key:
                yield self.page_at(key)
        beside = os.path.dirname(defined if names.is_own(defined) else page.key)
        for path in names.scripts_in(beside, *map(self.path_of, self.workspace.folders)):
            if path not in opened:
                other = self.named(path)
                if other.loaded is not None and defined in other.loaded.modules:
                    yield other

    def named(self, key: str, texts: Mapping[str, str] = NOTHING_ELSE) -> ScriptPage:
        """A script as far as its names, open or not, some files with other texts than they have."""
        bag, name, texts = Diagnostics(), Path(key).name, {**self.texts(), **texts}
        loaded = load(Path(key), name, bag, texts.get(key), self.library, texts)
        if loaded is None:
            return ScriptPage(Source(name, ""), key, Compiled(bag))
        return ScriptPage(loaded.modules[key].source, key, Compiled(bag, loaded, resolve(loaded, bag)))

    def read_again(self) -> None:
        """Other files may be otherwise than they were: compile whatever is open anew, and tell it."""
        self._pages.clear()
        self.tell_all()

    def close(self, uri: str) -> None:
        """Forget a file that is no longer open; where others use it, what is on the disk counts again."""
        key = self.path_of(uri)
        self._paths.pop(uri, None)
        self._standing.pop(key, None)
        before = self._by_page.pop(key, {})
        self.read_again()
        for other in (uri, *before):
            self._show(other)

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
        inside = characters(source.line_text(position.line + 1), position.character, self.workspace.position_codec)
        return source.line_start(position.line + 1) + inside

    def at(self, parameters: _AtPlace) -> tuple[ScriptPage, int] | None:
        """The page and the offset that a request speaks of."""
        page = self.page(parameters.text_document.uri)
        return None if page is None else (page, self.offset(page.source, parameters.position))

    # -------------------------------------------------------------- messages

    def tell_all(self) -> None:
        """Hand over what is new of all that is open."""
        for key in self.opened():
            self.tell(key)

    def tell(self, key: str) -> None:
        """Hand over the messages of an open file, and those of the files that it uses where these are not open."""
        page = self.page_at(key)
        by_file: defaultdict[str, list[lsp.Diagnostic]] = defaultdict(list)
        uris = {page.source.name: self.uri_of(key), **self._uris(page)}
        for message in page.compiled.bag.ordered():
            name = page.source.name if message.span is None else message.span.source.name
            if name in uris:
                by_file[uris[name]].append(self.message(message, page, uris))
        before = self._by_page.get(key, {})
        self._by_page[key] = dict(by_file)
        for uri in {self.uri_of(key), *before, *by_file}:
            self._show(uri)

    def _show(self, uri: str) -> None:
        """Tell the editor the messages of a file: of one that is open its own, of others those of all pieces."""
        key = self.path_of(uri)
        document = self.opened().get(key)
        if document is not None and key not in self._by_page:
            return  # it was just opened, and is told in its turn
        pieces = self._by_page.values() if document is None else [self._by_page[key]]
        told: list[lsp.Diagnostic] = []
        for piece in pieces:
            told += [each for each in piece.get(uri, ()) if each not in told]
        # Of which text it is told, so that an editor can leave out what came too late.
        shown = told, None if document is None else document.version
        if shown != self._shown.get(uri, ([], None)):
            self._shown[uri] = shown
            self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, *shown))

    def _uris(self, page: ScriptPage) -> dict[str, str]:
        """Where the other files of a piece lie, by the names that messages use."""
        modules = {} if page.loaded is None else page.loaded.modules
        return {
            module.source.name: self.uri_of(key) for key, module in modules.items()
            if key != page.key and names.is_own(key)
        }  # fmt: skip

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
        can = scripts.client_capabilities.workspace
        if can is not None and can.did_change_watched_files and can.did_change_watched_files.dynamic_registration:
            wanted = lsp.DidChangeWatchedFilesRegistrationOptions([lsp.FileSystemWatcher(_WATCHED)])
            files = lsp.Registration("files", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, wanted)
            await scripts.client_register_capability_async(lsp.RegistrationParams([files]))

    @scripts.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(_: lsp.DidOpenTextDocumentParams) -> None:
        scripts.tell_all()

    @scripts.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    async def changed(parameters: lsp.DidChangeTextDocumentParams) -> None:
        key, version = scripts.path_of(parameters.text_document.uri), parameters.text_document.version
        await asyncio.sleep(PAUSE)
        document = scripts.opened().get(key)
        if document is not None and document.version == version:  # else it changed again: the later one tells
            scripts.tell(key)
            scripts.tell_all()

    @scripts.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
    def saved(_: lsp.DidSaveTextDocumentParams) -> None:
        scripts.read_again()

    @scripts.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    def otherwise(_: lsp.DidChangeWatchedFilesParams) -> None:
        scripts.read_again()

    @scripts.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(parameters: lsp.DidCloseTextDocumentParams) -> None:
        scripts.close(parameters.text_document.uri)


def _words(scripts: Scripts) -> None:
    @scripts.feature(lsp.TEXT_DOCUMENT_HOVER)
    async def told(parameters: lsp.HoverParams) -> lsp.Hover | None:
        at = scripts.at(parameters)
        found = hover(*at) if at else None
        if at is None or found is None:
            return None
        can = scripts.client_capabilities.text_document
        reads = can.hover.content_format if can is not None and can.hover is not None else None
        if reads and reads[0] is lsp.MarkupKind.Markdown:  # the first is what it likes best
            content = lsp.MarkupContent(lsp.MarkupKind.Markdown, found[0] + await scripts.picture(*at))
        else:
            content = lsp.MarkupContent(lsp.MarkupKind.PlainText, plain(found[0]))
        return lsp.Hover(content, scripts.range(found[1]))

    @scripts.feature(lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=[" ", ">", ":", "("]))
    def offered(parameters: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        at = scripts.at(parameters)
        if at is None:
            return []
        page, place = at

        def written(offer: completion.Offer) -> lsp.TextEdit:
            return lsp.TextEdit(scripts.range(Span(page.source, place - len(offer.begun), place)), offer.word)

        return [
            lsp.CompletionItem(
                offer.word, kind=_OFFERS.get(offer.what, lsp.CompletionItemKind.Text), detail=offer.detail or None,
                sort_text=f"{number:04}", text_edit=written(offer),
            )
            for number, offer in enumerate(completion.offers(page, place))
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
        return [lsp.Location(scripts.uri_of(key), scripts.range(span)) for key, span in places]

    @scripts.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def definition(parameters: lsp.DefinitionParams) -> list[lsp.Location]:
        at = scripts.at(parameters)
        found = names.definition(*at) if at else None
        return [] if found is None else located([found])

    @scripts.feature(lsp.TEXT_DOCUMENT_REFERENCES)
    def references(parameters: lsp.ReferenceParams) -> list[lsp.Location]:
        at = scripts.at(parameters)
        places = names.uses(*at, scripts.pages_around(*at)) if at else ()
        defined = names.definition(*at) if at and not parameters.context.include_declaration else None
        left_out = None if defined is None else (defined[0], defined[1].start)
        return located((key, span) for key, span in places if (key, span.start) != left_out)

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
        if at is None or names.renamable(*at) is None:
            return None
        try:
            found = names.renamed(*at, parameters.new_name, scripts.pages_around(*at), scripts.named)
        except names.NotRenamed as reason:
            raise JsonRpcException(str(reason), lsp.LSPErrorCodes.RequestFailed) from None
        changes: defaultdict[str, list[lsp.TextEdit]] = defaultdict(list)
        for key, span in found:
            changes[scripts.uri_of(key)].append(lsp.TextEdit(scripts.range(span), parameters.new_name))
        return lsp.WorkspaceEdit(changes=dict(changes))


def _whole_files(scripts: Scripts) -> None:
    @scripts.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def outline(parameters: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol] | list[lsp.SymbolInformation]:
        uri = parameters.text_document.uri
        page = scripts.page(uri)
        symbols = [_symbol(scripts, entry) for entry in (structure.outline(page) if page else ())]
        can = scripts.client_capabilities.text_document
        if can is not None and can.document_symbol and can.document_symbol.hierarchical_document_symbol_support:
            return symbols
        return [*_flat(symbols, uri)]

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
        # The lines of a file end as they did.
        ended = text.replace("\n", "\r\n") if "\r\n" in scripts.opened()[page.key].source else text
        return [] if text == page.source.text else [lsp.TextEdit(whole, ended)]

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
        found: list[lsp.CodeAction] = []
        if page is None or not _wants(parameters.context.only, lsp.CodeActionKind.QuickFix):
            return found
        for message in page.compiled.bag.ordered():
            if message.span is None or message.span.source.name != page.source.name:
                continue
            place, mendings = scripts.range(message.span), mending.instead(message)
            touched = [place, *(scripts.range(span) for span, _ in mendings)]
            if not any(each.start <= parameters.range.end and parameters.range.start <= each.end for each in touched):
                continue
            told = [
                each for each in parameters.context.diagnostics if (each.code, each.range) == (message.code, place)
            ]
            for span, text in mendings:
                edit = lsp.WorkspaceEdit(changes={scripts.uri_of(page.key): [lsp.TextEdit(scripts.range(span), text)]})
                found.append(lsp.CodeAction(f"write `{text}`", lsp.CodeActionKind.QuickFix, told, edit=edit))
        return found


def _wants(only: Sequence[lsp.CodeActionKind | str] | None, kind: lsp.CodeActionKind) -> bool:
    """Whether actions of a kind are asked for: it, what it belongs to, or whatever there is."""
    asked = [each.value if isinstance(each, lsp.CodeActionKind) else each for each in only or ()]
    return only is None or any(f"{kind.value}.".startswith(f"{each}." if each else "") for each in asked)


def _symbol(scripts: Scripts, entry: structure.OutlineEntry) -> lsp.DocumentSymbol:
    return lsp.DocumentSymbol(
        entry.name or entry.what, _SYMBOLS.get(entry.what, lsp.SymbolKind.Object), scripts.range(entry.whole),
        scripts.range(entry.named), entry.detail or entry.what,
        children=[_symbol(scripts, each) for each in entry.below],
    )  # fmt: skip


def _flat(
    symbols: Iterable[lsp.DocumentSymbol], uri: str, within: str | None = None
) -> Iterator[lsp.SymbolInformation]:
    """An outline for editors that know no symbols within others."""
    for each in symbols:
        yield lsp.SymbolInformation(lsp.Location(uri, each.range), each.name, each.kind, container_name=within)
        yield from _flat(each.children or (), uri, each.name)
