"""The page opens from disk: nothing is fetched, nothing foreign acts, everything can be heard and read."""

from __future__ import annotations

import re

from sonorarium.lesson.forms.webpage import html_page
from sonorarium.lesson.illustrations.blocks import Figure, Made
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.lesson.markdown import read_page
from sonorarium.lesson.roles import set_roles
from sonorarium.render.performance import struck
from sonorarium.render.strips import Strip, draw_strips


def page_with(figure: Figure) -> str:
    return html_page(read_page("---\ntitle: One\n---\n\n```{sound} x\n```\n"), {5: Made((figure,))})


def test_nothing_is_fetched() -> None:
    page = html_page(read_page("# One\n\n[a link](https://example.org)\n"), {})
    assert "default-src 'none'" in page
    loaded = re.findall(r"""(?:src|href)\s*=\s*["']?([^"'\s>]+)|url\(["']?([^"')]+)""", page)
    addresses = [a or b for a, b in loaded]
    assert all(address.startswith("data:") for address in addresses if address != "https://example.org")


def test_foreign_text_stays_text() -> None:
    page = page_with(Figure("", "<b>x</b>", "<script>alert(1)</script>", '"><img src=x onerror=alert(1)>'))
    assert "<script>alert" not in page
    assert "<img" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "<script>alert" not in html_page(read_page("<script>alert(1)</script>\n"), {})


def test_a_figure_has_words_and_sound_and_the_usual_caution() -> None:
    drawing = draw_strips([Strip((0, 4, 7), description="C, E and G")])
    page = page_with(Figure(drawing, "C, E and G", "A chord.", clip=clip_of(struck((60, 64, 67)))))
    assert 'src="data:audio/ogg;base64,' in page
    assert 'aria-label="Sound: C, E and G"' in page
    assert "volume low" in page
    assert "<p>C, E and G</p>" in page


def test_no_caution_where_nothing_sounds() -> None:
    assert 'class="caution"' not in html_page(read_page("words\n"), {})


def test_the_same_lesson_gives_the_same_text() -> None:
    figure = Figure("", "a chord", clip=clip_of(struck((60, 64, 67))))
    assert page_with(figure) == page_with(figure)


def test_a_role_leads_to_where_its_set_is_shown() -> None:
    page = set_roles(
        read_page("The scale {set}`d double harmonic` and {set}`5-6`.\n\n```{scale} D double harmonic\n```\n")
    )
    made = {3: Made((Figure("", "the scale"),))}
    text = html_page(page, made)
    assert '<a href="#shown-3"><strong class="set">D double harmonic</strong></a>' in text
    assert '<div id="shown-3">' in text
    assert '<strong class="set">5-6</strong>.' in text
