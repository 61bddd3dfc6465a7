"""The house stands: layers import only downward, the small face is honest, every module can be imported alone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import sonorarium

ROOT = Path(__file__).parents[1]


def test_each_layer_imports_only_from_those_below_it() -> None:
    linter = Path(sys.executable).parent / "lint-imports"
    done = subprocess.run([linter, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_the_exported_names_are_there() -> None:
    for name in sonorarium.__all__:
        assert getattr(sonorarium, name) is not None
    assert sorted(sonorarium.__all__) == dir(sonorarium)


def test_a_question_about_a_set_loads_no_heavy_tool() -> None:
    heavy = [
        "lxml",
        "verovio",
        "typst",
        "mido",
        "midirenderer",
        "soundfile",
        "typer",
        "rich",
        "jinja2",
        "markdown_it",
    ]
    code = f"import sys, sonorarium as so; so.read_set('4-19'); print([m for m in {heavy} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
