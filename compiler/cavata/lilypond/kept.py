"""What was engraved before, kept in the user's cache folder.

In: a key that names all that a page depends on. Out: the engraving made under that key, if there is one. An entry
carries the checksum of its content: one that is damaged is passed over and made anew. Each is written whole, so that
two builds at once do not disturb each other; what was not used for longest makes room.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from cavata import resources
from cavata.engrave.files import write_whole
from cavata.lilypond.engraving import EngravedFile, Engraving, MissingGlyph

MOST_BYTES = 256 << 20
"""Of all entries together; a quarter more is let in before room is made."""
_CHECKSUM = 32


def keep(key: str, engraving: Engraving, most: int = MOST_BYTES) -> None:
    """Keep an engraving; a cache that cannot be written is done without."""
    folder = _folder()
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        body = _packed(engraving)
        write_whole(folder / key, sha256(body).digest() + body)
        _make_room(folder, most)


def kept(key: str) -> Engraving | None:
    """The engraving under a key, if it is there and whole."""
    file = _folder() / key
    try:
        data = file.read_bytes()
        body = data[_CHECKSUM:]
        if sha256(body).digest() != data[:_CHECKSUM]:
            return None
        made = _unpacked(body)
        os.utime(file)
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return made


def _folder() -> Path:
    return resources.cache_folder("pages")


def _packed(engraving: Engraving) -> bytes:
    """A line that tells what follows, then the files one after the other."""
    told = {
        "files": [(file.format, file.suffix, len(file.data)) for file in engraving.files],
        "missing": [(glyph.character, glyph.font) for glyph in engraving.missing],
        "remarks": engraving.remarks,
    }
    return b"\n".join([json.dumps(told).encode(), b"".join(file.data for file in engraving.files)])


def _unpacked(body: bytes) -> Engraving:
    line, _, data = body.partition(b"\n")
    told = json.loads(line)
    files, start = [], 0
    for kind, suffix, length in told["files"]:
        files.append(EngravedFile(kind, suffix, data[start : start + length]))
        start += length
    missing = tuple(MissingGlyph(character, font) for character, font in told["missing"])
    return Engraving(tuple(files), missing, tuple(told["remarks"]))


def _make_room(folder: Path, most: int) -> None:
    entries = []
    for entry in os.scandir(folder):
        with suppress(OSError):
            about = entry.stat()
            entries.append((about.st_mtime_ns, about.st_size, entry.path))
    total = sum(size for _, size, _ in entries)
    if total <= most * 5 // 4:
        return
    for _, size, path in sorted(entries):
        if total <= most:
            break
        with suppress(OSError):
            os.unlink(path)
        total -= size
