"""Frames around marked noteheads.

A marked note must be told from the others without colour. Each gets a rounded frame behind its head; marked
heads that touch share one frame, unless an unmarked head would be caught in it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from lxml import etree

from sonorarium.render.extent import Box, glyph_box
from sonorarium.render.glyphs import SVG

MARGIN = 62.0
"""Room between a notehead and its frame, inner units (a staff space has 180)."""


WIDEST = 2000.0
"""Further apart than this, in inner units, no two frames touch."""


def head_box(note: Any) -> Box | None:
    """The notehead of a note's group; None where it has none.

    Parameters
    ----------
    note : lxml element
        A group of class ``note``.
    """
    for group in note.iter(f"{{{SVG}}}g"):
        if group.get("class") == "notehead":
            for use in group.iter(f"{{{SVG}}}use"):
                return glyph_box(use)
    return None


def joined(marked: list[Box], others: list[Box]) -> list[Box]:
    """Join boxes that touch when framed, unless an unmarked head would be caught.

    Examples
    --------
    >>> low, high, between = Box(0, 360, 200, 540), Box(0, 0, 200, 180), Box(0, 180, 200, 360)
    >>> len(joined([low, between, high], [])), len(joined([low, high], [between]))
    (1, 2)
    """
    boxes: list[Box] = []
    for box in sorted(marked, key=lambda b: (b.left, b.top)):
        boxes = _absorbed(box, boxes, others)
    return boxes


def _absorbed(box: Box, boxes: list[Box], others: list[Box]) -> list[Box]:
    """Join a box with those that it touches, again and again as it grows; boxes come from left to right."""
    for at in range(len(boxes) - 1, -1, -1):
        both = box.around(boxes[at])
        if box.grown(MARGIN).meets(boxes[at].grown(MARGIN)) and not any(both.meets(other) for other in others):
            return _absorbed(both, boxes[:at] + boxes[at + 1 :], others)
        if boxes[at].right + WIDEST < box.left:
            break
    return [*boxes, box]


def frames(notes: Mapping[int, Any], marked: Collection[int], colour: str) -> list[Any]:
    """Return the frames of the marked notes as SVG elements, in order from left to right.

    Parameters
    ----------
    notes : mapping of int to lxml element
        Note groups by ordinal.
    marked : collection of int
    colour : str
        Of the line and, faintly, of the ground.
    """
    heads = {ordinal: box for ordinal, note in notes.items() if (box := head_box(note))}
    ours = [box for ordinal, box in heads.items() if ordinal in marked]
    others = [box for ordinal, box in heads.items() if ordinal not in marked]
    return [_frame(box.grown(MARGIN), colour) for box in sorted(joined(ours, others), key=lambda b: (b.left, b.top))]


def _frame(box: Box, colour: str) -> Any:
    """One rounded frame."""
    frame = etree.Element(f"{{{SVG}}}rect")
    frame.set("class", "mark")
    for name, value in (("x", box.left), ("y", box.top), ("width", box.width), ("height", box.height)):
        frame.set(name, f"{value:.0f}")
    frame.set("rx", f"{min(box.width, box.height) / 2:.0f}")
    frame.set("fill", colour)
    frame.set("fill-opacity", "0.14")
    frame.set("stroke", colour)
    frame.set("stroke-width", "30")
    return frame
