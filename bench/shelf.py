"""Speed of the shelf: ``python -m bench.shelf`` prints a table.

* indexing a library from nothing, in one process for each processor; and the next run, when nothing has changed;
* reading and indexing in one process: notes a second, over bare lxml parsing of the same files, and over the
  general-purpose library doing parse, slice and label (parse, chordify, and the class of every chord) on a sample;
* searching a shelf of more than a million notes for each of all classes, the best 20 passages of all kinds written
  out: median and slowest. *Warm* is that the tables lie in the system's memory and their footers were read before;
  no answer is kept, and each class is asked for once. *Cold* is the first question to a newly opened shelf;
* counting all classes on that shelf, from the table of counts and from the slices themselves.

The library is the songs of the shared folder where it is there, else the demo pieces. For the million notes each file
is there twice, the second time with bytes behind the end of the archive, so that it is another file of equal music.
"""

from __future__ import annotations

import os
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple, TypeVar

from lxml import etree

from bench.reading import DEMO, SONGS
from sonorarium.pcs import catalogue
from sonorarium.score.formats.container import musicxml_bytes
from sonorarium.score.reading import read_score
from sonorarium.score.remarks import Findings
from sonorarium.score.search.query import Query
from sonorarium.shelf.indexing import Added, add_folders
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.statistics import class_use, slices_by_set
from sonorarium.shelf.tables import Entry, score_tables

BUDGET_INDEX_S = 20.0
BUDGET_TIMES_LIBRARY = 30.0
BUDGET_CLASS_MS = 100.0
BUDGET_COUNT_S = 2.0
LEAST_NOTES = 1_000_000
SAMPLE = 6

T = TypeVar("T")


class Indexing(NamedTuple):
    """What was measured of a library."""

    added: Added
    first_s: float
    again_s: float
    size_bytes: int


class OneCore(NamedTuple):
    """What was measured of one process on a sample."""

    files: int
    notes: int
    ours_s: float
    parse_s: float


class Search(NamedTuple):
    """What was measured of a shelf of a million notes."""

    notes: int
    cold_ms: float
    times_ms: list[float]
    count_s: float
    recount_s: float


def library() -> Path:
    """The folder that is indexed."""
    return SONGS if SONGS.is_dir() else DEMO


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """What a piece of work gives, and the seconds that it took."""
    began = time.perf_counter()
    done = work()
    return done, time.perf_counter() - began


@contextmanager
def folder() -> Iterator[Path]:
    """A folder that is gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="shelf") as name:
        yield Path(name)


def measure_indexing() -> Indexing:
    """Index the library, twice."""
    with folder() as place:
        shelf = Shelf(place)
        added, first_s = timed(lambda: add_folders(shelf, [library()]))
        _, again_s = timed(lambda: add_folders(shelf))
        return Indexing(added, first_s, again_s, sum(p.stat().st_size for p in place.rglob("*.parquet")))


def sample(most: int) -> list[Path]:
    """A regular sample of the library."""
    found = sorted(p for p in library().iterdir() if p.suffix in (".mxl", ".musicxml"))
    return found[:: max(1, len(found) // most)][:most]


def measure_one_core(files: list[Path]) -> OneCore:
    """Read and index files in this process, and parse them bare."""
    documents = [musicxml_bytes(path.read_bytes(), Findings()) for path in files]
    parser = etree.XMLParser(load_dtd=False, no_network=True, resolve_entities=False)
    _, parse_s = timed(lambda: [etree.fromstring(document, parser) for document in documents])
    scores, read_s = timed(lambda: [read_score(path) for path in files])
    _, index_s = timed(lambda: score_tables([Entry.of(i, str(i), score) for i, score in enumerate(scores)]))
    return OneCore(len(files), sum(len(score.notes) for score in scores), read_s + index_s, parse_s)


def measure_library(files: list[Path]) -> float:
    """Seconds of the general-purpose library for parse, slice and label."""
    import music21

    def label_all() -> None:
        for path in files:
            parsed = music21.converter.parse(path, forceSource=True)
            for chord in parsed.chordify().recurse().getElementsByClass(music21.chord.Chord):
                _ = chord.forteClass

    return timed(label_all)[1]


def measure_search() -> Search:
    """Index copies of the library until there are a million notes, and search for every class."""
    with folder() as place:
        shelf = Shelf(place / "shelf")
        notes = add_folders(shelf, [library()]).notes
        copies = max(0, -(-LEAST_NOTES // max(notes, 1)) - 1)
        for number in range(1, min(copies, 4) + 1):
            target = place / str(number)
            shutil.copytree(library(), target)
            for path in target.iterdir():
                with path.open("ab") as file:
                    file.write(b"\n" * number)
            notes += add_folders(shelf, [target]).notes
        shelf = Shelf(shelf.folder)
        queries = [Query.of(label) for label in catalogue.tni_labels()[1:]]
        _, cold_s = timed(lambda: search_shelf(shelf, queries[80], limit=20))
        times_ms = [1000 * timed(lambda query=query: search_shelf(shelf, query, limit=20))[1] for query in queries]  # type: ignore[misc]
        _, count_s = timed(lambda: class_use(shelf))
        _, recount_s = timed(lambda: slices_by_set(shelf))
        if shelf.snapshot().outdated:
            raise RuntimeError("The program was changed while it was measured: measure again.")
        return Search(notes, 1000 * cold_s, times_ms, count_s, recount_s)


def table() -> str:
    """The figures with their budgets, as text."""
    cores = os.cpu_count() or 1
    index, search = measure_indexing(), measure_search()
    one, few = measure_one_core(sample(120)), measure_one_core(sample(SAMPLE))
    library_s = measure_library(sample(SAMPLE))
    rate = index.added.notes / index.first_s
    median_ms = statistics.median(search.times_ms)
    times = library_s / few.ours_s
    lines = [
        f"the shelf, {index.added.indexed} files, {index.added.notes:,} notes, {cores} cores",
        f"  indexing from nothing              {index.first_s:8.2f} s    budget {BUDGET_INDEX_S:.0f} s for 509 songs",
        f"  notes a second                     {rate:10,.0f}      {rate / cores:,.0f} per core",
        f"  again, nothing changed             {index.again_s:8.2f} s",
        f"  tables, bytes a note               {index.size_bytes / index.added.notes:8.1f}",
        f"  one process, {one.files:3} files: notes/s    {one.notes / one.ours_s:10,.0f}",
        f"  over bare XML parsing              {one.ours_s / one.parse_s:8.2f} x",
        f"  the general library takes          {times:8.1f} x    budget {BUDGET_TIMES_LIBRARY:.0f} x",
        f"    (parse, slice, label: {few.files} files, {few.notes:,} notes, {library_s:.1f} s, {few.ours_s:.2f} s)",
        f"  one class over {search.notes:,} notes, median {median_ms:6.1f} ms   budget {BUDGET_CLASS_MS:.0f} ms",
        f"    slowest of {len(search.times_ms)} classes           {max(search.times_ms):8.1f} ms",
        f"    first question, cold             {search.cold_ms:8.1f} ms",
        f"  all classes counted                {search.count_s:8.2f} s    budget {BUDGET_COUNT_S:.0f} s",
        f"    from the slices themselves       {search.recount_s:8.2f} s",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
