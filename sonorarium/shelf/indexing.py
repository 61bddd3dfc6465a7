"""Putting scores on a shelf: what is new or changed is read, in several processes, and nothing is read twice.

* A file whose size and time of change are as they were is not opened. One that differs is read; where its bytes are
  those of a score that the shelf holds already, under this or another name, only its row is written.
* A file that cannot be read is listed with the reason; it is tried again when it changes.
* Files that are no longer in the folder are taken off the shelf.
* Where a file turns up under a new name and is no longer there under its old one, it has moved: the old name goes.
* Each batch of files is live as soon as it is indexed, so whoever stops the run loses at most the batches in hand.

Memory does not grow with the folder: a worker holds one batch, and this process holds names.
"""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from sonorarium.errors import InputError, SonorariumError
from sonorarium.score.reading import read_score
from sonorarium.shelf.folder import score_files
from sonorarium.shelf.manifest import BatchEntry
from sonorarium.shelf.merging import merge_batches
from sonorarium.shelf.planning import is_in, look_at, make_plan, no_longer_there
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.tables import Entry, FileRow
from sonorarium.shelf.workers import in_workers
from sonorarium.shelf.writing import Writing, write_batch, writing

MOST_FILES = 32
"""A batch is of at most so many files, or"""
MOST_BYTES = 32 << 20
"""of so many bytes of XML; a compressed score counts twenty times."""

DIED = "The process that read it died."


@dataclass(frozen=True)
class Progress:
    """How far a run has come.

    Parameters
    ----------
    done, total : int
        Files that had to be read.
    notes : int
        Notes of those that are done.
    """

    done: int
    total: int
    notes: int


