"""Speed of notation, sound and lessons: ``python -m bench.rendering`` prints a table. Medians of warm runs."""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from sonorarium.lesson.building import build_lesson, read_lesson
from sonorarium.lesson.illustrations.sheets import engrave_scale
from sonorarium.pcs.subject import subject
from sonorarium.render.engraving import engrave_passage
from sonorarium.render.hearing import hear_set
from sonorarium.render.sound import to_audio
from sonorarium.score.reading import read_score

DEMO = Path(__file__).resolve().parents[1] / "demo"
BUDGETS_S = {"an engraved excerpt, 4 bars": 0.1, "a sound clip, FLAC": 0.15}


def median(runs: int, work: Callable[[], object]) -> float:
    """Median seconds of several runs after one that does not count."""
    work()
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def measure() -> dict[str, float]:
    """Seconds of each piece of work."""
    scale = subject("D double harmonic")
    score = read_score(DEMO / "pieces" / "1-saffron-evening.musicxml")
    lesson = DEMO / "lessons" / "1-the-double-harmonic-scale.md"
    with tempfile.TemporaryDirectory() as folder:
        return {
            "an engraved scale": median(9, lambda: engrave_scale(scale)),
            "an engraved excerpt, 4 bars": median(9, lambda: engrave_passage(score, 10, 13)),
            "a sound clip, FLAC": median(9, lambda: to_audio(hear_set(scale), format="flac")),
            "the demo lesson, page and paper": median(3, lambda: build_lesson(read_lesson(lesson), Path(folder))),
        }


def table() -> str:
    """The figures with their budgets, as text."""
    rows = ["notation, sound and lessons, warm"]
    for name, seconds in measure().items():
        budget = f"    budget {1000 * BUDGETS_S[name]:.0f} ms" if name in BUDGETS_S else ""
        rows.append(f"  {name:<34}{1000 * seconds:8.1f} ms{budget}")
    return "\n".join(rows)


if __name__ == "__main__":
    print(table())
