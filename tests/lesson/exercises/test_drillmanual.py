"""The page on drills is what the code says now."""

from __future__ import annotations

from pathlib import Path

from sonorarium.lesson.exercises.drillmanual import manual
from sonorarium.lesson.exercises.drills import KINDS

PAGE = Path(__file__).parents[3] / "docs" / "drills.md"


def test_the_page_is_fresh_and_has_every_kind_with_its_measure_and_examples() -> None:
    text = manual()
    assert PAGE.read_text(encoding="utf-8") == text, (
        "write it anew with sonorarium.lesson.exercises.drillmanual.manual"
    )
    for kind in KINDS.values():
        page = text.partition(f"### `{kind.name}`: {kind.title}")[2].partition("\n#")[0]
        assert f"Work: {kind.work}." in page
        assert page.count("*Key: ") == 3
