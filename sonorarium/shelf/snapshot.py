"""A shelf as it was at one instant: which files are on it, and which tables hold their scores.

A snapshot never changes. It answers from the batches that one manifest names, so whoever reads sees one state of the
shelf from beginning to end, even while another process adds to it.

Where two batches know of one file, the later one counts; where two hold one content (the same bytes, and the same
corrections beside them), the later one is read. Files of equal content are two files on the shelf, kept once.
"""

from __future__ import annotations

import contextlib
import threading
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import DamagedError
from sonorarium.shelf.batch import Batch
from sonorarium.shelf.manifest import Manifest
from sonorarium.shelf.tables import FileRow, rules

if TYPE_CHECKING:
    import duckdb

_VIEWS = ("scores", "bars", "notes", "slices", "counts", "occurrences")


@dataclass(frozen=True)
class ScoreRow:
    """What a shelf knows of one score without opening its tables.

    Parameters
    ----------
    score : int
        Its number.
    content : str
        See `sonorarium.shelf.tables.FileRow.content`.
    title, composer, date : str
    ticks_per_quarter, notes, slices, bars : int
    sounding : int
        How many of the notes analysis looks at.
    pcs : int
        Mask of every pitch class that sounds.
    """

    score: int
    content: str
    title: str
    composer: str
    date: str
    ticks_per_quarter: int
    notes: int
    slices: int
    bars: int
    sounding: int
    pcs: int


