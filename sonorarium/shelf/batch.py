"""Reading one batch of a shelf: whole tables, one score, or one class.

The footers of Parquet files are read once and kept; pages are read when they are asked for, and only those of the
row groups that can hold what is wanted.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import DamagedError
from sonorarium.score.score import Score
from sonorarium.shelf.manifest import BatchEntry
from sonorarium.shelf.tables import TABLES, FileRow, score_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import pyarrow as pa

T = TypeVar("T")

_FEW_GROUPS = 8

_OF_SEARCH = ("score", "kind", "form", "first", "last", "onset", "end", "notes", "salience")


class Batch:
    """One batch of a shelf.

    Parameters
    ----------
    shelf : Path
        The shelf.
    entry : BatchEntry
        Its line in the manifest.
    """

    def __init__(self, shelf: Path, entry: BatchEntry) -> None:
        self.entry = entry
        self.folder = shelf / "tables" / entry.name
        self._metadata: dict[str, Any] = {}
        self._bounds: dict[tuple[str, str], NDArray[np.int64]] = {}

    def path(self, table: str) -> Path:
        """Where a table lies."""
        return self.folder / f"{table}.parquet"

    def table(self, name: str, columns: Sequence[str] | None = None) -> pa.Table:
        """Read a whole table, or some of its columns; raises `DamagedError` where it cannot be read."""
        return self._read(name, lambda file: file.read(columns=columns))

    def files(self) -> Iterator[FileRow]:
        """What it knows of files."""
        for row in self.table("files").to_pylist():
            yield FileRow(**row)

    def occurrences(self, class_number: int) -> dict[str, NDArray[Any]]:
        """Columns of the occurrences of one class, and of few others; without the number of the class."""
        groups = self._groups("occurrences", "class_number", class_number, class_number)
        table = self._groups_of("occurrences", groups, _OF_SEARCH)
        return {name: table.column(name).to_numpy() for name in _OF_SEARCH}

    def score(self, number: int, path: str | None = None) -> Score:
        """Make one score again."""
        return next(iter(self.scores([number], {number: path} if path else {})))

    def scores(self, numbers: Sequence[int], paths: dict[int, str] | None = None) -> Iterator[Score]:
        """Make scores again, one after the other, in bounded memory.

        Parameters
        ----------
        numbers : sequence of int
            Ascending.
        paths : dict of int to str, optional
            The file that each was read from.
        """
        tables = {name: _Window(self, name) for name in ("scores", "bars", "notes")}
        for number in numbers:
            rows = {name: window.rows(number) for name, window in tables.items()}
            yield score_of(rows["scores"].to_pylist()[0], rows["bars"], rows["notes"], (paths or {}).get(number))

    def is_there(self) -> bool:
        """Whether all its tables are there in full length; they are not read."""
        paths = {name: self.path(name) for name in TABLES}
        return all(path.is_file() and path.stat().st_size == self.entry.sizes.get(n) for n, path in paths.items())

    def check(self) -> None:
        """Read all that is in it; raises `DamagedError` at the first fault."""
        for name in TABLES:
            try:
                data = self.path(name).read_bytes()
            except OSError as error:
                raise self._damaged(name) from error
            if zlib.crc32(data) != self.entry.sums.get(name):
                raise self._damaged(name)
            self.table(name)

    def _read(self, name: str, read: Callable[[Any], T]) -> T:
        import pyarrow as pa
        import pyarrow.parquet as pq

        try:
            with pq.ParquetFile(
                self.path(name), metadata=self._metadata.get(name), page_checksum_verification=True
            ) as file:
                self._metadata[name] = file.metadata
                return read(file)
        except (OSError, pa.ArrowException, ValueError) as error:
            raise self._damaged(name) from error

    def _damaged(self, name: str) -> DamagedError:
        return DamagedError(
            f"The table {self.path(name)} of the shelf is damaged or missing.",
            value=str(self.path(name)),
            suggestion="`sonorarium shelf check --mend` reads its scores again.",
        )

    def _groups(self, name: str, column: str, low: int, high: int) -> list[int]:
        """Row groups that can hold rows with values of a column from low to high."""
        key = (name, column)
        if key not in self._bounds:
            self._bounds[key] = self._read(name, lambda file: _bounds(file.metadata, column))
        bounds = self._bounds[key]
        groups: list[int] = np.flatnonzero((bounds[:, 0] <= high) & (bounds[:, 1] >= low)).tolist()
        return groups

    def _groups_of(self, name: str, groups: list[int], columns: Sequence[str] | None = None) -> pa.Table:
        threads = len(groups) > _FEW_GROUPS  # for a few, calling the threads takes longer than reading
        return self._read(name, lambda file: file.read_row_groups(groups, columns=columns, use_threads=threads))

    @cached_property
    def numbers(self) -> NDArray[np.int32]:
        """Numbers of its scores, ascending."""
        return np.asarray(self.table("scores", ["score"]).column("score").to_numpy(), np.int32)


class _Window:
    """The rows of one score after the other, out of a table sorted by score; the row groups in hand are kept."""

    def __init__(self, batch: Batch, name: str) -> None:
        self._batch, self._name = batch, name
        self._in_hand: list[int] | None = None
        self._table: Any = None
        self._numbers = np.zeros(0, np.int32)

    def rows(self, number: int) -> pa.Table:
        """The rows of one score."""
        groups = self._batch._groups(self._name, "score", number, number)
        if groups != self._in_hand:
            self._table = self._batch._groups_of(self._name, groups)
            self._in_hand = groups
            self._numbers = self._table.column("score").to_numpy()
        start, stop = np.searchsorted(self._numbers, [number, number + 1]).tolist()
        return self._table.slice(start, stop - start)


def _bounds(metadata: Any, column: str) -> NDArray[np.int64]:
    """Least and greatest value of a column in each row group: shape (row groups, 2)."""
    index = metadata.schema.names.index(column)
    statistics = [metadata.row_group(group).column(index).statistics for group in range(metadata.num_row_groups)]
    return np.array([(one.min, one.max) for one in statistics], np.int64).reshape(-1, 2)
