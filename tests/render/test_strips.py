"""Strips show the notes by shape as well as by colour, and say them in words."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sonorarium.render.strips import Strip, draw_strips


@given(st.sets(st.integers(0, 11)), st.integers(1, 4))
def test_filled_cells_are_the_notes(heights: set[int], rows: int) -> None:
    drawing = draw_strips([Strip(tuple(sorted(heights)), description="a set")] * rows)
    cells = re.findall(r'<rect x="(\d+)" y="\d+" width="\d+" height="\d+" rx="2.5" fill="([^"]+)"', drawing)
    assert len(cells) == 12 * rows
    assert [k % 12 for k, (_, fill) in enumerate(cells) if fill != "none"] == sorted(heights) * rows


def test_a_moved_note_is_told_without_colour() -> None:
    drawing = draw_strips([Strip((0, 4, 7), left=3, came=4)])
    root = etree.fromstring(drawing.encode())
    cells = root.findall(".//{*}rect")
    assert cells[3].get("stroke-dasharray") == "3 2"
    assert cells[4].get("stroke-width") == "2"


@pytest.mark.parametrize("words", ["D double harmonic", 'a "quoted" <set> & more'])
def test_the_words_are_in_the_drawing(words: str) -> None:
    root = etree.fromstring(draw_strips([Strip((0,), description=words, label=words)], label_width=90).encode())
    assert root.get("aria-label") == words
    assert root.findtext(".//{*}text") == words
