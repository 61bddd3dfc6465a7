"""A lesson becomes files that are whole, alike each time, and true to their source."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.building import build_lesson, read_lesson

LESSON = Path(__file__).parents[2] / "demo" / "lessons" / "1-the-double-harmonic-scale.md"


def test_the_demo_lesson_builds_alike_twice(tmp_path: Path) -> None:
    lesson = read_lesson(LESSON)
    assert lesson.count() == {"figures": 6, "sounds": 5, "tables": 2}
    first = [f.read_bytes() for f in build_lesson(lesson, tmp_path / "a")]
    second = [f.read_bytes() for f in build_lesson(read_lesson(LESSON), tmp_path / "b")]
    assert first == second


def test_the_paper_has_the_words_the_staves_and_embedded_fonts(tmp_path: Path) -> None:
    (paper,) = build_lesson(read_lesson(LESSON), tmp_path, forms=("pdf",))
    document = pypdfium2.PdfDocument(paper)
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    assert "D E♭ F♯ G A B♭ C♯" in text
    assert "only here" in text
    assert "Saffron Evening, bars 26–29" in text
    assert b"/FontFile" in paper.read_bytes() or b"/ObjStm" in paper.read_bytes()
    assert "�" not in text


def test_what_cannot_be_read_is_said(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.md could not be read: No such file"):
        read_lesson(tmp_path / "nowhere.md")
    (tmp_path / "latin.md").write_bytes(b"caf\xe9")
    with pytest.raises(InputError, match="it is not UTF-8 text"):
        read_lesson(tmp_path / "latin.md")


def test_a_lesson_that_cannot_be_made_writes_nothing(tmp_path: Path) -> None:
    page = tmp_path / "one.md"
    page.write_text("```{scale} C major\n```\n\n```{scale} C mayjor\n```\n", encoding="utf-8")
    with pytest.raises(InputError, match="Line 4: "):
        build_lesson(read_lesson(page), tmp_path / "made")
    assert not (tmp_path / "made").exists()
