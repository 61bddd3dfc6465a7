"""Signs of the music font, against what the Standard Music Font Layout fixes."""

from __future__ import annotations

import pytest

from sonorarium.render.glyphs import glyph

STAFF_SPACE = 250
"""SMuFL 1.4, "Metrics and glyph registration": one staff space is a quarter of the em of 1000 units."""


@pytest.mark.parametrize("code", [0xE0A4, 0xE0A3])
def test_noteheads_are_one_staff_space_high(code: int) -> None:
    head = glyph(code)
    assert head is not None
    assert head.height == pytest.approx(STAFF_SPACE, rel=0.1)
    assert head.foot + head.height / 2 == pytest.approx(0, abs=10)


def test_a_sign_that_no_font_has() -> None:
    assert glyph(0xF8FF) is None


def test_outlines_are_there() -> None:
    flat = glyph(0xE260)
    assert flat is not None
    assert flat.outline.startswith("M")
