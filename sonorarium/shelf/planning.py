"""What has to be done so that a shelf agrees with the folders on it: which files to read, and which to let go.

A file is *settled* where its size, its time of change and the correction file beside it are as the shelf knows them,
and what the shelf holds of it was made by the rules in force. Of any other file whose size is that of some file on
the shelf, the bytes are compared by their digest, so that a file that was moved, copied or only touched is not read
again.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path

from sonorarium.score.corrections import corrections_path
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
        seen = look_at(path)
        row = snapshot.files.get(path)
        if not _is_text(path):
            plan.nameless.append(replace(seen, path=ascii(path), status="damaged", reason=NAMELESS))
        elif row and looks_unchanged(row, seen) and snapshot.is_settled(row):
            plan.unchanged.append(row)
        elif seen.size in sizes and snapshot.is_current((known := replace(seen, digest=_digest(path))).content):
            plan.known.append(known)
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
    moved = {row.content for row in plan.known}
    return [
        path
        for path, row in snapshot.files.items()
        if path not in there
        and (any(is_in(path, folder) for folder in folders) or (row.content in moved and not Path(path).exists()))
    ]


def is_in(path: str, folder: str) -> bool:
    """Whether a path is a folder, or lies in it at any depth.

    >>> is_in("/a/b/c.mxl", "/a"), is_in("/ab/c.mxl", "/a"), is_in("/a", "/a")
    (True, False, True)
    """
    return path == folder or path.startswith(folder.rstrip(os.sep) + os.sep)


def look_at(path: str) -> FileRow:
    """See a file from outside: its size, its time of change (zeros where it is not there), and its corrections."""
    corrections = _digest(str(corrections_path(Path(path))))
    try:
        found = os.stat(path)  # noqa: PTH116  # a Path for each of many thousand files takes longer than this call
    except OSError:
        return FileRow(path, corrections=corrections)
    return FileRow(path, found.st_size, found.st_mtime_ns, corrections=corrections)


def looks_unchanged(one: FileRow, other: FileRow) -> bool:
    """Whether a file looks as it did, from outside."""
    mine, others = ((row.size, row.mtime_ns, row.corrections) for row in (one, other))
    return mine == others


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
