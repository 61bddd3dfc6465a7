"""What has to be done so that a shelf agrees with the folders on it: which files to read, and which to let go.

A file is *settled* where its size and its time of change are as the shelf knows them, and what the shelf holds of it
was made by the rules in force. Of any other file whose size is that of some file on the shelf, the bytes are compared
by their digest, so that a file that was moved, copied or only touched is not read again.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from sonorarium.shelf.snapshot import Snapshot
from sonorarium.shelf.tables import FileRow

NAMELESS = "Its name is not valid text, so it cannot be listed: rename it."


@dataclass
class Plan:
    """What is to be done with each of some files.

    Parameters
    ----------
    to_read : list of str
        New and changed ones.
    known : list of FileRow
        New names, or new times, of contents that the shelf holds.
    unchanged : list of FileRow
        Settled ones, damaged ones among them.
    nameless : list of FileRow
        Those whose names cannot be kept.
    """

    to_read: list[str] = field(default_factory=list)
    known: list[FileRow] = field(default_factory=list)
    unchanged: list[FileRow] = field(default_factory=list)
    nameless: list[FileRow] = field(default_factory=list)


def make_plan(snapshot: Snapshot, files: Iterable[str]) -> Plan:
    """Compare files with what a shelf knows of them.

    Parameters
    ----------
    snapshot : Snapshot
    files : iterable of str
        Absolute paths.

    Returns
    -------
    Plan
    """
    plan = Plan()
    sizes = {row.size for row in snapshot.files.values()}
    for path in files:
        size, time = size_and_time(path)
        row = snapshot.files.get(path)
        if not _is_text(path):
            plan.nameless.append(FileRow(ascii(path), size, time, "", "damaged", NAMELESS))
        elif row and (row.size, row.mtime_ns) == (size, time) and snapshot.is_settled(row):
            plan.unchanged.append(row)
        elif size in sizes and snapshot.is_current(digest := _digest(path)):
            plan.known.append(FileRow(path, size, time, digest))
        else:
            plan.to_read.append(path)
    return plan


def no_longer_there(snapshot: Snapshot, folders: Iterable[str], files: Iterable[str], plan: Plan) -> list[str]:
    """List files on the shelf that have left some folders, or have moved into them.

    Parameters
    ----------
    snapshot : Snapshot
    folders : iterable of str
    files : iterable of str
        All files that are in these folders.
    plan : Plan
        Made of these files.

    Returns
    -------
    list of str
    """
    folders, there = tuple(folders), set(files)
    moved = {row.digest for row in plan.known}
    return [
        path
        for path, row in snapshot.files.items()
        if path not in there
        and (any(is_in(path, folder) for folder in folders) or (row.digest in moved and not Path(path).exists()))
    ]


def is_in(path: str, folder: str) -> bool:
    """Whether a path is a folder, or lies in it at any depth.

    >>> is_in("/a/b/c.mxl", "/a"), is_in("/ab/c.mxl", "/a"), is_in("/a", "/a")
    (True, False, True)
    """
    return path == folder or path.startswith(folder.rstrip(os.sep) + os.sep)


def size_and_time(path: str) -> tuple[int, int]:
    """Size of a file in bytes and its time of change in nanoseconds; zeros where there is none."""
    try:
        found = os.stat(path)  # noqa: PTH116  # a Path for each of many thousand files takes longer than this call
    except OSError:
        return 0, 0
    return found.st_size, found.st_mtime_ns


def _digest(path: str) -> str:
    try:
        return hashlib.sha256(Path(path).read_bytes()).hexdigest()
    except OSError:
        return ""


def _is_text(path: str) -> bool:
    try:
        path.encode()
    except UnicodeEncodeError:
        return False
    return True
