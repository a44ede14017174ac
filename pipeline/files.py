"""Writes files whole or not at all: a reader never meets half a file, and a full disk is one clear sentence."""

from __future__ import annotations

import contextlib
import errno
import os
import uuid
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
    step (POSIX rename). An existing file keeps its permissions, a symbolic link keeps pointing where it points,
    and a device such as /dev/stdout is written to and not replaced.

    Raises:
        WitnessmarkError: it cannot be written; nothing is left behind, not even the temporary file.
    """
    target = Path(os.path.realpath(path))
    temporary = target.with_name(f".writing-{uuid.uuid4().hex}.tmp")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.exists() and not target.is_file() and not target.is_dir():
            target.write_bytes(data)
            return
        with temporary.open("xb") as file:
            if target.is_file():
                os.fchmod(file.fileno(), target.stat().st_mode & 0o777)
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(target)
    except OSError as error:
        raise WitnessmarkError(f"cannot write {path}: {write_reason(error)}") from error
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def write_reason(error: OSError) -> str:
    """Why writing failed and what to do about it, as the end of a sentence."""
    return _REASONS.get(error.errno or 0, f"{error.strerror or error}; choose another folder")
