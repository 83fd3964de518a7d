"""Repeat signs and the brackets of endings, in the bar lines of a measure.

In: a measure's element and its frame. Out: the same measure with its left and right bar lines as the frame has them.
The sign at the very beginning of a movement is left out, as on the page.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from cavata.musicxml.directions import direction
from cavata.notate.written import Frame


def place_repeats(measure: Element, frame: Frame, is_first: bool, is_top: bool) -> None:
    """Put in what the frame has; `is_top` is for the part that carries what stands above the score."""
    begins = frame.repeat_begins and not is_first
    if begins or frame.ending:
        left = Element("barline", location="left")
        if begins:
            SubElement(left, "bar-style").text = "heavy-light"
        if frame.ending:
            numbers = ",".join(map(str, frame.ending))
            SubElement(left, "ending", number=numbers, type="start").text = frame.ending_text
        if begins:
            SubElement(left, "repeat", direction="forward")
        measure.insert(next((i for i, child in enumerate(measure) if child.tag != "print"), len(measure)), left)
    if frame.times and is_top:
        measure.append(direction("words", frame.times, style="italic"))
    if frame.repeat_ends or frame.ending_stops:
        right = next((b for b in measure.findall("barline") if b.get("location") == "right"), None)
        if right is None:
            right = SubElement(measure, "barline", location="right")
        if frame.repeat_ends and right.find("bar-style") is None:
            SubElement(right, "bar-style").text = "light-heavy"
        if frame.ending_stops:
            kind = "stop" if frame.repeat_ends else "discontinue"
            SubElement(right, "ending", number=",".join(map(str, frame.ending_stops)), type=kind)
        if frame.repeat_ends:
            sign = SubElement(right, "repeat", direction="backward")
            if frame.times:
                sign.set("times", str(frame.repeat_ends))
