"""A MusicXML document packed in the container of the format, `.mxl`.

In: a document. Out: the bytes of an archive that holds it; the same document gives the same bytes. Source: MusicXML
4.0, Compressed .MXL Files and Container Reference: `mimetype` comes first and is not packed, `META-INF/container.xml`
names the document.
"""

from __future__ import annotations

from io import BytesIO
from xml.sax.saxutils import quoteattr
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

_KIND = "application/vnd.recordare.musicxml"
_FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The earliest that an archive can say: no clock decides about its bytes."""
_UNIX, _READABLE = 3, 0o100644 << 16
_LEVEL = 6


def mxl_archive(document: bytes, name: str) -> bytes:
    """The archive in which the document has this name, as `lantern.musicxml`."""
    root = f"<rootfile full-path={quoteattr(name)} media-type={quoteattr(f'{_KIND}+xml')}/>"
    container = f'<?xml version="1.0" encoding="UTF-8"?>\n<container><rootfiles>{root}</rootfiles></container>\n'
    members = (("mimetype", _KIND.encode(), ZIP_STORED), ("META-INF/container.xml", container.encode(), ZIP_DEFLATED),
               (name, document, ZIP_DEFLATED))  # fmt: skip
    made = BytesIO()
    with ZipFile(made, "w") as archive:
        for path, content, how in members:
            member = ZipInfo(path, _FIRST_DAY)
            member.create_system, member.external_attr, member.compress_type = _UNIX, _READABLE, how
            archive.writestr(member, content, compresslevel=_LEVEL)
    return made.getvalue()
