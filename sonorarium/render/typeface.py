"""The fonts of Sonorarium: where they are, how wide a text is in them, how its outline runs.

Conventions
-----------
* Two families, "Sonorarium Serif" for reading and notation, "Sonorarium Sans" for controls, each in regular
  and semibold, upright and italic. They are Source Serif 4 and Source Sans 3 with the signs of music added;
  ``fonts/README.md`` tells their origin.
* Lengths are in thousandths of the font size; widths are sums of advances, without kerning.
* Print uses the static ``.ttf`` files. Pages use the variable ``.woff2`` files under the same family names, by
  the rules of `font_face_css`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

FONT_FOLDER = Path(__file__).parent / "fonts"
"""Folder of the font files."""

SERIF = "Sonorarium Serif"
SANS = "Sonorarium Sans"
SERIF_STACK = f"'{SERIF}', 'Source Serif 4', Georgia, serif"
"""What stands in an SVG's ``font-family``: our own family, then what a reader without it is likely to have."""

RANGES = {
    "latin": "U+0000-00FF,U+0131,U+0152-0153,U+02BB-02BC,U+02C6,U+02DA,U+02DC,U+0304,U+0308,U+0329,"
    "U+2000-206F,U+20AC,U+2122,U+2191,U+2193,U+2212,U+2215,U+FEFF,U+FFFD",
    "latin-ext": "U+0100-0130,U+0132-0151,U+0154-02BA,U+02BD-02C5,U+02C7-02CC,U+02CE-02D7,U+02DD-02FF,"
    "U+1D00-1DBF,U+1E00-1E9F,U+1EF2-1EFF,U+20A0-20AB,U+20AD-20C0,U+2113,U+2C60-2C7F,U+A720-A7FF",
}
"""Code points for which a page fetches each published file."""

SIGN_RANGE = "U+0394,U+03A9,U+2080-2089,U+2190,U+2192,U+25B3,U+266D-266F,U+1D12A-1D12B"
"""Code points of the signs that we add."""


@dataclass(frozen=True)
class Face:
    """One static cut of the serif family.

    Parameters
    ----------
    bold, italic : bool
    """

    bold: bool = False
    italic: bool = False

    @property
    def path(self) -> Path:
        """The ``.ttf`` file."""
        return FONT_FOLDER / f"sonorarium-serif-{600 if self.bold else 400}{'-italic' if self.italic else ''}.ttf"


ONE_AT_A_TIME = Lock()
"""The font library unpacks an outline when it is first used, which two threads must not do at once."""


def opened(face: Face) -> tuple[Any, dict[int, str], Any]:
    """The font, its character map and its outlines, opened once; outlines are used under `ONE_AT_A_TIME`."""
    with ONE_AT_A_TIME:
        return _opened(face)


@cache
def _opened(face: Face) -> tuple[Any, dict[int, str], Any]:
    from fontTools.ttLib import TTFont

    font = TTFont(face.path, lazy=True)
    for table in ("hmtx", "glyf"):
        font[table]  # read now, for later any thread may ask
    return font, font.getBestCmap(), font.getGlyphSet()


def text_width(text: str, face: Face = Face()) -> int:
    """Return the width of a text, in thousandths of the font size.

    Parameters
    ----------
    text : str
        One line. Characters that the font lacks count as wide as its empty box.
    face : Face
        Upright regular by default.

    Examples
    --------
    >>> text_width("V7") < text_width("VII7")
    True
    """
    font, names, _ = opened(face)
    advances = font["hmtx"].metrics
    return sum(advances[names.get(ord(sign), ".notdef")][0] for sign in text)


def text_outline(text: str, face: Face = Face()) -> str:
    """Return a text as an SVG path, baseline at 0, y downward, in thousandths of the font size.

    Parameters
    ----------
    text : str
        One line.
    face : Face

    Returns
    -------
    str
        The ``d`` attribute of a path; empty for an empty text.

    Examples
    --------
    >>> text_outline("I").startswith("M")
    True
    """
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.pens.transformPen import TransformPen

    font, names, outlines = opened(face)
    pen, at = SVGPathPen(outlines, ntos=lambda number: f"{number:.0f}"), 0
    with ONE_AT_A_TIME:
        for sign in text:
            name = names.get(ord(sign), ".notdef")
            outlines[name].draw(TransformPen(pen, (1, 0, 0, -1, at, 0)))
            at += font["hmtx"][name][0]
    return str(pen.getCommands())


def covers(text: str, face: Face = Face()) -> bool:
    """Whether the font has every character of a text.

    Examples
    --------
    >>> covers("B♭△7 → F♯ø7"), covers("語")
    (True, False)
    """
    return all(ord(sign) in opened(face)[1] for sign in text)


def font_face_css(url: str = "fonts") -> str:
    """Return the ``@font-face`` rules for a page.

    Parameters
    ----------
    url : str
        Address of the folder that serves the ``.woff2`` files, without a slash at its end.

    Examples
    --------
    >>> font_face_css("/fonts").count("@font-face")
    12
    """
    rules = []
    for family, package in ((SERIF, "source-serif-4"), (SANS, "source-sans-3")):
        for slope in ("normal", "italic"):
            for script, covered in RANGES.items():
                name = f"{package}-{script}-wght-{slope}.woff2"
                rules.append(_face_rule(family, f"{url}/{name}", slope, covered))
            signs = f"sonorarium-signs-{family.split()[1].lower()}.woff2"
            rules.append(_face_rule(family, f"{url}/{signs}", slope, SIGN_RANGE))
    return "\n".join(rules)


def _face_rule(family: str, address: str, slope: str, covered: str) -> str:
    """Write one rule. All rules of a family name the same weights: a browser asks one set of them at a time."""
    return (
        f"@font-face{{font-family:'{family}';src:url('{address}') format('woff2');font-weight:200 900;"
        f"font-style:{slope};font-display:swap;unicode-range:{covered}}}"
    )
