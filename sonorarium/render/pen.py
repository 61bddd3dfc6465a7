"""The pen: what every plain figure is drawn with, so that all of them look as if one hand had drawn them.

Ink is ``currentColor``: black by itself, the page's own colour inside a page. One accent; whatever it marks is also
told by its shape. A figure is one ``svg`` element with its words in ``aria-label``; text is in the project's serif.
Lengths are pixels of the drawing, rounded to a hundredth, so that the same figure gives the same bytes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from sonorarium.render.strips import ACCENT, LINE
from sonorarium.render.typeface import SERIF_STACK, Face, text_width

__all__ = [
    "ACCENT",
    "FAINT",
    "LINE",
    "PX_MM",
    "THIN",
    "Point",
    "Stroke",
    "disc",
    "figure",
    "natural_mm",
    "num",
    "path",
    "polygon",
    "ring",
    "root_mark",
    "text",
    "width",
]

FAINT = 0.62
"""Opacity of what stands in the background: still more than 4.5 to 1 against paper, light or dark."""

PX_MM = 0.25
"""Millimetres on paper of one pixel of a figure at its natural size."""

Point = tuple[float, float]


def natural_mm(svg: str, *, most: float = 160.0) -> float:
    """Width on paper at which a figure's text has the size of a caption's, but no more than the page has.

    >>> natural_mm('<svg width="400" height="3">'), natural_mm('<svg width="900" height="3">')
    (100.0, 160.0)
    """
    found = re.search(r'<svg[^>]* width="([0-9.]+)"', svg)
    return min(most, float(found[1]) * PX_MM) if found else most


def num(value: float) -> str:
    """A length as it is written: at most two decimals, no needless zeros.

    >>> num(3.0), num(2.4999), num(-0.001)
    ('3', '2.5', '0')
    """
    shown = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown


def figure(kind: str, size: Point, words: str, parts: Iterable[str]) -> str:
    """Put the parts of a figure together.

    Parameters
    ----------
    kind : str
        What it is, as a class name.
    size : (float, float)
        Width and height.
    words : str
        What it shows, in words.
    parts : iterable of str
        Elements, those in the background first.

    Examples
    --------
    >>> figure("circle", (10, 20), "a < b", []).startswith('<svg xmlns="http://www.w3.org/2000/svg" class="circle"')
    True
    """
    wide, high = num(size[0]), num(size[1])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{kind}" role="img" aria-label="{escape(words, quote=True)}" '
        f'width="{wide}" height="{high}" viewBox="0 0 {wide} {high}" font-family="{escape(SERIF_STACK, quote=True)}" '
        f'fill="currentColor">{"".join(parts)}</svg>'
    )


@dataclass(frozen=True)
class Stroke:
    """How a line is drawn.

    Parameters
    ----------
    width : float
        Pixels.
    colour : str
    dash : str
        Lengths of dashes and gaps; a whole line where empty.
    opacity : float
        0 to 1.
    """

    width: float = 1.2
    colour: str = "currentColor"
    dash: str = ""
    opacity: float = 1.0

    @property
    def attributes(self) -> str:
        """As they stand in an element.

        >>> Stroke(2, dash="3 2").attributes
        ' stroke="currentColor" stroke-width="2" stroke-dasharray="3 2"'
        """
        dash = f' stroke-dasharray="{self.dash}"' if self.dash else ""
        opacity = f' stroke-opacity="{num(self.opacity)}"' if self.opacity < 1 else ""
        return f' stroke="{self.colour}" stroke-width="{num(self.width)}"{dash}{opacity}'


THIN = Stroke()


def text(
    at: Point,
    words: str,
    size: float = 16,
    *,
    anchor: str = "middle",
    bold: bool = False,
    faint: bool = False,
) -> str:
    """Write words, centred on a point unless ``anchor`` says ``start`` or ``end``; the point is on the baseline.

    >>> text((5, 9), "E♭", 12, bold=True)
    '<text x="5" y="9" font-size="12" text-anchor="middle" font-weight="600">E♭</text>'
    """
    look = (' font-weight="600"' if bold else "") + (f' fill-opacity="{FAINT}"' if faint else "")
    place = f'x="{num(at[0])}" y="{num(at[1])}" font-size="{num(size)}" text-anchor="{anchor}"'
    return f"<text {place}{look}>{escape(words)}</text>"


def width(words: str, size: float = 16, *, bold: bool = False) -> float:
    """How wide words are."""
    return text_width(words, Face(bold=bold)) * size / 1000


def path(points: Sequence[Point], stroke: Stroke = THIN) -> str:
    """A line through points.

    >>> path([(0, 0), (3, 4)])
    '<path d="M0 0L3 4" fill="none" stroke="currentColor" stroke-width="1.2"/>'
    """
    return f'<path d="{_way(points)}" fill="none"{stroke.attributes}/>'


def _way(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points)


def polygon(points: Sequence[Point], stroke: Stroke = THIN, *, shade: float = 0.08) -> str:
    """A closed line through points, its field lightly shaded in its own colour."""
    field = f'fill="{stroke.colour}" fill-opacity="{num(shade)}"'
    return f'<path d="{_way(points)}z" {field} stroke-linejoin="round"{stroke.attributes}/>'


def disc(at: Point, radius: float, fill: str = "currentColor") -> str:
    """A filled circle."""
    return f'<circle cx="{num(at[0])}" cy="{num(at[1])}" r="{num(radius)}" fill="{fill}"/>'


def ring(at: Point, radius: float, stroke: Stroke = THIN) -> str:
    """A circle that is only a line."""
    return f'<circle cx="{num(at[0])}" cy="{num(at[1])}" r="{num(radius)}" fill="none"{stroke.attributes}/>'


def root_mark(at: Point, turn: float = 0, fill: str = "currentColor") -> str:
    """The triangle that marks a root, as over the root's cell of a strip: its tip at a point, pointing down.

    ``turn`` turns it clockwise about its tip, degrees.
    """
    turned = f" rotate({num(turn)})" if turn else ""
    return f'<path d="M0 0l-4.5-10h9z" fill="{fill}" transform="translate({num(at[0])} {num(at[1])}){turned}"/>'
