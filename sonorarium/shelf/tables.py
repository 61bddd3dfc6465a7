"""What a shelf keeps of each score, as Parquet tables, and the score made again from them.

Scores are read in *batches*. A batch is a folder with one Parquet file for each of these tables; it is written once
and never changed.

===========  =======================================================================================================
files        path, size, mtime_ns, digest (SHA-256), corrections (SHA-256 of the correction file beside it), status
             (indexed, damaged, gone), reason
scores       score (a number, the key everywhere), content (digest and corrections), title, composer, date,
             ticks_per_quarter, counts of notes, slices, bars and sounding notes, pcs (mask of all that sounds), and
             what else the piece says of itself, as JSON
bars, notes  score, then the columns of `sonorarium.score.score.BAR` and `NOTE`
slices       score, onset and duration in ticks, mask (12 bits), label of the class under transposition
counts       score, kind (slice, chord, line, texture), label, how many, and their ticks together
occurrences  score, class_number (place of the class in the catalogue), then the columns of
             `sonorarium.shelf.inventory.OCCURRENCE`; sorted by class, so that one class is read alone
===========  =======================================================================================================

Columns follow the tables of a score by name, so a score that is made again from a batch has the same tables, parts,
remarks and metadata as the one that was read from the file.

The *rules* of a batch are a digest of everything that decides what is in it: the readers, the finding and the
tables. Where the rules have changed since, the files are read again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, fields
from functools import cache, reduce
from importlib.metadata import version
from operator import or_
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import catalogue
from sonorarium.score.score import BAR, NOTE, Part, Remark, Score
from sonorarium.score.search.material import Material
from sonorarium.score.search.query import KINDS
from sonorarium.score.slices import Slices
from sonorarium.shelf.inventory import OCCURRENCE, Inventory, take_inventory

if TYPE_CHECKING:
    import pyarrow as pa

TABLES = ("files", "scores", "bars", "notes", "slices", "counts", "occurrences")

ROW_GROUP = {"files": 65_536, "scores": 8, "bars": 2_048, "notes": 8_192, "occurrences": 16_384}
"""Rows that are read together; few where one score, or one class, is wanted alone."""

_STORED_APART = {"notes", "bars", "parts", "remarks", "element_note", "path"}
_DECIDING = ("score/**/*.py", "pcs/tables.py", "pcs/forte.csv", "shelf/inventory.py", "shelf/tables.py")


@dataclass(frozen=True, order=True)
class FileRow:
    """What a shelf knows of one file.

    Parameters
    ----------
    path : str
        Absolute.
    size : int
        Bytes.
    mtime_ns : int
        When it was last changed, in nanoseconds.
    digest : str
        SHA-256 of its bytes; "" where it could not be read.
    corrections : str
        SHA-256 of the correction file beside it; "" where there is none.
    status : str
        "indexed", "damaged", or "gone".
    reason : str
        Why it could not be read: one sentence.
    """

    path: str
    size: int = 0
    mtime_ns: int = 0
    digest: str = ""
    corrections: str = ""
    status: str = "indexed"
    reason: str = ""

    @property
    def content(self) -> str:
        """What tells apart all scores that may differ: the digests of the file and of its corrections."""
        return f"{self.digest}+{self.corrections}" if self.corrections else self.digest


@dataclass(frozen=True, eq=False)
class Entry:
    """A score with all that is kept of it.

    Parameters
    ----------
    number : int
        Its key in the tables.
    content : str
        What tells its content apart; see `FileRow.content`.
    score : Score
    slices : Slices
    inventory : ndarray, dtype `OCCURRENCE`
    """

    number: int
    content: str
    score: Score
    slices: Slices
    inventory: Inventory

    @classmethod
    def of(cls, number: int, content: str, score: Score) -> Entry:
        """Slice a score and take its inventory."""
        material = Material(score)
        return cls(number, content, score, material.slices, take_inventory(material))


@cache
def rules() -> str:
    """Digest of what decides the content of a batch: 16 hexadecimal signs."""
    package = Path(__file__).parents[1]
    digest = hashlib.sha256(version("verovio").encode())
    for pattern in _DECIDING:
        for path in sorted(package.glob(pattern)):
            digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def files_table(rows: Iterable[FileRow]) -> pa.Table:
    """Table of files, sorted by path."""
    import pyarrow as pa

    names = [field.name for field in fields(FileRow)]
    columns = zip(*([getattr(row, name) for name in names] for row in sorted(rows)), strict=True)
    types = [pa.int64() if name in {"size", "mtime_ns"} else pa.string() for name in names]
    return pa.table(
        list(map(pa.array, columns, types)) or [[]] * len(names),
        schema=pa.schema(list(zip(names, types, strict=True))),
    )


def score_tables(entries: Sequence[Entry]) -> dict[str, pa.Table]:
    """All tables but that of the files.

    Parameters
    ----------
    entries : sequence of Entry
        By ascending number.

    Returns
    -------
    dict of str to pyarrow.Table
    """
    import pyarrow as pa

    return {
        "scores": pa.Table.from_pylist([_score_row(entry) for entry in entries], _score_schema()),
        "bars": _stacked([(e.number, e.score.bars) for e in entries], BAR),
        "notes": _stacked([(e.number, e.score.notes) for e in entries], NOTE),
        "slices": _slices([(e.number, e.slices) for e in entries]),
        "counts": pa.concat_tables([_counts(entry) for entry in entries] or [_counted(0, [], [], [], [])]),
        "occurrences": sorted_occurrences(_occurrences(entries)),
    }


def write_tables(tables: dict[str, pa.Table], folder: Path) -> None:
    """Write tables into a folder; pages carry checksums, so that damage is noticed when they are read."""
    import pyarrow.parquet as pq

    for name, table in tables.items():
        pq.write_table(
            table,
            folder / f"{name}.parquet",
            compression="zstd",
            compression_level=1,
            row_group_size=ROW_GROUP.get(name, 65_536),
            write_page_checksum=True,
        )


def score_of(row: dict[str, Any], bars: pa.Table, notes: pa.Table, path: str | None = None) -> Score:
    """Make a score again.

    Parameters
    ----------
    row : dict
        Its row of the table of scores.
    bars, notes : pyarrow.Table
        Its rows of the tables of bars and notes.
    path : str, optional
        The file that it was read from.

    Returns
    -------
    Score
        Equal to the one that was indexed.
    """
    parts = (Part(**_with_tuples(part)) for part in json.loads(row["parts"]))
    remarks = (Remark(**_with_tuples(remark)) for remark in json.loads(row["remarks"]))
    return Score(
        notes=structured(notes, NOTE),
        bars=structured(bars, BAR),
        parts=tuple(parts),
        path=Path(path) if path else None,
        element_note=np.array(row["element_note"], np.int32),
        remarks=tuple(remarks),
        **json.loads(row["heading"]),
    )


def structured(table: pa.Table, dtype: np.dtype[np.void]) -> NDArray[np.void]:
    """Rows of a table as a structured array."""
    rows = np.zeros(table.num_rows, dtype)
    for name in dtype.names or ():
        column = table.column(name)
        rows[name] = column.to_pylist() if dtype[name].kind == "U" else column.to_numpy()
    return rows


def sorted_occurrences(table: pa.Table) -> pa.Table:
    """Occurrences by class, form, score, kind and place."""
    names = ("first", "kind", "score", "form", "class_number")
    return table.take(np.lexsort([table.column(name).to_numpy() for name in names]))


def _with_tuples(plain: dict[str, Any]) -> dict[str, Any]:
    return {name: tuple(value) if isinstance(value, list) else value for name, value in plain.items()}


def _score_schema() -> pa.Schema:
    import pyarrow as pa

    numbers = {"ticks_per_quarter": pa.int64(), "notes": pa.int32(), "slices": pa.int32(), "bars": pa.int32()}
    numbers["sounding"] = pa.int32()
    columns = {"score": pa.int32(), "content": pa.string(), "title": pa.string(), "composer": pa.string()}
    columns |= {"date": pa.string(), **numbers, "pcs": pa.int16()}
    columns |= {"heading": pa.string(), "parts": pa.string(), "remarks": pa.string()}
    return pa.schema({**columns, "element_note": pa.list_(pa.int32())}.items())


def _score_row(entry: Entry) -> dict[str, object]:
    score = entry.score
    heading = {f.name: getattr(score, f.name) for f in fields(score) if f.name not in _STORED_APART}
    return {
        "score": entry.number,
        "content": entry.content,
        "title": score.title,
        "composer": score.composer,
        "date": score.date,
        "ticks_per_quarter": score.ticks_per_quarter,
        "notes": len(score.notes),
        "slices": len(entry.slices),
        "bars": len(score.bars),
        "sounding": len(score.sounding),
        "pcs": reduce(or_, np.unique(entry.slices.masks).tolist(), 0),
        "heading": json.dumps(heading),
        "parts": json.dumps([asdict(part) for part in score.parts]),
        "remarks": json.dumps([asdict(remark) for remark in score.remarks]),
        "element_note": score.element_note,
    }


def _stacked(arrays: Sequence[tuple[int, NDArray[np.void]]], dtype: np.dtype[np.void]) -> pa.Table:
    """Rows of many scores, one below the other, each with the number of its score."""
    import pyarrow as pa

    rows = np.concatenate([np.zeros(0, dtype), *(array for _, array in arrays)])
    columns: dict[str, Any] = {"score": _numbers([(number, len(array)) for number, array in arrays])}
    for name in dtype.names or ():
        is_text = dtype[name].kind == "U"
        columns[name] = pa.array(rows[name].tolist(), pa.string()) if is_text else np.ascontiguousarray(rows[name])
    return pa.table(columns)


def _numbers(counts: Sequence[tuple[int, int]]) -> NDArray[np.int32]:
    return np.repeat(np.array([n for n, _ in counts], np.int32), np.array([c for _, c in counts], np.int64))


def _slices(scores: Sequence[tuple[int, Slices]]) -> pa.Table:
    import pyarrow as pa

    nothing = np.zeros(0, np.int64)
    masks = np.concatenate([nothing.astype(np.int16), *(slices.masks for _, slices in scores)])
    return pa.table(
        {
            "score": _numbers([(number, len(slices)) for number, slices in scores]),
            "onset": np.concatenate([nothing, *(slices.onsets for _, slices in scores)]),
            "duration": np.concatenate([nothing, *(slices.durations for _, slices in scores)]),
            "mask": masks,
            "label": _labels(catalogue.tn_index()[masks]),
        }
    )


def _labels(indices: NDArray[np.int16]) -> pa.Array:
    import pyarrow as pa

    return pa.DictionaryArray.from_arrays(pa.array(indices), pa.array(catalogue.tn_labels()))


def _counts(entry: Entry) -> pa.Table:
    """How often each class occurs in one score, as each kind."""
    sounding = entry.slices.masks != 0
    rows = entry.inventory
    forms = [entry.slices.masks[sounding], *(rows["form"][rows["kind"] == kind] for kind in range(len(KINDS)))]
    lengths = rows["end"] - rows["onset"]
    ticks = [entry.slices.durations[sounding], *(lengths[rows["kind"] == kind] for kind in range(len(KINDS)))]
    kinds: list[str] = []
    classes, counts, sums = [], [], []
    for kind, form, time in zip(("slice", *KINDS), forms, ticks, strict=True):
        found, inverse, count = np.unique(catalogue.tn_index()[form], return_inverse=True, return_counts=True)
        total = np.zeros(len(found), np.int64)
        np.add.at(total, inverse, time)
        kinds += [kind] * len(found)
        classes.append(found)
        counts.append(count)
        sums.append(total)
    return _counted(entry.number, kinds, classes, counts, sums)


def _counted(number: int, kinds: list[str], classes: list[Any], counts: list[Any], ticks: list[Any]) -> pa.Table:
    import pyarrow as pa

    nothing = np.zeros(0, np.int16)
    return pa.table(
        {
            "score": np.full(len(kinds), number, np.int32),
            "kind": pa.array(kinds, pa.string()),
            "label": _labels(np.concatenate([nothing, *classes])),
            "count": np.concatenate([nothing, *counts]).astype(np.int64),
            "ticks": np.concatenate([nothing, *ticks]).astype(np.int64),
        }
    )


def _occurrences(entries: Sequence[Entry]) -> pa.Table:
    table = _stacked([(e.number, e.inventory) for e in entries], OCCURRENCE)
    return table.add_column(1, "class_number", [catalogue.tni_index()[table.column("form").to_numpy()]])
