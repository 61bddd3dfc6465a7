"""A small library of open scores for the tests of the shelf, and other processes that work on it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import textwrap
from pathlib import Path

import music21

CORPUS = Path(music21.__file__).parent / "corpus"
PIECES = (
    *(CORPUS / f"bach/bwv{number}.mxl" for number in ("60.5", "66.6", "248.42-4")),
    CORPUS / "schoenberg/opus19/movement6.mxl",
)
ROOT = Path(__file__).parents[2]


def fill(folder: Path, count: int = 4) -> Path:
    """Put pieces into a folder, each of other bytes, in two folders below it."""
    for i in range(count):
        target = folder / ("a" if i % 2 else "b/c") / f"{i:02}.mxl"
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(PIECES[i % len(PIECES)], target)
        if i >= len(PIECES):
            with target.open("ab") as file:
                file.write(b"\0" * i)  # an archive may be followed by anything
    return folder


def start(script: str, *arguments: object) -> subprocess.Popen[str]:
    """Start a process of its own on a script; its workers share its pipes."""
    head = "import os, sys, time\nfrom pathlib import Path\nfrom sonorarium.shelf import indexing\n"
    head += (
        "from sonorarium.shelf.indexing import add_folders, drop_folder\nfrom sonorarium.shelf.shelf import Shelf\n"
    )
    body = textwrap.indent(textwrap.dedent(script), "    ")
    # Workers import the main script anew, so it stands in a file and guards its own work.
    file = Path(str(arguments[0])).parent / f"script{os.getpid()}.py"
    file.write_text(f"{head}if __name__ == '__main__':\n{body}")
    return subprocess.Popen(
        [sys.executable, str(file), *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )


def line(process: subprocess.Popen[str]) -> str:
    """The next line that a process prints."""
    assert process.stdout is not None
    return process.stdout.readline().strip()
