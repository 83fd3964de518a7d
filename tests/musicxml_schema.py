"""The schema of MusicXML 4.0, and what a document has that it does not allow.

Source: W3C, MusicXML 4.0 (Community Group Final Report), `musicxml.xsd`, as it comes with the `musicxml` package 1.6.3.
It imports two schemas from the network; the stubs here hold the attributes it takes from them.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from lxml import etree

XLINK = b"""<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/1999/xlink">
<xs:attribute name="href" type="xs:anyURI"/><xs:attribute name="type" type="xs:string"/>
<xs:attribute name="role" type="xs:anyURI"/><xs:attribute name="title" type="xs:string"/>
<xs:attribute name="show" type="xs:string"/><xs:attribute name="actuate" type="xs:string"/></xs:schema>"""
XML = b"""<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/XML/1998/namespace">
<xs:attribute name="lang" type="xs:language"/><xs:attribute name="space"><xs:simpleType>
<xs:restriction base="xs:NCName"><xs:enumeration value="default"/><xs:enumeration value="preserve"/></xs:restriction>
</xs:simpleType></xs:attribute></xs:schema>"""


class Stubs(etree.Resolver):
    def resolve(self, system_url: str, public_id: str, context: Any) -> Any:
        if system_url.endswith("xlink.xsd"):
            return self.resolve_string(XLINK, context)
        return self.resolve_string(XML, context) if system_url.endswith("xml.xsd") else None


@lru_cache
def schema() -> Any:
    package = find_spec("musicxml")
    assert package is not None and package.origin is not None
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(Stubs())
    path = Path(package.origin).parent / "generate_classes" / "musicxml_4_0.xsd"
    return etree.XMLSchema(etree.parse(str(path), parser))


def faults(document: bytes) -> list[str]:
    """What the schema refuses in a document, in its own words; nothing for a valid one."""
    parser = etree.XMLParser(load_dtd=False, no_network=True, resolve_entities=False)
    tree = etree.fromstring(document, parser)
    return [] if schema().validate(tree) else [str(error) for error in schema().error_log]
