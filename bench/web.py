"""Speed of the workbench: ``python -m bench.web`` serves it as a user does and prints a table.

Each address is asked over the loopback, from a client that waits for the first byte of the body. *First* is the first
time in a run that the address is asked, *again* the median of the next ones. Clips and excerpts are new ones each
time, so that nothing which was made before is sent. The shelf is the demo's, and the songs of the shared folder where
it is there.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote, urlsplit

from bench.reading import SONGS
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf

DEMO = Path(__file__).resolve().parents[1] / "demo"
BUDGET_PAGE_MS, BUDGET_CLIP_MS, BUDGET_EXCERPT_MS = 300.0, 150.0, 100.0
AGAIN = 5
SCALE = quote("D double harmonic")
PAGES = {
    "desk": "/",
    "readings": "/readings?text=" + quote("Eb lydian dom"),
    "a chord played": "/played?pitches=" + quote("48 52 55 58"),
    "sheet": f"/sheet?set={SCALE}",
    "sheet of 6-Z10": "/sheet?set=6-Z10",
    "side by side": f"/beside?set={SCALE}&set=D%20harmonic%20minor",
    "shelf": "/shelf",
    "atlas": "/shelf/atlas",
    "find 5-26": "/find?set=5-26&kind=texture",
    "find the scale": f"/find?set={SCALE}",
    "find a chord": "/find?set=G7&kind=chord",
    "an excerpt found": f"/find/excerpt?set={SCALE}&place=3",
    "scores": "/score",
    "score": "/score?piece={piece}&first=0&last=3",
    "sketch": "/sketch?line=" + quote("Dmaj7; Eb; F#m7b5; G7"),
    "lessons": "/lesson",
    "keepings": "/keepings",
}
SETS = (
    "C lydian",
    "F# dorian",
    "Bb7#11",
    "Am9",
    "E phrygian",
    "6-20 on D",
    "Db major",
    "G octatonic",
    "B whole tone",
)


@dataclass(frozen=True)
class Asked:
    """Milliseconds until the first byte of one address: the first time, and the median of the next."""

    name: str
    first_ms: float
    again_ms: float


@contextlib.contextmanager
def workbench(songs: Path | None) -> Iterator[str]:
    """The address of a workbench on the demo study, with the demo's shelf or one of songs."""
    with tempfile.TemporaryDirectory(prefix="workbench") as name:
        study, shelf = Path(name, "study"), Path(name, "shelf")
        shutil.copytree(DEMO, study)
        add_folders(Shelf(shelf), [songs or study / "pieces"])
        command = (str(Path(sys.executable).with_name("sonorarium")), "open", str(study), "--shelf", str(shelf))
        with subprocess.Popen(
            [*command, "--port", "0", "--no-browser"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        ) as server:
            assert server.stdout is not None
            try:
                yield server.stdout.readline().strip()
            finally:
                server.terminate()


def first_byte_ms(url: str, path: str) -> float:
    """Milliseconds from asking to the first byte of the body; raises `RuntimeError` where the answer is an error."""
    connection = http.client.HTTPConnection(urlsplit(url).netloc, timeout=60)
    began = time.perf_counter()
    connection.request("GET", path, headers={"Accept": "text/html"})
    answer = connection.getresponse()
    answer.read(1)
    passed = 1000 * (time.perf_counter() - began)
    if answer.status >= 400:
        raise RuntimeError(f"{path}: {answer.status} {answer.read().decode(errors='replace')[:300]}")
    connection.close()
    return passed


def asked_for_json(url: str, path: str) -> object:
    """The facts of an address."""
    connection = http.client.HTTPConnection(urlsplit(url).netloc, timeout=60)
    connection.request("GET", path, headers={"Accept": "application/json"})
    return json.load(connection.getresponse())


def measure_pages(url: str, piece: str) -> list[Asked]:
    """Every page."""
    found = []
    for name, form in PAGES.items():
        path = form.format(piece=piece)
        first = first_byte_ms(url, path)
        found.append(Asked(name, first, statistics.median(first_byte_ms(url, path) for _ in range(AGAIN))))
    return found


def measure_new(url: str, paths: Sequence[str]) -> Asked:
    """Addresses each asked once: the first of them, and the median of the others."""
    times = [first_byte_ms(url, path) for path in paths]
    return Asked("", times[0], statistics.median(times[1:]))


def table(title: str, songs: Path | None) -> str:
    """The figures with their budgets, as text."""
    with workbench(songs) as url:
        pieces = asked_for_json(url, "/score")
        keys = [one["key"] for one in pieces["pieces"]]  # type: ignore[index]
        time.sleep(2.0)
        clips = measure_new(url, [f"/sound?set={quote(text)}&way=scale" for text in SETS])
        excerpts = measure_new(url, [f"/score/bars?piece={key}&first=0&last=3" for key in keys[:9]])
        pages = measure_pages(url, keys[0])
    rows = [(one.name, one, BUDGET_PAGE_MS) for one in pages]
    rows += [("a sound clip, new", clips, BUDGET_CLIP_MS), ("an excerpt, new", excerpts, BUDGET_EXCERPT_MS)]
    lines = [f"the workbench, {title}: first byte, ms", f"  {'':<28}{'first':>8}{'again':>8}{'budget':>8}"]
    lines += [f"  {name:<28}{one.first_ms:8.0f}{one.again_ms:8.0f}{budget:8.0f}" for name, one, budget in rows]
    return "\n".join(lines)


if __name__ == "__main__":
    print(table("demo study and shelf", None))
    if SONGS.is_dir():
        print(table("shelf of the shared songs", SONGS))
