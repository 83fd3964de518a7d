"""The language server over the wire, asked by a client of the open protocol (Language Server Protocol 3.17, pygls)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from editor_client import Editor, Running
from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException

from cavata.pipeline import compile_script
from cavata.syntax.format import format_script

pytestmark = pytest.mark.slow

HOUSE = """\
language 2

-- what we keep from piece to piece
use german from ciphers
motif bell = notes(1/4 D4 A4 D5)
"""
PIECE = """\
language 2

piece "𝄞 Ünder"
    composer "A. Composer"

use french from ciphers
use bell from "house.cavata"

name tamsin = "TAMSIN" by french
motif hail = tamsin -> in (1/4) -> up P8 -- 𝄞 é

forces
    flute = flute

movement first
    meter 3/4
    tempo 1/4 at 84
    section opening 4 bars
        flute: hail -> marked mf, bell -> marked f, bell
    section closing 2 bars
        flute: hail -> first 3 -> marked p, bell
"""


RICH = lsp.TextDocumentClientCapabilities(
    hover=lsp.HoverClientCapabilities(content_format=[lsp.MarkupKind.Markdown]),
    document_symbol=lsp.DocumentSymbolClientCapabilities(hierarchical_document_symbol_support=True),
)
"""What editors of today can show."""


@pytest.fixture(scope="module")
def running() -> Iterator[Running]:
    made = Running(text=RICH)
    yield made
    made.end()


@pytest.fixture
def piece(tmp_path: Path) -> Path:
    (tmp_path / "house.cavata").write_text(HOUSE, "utf-8")
    path = tmp_path / "piece.cavata"
    path.write_text(PIECE, "utf-8")
    return path


def place(text: str, word: str, inside: int = 0, units: str = "utf-16-le", width: int = 2) -> lsp.Position:
    """Where a word stands first, in units of an encoding."""
    at = text.index(word) + inside
    line = text.count("\n", 0, at)
    before = text[text.rfind("\n", 0, at) + 1 : at]
    return lsp.Position(line, len(before.encode(units)) // width)


def applied(text: str, edits: Any) -> str:
    """The text after edits as the protocol gives them, counted in UTF-16."""
    lines = text.split("\n")

    def at(position: lsp.Position) -> int:
        inside = lines[position.line].encode("utf-16-le")[: 2 * position.character].decode("utf-16-le")
        return sum(len(line) + 1 for line in lines[: position.line]) + len(inside)

    for edit in sorted(edits, key=lambda edit: (edit.range.start.line, edit.range.start.character), reverse=True):
        text = text[: at(edit.range.start)] + edit.new_text + text[at(edit.range.end) :]
    return text


def document(uri: str) -> lsp.TextDocumentIdentifier:
    return lsp.TextDocumentIdentifier(uri)


def test_messages_come_while_one_types_and_their_cures_mend(piece: Path, running: Running) -> None:
    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece)
        assert editor.messages[uri] == []
        wrong = PIECE.replace("marked mf", "markd mf")
        told = await editor.change(uri, wrong)
        assert [(each.code, each.severity) for each in told] == [("N206", lsp.DiagnosticSeverity.Error)]
        assert told[0].range == lsp.Range(place(wrong, "markd"), place(wrong, "markd", 5))
        asked = lsp.CodeActionParams(document(uri), told[0].range, lsp.CodeActionContext(told))
        (action,) = await editor.client.text_document_code_action_async(asked) or ()
        assert isinstance(action, lsp.CodeAction) and action.edit is not None and action.edit.changes is not None
        assert list(action.diagnostics or ()) == told
        for kinds, count in ((["refactor"], 0), (["quickfix.one"], 0), (["refactor", "quickfix"], 1), ([""], 1)):
            context = lsp.CodeActionContext(told, only=kinds)
            wanted = lsp.CodeActionParams(document(uri), told[0].range, context)
            assert len(await editor.client.text_document_code_action_async(wanted) or ()) == count
        mended = applied(wrong, action.edit.changes[uri])
        assert mended == PIECE
        assert await editor.change(uri, mended) == []
        insert = lsp.Range(place(PIECE, "tempo"), place(PIECE, "tempo"))
        told = await editor.edit(uri, lsp.TextDocumentContentChangePartial(insert, "x"))
        assert [each.range.start.line for each in told] == [place(PIECE, "tempo").line]

    running.do(steps)


def test_messages_of_a_file_that_is_used_are_told_at_that_file(piece: Path, running: Running) -> None:
    async def steps(editor: Editor) -> None:
        (piece.parent / "house.cavata").write_text(HOUSE.replace("D5)", "D5"), "utf-8")
        uri = await editor.open(piece)
        house = (piece.parent / "house.cavata").as_uri()
        await editor.until(lambda: bool(editor.messages.get(house)))
        assert [each.code for each in editor.messages[house]] == ["S105"]
        # Opened and mended there, though not saved, it is right here too.
        await editor.open(piece.parent / "house.cavata", HOUSE)
        assert await editor.change(uri, PIECE + "\n") == []

    running.do(steps)


def test_a_name_is_told_found_and_renamed_in_all_files(piece: Path, running: Running) -> None:
    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece)
        house = (piece.parent / "house.cavata").as_uri()
        there = place(PIECE, "bell -> marked")
        hover = await editor.client.text_document_hover_async(lsp.HoverParams(document(uri), there))
        assert hover is not None and isinstance(hover.contents, lsp.MarkupContent)
        assert "D4:1/4 A4:1/4 D5:1/4" in hover.contents.value
        found = await editor.client.text_document_definition_async(lsp.DefinitionParams(document(uri), there))
        assert isinstance(found, list | tuple)
        assert [(each.uri, each.range.start) for each in found if isinstance(each, lsp.Location)] == [
            (house, place(HOUSE, "bell"))
        ]
        context = lsp.ReferenceContext(include_declaration=True)
        uses = await editor.client.text_document_references_async(lsp.ReferenceParams(context, document(uri), there))
        assert uses is not None and sorted(each.uri for each in uses) == sorted([house, *[uri] * 4])
        edit = await editor.client.text_document_rename_async(lsp.RenameParams(document(uri), there, "gong"))
        assert edit is not None and edit.changes is not None
        texts = {uri: applied(PIECE, edit.changes[uri]), house: applied(HOUSE, edit.changes[house])}
        assert texts == {uri: PIECE.replace("bell", "gong"), house: HOUSE.replace("bell", "gong")}
        # A name that is taken, a word of the language, a pitch, nothing.
        for name in ("hail", "french", "rest", "D4", ""):
            with pytest.raises(JsonRpcException) as refused:
                await editor.client.text_document_rename_async(lsp.RenameParams(document(uri), there, name))
            assert refused.value.code == lsp.LSPErrorCodes.RequestFailed

    running.do(steps)


def test_a_renamed_piece_is_the_same_music(piece: Path, running: Running) -> None:
    renamed = PIECE.replace("hail", "greeting")
    before, after = (compile_script(piece, text=text).score for text in (PIECE, renamed))
    assert before is not None and after is not None
    assert before.movements[0].duration == after.movements[0].duration

    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece)
        asked = lsp.RenameParams(document(uri), place(PIECE, "hail", 2), "greeting")
        edit = await editor.client.text_document_rename_async(asked)
        assert edit is not None and edit.changes is not None
        assert applied(PIECE, edit.changes[uri]) == renamed

    running.do(steps)


def test_places_are_counted_as_the_editor_counts(piece: Path) -> None:
    text = PIECE.replace('piece "𝄞 Ünder"', 'piece "𝄞 Ünder" tempi')

    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece, text)
        (told,) = editor.messages[uri]
        assert told.range.start == place(text, "tempi", 0, "utf-8", 1)
        assert told.range.end == place(text, "tempi", 5, "utf-8", 1)

    by_bytes = Running(lsp.PositionEncodingKind.Utf8)
    by_bytes.do(steps)
    by_bytes.end()


def test_whole_files_are_outlined_folded_laid_out_and_colored(piece: Path, running: Running) -> None:
    ragged = PIECE.replace("        flute: hail -> first", "        flute:    hail   ->   first")

    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece, ragged)
        symbols = await editor.client.text_document_document_symbol_async(lsp.DocumentSymbolParams(document(uri)))
        assert symbols is not None
        shape = [(s.name, [c.name for c in s.children or ()]) for s in symbols if isinstance(s, lsp.DocumentSymbol)]
        assert shape == [
            ("𝄞 Ünder", []), ("tamsin", []), ("hail", []), ("forces", []), ("first", ["opening", "closing"]),
        ]  # fmt: skip
        folds = await editor.client.text_document_folding_range_async(lsp.FoldingRangeParams(document(uri)))
        assert folds is not None
        begun = [(ragged.split("\n")[fold.start_line].split()[0], fold.end_line - fold.start_line) for fold in folds]
        assert begun == [("piece", 1), ("forces", 1), ("movement", 6), ("section", 1), ("section", 1)]
        options = lsp.FormattingOptions(4, True)
        edits = await editor.client.text_document_formatting_async(lsp.DocumentFormattingParams(document(uri), options))
        assert applied(ragged, edits) == format_script(ragged).text != ragged
        whole = lsp.Range(lsp.Position(0, 0), lsp.Position(999, 0))
        hints = await editor.client.text_document_inlay_hint_async(lsp.InlayHintParams(document(uri), whole))
        assert hints is not None and [hint.label for hint in hints] == [
            ": F A F E B G", ": 6 notes, 3/2 of a whole note", " in bars 1 to 4", " in bars 5 and 6",
        ]  # fmt: skip
        colors = await editor.client.text_document_semantic_tokens_full_async(lsp.SemanticTokensParams(document(uri)))
        assert colors is not None and len(colors.data) % 5 == 0 and len(colors.data) > 5 * 60

    running.do(steps)


def test_a_library_that_several_use_is_one(piece: Path, running: Running) -> None:
    """Its messages stand at it whoever uses it, as it is in the editor, else as it is on the disk; a name of it is
    renamed in every piece, open or not."""
    house, other = piece.parent / "house.cavata", piece.parent / "other.cavata"
    used_as = 'use bell from "house.cavata" as gong'
    other.write_text(PIECE.replace("bell", "gong").replace('use gong from "house.cavata"', used_as), "utf-8")
    closed = piece.parent / "closed.cavata"
    closed.write_text(PIECE, "utf-8")
    wrong = HOUSE.replace("D5)", "D5")

    async def steps(editor: Editor) -> None:
        def codes(uri: str) -> list[Any]:
            return [each.code for each in editor.messages.get(uri, ())]

        first, second = await editor.open(piece), await editor.open(other)
        used = await editor.open(house, wrong)
        assert codes(used) == ["S105"]
        await editor.change(used, wrong + "\n")
        assert codes(used) == ["S105"]
        editor.client.text_document_did_close(lsp.DidCloseTextDocumentParams(document(used)))
        await editor.until(lambda: codes(used) == [])
        house.write_text(wrong, "utf-8")
        editor.client.text_document_did_save(lsp.DidSaveTextDocumentParams(document(second)))
        await editor.until(lambda: codes(used) == ["S105"])
        # The other piece still tells of it when one is closed.
        editor.client.text_document_did_close(lsp.DidCloseTextDocumentParams(document(first)))
        assert await editor.change(second, other.read_text("utf-8") + "\n") == []
        assert codes(used) == ["S105"]
        house.write_text(HOUSE, "utf-8")
        await editor.open(house)
        asked = lsp.RenameParams(document(used), place(HOUSE, "bell"), "knell")
        edit = await editor.client.text_document_rename_async(asked)
        assert edit is not None and edit.changes is not None
        assert applied(HOUSE, edit.changes[used]) == HOUSE.replace("bell", "knell")
        assert applied(PIECE, edit.changes[closed.as_uri()]) == PIECE.replace("bell", "knell")
        text = other.read_text("utf-8")
        assert applied(text, edit.changes[second]) == text.replace("bell", "knell")

    running.do(steps)


def test_whatever_has_an_address_is_told_by_it(piece: Path, running: Running) -> None:
    """RFC 3986 for addresses; `untitled:` is how editors call what was never saved."""
    wrong = PIECE.replace("marked mf", "markd mf")
    folder = piece.parent.as_uri()

    async def steps(editor: Editor) -> None:
        before = {*editor.messages}
        addresses = [
            f"{folder}/a%20b.cavata", f"{folder}/%23%25%3f%3B.cavata", f"{folder}/%C3%BC%28+%29.cavata",
            "untitled:Untitled-1", f"untitled:{piece.parent}/new.cavata", "file:///c%3A/Music/x.cavata",
            "inmemory://model/1",
        ]  # fmt: skip
        for uri in addresses:
            uri = await editor.open_at(uri, wrong)
            assert "N206" in {each.code for each in editor.messages[uri]}
            asked = lsp.DefinitionParams(document(uri), place(wrong, "hail -> first"))
            found = await editor.client.text_document_definition_async(asked)
            assert isinstance(found, list | tuple)
            assert [(each.uri, each.range.start) for each in found if isinstance(each, lsp.Location)] == [
                (uri, place(wrong, "hail"))
            ]
            assert [each.code for each in await editor.change(uri, "language 2\n")] == []
        assert {*editor.messages} - before - {(piece.parent / "house.cavata").as_uri()} == {*addresses}
        for uri in addresses:
            editor.client.text_document_did_close(lsp.DidCloseTextDocumentParams(document(uri)))

    running.do(steps)


def test_lines_end_as_the_protocol_says_and_nowhere_else(piece: Path, running: Running) -> None:
    r"""`\n`, `\r\n` and `\r` end a line, other signs do not; beyond a line's end is its end (Position, in the Language
    Server Protocol 3.17)."""
    text = PIECE.replace("𝄞 é", "𝄞 \u2028\x0b\x85 é").removesuffix("\n")

    def change(line: int, column: int, new: str, length: int = 0) -> lsp.TextDocumentContentChangePartial:
        return lsp.TextDocumentContentChangePartial(
            lsp.Range(lsp.Position(line, column), lsp.Position(line, column + length)), new
        )

    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece, text.replace("\n", "\r\n"))
        before = editor.messages[uri]
        assert {each.range.start.line for each in before} == {place(text, "𝄞 \u2028").line}
        forces, last = place(text, "forces").line, text.count("\n")
        row = place(text, "meter")
        told = await editor.edit(
            uri, change(last, 999, " -- end"), change(last + 9, 0, "\r\n"), change(row.line, row.character, "m", 1),
            change(forces, 0, "-- 🎵🎵\n"), change(forces, 4, "", 1), change(0, 0, "\r"),
        )  # fmt: skip
        # Half a sign was taken out: it counts with the whole.
        assert [each.range.start.line - 1 for each in told] == [each.range.start.line for each in before]
        symbols = await editor.client.text_document_document_symbol_async(lsp.DocumentSymbolParams(document(uri)))
        assert symbols is not None and isinstance(symbols[-1], lsp.DocumentSymbol)
        # Two lines were put in above it, and its last row is as it was.
        assert symbols[-1].name == "first"
        assert symbols[-1].range.end == lsp.Position(last + 2, len(text.rpartition("\n")[2]))

    running.do(steps)


def test_an_editor_that_shows_little_is_told_what_it_can_show(piece: Path) -> None:
    ragged = PIECE.replace("flute: hail -> first", "flute:    hail -> first").replace("\n", "\r\n")

    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece, ragged)
        asked = lsp.HoverParams(document(uri), place(PIECE, "hail -> marked"))
        hover = await editor.client.text_document_hover_async(asked)
        assert hover is not None and isinstance(hover.contents, lsp.MarkupContent)
        assert hover.contents.kind is lsp.MarkupKind.PlainText and "`" not in hover.contents.value
        symbols = await editor.client.text_document_document_symbol_async(lsp.DocumentSymbolParams(document(uri)))
        assert symbols is not None
        flat = [(each.name, each.container_name) for each in symbols if isinstance(each, lsp.SymbolInformation)]
        assert flat[-3:] == [("first", None), ("opening", "first"), ("closing", "first")]
        laid = lsp.DocumentFormattingParams(document(uri), lsp.FormattingOptions(4, True))
        (edit,) = await editor.client.text_document_formatting_async(laid) or ()
        assert edit.new_text == format_script(PIECE).text.replace("\n", "\r\n")

    poor = Running()
    poor.do(steps)
    poor.end()


def test_a_name_with_composed_signs_is_renamed_whole(piece: Path, running: Running) -> None:
    """A letter and an accent that follows it are the same name as the one sign of both (Unicode, form C)."""
    text = PIECE.replace("hail", "e\u0301te\u0301").replace("e\u0301te\u0301 -> first", "été -> first")

    async def steps(editor: Editor) -> None:
        uri = await editor.open(piece, text)
        assert editor.messages[uri] == []
        for new in ("hail", "o\u0302de"):
            asked = lsp.RenameParams(document(uri), place(text, "e\u0301te\u0301 -> marked", 2), new)
            edit = await editor.client.text_document_rename_async(asked)
            assert edit is not None and edit.changes is not None
            assert applied(text, edit.changes[uri]) == PIECE.replace("hail", new)
        begun = lsp.CompletionParams(document(uri), place(text, "e\u0301te\u0301 -> marked", 2))
        offered = await editor.client.text_document_completion_async(begun)
        assert isinstance(offered, list | tuple) and [each.label for each in offered] == ["été"]
        assert isinstance(offered[0].text_edit, lsp.TextEdit)
        assert offered[0].text_edit.range == lsp.Range(place(text, "e\u0301te\u0301 -> marked"), begun.position)

    running.do(steps)
