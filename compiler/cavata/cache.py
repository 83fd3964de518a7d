"""What can be computed again, kept between runs: the one module that reads and writes in the user's cache folder.

In: a store, a key, and bytes. Out: the same bytes, or None. A key is a hash of everything that the bytes depend on, and
of the compiler's version. Holds after: an entry is read only if its folder and its file are this user's own and no one
else may write there, and if it is whole: it begins with a checksum over its store, its key and its content, so that one
entry does not pass for another. Entries are written whole or not at all, and what was not used for longest makes room.
Where there is no such folder nothing is kept, and everything works without.

Whoever can write into a cache must not thereby be able to run anything. So no store keeps a form that is a program or
that can bring the interpreter down: not pickle, which calls what it names, and not marshal, which reads past its bytes
if they are forged; a checksum guards against damage, not against malice. What lies here is JSON, files of other
programs' formats, and NumPy's arrays read without pickle. Whoever reads them makes only values of its own classes.
"""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import lru_cache
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path
from typing import TypeVar

from cavata import __version__, resources
from cavata.files import half_written, write_whole
from cavata.record import record

VARIABLE = "CAVATA_CACHE"
"""The environment variable that names another folder than the user's own; empty or unset, it names none."""
_FORM = b"cavata 1\0"
_CHECKSUM = 32
_BLOCK = 4096
"""What even the smallest file takes on a disk, about."""
_MB = 1 << 20
_OTHERS_MAY_WRITE = stat.S_IWGRP | stat.S_IWOTH
_Value = TypeVar("_Value")
_since_looked: dict[str, int] = {}
"""By store, the bytes that this process has written since it last looked whether room must be made."""


@record
class Store:
    """One kind of things that are kept, in a folder of its own below the cache folder."""

    name: str
    most: int
    """Bytes of all entries together; a quarter more is let in before room is made."""

    def read(self, key: str) -> bytes | None:
        """What was kept under a key; None if there is nothing that may be used. It counts as used now."""
        folder = self.folder()
        if folder is None:
            return None
        try:
            _require_own(folder.parent)
            _require_own(folder)
            data = _own_content(folder / key)
        except OSError:
            return None
        body = data[_CHECKSUM:]
        return body if data[:_CHECKSUM] == self._checksum(key, body) else None

    def read_as(self, key: str, made: Callable[[bytes], _Value]) -> _Value | None:
        """What `made` makes of an entry; None too if it cannot, in whatever way the entry does not fit."""
        body = self.read(key)
        if body is None:
            return None
        try:
            return made(body)
        except Exception:
            return None

    def write(self, key: str, body: bytes) -> None:
        """Keep bytes under a key. Raises OSError where they cannot be kept, or must not."""
        folder = self.made_folder()
        write_whole(folder / key, self._checksum(key, body) + body, private=True)
        self._make_room(folder, _on_disk(len(body)))

    def keep(self, key: str, body: bytes) -> None:
        """Keep bytes under a key where that can be done."""
        with suppress(OSError):
            self.write(key, body)

    def keep_content(self, body: bytes) -> str:
        """Keep bytes where that can be done, under a name made of them alone; that name."""
        name = key_of(body)
        self.keep(name, body)
        return name

    def read_content(self, name: str) -> bytes | None:
        """What was kept by `keep_content`; None too if it is not what the name says."""
        body = self.read(name)
        return body if body is not None and key_of(body) == name else None

    def made_folder(self) -> Path:
        """The folder, made if it was not there; raises OSError where it cannot be used."""
        folder = self.folder()
        if folder is None:
            raise FileNotFoundError(errno.ENOENT, "there is no cache folder")
        with suppress(FileExistsError):
            os.makedirs(folder.parent.parent, 0o700)
        for own in (folder.parent, folder):
            with suppress(FileExistsError):
                own.mkdir(0o700)
            _require_own(own)
        return folder

    def tidy(self) -> None:
        """Take away what processes left that were killed while they wrote."""
        with suppress(OSError):
            for half in half_written(self.made_folder()):
                half.unlink(missing_ok=True)

    def folder(self) -> Path | None:
        """Where the entries lie, which need not be there yet; None if there is no place for them."""
        base = _base()
        return None if base is None else base / "cavata" / self.name

    def _checksum(self, key: str, body: bytes) -> bytes:
        made = sha256(_FORM + f"{self.name}\0{key}\0".encode())
        made.update(body)
        return made.digest()

    def _make_room(self, folder: Path, written: int) -> None:
        """Take away what was not used for longest if there is too much; not at every entry, since it means to look at
        them all."""
        since = _since_looked.get(str(folder), self.most) + written
        _since_looked[str(folder)] = since
        if since < self.most // 16:
            return
        _since_looked[str(folder)] = 0
        self.tidy()
        entries = []
        for entry in os.scandir(folder):
            with suppress(OSError):
                about = entry.stat(follow_symlinks=False)
                entries.append((about.st_mtime_ns, _on_disk(about.st_size), entry.path))
        total = sum(size for _, size, _ in entries)
        if total <= self.most * 5 // 4:
            return
        for _, size, path in sorted(entries):
            if total <= self.most:
                break
            with suppress(OSError):
                os.unlink(path)
                total -= size


