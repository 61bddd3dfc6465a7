"""The examples of the README are run."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def test_the_examples_of_the_readme(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    found = doctest.testfile(str(ROOT / "README.md"), module_relative=False)
    assert found.attempted >= 5
    assert found.failed == 0


def test_the_readme_opens_with_the_job_and_then_the_two_commands() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert (
        text.index("**The job.**")
        < text.index("make study")
        < text.index("make test")
        < text.index("pictures/scale.png")
    )
