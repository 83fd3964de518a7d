"""What the page can ask for, and what it can have done: one table of each, by the names in addresses."""

from __future__ import annotations

from collections.abc import Mapping

from cavata.desk import about, listening, mapped, names, offers, origin, seen, then_now
from cavata.desk.views import Deed, View

VIEWS: Mapping[str, View] = {
    "about": about.view,
    "score": seen.score,
    "system": seen.system,
    "font": seen.font,
    "names": names.view,
    "sounding": names.sounding,
    "map": mapped.view,
    "note": origin.view,
    "stage": origin.picture,
    "heard": listening.heard,
    "sound": listening.sound,
    "times": listening.times,
    "tones": listening.tones,
    "choices": offers.choices,
    "offers": offers.offers,
    "offer": offers.offer,
    "sides": then_now.sides,
    "then": then_now.then,
}
DEEDS: Mapping[str, Deed] = {
    "show": about.show,
    "undo": about.undo,
    "take": offers.take,
}
