"""What goes to the typesetter: every sign of the text as text, every block whole."""

from __future__ import annotations

import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.lesson.forms.printed import typst_source
from sonorarium.lesson.illustrations.blocks import Cell, Facts, Figure, Made, Table
from sonorarium.lesson.markdown import read_page
from sonorarium.render.strips import Strip, draw_strips
from sonorarium.render.typesetting import typeset


def words_on_paper(text: str, made: dict[int, Made] | None = None) -> str:
    source, files = typst_source(read_page(text), made or {})
    document = pypdfium2.PdfDocument(typeset(source, files))
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


def test_every_form_of_markdown_reaches_the_paper() -> None:
    text = (
        "---\ntitle: A title\nsubtitle: under it\nauthor: Sonorarium demo\n---\n\n# One\n\nplain *slanted* "
        "**strong** `code` [link](https://example.org) ~~gone~~\n\n- first\n- second\n\n3. third\n\n> quoted\n\n"
        "---\n\n| a | b |\n|---|---|\n| cell *x* | y |\n\n```\nverbatim\n```\n\n    indented\n"
    )
    found = words_on_paper(text)
    for word in ("A title", "under it", "plain slanted strong code link gone", "first", "3.", "third", "quoted"):
        assert word in found
    for word in ("cell x y", "verbatim", "indented"):
        assert word in found


@settings(max_examples=25, deadline=None)
@given(st.text(st.sampled_from("#$*_`<>@=-+/~[]()\\\"'{};:.,|!%&^ab1 ♭♯"), min_size=1, max_size=30))
def test_no_sign_of_a_caption_acts_as_markup(signs: str) -> None:
    caption = "A" + signs + "B"
    made = {1: Made((Figure("", "nothing to see", caption),))}
    found = words_on_paper("```{sound} x\n```\n", made)
    expected = "".join(caption.split())
    assert expected in found.replace(" ", "")


def test_tables_facts_and_figures_are_set() -> None:
    strip = draw_strips([Strip((0, 4, 7), description="C, E and G")])
    blocks = (
        Table(
            "Insides", ("shape", "class"), ((Cell("", svg=strip), Cell("3-11B", strong=True)),), note="All of them."
        ),
        Facts("In short", (("label", "7-22"), ("steps", "1-3-1-2-1-3-1"))),
        Figure(strip, "C, E and G", "A chord.", "Sonorarium demo"),
    )
    found = words_on_paper("```{survey} x\n```\n", {1: Made(blocks)})
    for word in ("Insides", "shape", "3-11B", "All of them.", "In short", "7-22", "A chord.", "Sonorarium demo"):
        assert word in found


def test_the_same_lesson_gives_the_same_bytes() -> None:
    source, files = typst_source(read_page("# One\n\nwords\n"), {})
    assert typeset(source, files) == typeset(source, files)


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("us-letter", (612, 792))])
def test_both_papers(paper: str, size: tuple[int, int]) -> None:
    source, files = typst_source(read_page("words\n"), {}, paper=paper)
    page = pypdfium2.PdfDocument(typeset(source, files))[0]
    assert (round(page.get_width()), round(page.get_height())) == size
