"""Speed of reading and searching scores: ``python -m bench.reading`` prints a table.

* reading MusicXML over bare lxml parsing of the same bytes (the sum over the files; each the best of three);
* a search for one class, chord, line and texture, over all files in this process, notes per second.

The files are the songs of the shared folder where it is there, else the demo pieces.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from lxml import etree

from sonorarium.score.formats.container import musicxml_bytes
from sonorarium.score.reading import read_score
from sonorarium.score.remarks import Findings
from sonorarium.score.search.finding import find_best
from sonorarium.score.search.query import Query

BUDGET_RATIO = 3.0
SONGS = Path(__file__).resolve().parents[2] / "shared" / "scores" / "songs"
DEMO = Path(__file__).resolve().parents[1] / "demo" / "pieces"


class Figures(NamedTuple):
    """What was measured."""

    files: int
    notes: int
    parse_s: float
    read_s: float
    find_s: float


def files(most: int = 120) -> list[Path]:
    """A regular sample of the songs, or the demo pieces."""
    found = sorted(SONGS.glob("*.mxl")) or sorted(DEMO.glob("*.musicxml"))
    return found[:: max(1, len(found) // most)]


def best_of(runs: int, work: Callable[[], object]) -> float:
    """Least seconds of several runs."""
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return min(times)


def measure() -> Figures:
    """Read and search the sample."""
    query = Query.of("5-26")
    parse_s = read_s = find_s = 0.0
    notes = 0
    paths = files()
    for path in paths:
        xml = musicxml_bytes(path.read_bytes(), Findings())
        parser = etree.XMLParser(load_dtd=False, no_network=True, resolve_entities=False)
        parse_s += best_of(3, lambda xml=xml, parser=parser: etree.fromstring(xml, parser))  # type: ignore[misc]
        read_s += best_of(3, lambda path=path: read_score(path))  # type: ignore[misc]
        score = read_score(path)
        notes += len(score.notes)
        find_s += best_of(1, lambda score=score: find_best(score, query, 20))  # type: ignore[misc]
    return Figures(len(paths), notes, parse_s, read_s, find_s)


def table() -> str:
    """The figures with their budgets, as text."""
    got = measure()
    ratio = got.read_s / got.parse_s
    return "\n".join(
        [
            f"reading and finding, {got.files} files, {got.notes} notes",
            f"  reading, over bare XML parsing     {ratio:6.2f} x    budget {BUDGET_RATIO:.0f} x",
            f"  reading, notes a second            {got.notes / got.read_s:12,.0f}",
            f"  one class, all kinds, notes/second {got.notes / got.find_s:12,.0f}",
        ]
    )


if __name__ == "__main__":
    print(table())
