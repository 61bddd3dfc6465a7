"""Speed of building lessons: ``python -m bench.lessons`` prints a table.

A handout of ten figures and ten clips is built by the command line in a process of its own, page and paper: once with
an empty cache, once more after one word of the text was changed, and in all forms. What is timed is the whole
process, start and imports included.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

DEMO = Path(__file__).resolve().parents[1] / "demo"
BUDGETS_S = {"cold, page and paper": 5.0, "after a one-word edit": 1.0}
RUNS = 5
"""Warm runs, of which the median counts; the cold run is the median of three."""

SCALES = ("D double harmonic", "G lydian b7", "A harmonic minor", "C octatonic", "E phrygian")
CHORDS = ("C E Ab B", "Ab over C7", "Ebmaj7#5")
PASSAGES = (("1-saffron-evening", "5-15"), ("4-boat-without-oars", "5-Z17"))


def handout() -> str:
    """The text: ten figures, each with its clip, and a paragraph before each."""
    blocks = [f"```{{scale}} {scale}\n```" for scale in SCALES]
    blocks += [f"```{{chord}} {chord}\n```" for chord in CHORDS]
    blocks += [f"```{{passage}} pieces/{piece}.musicxml\n:set: {name}\n```" for piece, name in PASSAGES]
    words = "Listen to the first and to the last note before you read on, and sing both."
    return "---\ntitle: A handout\n---\n\n" + "\n\n".join(
        f"# Part {n}\n\n{words}\n\n{b}" for n, b in enumerate(blocks)
    )


def build(study: Path, cache: Path, *options: str) -> float:
    """Seconds of one build, as a process."""
    program = [sys.executable, "-c", "from sonorarium.cli import main; main()"]
    command = [*program, "lesson", "build", str(study / "lessons" / "one.md"), *options]
    began = time.perf_counter()
    subprocess.run(
        [*command, "--out", str(study / "made")],
        env={**os.environ, "SONORARIUM_CACHE": str(cache)},
        check=True,
        capture_output=True,
    )
    return time.perf_counter() - began


def measure() -> dict[str, float]:
    """Seconds of each kind of build."""
    with tempfile.TemporaryDirectory() as name:
        study, lesson = Path(name), Path(name) / "lessons" / "one.md"
        lesson.parent.mkdir()
        (study / "study.toml").write_text('title = "One"\n', encoding="utf-8")
        shutil.copytree(DEMO / "pieces", study / "pieces")
        lesson.write_text(handout(), encoding="utf-8")
        cold = statistics.median(build(study, study / f"cache-{n}") for n in range(3))
        edited = []
        for n in range(RUNS):
            lesson.write_text(handout().replace("sing both", f"sing them {n} times", 1), encoding="utf-8")
            edited.append(build(study, study / "cache-0"))
        every = build(study, study / "cache-0", "--form", "all")
        again = build(study, study / "cache-0", "--form", "all")
    return {
        "cold, page and paper": cold,
        "after a one-word edit": statistics.median(edited),
        "all forms, the first time": every,
        "all forms, once more": again,
    }


def table() -> str:
    """The figures with their budgets, as text."""
    rows = ["a handout of 10 figures and 10 clips, whole process"]
    for name, seconds in measure().items():
        budget = f"    budget {BUDGETS_S[name]:.0f} s" if name in BUDGETS_S else ""
        rows.append(f"  {name:<34}{seconds:8.2f} s{budget}")
    return "\n".join(rows)


if __name__ == "__main__":
    print(table())