@dataclass(frozen=True)
class Added:
    """What a run did.

    Parameters
    ----------
    files : int
        Files that the folders have.
    indexed : int
        Of them, those that were read.
    notes : int
        Notes of these.
    unchanged : int
        Those that the shelf held already, under this or another name.
    damaged : tuple of FileRow
        Those that could not be read, now or before, by path.
    gone : tuple of str
        Paths taken off the shelf.
    missing : tuple of str
        Folders on the shelf that are not there at the moment; they were left as they are.
    """

    files: int = 0
    indexed: int = 0
    notes: int = 0
    unchanged: int = 0
    damaged: tuple[FileRow, ...] = ()
    gone: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON, with keys that stay the same."""
        return {
            "files": self.files,
            "indexed": self.indexed,
            "notes": self.notes,
            "unchanged": self.unchanged,
            "damaged": [{"path": row.path, "reason": row.reason} for row in self.damaged],
            "gone": list(self.gone),
            "missing": list(self.missing),
        }


@dataclass(frozen=True)
class Task:
    """Files for one batch.

    Parameters
    ----------
    files : tuple of str
    first_number : int
        Number of the first score.
    folder : Path
        Where to write the batch.
    """

    files: tuple[str, ...]
    first_number: int
    folder: Path


@dataclass(frozen=True)
class Batched:
    """A batch that was written."""

    entry: BatchEntry
    rows: tuple[FileRow, ...]


def add_folders(
    shelf: Shelf,
    folders: Iterable[str | Path] = (),
    *,
    jobs: int | None = None,
    afresh: bool = False,
    progress: Callable[[Progress], None] | None = None,
) -> Added:
    """Put folders of scores on a shelf, or bring what is on it up to date.

    Parameters
    ----------
    shelf : Shelf
    folders : iterable of str or Path
        Folders and files; by default all that were added before.
    jobs : int, optional
        Number of worker processes; by default one for each processor, but none for a handful of files.
    afresh : bool
        Forget all that is on the shelf first.
    progress : callable, optional
        Called from time to time with a `Progress`.

    Returns
    -------
    Added

    Raises
    ------
    InputError
        Where there is no such folder, another process writes to the shelf, or it cannot be written to.
    DamagedError
        Where the shelf is damaged.
    """
    if jobs is not None and jobs < 1:
        raise InputError("Jobs must be 1 or more.", value=jobs)
    given = tuple(os.path.abspath(folder) for folder in folders)  # noqa: PTH100  # without following links
    for one in given:
        if not Path(one).exists():
            raise InputError(f"There is no file or folder {one}.", value=one)
    if afresh and not given:
        raise InputError("Nothing was named to be indexed afresh.", suggestion="Name the folders of your scores.")
    with writing(shelf, afresh=afresh) as hand:
        _leave_out_broken(hand)
        wanted = given or hand.manifest.folders
        missing = tuple(one for one in wanted if not Path(one).exists())
        present = [one for one in wanted if one not in missing]
        hand.set_folders({*hand.manifest.folders, *wanted})
        return replace(_bring_up_to_date(hand, present, jobs, progress), missing=missing)


def drop_folder(shelf: Shelf, folder: str | Path) -> int:
    """Take a folder, or a file, off a shelf; the files themselves are not touched.

    Parameters
    ----------
    shelf : Shelf
    folder : str or Path
        Need not be there any more.

    Returns
    -------
    int
        How many files were taken off.

    Raises
    ------
    InputError
        Where no such thing is on the shelf, or another process writes to it.
    """
    named = os.path.abspath(folder)  # noqa: PTH100
    with writing(shelf) as hand:
        rows = [replace(row, status="gone") for path, row in hand.snapshot().files.items() if is_in(path, named)]
        kept = [one for one in hand.manifest.folders if not is_in(one, named)]
        if not rows and len(kept) == len(hand.manifest.folders):
            raise InputError(
                f"{named} is not on the shelf.", value=named, suggestion="`sonorarium shelf list` says what is."
            )
        hand.commit_files(rows)
        hand.set_folders(kept)
        merge_batches(hand)
    return len(rows)


def index_task(task: Task) -> Batched:
    """Read and index the files of one batch; this is what a worker runs.

    Raises
    ------
    InputError
        Where the batch cannot be written.
    """
    rows, entries = [], []
    for number, path in enumerate(task.files, start=task.first_number):
        row, entry = _index_one(path, number)
        rows.append(row)
        if entry:
            entries.append(entry)
    return Batched(write_batch(task.folder, entries, rows), tuple(rows))


def _index_one(path: str, number: int) -> tuple[FileRow, Entry | None]:
    row = look_at(path)  # before reading: what changes meanwhile is read again next time
    try:
        score = read_score(path)
        row = replace(row, digest=score.digest)
        return row, Entry.of(number, row.content, score)
    except SonorariumError as error:
        return replace(row, status="damaged", reason=str(error)), None
    except Exception as error:  # a fault of ours in one strange file must not stop the run
        reason = f"Indexing it failed for a reason that was not foreseen ({type(error).__name__}: {error})."
        return replace(row, status="damaged", reason=reason), None


def _bring_up_to_date(
    hand: Writing, folders: list[str], jobs: int | None, progress: Callable[[Progress], None] | None
) -> Added:
    snapshot = hand.snapshot()
    files = [str(path) for path in score_files(folders)]
    plan = make_plan(snapshot, files)
    gone = no_longer_there(snapshot, folders, files, plan)
    hand.commit_files([*plan.known, *(replace(snapshot.files[path], status="gone") for path in gone)])
    read = list(_read_all(hand, plan.to_read, jobs, progress))
    _let_go_of_empty(hand)
    merge_batches(hand)
    rows = [row for batched in read for row in batched.rows]
    damaged = [row for row in (*rows, *plan.unchanged, *plan.nameless) if row.status == "damaged"]
    return Added(
        files=len(files),
        indexed=sum(row.status == "indexed" for row in rows),
        notes=sum(batched.entry.notes for batched in read),
        unchanged=sum(row.status == "indexed" for row in (*plan.unchanged, *plan.known)),
        damaged=tuple(sorted(damaged)),
        gone=tuple(sorted(gone)),
    )


def _read_all(
    hand: Writing, files: list[str], jobs: int | None, progress: Callable[[Progress], None] | None
) -> Iterator[Batched]:
    """Index files and make them live, batch by batch."""
    portions = list(_portions(files))
    jobs = min(jobs or os.cpu_count() or 1, len(portions))
    tasks = (Task(portion, hand.reserve(len(portion)), hand.new_folder()) for portion in portions)
    done = notes = 0
    with contextlib.closing(_in_workers(tasks, jobs, hand) if jobs > 1 else _here(tasks)) as results:
        for task, batched in results:
            result = batched or _lost(task)
            hand.commit(task.folder, result.entry)
            done, notes = done + len(task.files), notes + result.entry.notes
            if progress:
                progress(Progress(done, len(files), notes))
            yield result


def _here(tasks: Iterable[Task]) -> Generator[tuple[Task, Batched | None]]:
    for task in tasks:
        yield task, index_task(task)


def _in_workers(tasks: Iterable[Task], jobs: int, hand: Writing) -> Generator[tuple[Task, Batched | None]]:
    def apart(task: Task) -> Iterator[Task]:
        for offset, path in enumerate(task.files):
            yield Task((path,), task.first_number + offset, hand.new_folder())

    yield from in_workers(index_task, tasks, jobs, apart)


def _lost(task: Task) -> Batched:
    """The batch of a file on which a process died."""
    shutil.rmtree(task.folder, ignore_errors=True)
    rows = tuple(replace(look_at(path), status="damaged", reason=DIED) for path in task.files)
    return Batched(write_batch(task.folder, [], rows), rows)


def _portions(files: list[str]) -> Iterator[tuple[str, ...]]:
    portion: list[str] = []
    weight = 0
    for path in files:
        weight += look_at(path).size * (20 if path.lower().endswith(".mxl") else 1)
        portion.append(path)
        if len(portion) == MOST_FILES or weight > MOST_BYTES:
            yield tuple(portion)
            portion, weight = [], 0
    if portion:
        yield tuple(portion)


def _leave_out_broken(hand: Writing) -> None:
    """Take batches off the shelf of which a table is missing or cut short; their files are then read again."""
    hand.remove([batch.entry.name for batch in hand.snapshot().batches if not batch.is_there()])


def _let_go_of_empty(hand: Writing) -> None:
    """Take folders off the shelf that are not there any more, and of which no score is on the shelf."""
    files = hand.snapshot().files
    empty = [
        folder
        for folder in hand.manifest.folders
        if not Path(folder).exists()
        and not any(row.status == "indexed" and is_in(path, folder) for path, row in files.items())
    ]
    damaged = [row for path, row in files.items() if any(is_in(path, folder) for folder in empty)]
    hand.commit_files(replace(row, status="gone") for row in damaged)
    hand.set_folders(set(hand.manifest.folders) - set(empty))
