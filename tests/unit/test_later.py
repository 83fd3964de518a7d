"""What other libraries import and nobody uses here is not loaded."""

from __future__ import annotations

import builtins
import importlib
import sys
from pathlib import Path

import pytest

from cavata.later import load_later


def test_a_module_is_loaded_when_something_of_it_is_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The language's own reference: an `import` finds what is in `sys.modules`, and does not run it again."""
    (tmp_path / "a_module_for_later.py").write_text("begun.append(1)\nkept = 'a value'\n", encoding="utf-8")
    begun: list[int] = []
    monkeypatch.setattr(builtins, "begun", begun, raising=False)
    monkeypatch.syspath_prepend(tmp_path)
    load_later("a_module_for_later")
    try:
        later = importlib.import_module("a_module_for_later")
        assert not begun
        assert later.kept == "a value"
        assert later.kept == "a value"
        assert begun == [1]
        with pytest.raises(AttributeError):
            _ = later.lost
    finally:
        del sys.modules["a_module_for_later"]
