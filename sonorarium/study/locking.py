"""Who may write to a study, when two programs have it open: one at a time, the others wait their turn.

A writer holds the lock only for the moment of one change, and reads what it is about to change anew while holding it.
So two programs that add to one card both get their words in, and neither ever overwrites what it has not seen.

The lock belongs to the process, not to the file: when the process ends, however it ends, the system lets go of it, so
no lock is ever left behind. Readers need none: every file is replaced as a whole (`sonorarium.files`).
"""

from __future__ import annotations

import contextlib
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from sonorarium.errors import InputError

NAME = ".study.lock"
PATIENCE_S = 10.0
"""Seconds that a writer waits for another before it gives up."""

_PAUSE_S = 0.01


@contextlib.contextmanager
def writing(folder: Path, *, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Hold the lock of a study.

    Parameters
    ----------
    folder : Path
        The study.
    patience_s : float
        Seconds to wait for another writer.

    Raises
    ------
    InputError
        Where another program, or another thread of this one, has been writing for all that time, or the folder
        cannot be written to. Not to be asked for again by who holds it.
    """
    path = folder / NAME
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise InputError(f"The study {folder} cannot be written to: {error.strerror}.", value=folder) from error
    try:
        _wait(handle, path, patience_s)
        os.ftruncate(handle, 0)
        os.write(handle, str(os.getpid()).encode())
        yield
    finally:
        os.close(handle)


def _wait(handle: int, path: Path, patience_s: float) -> None:
    until = time.monotonic() + patience_s
    while not _take(handle):
        if time.monotonic() >= until:
            raise InputError(
                f"The study {path.parent} is being written to by another program{_who(path)}.",
                value=path.parent,
                suggestion="Nothing was written. Try again when it is done.",
            )
        time.sleep(_PAUSE_S)


def _who(path: Path) -> str:
    try:
        number = path.read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""
    return f" (process {number})" if number.isdigit() else ""


if sys.platform == "win32":
    import msvcrt

    def _take(handle: int) -> bool:
        """Take the lock, or say that somebody has it."""
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
else:
    import fcntl

    def _take(handle: int) -> bool:
        """Take the lock, or say that somebody has it."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