class Snapshot:
    """A shelf at one instant.

    Parameters
    ----------
    folder : Path
        The shelf.
    manifest : Manifest
    """

    def __init__(self, folder: Path, manifest: Manifest) -> None:
        self.folder = folder
        self.manifest = manifest
        self.batches = tuple(Batch(folder, entry) for entry in manifest.batches)
        self._opening = threading.Lock()

    @cached_property
    def latest(self) -> dict[str, tuple[Batch, FileRow]]:
        """The row that counts for each path that was ever on the shelf, and the batch that it stands in."""
        return {row.path: (batch, row) for batch in self.batches for row in batch.files()}

    @cached_property
    def knowing(self) -> dict[str, set[Batch]]:
        """The batches that know of each path."""
        found: dict[str, set[Batch]] = defaultdict(set)
        for batch in self.batches:
            for row in batch.files():
                found[row.path].add(batch)
        return found

    @cached_property
    def files(self) -> dict[str, FileRow]:
        """Every file on the shelf by its path, in order of paths; damaged ones too."""
        return {path: row for path, (_, row) in sorted(self.latest.items()) if row.status != "gone"}

    @cached_property
    def contents(self) -> dict[str, tuple[Batch, ScoreRow]]:
        """The batch that holds each content, and its row, by `FileRow.content`; also those of no file."""
        found: dict[str, tuple[Batch, ScoreRow]] = {}
        for batch in self.batches:
            if batch.entry.scores:
                rows = batch.table("scores", [field.name for field in fields(ScoreRow)]).to_pylist()
                found |= {row["content"]: (batch, ScoreRow(**row)) for row in rows}
        return found

    @cached_property
    def scores(self) -> dict[int, ScoreRow]:
        """Every score of some file that was indexed by the rules in force, by number."""
        wanted = {row.content for row in self.files.values() if row.status == "indexed"}
        rows = (self.contents[content] for content in wanted if self.is_current(content))
        return {row.score: row for _, row in sorted(rows, key=lambda pair: pair[1].score)}

    def narrowed(self, lets: Callable[[ScoreRow], bool]) -> Snapshot:
        """The same shelf at the same instant, with only those scores that are let through."""
        narrow = Snapshot(self.folder, self.manifest)
        narrow.batches, narrow.latest, narrow.contents = self.batches, self.latest, self.contents  # read once
        narrow.scores = {number: row for number, row in self.scores.items() if lets(row)}
        return narrow

    @cached_property
    def paths(self) -> dict[int, tuple[str, ...]]:
        """Files of each score, by its number."""
        found: dict[int, list[str]] = defaultdict(list)
        number = {row.content: row.score for row in self.scores.values()}
        for path, file in self.files.items():
            if file.status == "indexed" and file.content in number:
                found[number[file.content]].append(path)
        return {score: tuple(paths) for score, paths in found.items()}

    @cached_property
    def outdated(self) -> tuple[str, ...]:
        """Files that were indexed by other rules than those in force."""
        return tuple(
            p for p, row in self.files.items() if row.status == "indexed" and not self.is_current(row.content)
        )

    def is_current(self, content: str) -> bool:
        """Whether a content is held, as the rules in force see it."""
        held = self.contents.get(content)
        return held is not None and held[0].entry.rules == rules()

    def is_settled(self, row: FileRow) -> bool:
        """Whether a file, as it was seen, need not be read again by the rules in force."""
        if row.status == "damaged":
            return self.latest[row.path][0].entry.rules == rules()
        return row.status == "indexed" and self.is_current(row.content)

    def holding(self) -> dict[Batch, tuple[int, ...]]:
        """Numbers of the live scores in each batch that has some, ascending."""
        numbers = np.array(list(self.scores), np.int64)
        found: dict[Batch, tuple[int, ...]] = {}
        for batch in self.batches:
            if batch.entry.scores and (here := np.intersect1d(batch.numbers, numbers)).size:
                found[batch] = tuple(here.tolist())
        return found

    @cached_property
    def is_live(self) -> NDArray[np.bool_]:
        """For each number of a score, whether it is live."""
        live = np.zeros(self.manifest.next_score, bool)
        live[list(self.scores)] = True
        return live

    @cached_property
    def ticks_per_quarter(self) -> NDArray[np.int64]:
        """For each number of a score, its ticks per quarter; 1 where it is not live."""
        ticks = np.ones(self.manifest.next_score, np.int64)
        ticks[list(self.scores)] = [row.ticks_per_quarter for row in self.scores.values()]
        return ticks

    def rows(self, sql: str, parameters: list[object] | None = None) -> list[tuple[Any, ...]]:
        """Ask the tables in SQL.

        Parameters
        ----------
        sql : str
            Reads from the views scores, bars, notes, slices, counts and occurrences, which hold the live scores.
        parameters : list, optional
            For the question marks in it.

        Returns
        -------
        list of tuple
            Safe from any thread: each question has a cursor of its own.

        Raises
        ------
        DamagedError
            Where a table cannot be read.
        """
        import duckdb

        try:
            with self._opening:
                cursor = self._connection.cursor()
            with contextlib.closing(cursor):
                return cursor.execute(sql, parameters).fetchall()
        except (duckdb.IOException, duckdb.InvalidInputException) as error:
            raise DamagedError(
                f"The tables of the shelf {self.folder} could not be read.",
                value=str(error),
                suggestion="`sonorarium shelf check --mend` finds and mends what is damaged.",
            ) from error

    @cached_property
    def _connection(self) -> duckdb.DuckDBPyConnection:
        """A database in memory with views of the Parquet files: it locks nothing and writes nothing."""
        import duckdb
        import pyarrow as pa

        connection = duckdb.connect(":memory:", config={"autoinstall_known_extensions": False})
        connection.register("numbers", pa.table({"score": np.array(list(self.scores), np.int32)}))
        connection.execute("CREATE TABLE live AS FROM numbers")  # cursors see tables, but not what is registered
        batches = [batch for batch in self.batches if batch.entry.scores]
        for view in _VIEWS if batches else ():
            paths = ", ".join("'" + str(batch.path(view)).replace("'", "''") + "'" for batch in batches)
            connection.execute(
                f"CREATE VIEW {view} AS FROM read_parquet([{paths}]) WHERE score IN (SELECT score FROM live)"
            )
        return connection
