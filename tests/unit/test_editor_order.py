"""The language server answers every request, whatever comes in whatever order, with the errors that the protocol names.

Sources: JSON-RPC 2.0, section 5.1, for -32700, -32600, -32601 and -32602; Language Server Protocol 3.17, `initialize`,
`shutdown` and `exit`, for -32002, for what may come when, and for the exit status.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from typing import Any

import pytest
from patience import WAIT

pytestmark = pytest.mark.slow

HERE = {"textDocument": {"uri": "file:///nothing.cavata"}, "position": {"line": 0, "character": 0}}
NOWHERE = {"textDocument": {"uri": "file://["}, "position": {"line": 0, "character": 0}}
BEFORE = {"textDocument": {"uri": "file:///nothing.cavata"}, "position": {"line": -1, "character": 0}}
BEGIN: dict[str, Any] = {"processId": None, "rootUri": None, "capabilities": {}}
CHANGED: dict[str, Any] = {
    "textDocument": {"uri": "file:///nothing.cavata", "version": 2}, "contentChanges": [{"text": ""}],
}  # fmt: skip


def spoken(*messages: tuple[Any, ...], before: bytes = b"") -> tuple[list[dict[str, Any]], int]:
    """What the server says when it is told all this at once, and its exit status. A message is its number, if it is a
    request, its method and what it gives; `before` all comes something else."""
    said = before
    for number, method, *given in messages:
        message = {"jsonrpc": "2.0", "method": method, **({"params": given[0]} if given else {})}
        body = json.dumps(message if number is None else {**message, "id": number}).encode()
        said += b"Content-Length: %d\r\n\r\n%s" % (len(body), body)
    command = [sys.executable, "-m", "cavata.cli.main", "language-server"]
    done = subprocess.run(command, input=said, capture_output=True, timeout=2 * WAIT, check=False)
    bodies, at = [], 0
    while (head := re.compile(rb"Content-Length: (\d+)\r\n(?:[^\r\n]+\r\n)*\r\n").match(done.stdout, at)) is not None:
        at = head.end() + int(head[1])
        bodies.append(json.loads(done.stdout[head.end() : at]))
    assert at == len(done.stdout)
    return bodies, done.returncode


def test_every_request_is_answered_in_its_place() -> None:
    told, status = spoken(
        (1, "textDocument/hover", HERE), (None, "textDocument/didChange", CHANGED),
        (2, "initialize", BEGIN), (None, "initialized", {}), (3, "initialize", BEGIN),
        (4, "textDocument/hover", {}), (5, "textDocument/hover", []), (6, "textDocument/hover", BEFORE),
        (7, "textDocument/nothing", {}), (8, "textDocument/hover", HERE), (9, "textDocument/hover", NOWHERE),
        (None, "textDocument/didChange", CHANGED), (None, "textDocument/didClose", HERE),
        (None, "textDocument/didChange", {}), (10, "shutdown"), (11, "textDocument/hover", HERE), (None, "exit"),
    )  # fmt: skip
    assert status == 0
    # Nothing but answers: what a client did wrong is not shown to whoever writes.
    assert {each["id"]: each["error"]["code"] for each in told if "error" in each} == {
        1: -32002, 3: -32600, 4: -32602, 5: -32602, 6: -32602, 7: -32601, 11: -32600,
    }  # fmt: skip
    assert [each["id"] for each in told] == [*range(1, 12)]
    assert {each["id"]: each["result"] for each in told if each["id"] in (8, 9, 10)} == {8: None, 9: None, 10: None}


def test_what_is_no_message_is_told_and_an_end_without_a_shutdown_too() -> None:
    told, status = spoken((1, "initialize", BEGIN), (None, "exit"), before=b"Content-Length: 4\r\n\r\n{bad")
    assert ([each["id"] for each in told], status) == ([None, 1], 1)
    assert told[0]["error"]["code"] == -32700
