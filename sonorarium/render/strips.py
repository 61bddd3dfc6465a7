"""The strip: twelve cells in a row from the root upward, filled where the set has a note.

Strips are stacked so that common tones line up in columns. The cell of the root carries a small triangle above it; a
cell that a moved note has left is drawn dashed, the cell it came to is filled in the accent colour and ringed, so
that nothing depends on colour alone. Every strip has a text that says the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

CELL = 18
GAP = 4
_TOP = 12  # room for the root's triangle
INK, ACCENT, LINE, PAPER = "currentColor", "#0d6b5b", "#b9ad97", "none"


@dataclass(frozen=True)
class Strip:
    """One row of twelve cells.

    Parameters
    ----------
    heights : tuple of int
        Semitones of the notes above the first cell, each 0 to 11.
    root : int or None
        The cell marked as root.
    left, came : int or None
        The cell a moved note left, and the one it came to.
    label : str
        Text beside the strip; may be empty.
    description : str
        The same in words, for those who do not see it.
    """

    heights: tuple[int, ...]
    root: int | None = 0
    left: int | None = None
    came: int | None = None
    label: str = ""
    description: str = ""


def draw_strips(strips: Sequence[Strip], *, cells: int = 12, label_width: int = 0) -> str:
    """Draw strips under one another as one SVG.

    Parameters
    ----------
    strips : sequence of Strip
    cells : int
        12, or 13 to show the octave again.
    label_width : int
        Room for the labels at the right, in pixels; 0 leaves them out.

    Returns
    -------
    str
        A stand-alone SVG element.

    Examples
    --------
    >>> drawing = draw_strips([Strip((0, 4, 7), description="C, E and G")])
    >>> drawing.count("<rect"), 'aria-label="C, E and G"' in drawing
    (12, True)
    """
    row_height = CELL + GAP + _TOP
    width, height = cells * (CELL + GAP) + label_width, len(strips) * row_height
    words = "; ".join(s.description for s in strips if s.description)
    rows = "".join(
        f'<g transform="translate(0 {i * row_height})">{_row(strip, cells, label_width)}</g>'
        for i, strip in enumerate(strips)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="strips" role="img" aria-label="{escape(words)}" '
        f'width="{width}" height="{height}" viewBox="0 0 {width} {height}">{rows}</svg>'
    )


def _row(strip: Strip, cells: int, label_width: int) -> str:
    drawn = [_cell(strip, k) for k in range(cells)]
    if strip.root is not None:
        x = strip.root * (CELL + GAP) + CELL / 2
        drawn.append(f'<path d="M{x - 5} 2h10l-5 6z" fill="{INK}"/>')
    if label_width and strip.label:
        x, y = cells * (CELL + GAP) + 10, _TOP + CELL - 4
        words = f'font-family="Sonorarium Serif" font-size="15" fill="{INK}"'
        drawn.append(f'<text x="{x}" y="{y}" {words}>{escape(strip.label)}</text>')
    return "".join(drawn)


def _cell(strip: Strip, k: int) -> str:
    here = k % 12
    if here == strip.came:
        look = f'fill="{ACCENT}" stroke="{INK}" stroke-width="2"'
    elif here == strip.left:
        look = f'fill="{PAPER}" stroke="{ACCENT}" stroke-width="1.6" stroke-dasharray="3 2"'
    elif here in strip.heights:
        look = f'fill="{INK}" stroke="{INK}" stroke-width="1.2"'
    else:
        look = f'fill="{PAPER}" stroke="{LINE}" stroke-width="1.2"'
    return f'<rect x="{k * (CELL + GAP) + 1}" y="{_TOP}" width="{CELL - 2}" height="{CELL - 2}" rx="2.5" {look}/>'
