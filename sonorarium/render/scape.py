"""The landscape of a piece as an image: time across, length of segments upward.

The lowest row shows the shortest segments, the apex the whole piece. Each point is the set class, or the
collection, of the segment whose middle stands there. Two images:

* **likeness**: how like each segment is to a chosen set or class, as ink: paper below one half, darker in four steps,
  and a pattern of its own, in the accent colour, where they are the same;
* **members**: the collection of a family to which each segment belongs, where there is one alone that holds it and
  that it nearly fills: the pattern is the kind, the letter in a field the root.

Every pattern stands in a legend below. The page that shows an image can ask what lies under the pointer: the image
carries its columns and rows, and `sonorarium.score.analysis.landscape.Landscape.around` answers.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.family import Family, FamilyKind, Member
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.subject import subject
from sonorarium.render.strips import ACCENT, LINE
from sonorarium.render.typeface import SERIF_STACK
from sonorarium.score.analysis.landscape import Landscape, fitting_members, likeness

STEPS = (0.5, 0.6, 0.7, 0.85)
"""Likeness from which on each darker step holds."""

_INKS = (0.14, 0.3, 0.5, 0.75)
_LEGEND_LINE = 20
_PATTERNS = (
    '<path d="M0 3H6" stroke="currentColor" stroke-width="1.4"/>',
    '<path d="M3 0V6" stroke="currentColor" stroke-width="1.4"/>',
    '<path d="M-1 1L1 -1M0 6L6 0M5 7L7 5" stroke="currentColor" stroke-width="1.2"/>',
    '<path d="M-1 5L1 7M0 0L6 6M5 -1L7 1" stroke="currentColor" stroke-width="1.2"/>',
    '<circle cx="3" cy="3" r="1.5" fill="currentColor"/>',
    '<path d="M0 3H6M3 0V6" stroke="currentColor" stroke-width="1"/>',
    '<rect width="6" height="6" fill="currentColor" opacity=".55"/>',
    '<path d="M0 0H3V3H0zM3 3H6V6H3z" fill="currentColor" opacity=".8"/>',
)
_SAME = f'<rect width="6" height="6" fill="{ACCENT}"/><path d="M0 0L6 6" stroke="white" stroke-width="1"/>'

Cells = NDArray[np.int64]


@dataclass(frozen=True)
class ScapeSize:
    """The size of an image.

    Parameters
    ----------
    columns, rows : int
        Points across and upward.
    pixel : int
        Pixels of one point.
    """

    columns: int = 360
    rows: int = 120
    pixel: int = 2

    def __post_init__(self) -> None:
        if min(self.columns, self.rows, self.pixel) < 1 or self.columns * self.rows > 1_000_000:
            raise InputError(
                f"A landscape of {self.columns} by {self.rows} points cannot be drawn.",
                value=self,
                suggestion="Take 360 by 120 points, or a few times as many.",
            )


def draw_likeness(
    scape: Landscape, what: SetFacts | SetClass, *, name: str = "", size: ScapeSize | None = None
) -> str:
    """Draw how like each segment is to a chosen set or class.

    Parameters
    ----------
    scape : Landscape
    what : PcSet, Collection or SetClass
        A set means that set, a class any of its forms.
    name : str
        What it is called; by default its label, or its notes.
    size : ScapeSize, optional

    Returns
    -------
    str
        A stand-alone SVG element.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE, Score
    >>> from sonorarium.score.analysis.landscape import landscape
    >>> notes, bars = np.zeros(3, NOTE), np.array([(0, 3, "1", 3, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["pitch"] = np.arange(3), 1, (60, 64, 67)
    >>> drawing = draw_likeness(landscape(Score(notes, bars, (), ticks_per_quarter=1)), SetClass("3-11"))
    >>> drawing.startswith("<svg"), "the same as 3-11" in drawing
    (True, True)
    """
    size = size or ScapeSize()
    sets = scape.grid(size.columns, size.rows).astype(np.int64)
    table = likeness(what)
    steps = np.digitize(table, STEPS)
    steps[table == 1] = len(STEPS) + 1
    cells = np.where(sets >= 0, steps[sets], -1)
    cells[cells == 0] = -1
    name = name or (subject(what).title if isinstance(what, PcSet | SetClass) else str(what))
    inks = [f'<rect width="6" height="6" fill="currentColor" opacity="{ink}"/>' for ink in _INKS]
    ends = [*STEPS[1:], 1.0]
    legend = [f"{low:.0%} to {high:.0%} of the notes shared" for low, high in zip(STEPS, ends, strict=True)]
    patterns = dict(enumerate([*inks, _SAME], 1))
    words = dict(enumerate([*(w.replace("%", " %") for w in legend), f"the same as {name}"], 1))
    return _image(f"Likeness to {name}", cells, (patterns, words), size, "")


def draw_members(scape: Landscape, family: Family, *, size: ScapeSize | None = None) -> str:
    """Draw the collection of a family to which each segment belongs.

    Parameters
    ----------
    scape : Landscape
    family : Family
    size : ScapeSize, optional

    Returns
    -------
    str
        A stand-alone SVG element.
    """
    size = size or ScapeSize()
    sets = scape.grid(size.columns, size.rows).astype(np.int64)
    member = np.where(sets >= 0, fitting_members(family)[sets], -1)
    kind_of = np.array([family.kinds.index(m.kind) for m in family.members] + [-1])
    cells = kind_of[member]
    there = [k for k in range(len(family.kinds)) if (cells == k).any()]
    patterns = {k: _PATTERNS[k % len(_PATTERNS)] for k in there}
    found = [(family.members[m], member == m) for m in np.unique(member[member >= 0]).tolist()]
    found.sort(key=lambda pair: -int(pair[1].sum()))
    words = {k: f"{family.kinds[k].name} on {_roots(family.kinds[k], found)}" for k in there}
    labels = "".join(_label(m.root.sign, where, size) for m, where in found)
    return _image(f"The collections of {family.name}", cells, (patterns, words), size, labels)


def _roots(kind: FamilyKind, found: list[tuple[Member, NDArray[np.bool_]]]) -> str:
    """Roots of the members of a kind that are there, those with the largest fields first."""
    return ", ".join(member.root.sign for member, _ in found if member.kind == kind)


def _image(
    title: str, cells: Cells, looks: tuple[dict[int, str], dict[int, str]], size: ScapeSize, labels: str
) -> str:
    patterns, words = looks
    prefix = "s" + hashlib.sha256(title.encode() + cells.tobytes()).hexdigest()[:8]
    wide, high = size.columns * size.pixel, size.rows * size.pixel
    height = high + 16 + _LEGEND_LINE * len(patterns)
    defined = "".join(
        f'<pattern id="{prefix}-{k}" width="6" height="6" patternUnits="userSpaceOnUse">{drawn}</pattern>'
        for k, drawn in patterns.items()
    )
    fields = "".join(
        f'<path d="{_runs(cells == k, size.pixel)}" fill="url(#{prefix}-{k})">'
        f"<title>{escape(words[k])}</title></path>"
        for k in patterns
    )
    legend = "".join(
        f'<rect x="1" y="{high + 12 + _LEGEND_LINE * i}" width="26" height="14" stroke="{LINE}" '
        f'fill="url(#{prefix}-{k})"/>'
        f'<text x="36" y="{high + 24 + _LEGEND_LINE * i}" font-size="14">{escape(words[k])}</text>'
        for i, k in enumerate(patterns)
    )
    label = escape(f"{title}: {_shares(cells, words)}", quote=True)
    frame = f'<path d="M0 {high}H{wide}L{wide / 2} 0z" fill="none" stroke="{LINE}"/>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="scape" role="img" aria-label="{label}" width="{wide}" '
        f'height="{height}" viewBox="0 0 {wide} {height}" data-columns="{size.columns}" data-rows="{size.rows}" '
        f'data-pixel="{size.pixel}" font-family="{escape(SERIF_STACK, quote=True)}" fill="currentColor">'
        f"<defs>{defined}</defs>{fields}{frame}{labels}{legend}</svg>"
    )


def _shares(cells: Cells, words: dict[int, str]) -> str:
    """How much of the image each field takes, in words."""
    inside = cells.size / 2  # a triangle
    told = (f"{words[k]} {100 * (cells == k).sum() / inside:.0f} %" for k in words)
    return ", ".join(told) or "nothing"


def _runs(where: NDArray[np.bool_], pixel: int) -> str:
    """Path data of all points of a field: one bar for each run of them in a row."""
    return "".join(
        f"M{first * pixel} {row * pixel}h{(last - first) * pixel}v{pixel}h-{(last - first) * pixel}z"
        for row, first, last in _run_ends(where)
    )


def _run_ends(where: NDArray[np.bool_]) -> Iterator[tuple[int, int, int]]:
    """Row, first column, and the column after the last, of every run."""
    edges = np.diff(where.astype(np.int8), axis=1, prepend=0, append=0)
    rows, firsts = np.nonzero(edges == 1)
    lasts = np.nonzero(edges == -1)[1]
    yield from zip(rows.tolist(), firsts.tolist(), lasts.tolist(), strict=True)


def _label(name: str, where: NDArray[np.bool_], size: ScapeSize) -> str:
    """The root of a member in the middle of its longest run, if there is room for it."""
    row, first, last = max(_run_ends(where), key=lambda run: run[2] - run[1])
    if (last - first) * size.pixel < 10 + 8 * len(name):
        return ""
    x, y = (first + last) / 2 * size.pixel, max(14, row * size.pixel + 4)
    return (
        f'<text x="{x}" y="{y}" font-size="14" text-anchor="middle" paint-order="stroke" stroke="#fdf8ee" '
        f'stroke-width="4">{escape(name)}</text>'
    )
