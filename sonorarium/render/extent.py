"""How far the ink of a drawing reaches.

The engraver's page is a little too small for some signs (braces, wide words) and too large for others; so a
finished drawing is cropped to its own ink. Curves are bounded by their control points, words by the widths of
our font.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sonorarium.render.glyphs import SVG, Glyph, glyph
from sonorarium.render.typeface import Face, text_width

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
PLACE = re.compile(r"translate\(([-\d.]+)[ ,]\s*([-\d.]+)\)\s*scale\(([-\d.]+)")
NOTED = "data-extent"
"""Attribute in which the maker of an outline notes its box: left, top, right, bottom."""

ASCENT, DESCENT = 0.76, 0.24
"""Height of letters above and below the line, as parts of the font size."""


@dataclass(frozen=True)
class Box:
    """A rectangle, y downward, in inner units.

    Examples
    --------
    >>> Box(0, 0, 2, 2).around(Box(1, -1, 3, 1))
    Box(left=0, top=-1, right=3, bottom=2)
    """

    left: float
    top: float
    right: float
    bottom: float

    def around(self, other: Box) -> Box:
        """The smallest box that holds both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def grown(self, margin: float) -> Box:
        """The box with a margin on all sides."""
        return Box(self.left - margin, self.top - margin, self.right + margin, self.bottom + margin)

    def meets(self, other: Box) -> bool:
        """Whether the two share some ground."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.bottom - self.top


def sign_box(sign: Glyph, x: float, y: float, scale: float) -> Box:
    """The ink of a sign of the music font set at a place."""
    left, bottom = x + sign.left * scale, y - sign.foot * scale
    return Box(left, bottom - sign.height * scale, left + sign.width * scale, bottom)


def glyph_box(use: Any) -> Box | None:
    """The ink of a ``use`` of a music glyph; None where the glyph is unknown."""
    at = PLACE.match(use.get("transform", ""))
    sign = glyph(int(use.get("href", "").rsplit("-", 1)[-1], 16))
    if at is None or sign is None:
        return None
    return sign_box(sign, *(float(number) for number in at.groups()))


def words_box(width: float, x: float, y: float, size: float) -> Box:
    """The room of words of some width that begin at a place."""
    return Box(x, y - ASCENT * size, x + width, y + DESCENT * size)


def text_box(text: Any) -> Box:
    """The room of a ``text`` of ours: one run at one place."""
    x, y, size = (float(text.get(name)) for name in ("x", "y", "font-size"))
    face = Face(text.get("font-weight") == "600", text.get("font-style") == "italic")
    width = text_width(text.text or "", face) * size / 1000
    x -= {"start": 0.0, "middle": width / 2, "end": width}[text.get("text-anchor", "start")]
    return words_box(width, x, y, size)


def path_box(path: Any) -> Box | None:
    """The box of a path's points, with its line; that of an outlined sign or word is noted with it."""
    if path.get(NOTED):
        return Box(*(float(number) for number in path.get(NOTED).split()))
    points = [float(number) for number in NUMBER.findall(path.get("d", "") + path.get("points", ""))]
    if not points:
        return None
    half = float(path.get("stroke-width", "0")) / 2
    return Box(min(points[::2]), min(points[1::2]), max(points[::2]), max(points[1::2])).grown(half)


def shape_box(shape: Any) -> Box | None:
    """The box of one drawn element; None where it draws nothing that we know."""
    kind = shape.tag.removeprefix(f"{{{SVG}}}")
    if kind == "use":
        return glyph_box(shape)
    if kind == "text":
        return text_box(shape)
    if kind in ("path", "polygon", "polyline"):
        return path_box(shape)
    if kind == "rect":
        x, y, width, height = (float(shape.get(name)) for name in ("x", "y", "width", "height"))
        return Box(x, y, x + width, y + height).grown(float(shape.get("stroke-width", "0")) / 2)
    if kind == "ellipse":
        x, y, rx, ry = (float(shape.get(name)) for name in ("cx", "cy", "rx", "ry"))
        return Box(x - rx, y - ry, x + rx, y + ry)
    return None


def ink(drawing: Any) -> Box:
    """The box of everything in a drawing that `shape_box` knows.

    Parameters
    ----------
    drawing : lxml element
        A finished group: glyphs used by id, texts of one run.
    """
    boxes = [box for box in _boxes(drawing) if box]
    whole = boxes[0] if boxes else Box(0, 0, 0, 0)
    for box in boxes:
        whole = whole.around(box)
    return whole


def _boxes(drawing: Any) -> Iterator[Box | None]:
    for element in drawing.iter():
        if isinstance(element.tag, str):
            yield shape_box(element)
