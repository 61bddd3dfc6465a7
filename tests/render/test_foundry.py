"""The drawn signs and the steps of casting. The fonts that were cast are tested with `test_typeface`."""

from __future__ import annotations

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from sonorarium.render.foundry import DRAWN, STYLES, denominators
from sonorarium.render.typeface import FONT_FOLDER

SERIF = FONT_FOLDER / "sonorarium-serif-400.ttf"


@pytest.mark.parametrize("code", DRAWN, ids=lambda code: f"{code:04X}")
@pytest.mark.parametrize("stroke", [84, 112])
def test_signs_stay_inside_their_advance_and_the_line(code: int, stroke: int) -> None:
    pen = BoundsPen(None)
    advance = DRAWN[code](pen, stroke)
    left, foot, right, top = pen.bounds
    assert 0 <= left < right <= advance
    assert -150 <= foot < top <= 800


@pytest.mark.parametrize("code", DRAWN, ids=lambda code: f"{code:04X}")
def test_bold_signs_have_more_ink(code: int) -> None:
    def area(stroke: int) -> float:
        pen = AreaPen(None)
        DRAWN[code](pen, stroke)
        return abs(float(pen.value))

    assert area(112) > area(84)


def test_subscripts_hang_below_the_line() -> None:
    font = TTFont(SERIF)
    glyphs, names = font["glyf"], font.getBestCmap()
    for figure in range(10):
        low, full = glyphs[names[0x2080 + figure]], glyphs[names[0x30 + figure]]
        assert low.yMin < full.yMin < low.yMax < full.yMax


def test_arrows_point_right_and_left() -> None:
    """Each is the other's mirror, and as long as the upward arrow is high."""
    font = TTFont(SERIF)
    glyphs, names = font["glyf"], font.getBestCmap()
    up, right, left = (glyphs[names[code]] for code in (0x2191, 0x2192, 0x2190))
    assert right.xMax - right.xMin == left.xMax - left.xMin == up.yMax - up.yMin


def test_denominators_are_found() -> None:
    assert len(denominators(TTFont(SERIF))) >= 10


def test_eight_styles_have_eight_files() -> None:
    assert len({style.file for style in STYLES}) == 8
    assert all((FONT_FOLDER / f"{style.file}.ttf").is_file() for style in STYLES)
