"""The option `--library`, for every command that reads a script."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_library_to(command: argparse.ArgumentParser) -> None:
    """Describe the option."""
    command.add_argument(
        "--library", metavar="FOLDER", type=Path,
        help="your folder of modules, for `use NAME from MODULE` (else what CAVATA_LIBRARY says)",
    )  # fmt: skip
