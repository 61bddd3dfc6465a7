"""What the pen draws is well formed, says its words, and is the same each time."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sonorarium.render.pen import Stroke, disc, figure, natural_mm, num, path, polygon, ring, root_mark, text


@given(st.floats(-1e5, 1e5))
def test_lengths_are_rounded_and_never_in_powers(value: float) -> None:
    shown = num(value)
    assert abs(float(shown) - value) <= 0.005 + 1e-9
    assert "e" not in shown
    assert shown != "-0"


@pytest.mark.parametrize("words", ["D double harmonic", 'a "quoted" <set> & more', "E♭–E"])
def test_words_come_back_as_they_were(words: str) -> None:
    parts = [
        text((1, 2), words, bold=True),
        path([(0, 0), (1, 1)], Stroke(2, dash="3 2", opacity=0.5)),
        polygon([(0, 0), (1, 1), (1, 0)]),
        disc((1, 1), 2),
        ring((1, 1), 2),
        root_mark((3, 4), 30),
    ]
    root = etree.fromstring(figure("test", (20, 10), words, parts).encode())
    assert root.get("aria-label") == words
    assert root.get("role") == "img"
    assert root.findtext("{*}text") == words
    assert root.findall("{*}path")[0].get("stroke-dasharray") == "3 2"


def test_a_figure_is_never_wider_than_the_page() -> None:
    assert natural_mm(figure("test", (200, 10), "", [])) == 50
    assert natural_mm(figure("test", (2000, 10), "", [])) == 160
    assert natural_mm(figure("test", (2000, 10), "", []), most=120) == 120
