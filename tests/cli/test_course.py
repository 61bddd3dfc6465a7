"""Ledger, syllabus and course from the command line."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

DEMO = Path(__file__).parents[2] / "demo"
PROGRAM = """
from sonorarium.cli import app, course, lesson
there = {command.name for command in lesson.app.registered_commands}
for name in ("ledger", "syllabus", "course"):
    if name not in there:
        lesson.app.command(name)(getattr(course, f"{name}_command"))
app.main()
"""


def run(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", PROGRAM, "lesson", *words]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)


def json_of(*words: str) -> Any:
    done = run(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_the_ledger_of_the_demo() -> None:
    done = run("ledger", str(DEMO))
    assert done.returncode == 0
    assert "scales: G double harmonic, G phrygian dominant, G harmonic major" in done.stdout
    assert "In the study, but in no lesson: pieces/5-clockwork-moth.musicxml" in done.stdout
    found = json_of("ledger", str(DEMO))
    assert [len(found["overlap"]), len(found["lessons"])] == [3, 3]
    assert "octatonic" in found["gaps"]["scales"]


def test_what_a_new_scale_brings() -> None:
    first = json_of("ledger", str(DEMO), "--new", "D harmonic major", "--before", "lessons/2-three-sisters.md")
    whole = json_of("ledger", str(DEMO), "--new", "D harmonic major")
    new = [{row["class"] for row in found["classes"] if row["known"] == "new"} for found in (first, whole)]
    assert "4-28" in new[0]
    assert new[1] == set()
    assert run("ledger", str(DEMO), "--new", "D harmonic major").stdout.strip().endswith(".")
    done = run("ledger", str(DEMO), "--before", "x")
    assert (done.returncode, "--before goes with --new" in done.stderr) == (2, True)


def test_a_syllabus() -> None:
    done = run("syllabus", "double-harmonic")
    assert done.stdout.startswith("1  double harmonic (7-22): 44 of its 44 classes are new.\n")
    found = json_of("syllabus", "spaced", "--first", "diatonic", "--tn")
    assert found["steps"][0]["kind"] == "diatonic"
    assert json_of("syllabus", "double-harmonic", "--after", str(DEMO))["steps"][0]["adds"] != []


def test_a_course(tmp_path: Path) -> None:
    study = tmp_path / "study"
    (study / "lessons").mkdir(parents=True)
    (study / "study.toml").write_text('title = "Short"\n', encoding="utf-8")
    (study / "lessons" / "1.md").write_text("# One\n\nThe class {set}`5-35`.\n", encoding="utf-8")
    done = run("course", str(study))
    assert done.returncode == 0, done.stderr
    assert [Path(line).name for line in done.stdout.splitlines()] == [
        "1.html",
        "1.pdf",
        "index.html",
        "sets.html",
        "pieces.html",
        "terms.html",
    ]
    assert all(Path(line).is_file() for line in done.stdout.splitlines())
    assert run("course", str(study), "--paper", "a5").returncode == 2
