"""One option for the whole suite: `--update` rewrites what the tests compare with."""

from __future__ import annotations

import os

import pytest

# What a composer keeps at home must not reach the tests.
os.environ.pop("CAVATA_LIBRARY", None)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update", action="store_true", help="rewrite what is compared with")
