"""Words of the user made safe for XML.

In: any string. Out: one that every XML 1.0 reader accepts. Escaping of `<` and `&` is left to the serialiser.
"""

from __future__ import annotations

import re
import unicodedata

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_FORBIDDEN = re.compile("[\ud800-\udfff\ufffe\uffff]")


def xml_text(text: str) -> str:
    """Control characters become spaces; what XML 1.0 forbids besides (section 2.2, `Char`) becomes U+FFFD.

    Accents are composed with their letters, as the W3C asks of text (Character Model for the World Wide Web).
    """
    return _FORBIDDEN.sub("\ufffd", _CONTROL.sub(" ", unicodedata.normalize("NFC", text)))
