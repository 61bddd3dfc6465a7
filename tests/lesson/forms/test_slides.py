"""Slides begin at headings, hold what fits, and are the same in both files."""

from __future__ import annotations

import re
from pathlib import Path

import pypdfium2
import pytest

from sonorarium.lesson.building import Lesson, read_lesson
from sonorarium.lesson.forms.slides import aspect, lines_of, shares, slides, slides_html, slides_typst
from sonorarium.lesson.forms.theme import DARK, Theme
from sonorarium.lesson.illustrations.blocks import Cell, Facts, Figure, Made, Table
from sonorarium.lesson.markdown import read_page
from sonorarium.render.typesetting import typeset

LESSON = Path(__file__).parents[3] / "demo" / "lessons" / "1-the-double-harmonic-scale.md"
WORDS = "One two three four five six seven eight nine ten. " * 3


@pytest.fixture(scope="module")
def lesson() -> Lesson:
    return read_lesson(LESSON)


def drawing(width: int, height: int) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}"><path d="M0 0h1"/></svg>'


def made_of(*blocks: Figure | Table | Facts) -> dict[int, Made]:
    return {3: Made(blocks)}


def titles(text: str) -> list[str]:
    return [slide.title for slide in slides(read_page(text), {})]


def test_headings_of_two_levels_and_rules_begin_slides() -> None:
    assert titles("# One\n\na\n\n## Two\n\nb\n\n### Three\n\nc\n") == ["One", "Two"]
    assert titles("a\n\n# One\n\nb\n\n---\n\nc\n") == ["", "One", "One"]
    assert titles("# One\n\n# Two\n") == ["One", "Two"]
    assert [s.continued for s in slides(read_page("# One\n\na\n\n---\n\nb\n"), {})] == [False, True]


def test_the_head_of_the_file_is_not_on_a_slide() -> None:
    assert len(slides(read_page("---\ntitle: T\n---\n\nwords\n"), {})) == 1


def test_long_text_goes_on_and_nothing_is_lost() -> None:
    page = read_page("# One\n\n" + "\n\n".join(f"({n}) {WORDS}" for n in range(20)))
    found = slides(page, {})
    assert len(found) > 2
    assert all(lines_of(slide.text) <= 13 for slide in found)
    inside = [t.content for slide in found for t in slide.text if t.type == "inline"]
    assert inside == [t.content for t in page.tokens if t.type == "inline"][1:]


def test_a_long_list_goes_on_with_its_numbers() -> None:
    page = read_page("# One\n\n" + "\n".join(f"{n}. {WORDS}" for n in range(3, 23)))
    found = slides(page, {})
    begun = [slide.text[0].attrs["start"] for slide in found]
    items = [sum(token.type == "list_item_open" for token in slide.text) for slide in found]
    assert len(found) > 2
    assert sum(items) == 20
    assert begun == [3 + sum(items[:at]) for at in range(len(items))]
    assert all(lines_of(slide.text) <= 13 for slide in found)


def test_a_long_table_goes_on_with_its_heads() -> None:
    table = Table("All", ("a", "b"), tuple((Cell(str(n)), Cell("x")) for n in range(30)))
    found = slides(read_page("# One\n\n```{survey} x\n```\n"), made_of(table))
    pieces = [block for slide in found for block in slide.blocks]
    assert [p.title for p in pieces if isinstance(p, Table)] == [f"All ({n} of 4)" for n in (1, 2, 3, 4)]
    rows = [row for p in pieces if isinstance(p, Table) for row in p.rows]
    assert rows == list(table.rows)


def test_a_wide_figure_shares_and_a_tall_one_stands_alone() -> None:
    (text,) = (slide.text for slide in slides(read_page(WORDS), {}))
    assert shares(text, Figure(drawing(80, 10), "", width_mm=100))
    assert not shares(text * 2, Figure(drawing(10, 10), "", width_mm=160))
    assert not shares(text * 3, Figure(drawing(80, 10), "", width_mm=100))


def test_text_before_a_tall_figure_is_not_lost() -> None:
    tall = Figure(drawing(10, 10), "", width_mm=160)
    text, alone = slides(read_page(f"{WORDS * 2}\n\n```{{scale}} x\n```\n"), made_of(tall))
    assert text.few
    assert text.blocks == ()
    assert (alone.text, alone.blocks) == ((), (tall,))


def test_aspect_is_read_from_the_box() -> None:
    assert aspect(drawing(30, 10)) == 3
    assert aspect("<svg/>") == 1


def test_both_files_have_the_same_slides(lesson: Lesson) -> None:
    count = len(slides(lesson.page, lesson.made)) + 1
    page = slides_html(lesson.page, lesson.made)
    assert page.count('<section class="slide') == count
    document = pypdfium2.PdfDocument(typeset(*slides_typst(lesson.page, lesson.made)))
    assert len(document) == count
    sizes = {(round(p.get_width()), round(p.get_height())) for p in document}
    assert sizes == {(960, 540)}
    texts = [p.get_textpage().get_text_range() for p in document]
    for number, (slide, text) in enumerate(zip(slides(lesson.page, lesson.made), texts[1:], strict=True), 2):
        assert f"{number} / {count}" in text
        assert slide.title.split()[0] in text
    assert "Figure 2. Saffron Evening" in " ".join(texts)
    document.close()


def test_the_page_fetches_nothing_and_keeps_foreign_text(lesson: Lesson) -> None:
    page = slides_html(lesson.page, lesson.made)
    loaded = re.findall(r"""(?:src|href)\s*=\s*["']([^"']+)|url\(["']?([^"')]+)""", page)
    assert all((a or b).startswith(("data:", "#")) for a, b in loaded)
    assert "default-src 'none'" in page
    assert "volume low" in page
    text = "# <img src=x>\n\n```{scale} x\n```\n"
    foreign = slides_html(read_page(text), made_of(Figure("", "<b>", "<script>alert(1)</script>")))
    assert "<img" not in foreign
    assert "<script>alert" not in foreign


def test_slides_take_the_theme(lesson: Lesson) -> None:
    theme = Theme(slides=DARK, headings="sans")
    assert f"--paper:{DARK.paper}" in slides_html(lesson.page, lesson.made, theme=theme)
    source, files = slides_typst(lesson.page, lesson.made, theme=theme)
    assert f'#let paper = rgb("{DARK.paper}")' in source
    assert '#let heading-face = "Sonorarium Sans"' in source
    assert all(b"currentColor" not in data for data in files.values())
    picture = pypdfium2.PdfDocument(typeset(source, files))[1].render(scale=0.2).to_pil()
    assert picture.getpixel((1, 1))[:3] == (0x1B, 0x1A, 0x17)


def test_slides_are_alike_twice(lesson: Lesson) -> None:
    assert slides_html(lesson.page, lesson.made) == slides_html(lesson.page, lesson.made)
    first, second = (typeset(*slides_typst(lesson.page, lesson.made)) for _ in range(2))
    assert first == second


def test_sounds_and_questions_without_a_drawing_stand_together() -> None:
    asked = [Figure("", f"Exercise {n}", f"{n}. Which?") for n in range(12)]
    found = slides(read_page("# One\n\n```{drill} x\n```\n"), made_of(*asked, Facts("", (("a", "b"),))))
    assert [block for slide in found for block in slide.blocks] == [*asked, Facts("", (("a", "b"),))]
    assert 3 <= len(found) < 8
    assert found[-1].blocks == (Facts("", (("a", "b"),)),)
