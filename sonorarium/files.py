"""Writing files so that a crash at any instant leaves the old file or the new one, never half of either."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from sonorarium.errors import InputError


def write_whole(path: Path, data: bytes) -> None:
    """Write a file under a temporary name beside its place, then move it there.

    Parameters
    ----------
    path : Path
        Where the file shall stand. Its folder is made where it is missing.
    data : bytes
        All of it.

    Raises
    ------
    InputError
        Where the place cannot be written to.
    """
    temporary = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(0o666 & ~_umask())
        Path(temporary).replace(path)
        temporary = None
        _settle(path.parent)
    except OSError as error:
        raise InputError(
            f"{path} could not be written: {error.strerror or error}.", value=path, suggestion="Choose another place."
        ) from error
    finally:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)


def _settle(folder: Path) -> None:
    """Force a folder's list of names to the disk, so that a file moved there survives a power cut."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        with contextlib.suppress(OSError):  # some network file systems refuse; the file itself is written
            os.fsync(handle)
    finally:
        os.close(handle)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
