"""Writing to a shelf: one process, batch after batch, each of which is there as a whole or not at all.

A batch is written into a folder of its own with a name that nobody looks for, then renamed, then named by a new
manifest that is moved into place of the old one. A process that is ended between any two of these steps leaves a
shelf without that batch; its files are then read again.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import uuid
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.shelf.lock import writing_lock
from sonorarium.shelf.manifest import BatchEntry, Manifest, read_manifest, write_manifest
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.snapshot import Snapshot
from sonorarium.shelf.tables import TABLES, Entry, FileRow, files_table, rules, score_tables, write_tables


class Writing:
    """The hand that writes; see `writing`.

    Parameters
    ----------
    folder : Path
        The shelf.
    manifest : Manifest
        What is live on it.
    """

    def __init__(self, folder: Path, manifest: Manifest) -> None:
        self.folder = folder
        self.manifest = manifest

    def snapshot(self) -> Snapshot:
        """The shelf as it is now."""
        return Snapshot(self.folder, self.manifest)

    def reserve(self, count: int) -> int:
        """Give away numbers for so many scores; gives the first of them."""
        first = self.manifest.next_score
        self.manifest = replace(self.manifest, next_score=first + count)
        return first

    def new_folder(self) -> Path:
        """A name for the folder of a batch that is being written; the folder is not made yet."""
        return self.folder / "tables" / f".new-{uuid.uuid4().hex}"

    def commit(self, folder: Path, entry: BatchEntry, without: Iterable[str] = ()) -> None:
        """Make a batch live, in place of some others.

        Parameters
        ----------
        folder : Path
            Where it was written: one that `new_folder` named.
        entry : BatchEntry
            Its name is given here.
        without : iterable of str
            Names of batches that it replaces.
        """
        number = self.manifest.next_batch
        name = f"{number:06}-{uuid.uuid4().hex[:8]}"
        folder.rename(self.folder / "tables" / name)
        manifest = replace(self.manifest, next_batch=number + 1)
        self._put(manifest.with_batch(replace(entry, name=name), without=frozenset(without)))

    def commit_files(self, rows: Iterable[FileRow]) -> None:
        """Make live what is known of some files, without any score."""
        rows = list(rows)
        if rows:
            folder = self.new_folder()
            self.commit(folder, write_batch(folder, [], rows))

    def remove(self, names: Iterable[str]) -> None:
        """Take batches off the shelf."""
        gone = set(names)
        if gone:
            self._put(replace(self.manifest, batches=tuple(b for b in self.manifest.batches if b.name not in gone)))

    def set_folders(self, folders: Iterable[str]) -> None:
        """Say which folders are on the shelf."""
        wanted = tuple(sorted(set(folders)))
        if wanted != self.manifest.folders:
            self._put(replace(self.manifest, folders=wanted))

    def _put(self, manifest: Manifest) -> None:
        write_manifest(self.folder, manifest)
        self.manifest = manifest


@contextlib.contextmanager
def writing(shelf: Shelf, *, afresh: bool = False) -> Iterator[Writing]:
    """Write to a shelf.

    Parameters
    ----------
    shelf : Shelf
    afresh : bool
        Forget all that is on it; the scores themselves are not touched.

    Yields
    ------
    Writing

    Raises
    ------
    InputError
        Where another process writes to it, or it cannot be written to.
    DamagedError
        Where its list is damaged.
    """
    with writing_lock(shelf.folder):
        manifest = Manifest() if afresh else read_manifest(shelf.folder)
        if afresh:
            write_manifest(shelf.folder, manifest)
        _clear(shelf.folder / "tables", {batch.name for batch in manifest.batches})
        yield Writing(shelf.folder, manifest)


def write_batch(folder: Path, entries: list[Entry], rows: Iterable[FileRow]) -> BatchEntry:
    """Write a batch into a new folder and see it safely onto the disk.

    Parameters
    ----------
    folder : Path
        Made here.
    entries : list of Entry
    rows : iterable of FileRow

    Returns
    -------
    BatchEntry
        Without a name.

    Raises
    ------
    InputError
        Where it cannot be written.
    """
    tables = {"files": files_table(rows), **score_tables(entries)}
    with writable(folder):
        folder.mkdir()
        write_tables(tables, folder)
        return sealed(folder, len(entries), tables["notes"].num_rows)


@contextlib.contextmanager
def writable(folder: Path) -> Iterator[None]:
    """Say in one sentence why something could not be written."""
    try:
        yield
    except OSError as error:
        raise InputError(
            f"The shelf could not be written to {folder.parent}: {error.strerror or error}.",
            value=str(folder),
            suggestion="What was indexed before is safe; make room, or choose another place with --shelf.",
        ) from error


def sealed(folder: Path, scores: int, notes: int) -> BatchEntry:
    """Wait until all tables in a folder are on the disk; gives the line of the batch, without a name."""
    sizes, sums = {}, {}
    for name in TABLES:
        with (folder / f"{name}.parquet").open("rb") as file:
            os.fsync(file.fileno())
            data = file.read()
        sizes[name], sums[name] = len(data), zlib.crc32(data)
    return BatchEntry("", rules(), scores, notes, sizes, sums)


def _clear(tables: Path, live: set[str]) -> None:
    """Clear away what was left by a process that was stopped, and what has been replaced."""
    tables.mkdir(exist_ok=True)
    for path in tables.iterdir():
        if path.name not in live:
            shutil.rmtree(path, ignore_errors=True)
