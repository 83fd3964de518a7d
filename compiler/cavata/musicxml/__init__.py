"""Written bars to MusicXML 4.0, through music21."""

import sys
from importlib.util import find_spec, module_from_spec
from types import ModuleType
from typing import Any


class _LoadedWhenUsed(ModuleType):
    """A module that is there, and is loaded when something of it is asked for."""

    def __getattr__(self, name: str) -> Any:
        object.__setattr__(self, "__class__", ModuleType)
        if self.__spec__ is not None and self.__spec__.loader is not None:
            self.__spec__.loader.exec_module(self)
        return getattr(self, name)


def _load_when_used(name: str) -> None:
    spec = find_spec(name) if name not in sys.modules else None
    if spec is not None:
        sys.modules[name] = module_from_spec(spec)
        sys.modules[name].__class__ = _LoadedWhenUsed


# music21 fetches scores by it, which nothing here does: a quarter of the time in which music21 is loaded is saved.
# Python's own `LazyLoader` loads it at the first `import`, which looks at the module.
_load_when_used("requests")
