"""What the engraver gave back, as files and as messages."""

from __future__ import annotations

from collections.abc import Iterator

from cavata.diagnostics.record import Diagnostics
from cavata.engrave.engraving import Engraving, Failure, Fault

_FAULT_CODES = {
    Fault.MISSING: "O201", Fault.TIMEOUT: "O202", Fault.KILLED: "O203", Fault.ERROR: "O204", Fault.DISK: "O205",
}  # fmt: skip
_FAULT_CURES = {
    Fault.TIMEOUT: "build one movement at a time with `--movement`",
    Fault.KILLED: "build one movement at a time with `--movement`",
    Fault.ERROR: "please report it with your script",
    Fault.DISK: "make room in the folder for temporary files",
}
"""What the user of a command can do; a missing program has its own advice."""


def engraved_files(engraved: Engraving | Failure, stem: str, bag: Diagnostics) -> Iterator[tuple[str, bytes]]:
    """Every file by its name; what was amiss is reported, also for pages that were kept from an earlier build."""
    if isinstance(engraved, Failure):
        cure = _FAULT_CURES.get(engraved.fault, engraved.advice)
        bag.error(_FAULT_CODES[engraved.fault], None, engraved.message, "nothing was written", cure)
        return
    for glyph in engraved.missing:
        bag.warning(
            "O206", None, f"no font here has the character `{glyph.character}` ({glyph.code_point})",
            "it is missing on the page",
            "install a font that has it, for Chinese, Japanese and Korean `fonts-noto-cjk`",
        )
    for remark in engraved.remarks:
        bag.warning("O207", None, f"the engraver remarks: {remark}")
    for file in engraved.files:
        yield f"{stem}{file.suffix}", file.data
