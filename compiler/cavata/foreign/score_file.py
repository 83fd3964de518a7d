"""The bytes of a foreign score, opened with caution.

In: a path. Out: the format and the content, with a compressed file already opened. Holds after: the content is within
bounds, an archive's directory was read before anything in it was unpacked, and XML declares no entities, so that
nothing in it can lead to another file or grow. MIDI and ABC claim no length that no music has: their readers would
fill it with bars.
"""

from __future__ import annotations

import codecs
import re
import zipfile
import zlib
from pathlib import Path
from xml.parsers import expat

from cavata.record import record

LARGEST_FILE = 64_000_000
"""Bytes of one score, packed or unpacked; a long opera in MusicXML takes about that."""
LARGEST_RATIO = 200
"""How many times its packed size an archived score may have; MusicXML packs to a twentieth."""
MOST_MEMBERS = 1_000
LONGEST = 40_000
"""Quarter notes of one score, some eleven hours at 60 a minute."""
_SMALL = 1_000_000
"""Below this an archived file's ratio does not matter."""

FORMATS = {
    ".musicxml": "musicxml", ".xml": "musicxml", ".mxl": "musicxml", ".mid": "midi", ".midi": "midi",
    ".abc": "abc", ".krn": "humdrum",
}  # fmt: skip
"""What a file is taken for, by the end of its name; nothing else is ever opened."""

_DECLARED = re.compile(r"""\A(\s*<\?xml[^>]*?encoding\s*=\s*)["'][^"']*["']""")
_ROOTS = frozenset({"score-partwise", "score-timewise"})


class Unreadable(Exception):
    """A file that is not read as a score: the code of the message, one phrase, and a cure."""

    def __init__(self, code: str, message: str, cure: str) -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.cure = cure


@record
class ScoreFile:
    """A foreign score's content."""

    path: Path
    format: str
    """One of `musicxml`, `midi`, `abc`, `humdrum`."""
    content: bytes


def open_score(path: Path) -> ScoreFile:
    """Read a file; raises Unreadable: O301 absent, O302 no score, O303 a broken archive, O304 entities, O305 size,
    O307 a length beyond all measure."""
    kind = FORMATS.get(path.suffix.lower())
    if kind is None and path.is_file():
        ends = ", ".join(FORMATS)
        raise Unreadable(
            "O302", f"`{path.name}` is no score that can be read", f"names of scores end in {ends} or .cavata"
        )
    try:
        if not path.is_file():
            raise FileNotFoundError
        if path.stat().st_size > LARGEST_FILE:
            raise _too_large(path)
        content = path.read_bytes()
        if not content.strip():
            raise _no_score(path, "it is empty")
    except (OSError, ValueError):
        raise Unreadable("O301", f"there is no file `{path}` to read", "look at its name and its place") from None
    if path.suffix.lower() == ".mxl":
        content = _unpacked(path)
    if kind == "musicxml":
        _check_xml(path, content)
        content = _in_utf_8(content)
    if kind == "midi":
        if not content.startswith(b"MThd"):
            raise _no_score(path, "it does not begin as a MIDI file does")
        if quarters_of_midi(content) > LONGEST:
            raise _too_long(path, f"would last more than {LONGEST} quarter notes")
    if kind == "abc" and _LONG_IN_ABC.search(content):
        raise _too_long(path, "has a note of a thousand units or more")
    assert kind is not None
    return ScoreFile(path, kind, content)


def _in_utf_8(content: bytes) -> bytes:
    """MusicXML in UTF-16, as some programs write it, in UTF-8, which is what music21 reads; all else as it is."""
    if not content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return content
    return _DECLARED.sub(r'\1"UTF-8"', content.decode("utf-16"), count=1).encode("utf-8")


def _too_large(path: Path) -> Unreadable:
    most = LARGEST_FILE // 1_000_000
    return Unreadable("O305", f"`{path.name}` is larger than {most} MB", "give the movements as files of their own")


def _too_long(path: Path, how: str) -> Unreadable:
    return Unreadable(
        "O307", f"`{path.name}` {how}",
        "look for lengths beyond all measure in it, or save it again as MusicXML, a movement a file",
    )  # fmt: skip


_LONG_IN_ABC = re.compile(rb"^(?![A-Za-z]:|%).*[A-Ga-gxyzZ\])][,']*0*[1-9]\d{3}", re.MULTILINE)
"""A note, a rest or a chord of a thousand units or more, in a row that is music."""


def quarters_of_midi(content: bytes) -> int:
    """How many quarter notes the longest track lasts by its delta times; 0 where the file cannot be followed."""
    division = int.from_bytes(content[12:14], "big")
    if not 0 < division < 0x8000:
        # Frames a second times ticks a frame; at the usual tempo a quarter is half a second.
        division = (256 - content[12]) * content[13] // 2 if len(content) > 13 else 0
    longest, at = 0, 8 + int.from_bytes(content[4:8], "big")
    while division and content[at : at + 4] == b"MTrk":
        size = int.from_bytes(content[at + 4 : at + 8], "big")
        longest = max(longest, _ticks(content[at + 8 : at + 8 + size]))
        at += 8 + size
    return longest // division if division else 0


