"""The circle of the twelve pitch classes, as textbooks draw it: C at the top, clockwise by semitones or by fifths.

* a disc: the set has the note; a tick: it has not;
* the sides of the polygon join neighbouring notes of the set;
* a triangle outside the circle points to the root;
* a second set is a polygon of its own, in the accent colour, its line broken and its notes ringed;
* axes of symmetry are drawn through, dash and dot.

Order by semitones shows steps and clusters, order by fifths shows how near to one another the names are (common
practice).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import cos, pi, sin
from typing import Literal, TypeAlias

from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.render.pen import (
    ACCENT,
    Point,
    Stroke,
    disc,
    figure,
    path,
    polygon,
    ring,
    root_mark,
    text,
    width,
)

Order: TypeAlias = Literal["semitones", "fifths"]
"""By what the notes follow one another."""

RADIUS, SIDE, TITLE = 108, 326, 40
_NAME, _LOWER = 144, 6  # how far out the names stand; how far a baseline lies under the middle of its letters
_AXIS = Stroke(dash="9 3 1.5 3", opacity=0.75)


@dataclass(frozen=True)
class Round:
    """One circle.

    Parameters
    ----------
    notes : tuple of Spelled
        The set, by name.
    root : Spelled, optional
        Marked where it is given.
    others : tuple of Spelled
        A second set, drawn into the first.
    axes : tuple of (Fraction, Fraction)
        Axes of symmetry by the pitch classes, or points half way between two, where they meet the circle.
    title : str
        Under the circle.
    description : str
        The same in words.
    """

    notes: tuple[Spelled, ...]
    root: Spelled | None = None
    others: tuple[Spelled, ...] = ()
    axes: tuple[tuple[Fraction, Fraction], ...] = ()
    title: str = ""
    description: str = ""


def draw_circles(rounds: Sequence[Round], *, order: Order = "semitones", across: int = 3) -> str:
    """Draw circles side by side as one SVG.

    Parameters
    ----------
    rounds : sequence of Round
    order : {"semitones", "fifths"}
    across : int
        At most so many in a row.

    Returns
    -------
    str
        A stand-alone SVG element.

    Examples
    --------
    >>> drawing = draw_circles([Round((Spelled(0), Spelled(2), Spelled(4)), description="C, E and G")])
    >>> drawing.count("<circle"), 'aria-label="C, E and G"' in drawing
    (4, True)
    """
    columns = min(across, len(rounds))
    high = SIDE + (TITLE if any(one.title for one in rounds) else 0)
    wide = max([SIDE, *(width(one.title, 17) + 24 for one in rounds)])
    parts = []
    for i, one in enumerate(rounds):
        middle = wide * (i % columns + 0.5), high * (i // columns) + SIDE / 2
        parts.append("".join(_round(one, middle, 7 if order == "fifths" else 1)))
    rows = -(-len(rounds) // max(1, columns))
    words = "; ".join(one.description for one in rounds if one.description)
    return figure("circle", (wide * columns, high * rows), words, parts)


def _round(one: Round, middle: Point, factor: int) -> list[str]:
    def place(pc: float, radius: float) -> Point:
        turn = 2 * pi * (factor * pc % 12) / 12
        return middle[0] + radius * sin(turn), middle[1] - radius * cos(turn)

    names = {name.pc: name for name in spell_in((*one.notes, *one.others), range(12))}
    held = {note.pc for note in one.notes}
    second = {note.pc for note in one.others}
    drawn = [ring(middle, RADIUS, Stroke(opacity=0.5))]
    drawn += [path([place(float(a), RADIUS + 10), place(float(b), RADIUS + 10)], _AXIS) for a, b in one.axes]
    drawn += _sides(held, factor, place, Stroke(1.6))
    drawn += _sides(second, factor, place, Stroke(2.2, ACCENT, "6 3.5"))
    for pc in range(12):
        drawn += _note(pc, place, held=pc in held, second=pc in second)
        x, y = place(pc, _NAME)
        strong = pc in held | second
        drawn.append(text((x, y + _LOWER), names[pc].sign, 18 if strong else 15, bold=strong, faint=not strong))
    if one.root:
        drawn.append(root_mark(place(one.root.pc, RADIUS + 13), 30 * (factor * one.root.pc % 12)))
    if one.title:
        drawn.append(text((middle[0], middle[1] + SIDE / 2 + 24), one.title, 17))
    return drawn


Placing: TypeAlias = Callable[[float, float], Point]
"""From a pitch class, or a place between two, and a distance from the middle to a point."""


def _note(pc: int, place: Placing, *, held: bool, second: bool) -> list[str]:
    """The mark of one pitch class on the circle."""
    at = place(pc, RADIUS)
    rings = [ring(at, 11.5, Stroke(2.2, ACCENT))] if second else []
    if held:
        return [disc(at, 8), *rings]
    return [disc(at, 4, ACCENT), *rings] if second else [path([place(pc, RADIUS - 4), place(pc, RADIUS + 4)])]


def _sides(held: set[int], factor: int, place: Placing, stroke: Stroke) -> list[str]:
    """The polygon of a set: its notes in the order of the circle."""
    corners = [place(pc, RADIUS) for pc in sorted(held, key=lambda pc: factor * pc % 12)]
    if len(corners) < 2:
        return []
    return [polygon(corners, stroke)] if len(corners) > 2 else [path(corners, stroke)]
