"""Every directive has an example in the manual, and every example is built."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.lesson.building import build_lesson, read_lesson
from sonorarium.lesson.directives import DIRECTIVES
from sonorarium.lesson.manual import EXAMPLES, manual
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[2] / "demo"


def test_every_directive_and_option_is_in_the_manual() -> None:
    text = manual()
    assert set(EXAMPLES) == set(DIRECTIVES)
    for kind in DIRECTIVES.values():
        assert f"### `{kind.name}`" in text
        assert all(f"| `{option}` |" in text for option in kind.options)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_example_builds(name: str, tmp_path: Path) -> None:
    page = tmp_path / f"{name}.md"
    page.write_text(EXAMPLES[name] + "\n", encoding="utf-8")
    lesson = read_lesson(page, open_study(DEMO))
    made = build_lesson(lesson, tmp_path / "made")
    assert sum(lesson.count().values()) >= 1 or name == "survey"
    assert all(file.stat().st_size > 1000 for file in made)