def _ticks(track: bytes) -> int:
    """The sum of a track's delta times, as far as it is well formed. Source: Standard MIDI Files 1.0."""
    at = ticks = status = 0
    try:
        while at < len(track):
            delta, at = _number(track, at)
            ticks += delta
            if track[at] & 0x80:
                status, at = track[at], at + 1
            if status == 0xFF:
                at += 1
            if status in (0xF0, 0xF7, 0xFF):
                size, at = _number(track, at)
                at += size
            else:
                at += 1 if status >> 4 in (0xC, 0xD) else 2
    except IndexError:
        pass
    return ticks


def _number(track: bytes, at: int) -> tuple[int, int]:
    """A number of variable length, and where it ends."""
    value = 0
    while True:
        value = value << 7 | track[at] & 0x7F
        at += 1
        if not track[at - 1] & 0x80:
            return value, at


def _no_score(path: Path, why: str) -> Unreadable:
    return Unreadable("O302", f"`{path.name}` is no score that can be read: {why}", "save it again as MusicXML")


def _unpacked(path: Path) -> bytes:
    """The score inside a compressed MusicXML file; sizes are taken from the archive's directory and then enforced."""
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
            _check_directory(path, members)
            names = {member.filename: member for member in members}
            wanted = _root_file(archive, names)
            if wanted is None:
                raise _no_score(path, "the archive holds no MusicXML")
            return _member(path, archive, wanted)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError, ValueError):
        raise Unreadable(
            "O303", f"`{path.name}` is a broken archive", "save it again, or give the uncompressed .musicxml"
        ) from None


def _check_directory(path: Path, members: list[zipfile.ZipInfo]) -> None:
    if len(members) > MOST_MEMBERS:
        raise Unreadable(
            "O305", f"`{path.name}` holds more than {MOST_MEMBERS} files", "give the one that holds the score"
        )
    if sum(member.file_size for member in members) > LARGEST_FILE:
        raise _too_large(path)
    for member in members:
        if member.file_size > _SMALL and member.file_size > LARGEST_RATIO * max(member.compress_size, 1):
            raise Unreadable(
                "O305", f"`{path.name}` would grow to more than {LARGEST_RATIO} times its size",
                "no score packs so well; give the uncompressed .musicxml if it is one",
            )  # fmt: skip


def _root_file(archive: zipfile.ZipFile, names: dict[str, zipfile.ZipInfo]) -> zipfile.ZipInfo | None:
    """The score that the container names, else the first MusicXML in the archive."""
    container = names.get("META-INF/container.xml")
    if container is not None and container.file_size <= _SMALL:
        for full_path in _root_paths(archive.read(container)):
            if full_path in names:
                return names[full_path]
    scores = [m for n, m in names.items() if n.endswith((".xml", ".musicxml")) and not n.startswith("META-INF")]
    return scores[0] if scores else None


def _root_paths(container: bytes) -> list[str]:
    found: list[str] = []
    reader = _guarded()
    reader.StartElementHandler = lambda name, attributes: (
        found.append(attributes.get("full-path", "")) if name.split(":")[-1] == "rootfile" else None
    )
    try:
        reader.Parse(container, True)
    except (expat.ExpatError, _Entity, LookupError, ValueError):
        return []
    return [path for path in found if path.endswith((".xml", ".musicxml"))]


def _member(path: Path, archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> bytes:
    with archive.open(member) as stream:
        content = stream.read(LARGEST_FILE + 1)
    if len(content) > LARGEST_FILE or len(content) > member.file_size:
        # The directory lied about the size.
        raise _too_large(path)
    return content


class _Entity(Exception):
    """The XML declares an entity."""


def _guarded() -> expat.XMLParserType:
    reader = expat.ParserCreate()

    def refuse(*_: object) -> None:
        raise _Entity

    reader.EntityDeclHandler = refuse
    reader.UnparsedEntityDeclHandler = refuse
    reader.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    return reader


def _check_xml(path: Path, content: bytes) -> None:
    """Read the XML once with entities refused, so that the reader of scores never meets one."""
    reader = _guarded()
    roots: list[str] = []

    def opened(name: str, _: dict[str, str]) -> None:
        roots.append(name)
        reader.StartElementHandler = None

    reader.StartElementHandler = opened
    try:
        reader.Parse(content, True)
    except _Entity:
        raise Unreadable(
            "O304", f"`{path.name}` declares entities, which a score has no use for",
            "take the `<!ENTITY ...>` rows out of its DOCTYPE",
        ) from None  # fmt: skip
    except (expat.ExpatError, LookupError, ValueError) as error:
        raise _no_score(path, f"its XML is broken ({error})") from None
    if not roots or roots[0] not in _ROOTS:
        raise _no_score(path, f"its XML is `{roots[0] if roots else ''}`, not `score-partwise` or `score-timewise`")
