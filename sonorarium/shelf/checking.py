"""Whether a shelf is sound, and whether it agrees with the files that are on it.

Three things can be amiss, and each has its own cure:

* A **table** is damaged: its batch is taken off the shelf and its files are read again (`mend_shelf`).
* A **file** was changed, is no longer there, or was indexed by another version: putting the folder on the shelf again
  (`sonorarium.shelf.indexing.add_folders`) cures it.
* A **score** could not be read: the reason is listed, and somebody has to look at it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from sonorarium.errors import DamagedError
from sonorarium.shelf.batch import Batch
from sonorarium.shelf.indexing import Added, Progress, add_folders
from sonorarium.shelf.planning import look_at, looks_unchanged
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.snapshot import Snapshot
from sonorarium.shelf.tables import FileRow
from sonorarium.shelf.writing import writing


@dataclass(frozen=True)
class Check:
    """What was found.

    Parameters
    ----------
    files : int
        Files on the shelf, as far as its tables could be read.
    damaged_tables : tuple of str
        One sentence for each damaged batch.
    changed, missing, outdated : tuple of str
        Files that were changed since, are no longer there, or were indexed by another version.
    damaged : tuple of FileRow
        Files that could not be read.
    """

    files: int
    damaged_tables: tuple[str, ...]
    changed: tuple[str, ...]
    missing: tuple[str, ...]
    outdated: tuple[str, ...]
    damaged: tuple[FileRow, ...]

    @property
    def is_sound(self) -> bool:
        """Whether all tables are whole and agree with the files."""
        return not (self.damaged_tables or self.changed or self.missing or self.outdated)

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON, with keys that stay the same."""
        return {
            "files": self.files,
            "is_sound": self.is_sound,
            "damaged_tables": list(self.damaged_tables),
            "changed": list(self.changed),
            "missing": list(self.missing),
            "outdated": list(self.outdated),
            "damaged": [{"path": row.path, "reason": row.reason} for row in self.damaged],
        }


def check_shelf(shelf: Shelf) -> Check:
    """Read every table of a shelf, and compare it with its files.

    Parameters
    ----------
    shelf : Shelf

    Returns
    -------
    Check

    Raises
    ------
    DamagedError
        Where the list of what is on the shelf is damaged.
    """
    while True:
        snapshot = shelf.snapshot()
        faults = {batch: fault for batch in snapshot.batches if (fault := _fault(batch))}
        if not faults or shelf.snapshot() is snapshot:  # else it was replaced meanwhile, and old tables cleared away
            return _check(snapshot, faults)


def mend_shelf(shelf: Shelf, *, jobs: int | None = None, progress: Callable[[Progress], None] | None = None) -> Added:
    """Take damaged batches off a shelf, and bring it up to date, which reads their files again.

    Parameters
    ----------
    shelf : Shelf
    jobs, progress
        As for `sonorarium.shelf.indexing.add_folders`.

    Returns
    -------
    Added

    Raises
    ------
    InputError
        Where another process writes to it.
    DamagedError
        Where the list of what is on the shelf is damaged.
    """
    with writing(shelf) as hand:
        hand.remove([batch.entry.name for batch in hand.snapshot().batches if _fault(batch)])
    return add_folders(shelf, jobs=jobs, progress=progress)


def _check(snapshot: Snapshot, faults: dict[Batch, str]) -> Check:
    sound = tuple(batch.entry for batch in snapshot.batches if batch not in faults)
    snapshot = Snapshot(snapshot.folder, replace(snapshot.manifest, batches=sound))
    changed, missing = [], []
    for path, row in snapshot.files.items():
        seen = look_at(path)
        if not seen.mtime_ns:
            missing.append(path)
        elif not looks_unchanged(row, seen):
            changed.append(path)
    damaged = tuple(row for row in snapshot.files.values() if row.status == "damaged")
    return Check(
        len(snapshot.files), tuple(faults.values()), tuple(changed), tuple(missing), snapshot.outdated, damaged
    )


def _fault(batch: Batch) -> str:
    """What is wrong with a batch: one sentence, or nothing."""
    if not batch.is_there():
        return f"Tables of {batch.folder} are missing or cut short."
    try:
        batch.check()
    except DamagedError as error:
        return error.sentence
    return ""
