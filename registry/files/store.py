"""Files that belong to records: each is kept once, under the SHA-256 of its content, beside the database.

A file that comes in is *laid aside* first, so that nobody has to choose it again when a form is refused. The
operation that takes it *keeps* it; what nobody took is cleared away after some days. A kept file is never written
over, never made executable and never deleted; a model names the columns that hold hashes in `KEPT_FILES`, and
verify_journal reads those files again.
"""

import hashlib
import os
import re
import shutil
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import IO

from django.conf import settings

DAYS_LAID_ASIDE = 14
_DAY = 24 * 3600
_PIECE = 2**20
_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class LaidFile:
    """A file laid aside: the SHA-256 of its content, its size in bytes, and the name it came with."""

    sha256: str
    size: int
    name: str


def lay_aside(pieces: Iterable[bytes], name: str) -> LaidFile:
    """Write down a file that came in; it waits for the operation that keeps it."""
    clear_away(_waiting())
    digest, size = hashlib.sha256(), 0
    with _new_file(_waiting()) as file:
        for piece in pieces:
            digest.update(piece)
            size += len(piece)
            file.write(piece)
    os.replace(file.name, _waiting() / digest.hexdigest())
    return LaidFile(digest.hexdigest(), size, name)


def laid_content(sha256: str) -> bytes | None:
    """Return the content of a file laid aside or kept before; None when it is not here (any more)."""
    for path in (_waiting() / _checked(sha256), path_of(sha256)):
        with suppress(FileNotFoundError):
            return path.read_bytes()
    return None


def keep(sha256: str) -> None:
    """Keep a file that was laid aside. Called by the operation whose journal entry names the hash."""
    target = path_of(sha256)
    if target.exists():
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    with (_waiting() / sha256).open("rb") as laid, _new_file(target.parent) as file:
        shutil.copyfileobj(laid, file, _PIECE)
        file.flush()
        os.fsync(file.fileno())
    os.chmod(file.name, 0o440)
    os.replace(file.name, target)


def path_of(sha256: str) -> Path:
    """Return where a kept file lies."""
    return Path(settings.DATA) / "files" / _checked(sha256)[:2] / sha256


def open_kept(sha256: str) -> IO[bytes]:
    """Open a kept file for reading. Raises FileNotFoundError."""
    return path_of(sha256).open("rb")


def fault_of(sha256: str) -> str:
    """Return "missing" or "altered" where a kept file is not what its hash says, "" where it is."""
    digest = hashlib.sha256()
    try:
        with open_kept(sha256) as file:
            for piece in iter(lambda: file.read(_PIECE), b""):
                digest.update(piece)
    except (OSError, ValueError):
        return "missing"
    return "" if digest.hexdigest() == sha256 else "altered"


def clear_away(folder: Path, days: int = DAYS_LAID_ASIDE) -> int:
    """Remove the files of a folder that nobody touched for so many days; return how many. Its folders stay."""
    oldest, gone = time.time() - days * _DAY, 0
    for path in folder.iterdir():
        with suppress(FileNotFoundError):  # another request cleared it away meanwhile
            if path.is_file() and path.stat().st_mtime < oldest:
                path.unlink()
                gone += 1
    return gone


def _waiting() -> Path:
    folder = Path(settings.MEDIA_ROOT) / "waiting"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _checked(sha256: str) -> str:
    """Return the hash; a text that is none must never become a path."""
    if not _HASH.fullmatch(sha256):
        raise ValueError(f"{sha256!r} is no SHA-256 in small hexadecimal figures.")
    return sha256


@contextmanager
def _new_file(folder: Path) -> Iterator[IO[bytes]]:
    """Open a new file in a folder, under a name of its own; it is removed again when writing it fails."""
    with NamedTemporaryFile(dir=folder, delete=False) as file:
        try:
            yield file
        except BaseException:
            os.unlink(file.name)
            raise
