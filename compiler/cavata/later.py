"""Modules of other libraries that are loaded only when something of them is used.

In: the name of a module that another library imports, and needs for nothing that is done here. Out: it stands in
`sys.modules`, so that the import is over at once. The `LazyLoader` of `importlib.util` would load it there, since
an import looks at the module.
"""

from __future__ import annotations

import sys
from importlib.util import find_spec, module_from_spec
from types import ModuleType
from typing import Any


class _Later(ModuleType):
    """A module that loads itself when it is asked for what it does not have yet."""

    def __getattr__(self, name: str) -> Any:
        object.__setattr__(self, "__class__", ModuleType)
        if self.__spec__ is not None and self.__spec__.loader is not None:
            self.__spec__.loader.exec_module(self)
        return getattr(self, name)


def load_later(name: str) -> None:
    """Put off loading a module. Nothing happens where it is loaded, or not installed."""
    spec = None if name in sys.modules else find_spec(name)
    if spec is None:
        return
    module = sys.modules[name] = module_from_spec(spec)
    object.__setattr__(module, "__class__", _Later)
    parent, _, own = name.rpartition(".")
    if parent:
        setattr(sys.modules[parent], own, module)
