"""How far ink reaches, checked against pictures of the drawings."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
from lxml import etree
from numpy.typing import NDArray
from PIL import Image

from sonorarium.render.engraving import Column, Engraving, PassageLook, engrave_notes, engrave_passage, scale
from sonorarium.render.extent import Box, ink, path_box, shape_box
from sonorarium.render.glyphs import SVG
from sonorarium.render.typesetting import paint
from sonorarium.score.reading import read_score
from tests.render.scores import CORPUS


def shape(text: str) -> Any:
    """One SVG element."""
    return etree.fromstring(text.replace(" ", f' xmlns="{SVG}" ', 1))


def ink_of(drawing: Engraving) -> NDArray[np.bool_]:
    """Which pixels of a picture have ink."""
    picture = Image.open(io.BytesIO(paint(drawing.svg, 1500)))
    return np.asarray(picture)[:, :, 3] > 8


def passage(name: str, first: int, last: int, **look: Any) -> Engraving:
    """An excerpt of an open score."""
    return engrave_passage(read_score(CORPUS / name), first, last, look=PassageLook(**look))


DRAWINGS = {
    "scale": lambda: engrave_notes(scale([(0, 0, 4), (4, -1, 5), (1, 1, 7)], ["1", "♭2", "a long word"])),
    "low chord": lambda: engrave_notes([Column(((0, -2, 1), (6, 1, 4)), above="B♭m7♭5/A♭", below="x")]),
    "quartet": lambda: passage("beethoven/opus133.mxl", 30, 33),
    "rag": lambda: passage("joplin/maple_leaf_rag.mxl", 14, 18, width_mm=90.0),
    "outlined": lambda: engrave_notes([Column(((4, 0, 4),), above="B♭m7", below="below")], outlined=True),
    "song": lambda: passage("leadSheet/fosterBrownHair.mxl", 4, 9),
}


@pytest.mark.parametrize("name", DRAWINGS)
def test_drawings_are_cropped_to_their_ink(name: str) -> None:
    """No ink touches the edge, and none of the four sides has much room to spare."""
    drawing = DRAWINGS[name]()
    pixels = ink_of(drawing)
    assert not pixels[0].any() and not pixels[-1].any()
    assert not pixels[:, 0].any() and not pixels[:, -1].any()
    rows, columns = np.flatnonzero(pixels.any(axis=1)), np.flatnonzero(pixels.any(axis=0))
    spare = max(rows[0], len(pixels) - 1 - rows[-1], columns[0], pixels.shape[1] - 1 - columns[-1])
    staff_space_px = 1500 / drawing.width_mm * {"scale": 10.0, "low chord": 10.0, "outlined": 10.0}.get(name, 7.0) / 4
    assert spare < 1.2 * staff_space_px


def test_shapes() -> None:
    assert shape_box(shape('<path d="M0 5 L10 5" stroke-width="2"/>')) == Box(-1, 4, 11, 6)
    assert shape_box(shape('<rect x="1" y="2" width="3" height="4"/>')) == Box(1, 2, 4, 6)
    assert shape_box(shape('<ellipse cx="5" cy="5" rx="2" ry="1"/>')) == Box(3, 4, 7, 6)
    assert shape_box(shape('<polygon points="0,0 4,0 4,2"/>')) == Box(0, 0, 4, 2)
    assert path_box(shape('<path d=""/>')) is None


def test_a_text_reaches_to_where_its_anchor_says() -> None:
    start, middle, end = (
        shape_box(shape(f'<text x="100" y="50" font-size="40" text-anchor="{anchor}">word</text>'))
        for anchor in ("start", "middle", "end")
    )
    assert start is not None and middle is not None and end is not None
    assert (start.left, end.right) == pytest.approx((100, 100))
    assert (middle.left + middle.right) / 2 == pytest.approx(100)
    assert [middle.width, end.width] == pytest.approx([start.width] * 2)


def test_nothing_has_no_extent() -> None:
    assert ink(shape("<g />")) == Box(0, 0, 0, 0)