TREES = Store("trees", 48 * _MB)
"""Trees of scripts that were read without a message."""
GRAMMAR = Store("grammars", _MB)
"""The grammar as the parser wants it."""
TABLES = Store("tables", _MB)
"""Tables of the library."""
TEXTS = Store("texts", 16 * _MB)
"""What is read of a score to set a sheet, and which text came of it."""
PAGES = Store("pages", 256 * _MB)
"""What was engraved, and the pictures and sounds of guides."""
FILES = Store("files", 512 * _MB)
"""Files that need no engraver, and what whole builds wrote."""
BUILDS = Store("builds", 16 * _MB)
"""Of whole builds, which files were written and what was said."""
HEARD = Store("heard", 256 * _MB)
"""Pieces of sound, some seconds each, and what single notes of a SoundFont sound like."""
SCORES = Store("scores", 1024 * _MB)
"""The notes of folders of scores."""
TUNES = Store("tunes", 32 * _MB)
"""Scores of other programs that scripts take tunes from."""
TIMES = Store("times", _MB)
"""How long engraving took."""
SAVES = Store("saves", 16 * _MB)
"""The texts of what was saved while a desk was open."""
DESKS = Store("desks", _MB)
"""Of each process that has desks open, where it can be asked for them."""
HANDBOOK = Store("handbook", 64 * _MB)
"""The documentation as pages, in a folder; nothing here reads them again."""
STORES = (
    TREES, GRAMMAR, TABLES, TEXTS, PAGES, FILES, BUILDS, HEARD, SCORES, TUNES, TIMES, SAVES, DESKS, HANDBOOK,
)  # fmt: skip


def refused() -> Path | None:
    """The user's own cache folder or one in it, if it is there and not used because others might write to it.

    A folder that the environment names by `VARIABLE` was chosen by somebody who knows it.
    """
    base = None if os.environ.get(VARIABLE, "") else _base()
    top = None if base is None else base / "cavata"
    for folder in () if top is None else (top, *(top / store.name for store in STORES)):
        with suppress(OSError):
            about = folder.lstat()
            if stat.S_ISDIR(about.st_mode) and not _is_own(about):
                return folder
    return None


def key_of(*parts: bytes | str) -> str:
    """A key for what is made of these parts by this version of the compiler, under this version of Python."""
    made = sha256(repr((__version__, sys.version_info[:2])).encode())
    for part in parts:
        data = part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part
        made.update(b"%d\0" % len(data))
        made.update(data)
    return made.hexdigest()[:40]


def stamps(files: Iterable[Path | str]) -> bytes:
    """Files' names, dates and sizes, for a key: other bytes if one of them has changed. A file may be missing."""
    return repr([_stamp(file) for file in files]).encode("utf-8", "backslashreplace")


@lru_cache(maxsize=1)
def compiler_stamps() -> bytes:
    """The stamps of all files of the compiler itself and of its library, for what many of them may decide."""
    found = [str(resources.folder("grammar") / "cavata.lark")]
    for top in (os.path.dirname(os.path.abspath(__file__)), resources.folder("stdlib")):
        for folder, inner, files in os.walk(top):
            inner[:] = sorted(name for name in inner if name != "__pycache__")
            found += (os.path.join(folder, file) for file in sorted(files))
    return stamps(found)


def library_stamps(names: Iterable[str]) -> bytes:
    """The stamps of packages of these names, none of which is loaded; nothing for one that is not installed."""
    origins = []
    for name in names:
        with suppress(ValueError):  # such as a module that somebody has replaced while Python runs
            spec = find_spec(name)
            origins += [spec.origin] if spec is not None and spec.origin else []
    return stamps(origins)


def _stamp(file: Path | str) -> tuple[str, int, int]:
    try:
        about = os.stat(file)
    except OSError:
        return str(file), 0, 0
    return str(file), about.st_mtime_ns, about.st_size


def _base() -> Path | None:
    """The folder for all programs' caches; None if the environment names none and there is no home.

    A relative XDG_CACHE_HOME does not count. Source: the XDG Base Directory Specification, version 0.8.
    """
    given = os.environ.get(VARIABLE, "")
    if not given:
        given = os.environ.get("XDG_CACHE_HOME", "")
        if not os.path.isabs(given):
            given = os.path.join("~", ".cache")
    path = os.path.expanduser(given)
    homeless = given.startswith("~") and (path.startswith("~") or os.environ.get("HOME") == "")
    return None if homeless else Path(os.path.abspath(path))


def _require_own(folder: Path) -> None:
    """Raise OSError unless it is a folder, no link to one, of this user's own."""
    about = folder.lstat()
    if not stat.S_ISDIR(about.st_mode):
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR))
    if not _is_own(about):
        raise PermissionError(errno.EPERM, f"`{folder}` is not yours alone to write in")


def _own_content(file: Path) -> bytes:
    """What a file of this user's own holds; raises OSError for any other. It is not waited for, as a pipe would be."""
    flags = os.O_RDONLY | sum(getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY"))
    with open(file, "rb", opener=lambda path, _: os.open(path, flags)) as opened:
        about = os.fstat(opened.fileno())
        if not stat.S_ISREG(about.st_mode) or not _is_own(about):
            raise PermissionError(errno.EPERM, f"`{file}` is not yours alone to write")
        data = opened.read()
    with suppress(OSError):
        os.utime(file)
    return data


def _is_own(about: os.stat_result) -> bool:
    """Whether it belongs to this user and no other may write it; always so where files do not tell."""
    return os.name != "posix" or (about.st_uid == os.geteuid() and not about.st_mode & _OTHERS_MAY_WRITE)


def _on_disk(size: int) -> int:
    return -(-(_CHECKSUM + size) // _BLOCK) * _BLOCK
