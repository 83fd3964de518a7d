"""Puts the pages of the handbook into the wheel of a release.

Run by hatchling where HATCH_BUILD_HOOK_ENABLE_CUSTOM is `true`, in an environment in which Cavata is installed with its
extras `handbook` and `audio`, so without isolation.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class HandbookHook(BuildHookInterface[Any]):
    """Makes the pages, and has them taken in."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Make the pages before the wheel is put together."""
        from cavata.cli.main import main
        from cavata.handbook.handbook import SHIPPED

        pages = Path(mkdtemp()) / SHIPPED
        if main(["handbook", "--sound", "--no-open", "--to", str(pages)]):
            raise RuntimeError("the pages of the handbook could not be made")
        build_data["force_include"][str(pages)] = f"cavata/{SHIPPED}"
