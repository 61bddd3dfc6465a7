"""Merging the small batches of a shelf into large ones, and leaving out what no file needs any more.

Batches are small while a shelf is being filled, so that little is lost when somebody stops it. For searching, few
large ones are better. Merged are batches that are small, or of which less than half is live; nothing in them is
computed anew. The merged batch takes their place in one step (`sonorarium.shelf.writing`).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from sonorarium.shelf.batch import Batch
from sonorarium.shelf.snapshot import Snapshot
from sonorarium.shelf.tables import TABLES, FileRow, files_table, rules, sorted_occurrences, write_tables
from sonorarium.shelf.writing import Writing, sealed, writable

if TYPE_CHECKING:
    import pyarrow as pa

SMALL_NOTES = 100_000
"""A batch with fewer notes is small."""

LARGE_NOTES = 400_000
"""A merged batch has hardly more notes; this many take about 200 MB while they are merged."""

FEW_BATCHES = 4
"""So many small batches are left alone."""


def merge_batches(hand: Writing) -> None:
    """Merge what is small or half empty, where there is enough of it to be worth while.

    Parameters
    ----------
    hand : Writing
    """
    while void := _void(hand.snapshot()):  # what one batch says may be needed only for the sake of another
        hand.remove(void)
    snapshot = hand.snapshot()
    holding = snapshot.holding()
    candidates = [batch for batch in snapshot.batches if _is_candidate(batch, holding.get(batch, ()))]
    wasted = any(2 * len(holding.get(batch, ())) < batch.entry.scores for batch in candidates)
    if len(candidates) > FEW_BATCHES or wasted:
        for group in _groups(candidates):
            _merge(hand, snapshot, group, holding)


def _void(snapshot: Snapshot) -> list[str]:
    """Names of batches in which nothing counts any more."""
    holding = snapshot.holding()
    return [b.entry.name for b in snapshot.batches if b not in holding and not _files(snapshot, [b])]


def _is_candidate(batch: Batch, live: tuple[int, ...]) -> bool:
    small = batch.entry.notes < SMALL_NOTES or 2 * len(live) < batch.entry.scores
    return small and batch.entry.rules == rules()  # others are kept until their files have been read again


def _groups(batches: list[Batch]) -> Iterator[list[Batch]]:
    group: list[Batch] = []
    for batch in batches:
        group.append(batch)
        if sum(one.entry.notes for one in group) >= LARGE_NOTES:
            yield group
            group = []
    if group:
        yield group


def _merge(hand: Writing, snapshot: Snapshot, group: list[Batch], holding: dict[Batch, tuple[int, ...]]) -> None:
    folder = hand.new_folder()
    with writable(folder):
        folder.mkdir()
        write_tables({"files": files_table(_files(snapshot, group))}, folder)
        live = [(batch, holding.get(batch, ())) for batch in group]
        for name in TABLES[1:]:  # one after the other: only one is in memory
            write_tables({name: _joined(name, live)}, folder)
        numbers = [number for _, some in live for number in some]
        notes = sum(snapshot.scores[number].notes for number in numbers)
        entry = sealed(folder, len(numbers), notes)
    hand.commit(folder, entry, [batch.entry.name for batch in group])


def _files(snapshot: Snapshot, group: list[Batch]) -> list[FileRow]:
    """Rows of files that count; one that is gone is named as long as another batch knows it."""
    return [
        row
        for holder, row in snapshot.latest.values()
        if holder in group and (row.status != "gone" or snapshot.knowing[row.path] - set(group))
    ]


def _joined(name: str, parts: list[tuple[Batch, tuple[int, ...]]]) -> pa.Table:
    import pyarrow as pa

    tables = []
    for batch, live in parts:
        table = batch.table(name)
        tables.append(table.filter(np.isin(table.column("score").to_numpy(), np.array(live, np.int32))))
    table = pa.concat_tables(tables)
    if name == "occurrences":
        return sorted_occurrences(table)
    return table.take(np.argsort(table.column("score").to_numpy(), kind="stable"))
