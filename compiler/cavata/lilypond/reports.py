"""What the engraver gave back, as files and as messages to the composer."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator

from cavata.diagnostics import Diagnostics
from cavata.lilypond.engraving import Engraving, EngravingFault, Failure, MissingGlyph
from cavata.lilypond.fonts import CJK, Lacking, lacking, visible

MOST_SHOWN = 12
"""Missing characters that one message lists."""

_FAULT_CODES = {
    EngravingFault.MISSING: "O201", EngravingFault.TIMEOUT: "O202", EngravingFault.KILLED: "O203",
    EngravingFault.ERROR: "O204", EngravingFault.DISK: "O205",
}  # fmt: skip
_TOO_MUCH = "build one movement at a time with `--movement`; divide one of more than a thousand bars"
_FAULT_CURES = {
    EngravingFault.TIMEOUT: _TOO_MUCH,
    EngravingFault.KILLED: _TOO_MUCH,
    EngravingFault.ERROR: "please report it with your script",
    EngravingFault.DISK: "make room in the folder for temporary files",
}
"""What the user of a command can do; a missing program has its own advice."""


def engraved_files(engraved: Engraving | Failure, stem: str, bag: Diagnostics) -> Iterator[tuple[str, bytes]]:
    """Every file by its name; what was amiss is reported, also for pages that were kept from an earlier build."""
    if isinstance(engraved, Failure):
        cure = _FAULT_CURES.get(engraved.fault, engraved.advice)
        what = "no pages were" if engraved.fault is EngravingFault.MISSING else "nothing was"
        bag.error(_FAULT_CODES[engraved.fault], None, engraved.message, label=f"{what} written", cure=cure)
        return
    report_missing(engraved.missing, bag)
    for remark in engraved.remarks if os.environ.get("CAVATA_TRACE") else ():
        bag.warning("O207", None, f"the engraver remarks: {remark}")
    for file in engraved.files:
        yield f"{stem}{file.suffix}", file.data


def report_missing(missing: tuple[MissingGlyph, ...], bag: Diagnostics) -> None:
    """One message for each script that no font has, with the package that has one."""
    for group in lacking(glyph.character for glyph in missing):
        several = len(group.characters) > 1
        signs = " ".join(map(visible, group.characters[:MOST_SHOWN]))
        more = f" and {len(group.characters) - MOST_SHOWN} more" if len(group.characters) > MOST_SHOWN else ""
        code = "" if several else f" ({MissingGlyph(group.characters[0], '').code_point})"
        kind = f"{group.script} character".strip() + ("s" if several else "")
        bag.warning(
            "O206", None, f"no font here has the {kind} `{signs}`{more}{code}",
            label="they are missing on the page" if several else "it is missing on the page",
            cure=_font_cure(group, "them" if several else "it") if group.package else
            "take the character out: it means nothing outside your machine",
        )  # fmt: skip


def _font_cure(group: Lacking, what: str) -> str:
    """Which font to install, as it is got on this machine."""
    if sys.platform == "linux":
        return f"install a font that has {what}: in Debian and its relatives the package `{group.package}`"
    noto = "Noto Serif CJK" if group.package == CJK else f"Noto Sans {group.script}".strip()
    return f"install a font that has {what}, as `{noto}`, which is free"
