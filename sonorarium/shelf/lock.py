"""One process writes to a shelf at a time; how the others are told.

The lock belongs to the process, not to the file: when the process ends, however it ends, the system lets go of it, so
no lock is ever left behind. The file only carries the number of the process, for the sentence that others get.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from pathlib import Path

from sonorarium.errors import InputError

NAME = "writing.lock"


@contextlib.contextmanager
def writing_lock(folder: Path) -> Iterator[None]:
    """Hold the lock of a shelf.

    Parameters
    ----------
    folder : Path
        The shelf; made where it is missing.

    Raises
    ------
    InputError
        Where another process, or another thread of this one, writes to it, or the folder cannot be written to.
    """
    path = folder / NAME
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise InputError(
            f"The shelf {folder} cannot be written to: {error.strerror}.",
            value=str(folder),
            suggestion="Choose another place with --shelf.",
        ) from error
    try:
        if not _take(handle):
            raise InputError(
                f"The shelf {folder} is being written to by another process{_who(path)}.",
                value=str(folder),
                suggestion="Try again when it is done; searching is possible meanwhile.",
            )
        os.ftruncate(handle, 0)
        os.write(handle, str(os.getpid()).encode())
        yield
    finally:
        os.close(handle)


def _who(path: Path) -> str:
    try:
        number = path.read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""
    return f" (number {number})" if number.isdigit() else ""


def _take(handle: int) -> bool:
    """Take the lock, or say that somebody has it."""
    if os.name == "nt":
        return _take_on_windows(handle)
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _take_on_windows(handle: int) -> bool:
    import importlib

    msvcrt = importlib.import_module("msvcrt")  # by name, for it is known on that system alone
    try:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    except OSError:
        return False
    return True
