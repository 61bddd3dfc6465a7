"""Strips of several collections under one another, what they share made plain.

The columns are the pitch classes from a chosen one upward, so that a note which two collections share stands in one
column; or, where collections are compared from their roots, the degrees.

* a filled cell: the collection has the note; a bar joins it to the same note of the next collection, so that what is
  kept runs on as an unbroken column;
* a ringed cell in the accent colour: no other of the collections has the note;
* an empty cell: the collection has not the note;
* a triangle over a cell: the root.

Under the strips a dot stands in each column that all collections share. The cells are those of
`sonorarium.render.strips`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.render.pen import ACCENT, LINE, Stroke, disc, figure, num, path, root_mark, text, width

CELL, GAP, LINE_HEIGHT = 30, 6, 54
_HEAD, _FOOT, _LEFT, _ROOM = 34, 26, 6, 18


@dataclass(frozen=True)
class Row:
    """One collection.

    Parameters
    ----------
    columns : tuple of int
        Columns of its notes, each 0 to 11.
    root : int or None
        Column of the root.
    label, title : str
        At its right: the class, and what it is called.
    description : str
        The same in words.
    """

    columns: tuple[int, ...]
    root: int | None
    label: str
    title: str
    description: str = ""


def draw_alignment(rows: Sequence[Row], heads: Sequence[str]) -> str:
    """Draw strips under one another as one SVG.

    Parameters
    ----------
    rows : sequence of Row
        At least one.
    heads : sequence of str
        What stands over the twelve columns.

    Returns
    -------
    str
        A stand-alone SVG element.

    Raises
    ------
    InputError
        Where there are no rows, or not twelve heads.

    Examples
    --------
    >>> rows = [Row((0, 4, 7), 0, "3-11B", "C", "C, E and G"), Row((0, 3, 7), 0, "3-11A", "Cm", "C, E♭ and G")]
    >>> drawing = draw_alignment(rows, "C D♭ D E♭ E F G♭ G A♭ A B♭ B".split())
    >>> drawing.count("<rect"), drawing.count("<circle"), 'aria-label="C, E and G; C, E♭ and G"' in drawing
    (26, 2, True)
    """
    if not rows or len(heads) != 12:
        raise InputError("An alignment needs a collection, and twelve columns.", value=(len(rows), len(heads)))
    words = [f"{row.label}  {row.title}" for row in rows]
    size = _x(12) + _ROOM + max(width(one, 17, bold=True) for one in words), _y(len(rows)) + _FOOT
    parts = [text((_x(k) + CELL / 2, _HEAD - 14), head, 15) for k, head in enumerate(heads) if head]
    parts += [part for i in range(len(rows) - 1) for part in _bars(i, rows[i], rows[i + 1])]
    for i, row in enumerate(rows):
        others = {k for j, other in enumerate(rows) if j != i for k in other.columns}
        parts += _strip(row, i, others if len(rows) > 1 else set(row.columns))
    shared = set.intersection(*(set(row.columns) for row in rows)) if len(rows) > 1 else set()
    parts += [disc((_x(k) + CELL / 2, _y(len(rows)) + 6), 4) for k in sorted(shared)]
    if shared:
        parts.append(text((_x(12) + _ROOM - GAP, _y(len(rows)) + 11), "in all of them", 15, anchor="start"))
    return figure("alignment", size, "; ".join(row.description for row in rows if row.description), parts)


def _x(column: int) -> float:
    return _LEFT + column * (CELL + GAP)


def _y(row: int) -> float:
    return _HEAD + row * LINE_HEIGHT


def _bars(i: int, row: Row, below: Row) -> list[str]:
    """What joins the notes that a strip shares with the next."""
    top, bottom = _y(i) + CELL + 7, _y(i + 1) + 7
    kept = sorted(set(row.columns) & set(below.columns))
    return [path([(_x(k) + CELL / 2, top), (_x(k) + CELL / 2, bottom)], Stroke(3)) for k in kept]


def _strip(row: Row, i: int, others: set[int]) -> list[str]:
    top = _y(i) + 8
    drawn = [_cell(_x(k), top, held=k in row.columns, own=k not in others) for k in range(12)]
    if row.root is not None:
        drawn.append(root_mark((_x(row.root) + 7, top - 2)))
    where = _x(12) + _ROOM - GAP
    drawn.append(text((where, top + CELL - 9), row.label, 17, anchor="start", bold=True))
    title = where + width(f"{row.label}  ", 17, bold=True)
    return [*drawn, text((title, top + CELL - 9), row.title, 17, anchor="start")]


def _cell(x: float, y: float, *, held: bool, own: bool) -> str:
    if not held:
        return _box(x, y, "none", Stroke(1.2, LINE))
    if not own:
        return _box(x, y, "currentColor", Stroke(1.2))
    return _box(x, y, ACCENT, Stroke(1.2), inset=4) + _box(x, y, "none", Stroke(2), inset=-0.6)


def _box(x: float, y: float, fill: str, stroke: Stroke, *, inset: float = 0.6) -> str:
    size = num(CELL - 2 * inset)
    return (
        f'<rect x="{num(x + inset)}" y="{num(y + inset)}" width="{size}" height="{size}" rx="3.5" '
        f'fill="{fill}"{stroke.attributes}/>'
    )
