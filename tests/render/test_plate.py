"""The cleaned drawing: ids, ink, size, words for those who do not see it."""

from __future__ import annotations

import re

import pytest
from lxml import etree

from sonorarium.render.engraving import Column, Engraving, engrave_notes, scale
from sonorarium.render.glyphs import SVG

LINE = scale([(0, 0, 4), (1, -1, 4)], ["1", "♭2"])


@pytest.fixture(scope="module")
def drawing() -> Engraving:
    return engrave_notes(LINE, description='C & "D♭"')


def test_it_is_an_image_with_a_name(drawing: Engraving) -> None:
    root = etree.fromstring(drawing.svg.encode())
    assert (root.get("role"), root.get("aria-label")) == ("img", 'C & "D♭"')
    assert drawing.description == 'C & "D♭"'
    assert drawing._repr_svg_() == drawing.svg


def test_natural_size_and_view_box_agree(drawing: Engraving) -> None:
    root = etree.fromstring(drawing.svg.encode())
    width, height = (float(number) for number in root.get("viewBox", "").split()[2:])
    assert root.get("width") == f"{drawing.width_mm:.2f}mm"
    assert drawing.width_mm / drawing.height_mm == pytest.approx(width / height, rel=0.01)


@pytest.mark.parametrize("staff_mm", [5.0, 10.0, 20.0])
def test_the_staff_is_as_high_as_asked(staff_mm: float) -> None:
    drawn = engrave_notes(LINE, staff_mm=staff_mm)
    root = etree.fromstring(drawn.svg.encode())
    staff = next(g for g in root.iter(f"{{{SVG}}}g") if g.get("class") == "staff")
    heights = [float(re.split(r"[ L]", line.get("d", ""))[1]) for line in staff if line.tag == f"{{{SVG}}}path"]
    units = float(root.get("viewBox", "").split()[2])
    assert (max(heights) - min(heights)) * drawn.width_mm / units == pytest.approx(staff_mm, rel=0.01)


def test_ink_takes_the_colour_of_the_page(drawing: Engraving) -> None:
    assert 'fill="currentColor"' in drawing.svg
    assert 'stroke="currentColor"' in drawing.svg
    assert "<style" not in drawing.svg
    assert "xlink" not in drawing.svg
    assert "#000" not in drawing.svg and "black" not in drawing.svg


def test_no_foreign_id_is_left(drawing: Engraving) -> None:
    ids = re.findall(r' id="([^"]*)"', drawing.svg)
    assert len(ids) == len(set(ids))
    assert len({name.split("-")[0] for name in ids}) == 1
    assert {name.split("-")[1] for name in ids} >= {"n0", "n1", "E0A2", "E260"}
    assert re.findall(r'data-note="(\d+)"', drawing.svg) == ["0", "1"]


def test_outlined_drawings_have_no_text() -> None:
    plain, outlined = engrave_notes(LINE), engrave_notes(LINE, outlined=True)
    assert "<text" in plain.svg
    assert "<text" not in outlined.svg


def test_signs_that_the_font_lacks_are_remarked() -> None:
    drawn = engrave_notes([Column(((0, 0, 4),), below="語 x")])
    assert drawn.remarks == ("Our font lacks these signs: 語",)
    assert engrave_notes(LINE).remarks == ()
