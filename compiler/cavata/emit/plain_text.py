"""Words of the user made safe for any page.

In: any string. Out: one line that can be encoded and that every XML 1.0 reader accepts. Quoting and escaping are left
to whoever writes it.
"""

from __future__ import annotations

import re
import unicodedata

_BREAKING = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_FORBIDDEN = re.compile("[\ud800-\udfff\ufffe\uffff]")


def plain_text(text: str) -> str:
    """Controls and line ends become spaces; what XML 1.0 forbids besides (section 2.2, `Char`) becomes U+FFFD.

    Accents are composed with their letters, since more fonts have those (Unicode's normal form C, as the W3C asks of
    text in its Character Model for the World Wide Web).
    """
    return _FORBIDDEN.sub("\ufffd", _BREAKING.sub(" ", unicodedata.normalize("NFC", text)))
