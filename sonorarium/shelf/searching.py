"""Searching a shelf: the passages that a search through the files would give, from the tables.

Two ways lead to the same answer:

* Without a tolerance, and over all parts, every occurrence stands in a table already, with its salience.
  The rows of one class are read, those of the forms asked for are counted, the best are chosen by array work, and
  only these are written out as passages, from their scores' own tables.
* Otherwise each score is made again from the tables and searched, but for those in which some pitch class of every
  form never sounds.

The answer tells the shelf's state of things: a file that was changed since it was indexed is searched as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError, SonorariumError
from sonorarium.pcs import catalogue
from sonorarium.score.score import Score
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.chaining import find_chains
from sonorarium.score.search.finding import find_best
from sonorarium.score.search.material import Material
from sonorarium.score.search.occurrences import Occurrences
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import KINDS, Query
from sonorarium.score.search.runs import Runs, tightest
from sonorarium.score.search.salience import measure
from sonorarium.shelf.batch import Batch
from sonorarium.shelf.folder import FolderResult, Unsearched
from sonorarium.shelf.inventory import form_lookup
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.sifting import Sift
from sonorarium.shelf.snapshot import ScoreRow, Snapshot

OUTDATED = "It was indexed by another version; run `sonorarium shelf add` to bring the shelf up to date."

_TABULATED = {"subject", "kinds", "parts", "tolerance", "least_notes", "least_quarters"}


@dataclass(frozen=True, eq=False)
class _Hits:
    """Occurrences in some file each, with a column for each number that is known of them."""

    columns: dict[str, NDArray[Any]]

    def __len__(self) -> int:
        return len(self.columns["score"])

    def __getitem__(self, name: str) -> NDArray[Any]:
        return self.columns[name]

    def where(self, rows: NDArray[Any]) -> _Hits:
        """Some of them, by mask or index."""
        return _Hits({name: column[rows] for name, column in self.columns.items()})

    @classmethod
    def joined(cls, parts: Sequence[_Hits]) -> _Hits:
        return cls({name: np.concatenate([part[name] for part in parts]) for name in parts[0].columns})


EVERY = Sift()


def search_shelf(
    shelf: Shelf,
    query: Query | Chain,
    *,
    limit: int | None = 100,
    progress: Callable[[int, int], None] | None = None,
    sift: Sift = EVERY,
) -> FolderResult:
    """Search all scores on a shelf.

    Parameters
    ----------
    shelf : Shelf
    query : Query or Chain
        What is searched for.
    limit : int or None
        At most so many passages are handed back; None for all. The result says how many there were.
    progress : callable, optional
        Called with (files done, files in all) from time to time, where it takes long.
    sift : Sift
        Which scores are searched; all by default.

    Returns
    -------
    FolderResult
        As `sonorarium.shelf.folder.search_folder` gives for the same files.

    Raises
    ------
    InputError
        Where the limit makes no sense.
    DamagedError
        Where a table of the shelf is damaged.
    """
    if limit is not None and limit < 1:
        raise InputError("Limit must be 1 or more.", value=limit)
    return shelf.ask(lambda snapshot: _search(shelf, _sifted(snapshot, sift), query, limit, progress))


def _sifted(snapshot: Snapshot, sift: Sift) -> Snapshot:
    return snapshot.narrowed(sift.lets) if sift else snapshot


def is_tabulated(query: Query) -> bool:
    """Whether the occurrences of a query stand in the tables: no tolerance, all parts, and no option unknown here."""
    return not query.parts and not query.tolerance and _is_known(query)


def _is_known(query: Query) -> bool:
    """Whether a query has no option set but those that this module knows of."""
    return query == Query(**{f.name: getattr(query, f.name) for f in fields(Query) if f.name in _TABULATED})


def _search(
    shelf: Shelf,
    snapshot: Snapshot,
    query: Query | Chain,
    limit: int | None,
    progress: Callable[[int, int], None] | None,
) -> FolderResult:
    damaged = [Unsearched(row.path, row.reason) for row in snapshot.files.values() if row.status == "damaged"]
    outdated = [Unsearched(path, OUTDATED) for path in snapshot.outdated]
    unsearched = tuple(sorted((*damaged, *outdated)))
    if isinstance(query, Query) and is_tabulated(query):
        result = _look_up(shelf, snapshot, query, limit)
    else:
        result = _scan(snapshot, query, limit, progress)
    return result.joined(FolderResult(unsearched=unsearched), limit)


def _look_up(shelf: Shelf, snapshot: Snapshot, query: Query, limit: int | None) -> FolderResult:
    looked_at = _looked_at(snapshot, snapshot.scores)
    hits = [_hits(batch, snapshot, query) for batch in snapshot.batches if batch.entry.scores]
    best = [_best(some, limit) for some in hits if len(some)]
    if not best:
        return looked_at
    copies = np.zeros(snapshot.manifest.next_score, np.int64)
    copies[list(snapshot.paths)] = [len(paths) for paths in snapshot.paths.values()]
    scores = np.concatenate([some["score"] for some in hits])
    chosen = _in_files(_best(_Hits.joined(best), limit), snapshot)[:limit]
    return replace(
        looked_at,
        passages=_passages(shelf, snapshot, chosen),
        count=int(copies[scores].sum()),
        files_with=int(copies[np.unique(scores)].sum()),
    )


def _hits(batch: Batch, snapshot: Snapshot, query: Query) -> _Hits:
    """Occurrences in a batch that a query asks for."""
    class_number = int(catalogue.tni_index()[query.subject.mask])
    rows = _Hits(batch.occurrences(class_number))
    kinds = np.isin(np.arange(len(KINDS)), [KINDS.index(kind) for kind in query.kinds])
    wanted = form_lookup(query.forms)[rows["form"]] & kinds[rows["kind"]] & snapshot.is_live[rows["score"]]
    if query.least_notes > 1:
        wanted &= rows["notes"] >= query.least_notes
    if query.least_quarters:
        least = query.least_quarters
        ticks = snapshot.ticks_per_quarter[rows["score"]] * least.numerator
        wanted &= (rows["end"] - rows["onset"]) * least.denominator >= ticks
    return rows.where(wanted)


def _best(hits: _Hits, limit: int | None) -> _Hits:
    """The most salient ones: at least as many as may be shown, all of equal salience among them."""
    if limit is None or len(hits) <= limit:
        return hits
    salience = hits["salience"]
    least = np.partition(salience, len(hits) - limit)[len(hits) - limit]
    return hits.where(salience >= least)


def _in_files(hits: _Hits, snapshot: Snapshot) -> list[tuple[dict[str, int], str]]:
    """Each of them in each of its files: best first, then by file, place, kind and set."""
    columns = [column.tolist() for column in hits.columns.values()]
    rows = [dict(zip(hits.columns, row, strict=True)) for row in zip(*columns, strict=True)]
    found = [(row, path) for row in rows for path in snapshot.paths[row["score"]]]
    found.sort(key=_rank)
    return found


def _rank(hit: tuple[dict[str, int], str]) -> tuple[object, ...]:
    row, path = hit
    return -row["salience"], path, row["onset"], row["end"], row["kind"], row["form"], row["first"]


def _passages(shelf: Shelf, snapshot: Snapshot, chosen: Sequence[tuple[dict[str, int], str]]) -> tuple[Passage, ...]:
    """Write hits out, score after score."""
    written: dict[int, Passage] = {}
    groups: dict[tuple[int, str, int], list[int]] = {}
    for place, (row, path) in enumerate(chosen):
        groups.setdefault((row["score"], path, row["kind"]), []).append(place)
    for (score, path, kind), places in sorted(groups.items()):
        material = shelf.material(snapshot, score, path)
        rows = [chosen[place][0] for place in places]
        written |= zip(places, _written_out(material, kind, rows), strict=True)
    return tuple(written[place] for place in range(len(chosen)))


def _written_out(material: Material, kind: int, rows: list[dict[str, int]]) -> list[Passage]:
    is_line = KINDS[kind] == "line"
    items = material.lines.succession if is_line else material.sliced
    form, first, last = (np.array([row[name] for row in rows]) for name in ("form", "first", "last"))
    runs = Runs(form.astype(np.int16), first.astype(np.intp), last.astype(np.intp))
    tight = tightest(items, runs)
    measures = measure(items, runs, tight, material.metre)
    item_rows = material.lines.rows if is_line else None
    found = Occurrences(KINDS[kind], material, items, item_rows, runs, *tight, measures)
    return [found.passage(index) for index in range(len(rows))]


def _scan(
    snapshot: Snapshot, query: Query | Chain, limit: int | None, progress: Callable[[int, int], None] | None
) -> FolderResult:
    """Search the scores themselves, made again from the tables."""
    files = sum(map(len, snapshot.paths.values()))
    total = FolderResult()
    for batch, numbers in snapshot.holding().items():
        possible = [number for number in numbers if _is_possible(snapshot.scores[number], query)]
        total = total.joined(_looked_at(snapshot, set(numbers) - set(possible)), limit)
        for number, score in zip(possible, batch.scores(possible), strict=True):
            for path in snapshot.paths[number]:
                total = total.joined(_search_one(replace(score, path=Path(path)), query, limit), limit)
            if progress:
                progress(total.files + len(total.unsearched), files)
    return total


def _looked_at(snapshot: Snapshot, numbers: Iterable[int]) -> FolderResult:
    """The empty result of a search through all files of some scores."""
    rows = [(len(snapshot.paths[number]), snapshot.scores[number]) for number in numbers]
    return FolderResult(
        files=sum(copies for copies, _ in rows),
        bars=sum(copies * row.bars for copies, row in rows),
        notes=sum(copies * row.sounding for copies, row in rows),
    )


def _is_possible(row: ScoreRow, query: Query | Chain) -> bool:
    """Whether a score may hold what is asked for; one without a part that is asked for has to say so itself."""
    if isinstance(query, Chain):
        return True
    may_hold = bool((query.forms & ~np.int16(row.pcs) == 0).any())
    return may_hold or bool(query.parts) or not _is_known(query)


def _search_one(score: Score, query: Query | Chain, limit: int | None) -> FolderResult:
    try:
        best = find_chains(score, query, limit) if isinstance(query, Chain) else find_best(score, query, limit)
    except SonorariumError as error:
        return FolderResult(unsearched=(Unsearched(str(score.path), str(error)),))
    return FolderResult.of(best)
