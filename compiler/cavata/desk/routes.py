"""What the page can ask for, and what it can have done: one table of each, by the names in addresses.

Each is a function of a module of this room, which is loaded when the page first asks for it: what is seen first need
not wait for what is heard, or looked for, later.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any

from cavata.desk.desk import Desk
from cavata.desk.state import State
from cavata.desk.views import Answer, Deed, View

_VIEWS = {
    "about": "about.view",
    "score": "score.seen.score",
    "system": "score.seen.system",
    "names": "score.names.view",
    "sounding": "score.names.sounding",
    "map": "score.mapped.view",
    "note": "score.origin.view",
    "stage": "score.origin.picture",
    "came": "score.came.view",
    "heard": "sound.listening.heard",
    "sound": "sound.listening.sound",
    "times": "sound.listening.times",
    "tones": "sound.listening.tones",
    "choices": "offers.choices",
    "offers": "offers.offers",
    "offer": "offers.offer",
    "sides": "then_now.sides",
    "then": "then_now.then",
}
_DEEDS = {
    "show": "about.show",
    "undo": "about.undo",
    "take": "offers.take",
}


def _function(named: str) -> Callable[..., Answer]:
    """The function of a module of this room, by both their names."""
    module, _, name = named.rpartition(".")
    found: Callable[..., Answer] = getattr(import_module(f"cavata.desk.{module}"), name)
    return found


def _view(named: str) -> View:
    def view(desk: Desk, state: State, wanted: Mapping[str, str]) -> Answer:
        return _function(named)(desk, state, wanted)

    return view


def _deed(named: str) -> Deed:
    def deed(desk: Desk, sent: Mapping[str, Any]) -> Answer:
        return _function(named)(desk, sent)

    return deed


VIEWS: Mapping[str, View] = {name: _view(named) for name, named in _VIEWS.items()}
DEEDS: Mapping[str, Deed] = {name: _deed(named) for name, named in _DEEDS.items()}
