"""One option for the whole suite: `--update` rewrites what the tests compare with."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update", action="store_true", help="rewrite what is compared with")
