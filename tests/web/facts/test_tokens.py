"""Every colour can be read on both papers; the guide says what the style sheet says."""

from __future__ import annotations

import re

import pytest

from sonorarium.web.facts.tokens import STYLE_SHEET, Colour, contrast, guide, look, tokens

LOOK = look()


@pytest.mark.parametrize("colour", [*LOOK.light, *LOOK.dark], ids=lambda one: f"{one.name} {one.value}")
def test_each_colour_has_the_contrast_it_needs(colour: Colour) -> None:
    assert colour.contrast >= colour.wanted


def test_text_can_be_read_on_the_wash_too() -> None:
    sheet = STYLE_SHEET.read_text(encoding="utf-8")
    for head in (":root{", ":root[data-paper=dark]{"):
        there = tokens(sheet, head)
        for name in ("ink", "soft", "accent"):
            assert contrast(there[name], there["wash"]) >= 4.5


def test_the_system_s_dark_paper_is_the_chosen_dark_paper() -> None:
    sheet = STYLE_SHEET.read_text(encoding="utf-8")
    assert tokens(sheet, ":root:not([data-paper=light]){") == tokens(sheet, ":root[data-paper=dark]{")


def test_published_contrasts() -> None:
    """Grey #767676 on white is the usual example of a colour that just passes 4.5 (from memory)."""
    assert 4.5 <= contrast("#767676", "#ffffff") < 4.6
    assert contrast("#ffffff", "#767676") == contrast("#767676", "#ffffff")


def test_the_guide_names_every_token() -> None:
    page = guide()
    for name in re.findall(r"--([a-z]\d?[\w-]*):", STYLE_SHEET.read_text(encoding="utf-8")):
        assert f"`{name}`" in page or name in ("paper", "serif", "sans")
