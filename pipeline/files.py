"""Writes files whole or not at all: a reader never meets half a file, and a full disk is one clear sentence."""

from __future__ import annotations

import contextlib
import errno
import os
import tempfile
from pathlib import Path

from pipeline.errors import WitnessmarkError

_REASONS = {
    errno.ENOSPC: "the disk is full; free some space and run it again",
    errno.EDQUOT: "your disk quota is used up; free some space and run it again",
    errno.EFBIG: "the file is too large for this disk or its limit; write it somewhere else",
    errno.EACCES: "there is no permission to write there; choose another folder or change its permissions",
    errno.EPERM: "there is no permission to write there; choose another folder or change its permissions",
    errno.EROFS: "the disk is read-only; choose another folder",
    errno.ENOTDIR: "part of the path is a file, not a folder; choose another place",
    errno.EEXIST: "part of the path is a file, not a folder; choose another place",
    errno.EISDIR: "a folder of that name is in the way; choose another name",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
}


def write_text(path: Path, text: str) -> None:
    """Writes UTF-8 text with the line ends that it has, atomically (see `write_bytes`)."""
    # A lone surrogate cannot be written as UTF-8; it can reach us from a file name.
    write_bytes(path, text.encode("utf-8", errors="replace"))


def write_bytes(path: Path, data: bytes) -> None:
    """Writes the whole file or leaves what was there, making missing folders.

    The bytes go to a temporary file in the same folder, are flushed to the disk, and then take the name in one
    step (POSIX rename). An existing file keeps its permissions; a symbolic link keeps pointing where it points.

    Raises:
        WitnessmarkError: it cannot be written; nothing is left behind, not even the temporary file.
    """
    target = Path(os.path.realpath(path))
    temporary = ""
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=".writing-", suffix=".tmp", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fchmod(file.fileno(), _mode(target))
            os.fsync(file.fileno())
        os.replace(temporary, target)
    except OSError as error:
        reason = _REASONS.get(error.errno or 0, f"{error.strerror or error}; choose another folder")
        raise WitnessmarkError(f"cannot write {path}: {reason}") from error
    finally:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


def _mode(target: Path) -> int:
    """Permissions for the new file: those of the old one, else what the user's umask gives any new file."""
    with contextlib.suppress(OSError):
        return target.stat().st_mode & 0o777
    umask = os.umask(0)
    os.umask(umask)
    return 0o666 & ~umask
