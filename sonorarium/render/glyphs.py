"""The signs of the music font: how wide each is, and its outline.

Read from the engraver's own copy of the font Bravura (SIL Open Font License 1.1), with Leipzig for signs that
Bravura lacks; code points are those of the Standard Music Font Layout (SMuFL). Lengths are in thousandths of
the em, and four staff spaces make an em, as SMuFL lays down.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from lxml import etree

from sonorarium.render.press import engraver_data

MUSIC_FONT = "Bravura"
MUSIC_FONTS = (MUSIC_FONT, "Leipzig")
SVG = "http://www.w3.org/2000/svg"


@dataclass(frozen=True)
class Glyph:
    """One sign.

    Parameters
    ----------
    left, foot, width, height, advance : float
        Left and lower edge of the ink, its size, and the step to the next sign; thousandths of the em.
    outline : str
        SVG path with y upward, empty for a blank.
    """

    left: float
    foot: float
    width: float
    height: float
    advance: float
    outline: str


@cache
def glyph(code: int) -> Glyph | None:
    """Return the sign at a code point, None when neither font has it.

    Parameters
    ----------
    code : int
        Such as 0xE0A4, the black notehead.

    Examples
    --------
    >>> glyph(0xE0A4).width
    295.0
    """
    return next((found for font in MUSIC_FONTS if (found := _from_font(font, f"{code:04X}"))), None)


@cache
def _boxes(font: str) -> dict[str, tuple[float, ...]]:
    """Left and lower edge, width, height and advance of every sign of a font."""
    table = etree.parse(str(engraver_data() / f"{font}.xml"))
    sides = ("x", "y", "w", "h")
    return {
        row.get("c", ""): (*(float(row.get(side, "0")) for side in sides), float(row.get("h-a-x", row.get("w", "0"))))
        for row in table.getroot().iter("g")
    }


def _from_font(font: str, code: str) -> Glyph | None:
    box = _boxes(font).get(code)
    if box is None:
        return None
    drawing = etree.parse(str(engraver_data() / font / f"{code}.xml")).getroot()
    path = next((element for element in drawing.iter() if etree.QName(element).localname == "path"), None)
    left, foot, width, height, advance = box
    return Glyph(left, foot, width, height, advance, "" if path is None else str(path.get("d", "")))
