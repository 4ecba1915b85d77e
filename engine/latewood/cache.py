"""What was worked out once and holds until what it was made from changes: files where no other user can write.

Nothing needs it. Where there is no folder that can be trusted, each start works everything out anew. A file says what
it was made from and carries a digest of the rest: one that is torn, of other code or of another place is not read.
"""

from __future__ import annotations

import hashlib
import os
import stat
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cache
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Final

import msgspec

#: Names the folder; where it is set and empty, nothing is kept.
VARIABLE: Final = "LATEWOOD_CACHE"
#: Files of one name that are kept: of one installation each, or of one state of a checkout.
KEPT: Final = 8
_HEAD: Final = "latewood cache 1"
_ENGINE: Final = Path(__file__).parent
_OTHERS_WRITE: Final = stat.S_IWGRP | stat.S_IWOTH


def recall(name: str, made_from: str) -> bytes | None:
    """Return what is kept under a name and was made from this, or None."""
    place = _place(name, made_from)
    if place is None:
        return None
    try:
        file = os.open(place, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(file, "rb") as opened:
            if not _ours(os.fstat(opened.fileno())):
                return None
            head, _, content = opened.read().partition(b"\n")
    except OSError:
        return None
    return content if head == _head(name, made_from, content) else None


def keep(name: str, made_from: str, content: bytes) -> None:
    """Keep what was made, where that is possible; whoever reads meanwhile finds all of it or nothing."""
    place = _place(name, made_from)
    if place is None:
        return
    with suppress(OSError):
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not _ours(os.lstat(place.parent)):
            return
        # Its mode is 0600, and its name is new.
        file, beside = tempfile.mkstemp(dir=place.parent)
        try:
            with os.fdopen(file, "wb") as opened:
                opened.write(_head(name, made_from, content) + b"\n" + content)
            os.replace(beside, place)
        except OSError:
            with suppress(OSError):
                os.unlink(beside)
            return
        _drop_old(place.parent, name)


def made_from(package: str, folder: Traversable) -> str | None:
    """Return what is read of a package depends on: its files, and the code that reads them; None to keep nothing."""
    if not isinstance(folder, Path) or _folder() is None:
        return None
    read = engine() if folder == _ENGINE else stamp([folder])
    return f"{package}\n{sys.version}\n{msgspec.__version__}\n{engine()}\n{read}"


@cache
def engine() -> str:
    """Return a stamp of the code of the engine, which is loaded and stays as it is."""
    return stamp([_ENGINE])


def stamp(places: Iterable[str | Path]) -> str:
    """Return a digest of names, sizes and times of the files below some places: it changes when a file does."""
    told = hashlib.sha256()
    for place in places:
        told.update(f"{place}\0".encode(errors="surrogateescape"))
        for path, found in sorted(_below(str(place))):
            told.update(f"{path}\0{found.st_size}\0{found.st_mtime_ns}\0".encode(errors="surrogateescape"))
    return told.hexdigest()


def _below(place: str, around: tuple[tuple[int, int], ...] = ()) -> Iterator[tuple[str, os.stat_result]]:
    """Yield the files below a place, through links too; a link that leads nowhere hides no file beside it."""
    try:
        found = os.stat(place)
    except OSError:
        with suppress(OSError):
            yield place, os.lstat(place)
        return
    here = (found.st_dev, found.st_ino)
    if not stat.S_ISDIR(found.st_mode):
        yield place, found
    elif here not in around:
        try:
            names = os.listdir(place)
        except OSError:
            yield place, found
            return
        for name in names:
            if name != "__pycache__":
                yield from _below(os.path.join(place, name), (*around, here))


def _place(name: str, made_from: str) -> Path | None:
    folder = _folder()
    return None if folder is None else folder / f"{name}-{hashlib.sha256(made_from.encode()).hexdigest()[:24]}"


def _folder() -> Path | None:
    """Return the folder, unless there is none, or others may write in it."""
    said = os.environ.get(VARIABLE)
    if said is None:
        from platformdirs import user_cache_path

        found = user_cache_path("latewood", appauthor=False)
    elif said:
        found = Path(said)
    else:
        return None
    try:
        return found if _ours(os.lstat(found)) else None
    except FileNotFoundError:
        return found
    except OSError:
        return None


def _ours(found: os.stat_result) -> bool:
    """Say whether nobody but this user and root may write a folder or a file. Windows has no such modes."""
    if stat.S_ISLNK(found.st_mode):
        return False
    return sys.platform == "win32" or (found.st_uid in (0, os.geteuid()) and not found.st_mode & _OTHERS_WRITE)


def _head(name: str, made_from: str, content: bytes) -> bytes:
    digest = hashlib.sha256(content).hexdigest()
    return f"{_HEAD} {name} {hashlib.sha256(made_from.encode()).hexdigest()} {digest}".encode()


def _drop_old(folder: Path, name: str) -> None:
    files = sorted(folder.glob(f"{name}-*"), key=lambda file: file.stat().st_mtime, reverse=True)
    for file in files[KEPT:]:
        file.unlink(missing_ok=True)
