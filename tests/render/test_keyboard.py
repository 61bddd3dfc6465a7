"""Keys lie as on a piano, and what sounds is on its own key."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sonorarium.errors import InputError
from sonorarium.render.keyboard import Keys, draw_keyboard

Box = tuple[float, float, bool]
EBONY = "#1c1916"


def keys_of(drawing: str) -> dict[int, Box]:
    """Left and right edge of every key, and whether it is black, by its place from the first."""
    rects = etree.fromstring(drawing.encode()).findall(".//{*}rect")
    boxes = [
        (float(r.get("x", "")), float(r.get("x", "")) + float(r.get("width", "")), r.get("fill") == EBONY)
        for r in rects
    ]
    return dict(enumerate(sorted(boxes, key=lambda box: (box[0] + box[1]) / 2)))


@given(st.sets(st.integers(0, 127), min_size=1, max_size=8))
def test_each_disc_is_on_its_key(pitches: set[int]) -> None:
    rising = tuple(sorted(pitches))
    keys = Keys(rising, {pitch: str(pitch) for pitch in rising})
    drawing = draw_keyboard(keys)
    first = keys.stretch[0]
    boxes = keys_of(drawing)
    middles = [float(c.get("cx", "")) for c in etree.fromstring(drawing.encode()).iterfind(".//{*}circle")]
    expected = [sum(boxes[pitch - first][:2]) / 2 for pitch in rising]
    assert sorted(middles) == pytest.approx(expected)
    assert [boxes[pitch - first][2] for pitch in rising] == [pitch % 12 in (1, 3, 6, 8, 10) for pitch in rising]


def test_a_stretch_begins_and_ends_between_white_keys() -> None:
    """C to B, and F to E where that is shorter: never with half a black key."""
    assert Keys((62,), {}).stretch == (60, 64)
    assert Keys((66, 70), {}).stretch == (65, 71)
    assert Keys((62, 73), {}).stretch == (60, 76)


def test_root_and_second_set_have_shapes_of_their_own() -> None:
    keys = Keys((60, 64, 67), {60: "C", 64: "E", 67: "G"}, root=0, others=(64, 71), description="C, E, G; E and B")
    root = etree.fromstring(draw_keyboard(keys).encode())
    rings = [c for c in root.iterfind(".//{*}circle") if c.get("fill") == "none"]
    assert len(rings) == 2
    assert len(root.findall(".//{*}path[@transform]")) == 1
    assert root.get("aria-label") == "C, E, G; E and B"


@pytest.mark.parametrize("pitches", [(), (-1,), (128,)])
def test_no_keys_for_what_does_not_sound(pitches: tuple[int, ...]) -> None:
    with pytest.raises(InputError, match="A keyboard needs notes from MIDI 0 to 127"):
        Keys(pitches, {})
