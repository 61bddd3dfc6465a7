"""The landscape as an image: each point against the landscape itself."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from lxml import etree
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family, find_family
from sonorarium.pcs.setclass import SetClass
from sonorarium.render.scape import ScapeSize, draw_likeness, draw_members
from sonorarium.score.analysis.landscape import Landscape, fitting_members, landscape, likeness
from sonorarium.score.reading import read_score

DEMO = Path(__file__).parents[2] / "demo" / "pieces"
SVG = "{http://www.w3.org/2000/svg}"
SIZE = ScapeSize(60, 20, 3)
D = collection("D double harmonic")


@pytest.fixture(scope="module")
def lamps() -> Landscape:
    return landscape(read_score(DEMO / "6-after-the-lamps.musicxml"))


def fields(drawing: str) -> dict[str, NDArray[np.bool_]]:
    """For each field of the image, by its words: whether it covers each point."""
    found = {}
    for path in etree.fromstring(drawing.encode()).findall(f"{SVG}path"):
        title = path.find(f"{SVG}title")
        if title is not None:
            covered = np.zeros((SIZE.rows, SIZE.columns), bool)
            for x, y, wide in re.findall(r"M(\d+) (\d+)h(\d+)v", path.get("d") or ""):
                covered[int(y) // 3, int(x) // 3 : (int(x) + int(wide)) // 3] = True
            found[title.text or ""] = covered
    return found


def test_the_same_set_is_where_the_landscape_says(lamps: Landscape) -> None:
    drawn = fields(draw_likeness(lamps, D, size=SIZE))["the same as D double harmonic"]
    assert np.array_equal(drawn, lamps.grid(60, 20) == D.mask)
    assert drawn.any()


def test_each_step_of_likeness_is_drawn_once(lamps: Landscape) -> None:
    drawn = fields(draw_likeness(lamps, D, size=SIZE))
    grid = lamps.grid(60, 20)
    like = np.where(grid >= 0, likeness(D)[grid], 0)
    assert np.array_equal(drawn["60 % to 70 % of the notes shared"], (like >= 0.6) & (like < 0.7))
    assert np.array_equal(sum(field.astype(int) for field in drawn.values()), (like >= 0.5).astype(int))


def test_a_class_is_likened_to_any_of_its_forms(lamps: Landscape) -> None:
    drawn = fields(draw_likeness(lamps, SetClass("7-22"), size=SIZE))["the same as 7-22"]
    assert drawn.sum() >= (lamps.grid(60, 20) == D.mask).sum()


def test_kinds_are_patterns_and_all_are_in_the_legend(lamps: Landscape) -> None:
    family = find_family("double-harmonic")
    drawing = draw_members(lamps, family, size=SIZE)
    drawn = fields(drawing)
    grid = lamps.grid(60, 20)
    member = np.where(grid >= 0, fitting_members(family)[grid], -1)
    kinds = np.array([m.kind.name for m in family.members] + [""])[member]
    by_kind = {words.partition(" on ")[0]: where for words, where in drawn.items()}
    assert set(by_kind) == set(np.unique(kinds)) - {""}
    for name, where in by_kind.items():
        assert np.array_equal(where, kinds == name)
    root = etree.fromstring(drawing.encode())
    assert set(drawn) <= {text.text for text in root.findall(f"{SVG}text")}
    patterns = [etree.tostring(p[0]) for p in root.iter(f"{SVG}pattern")]
    assert len(set(patterns)) == len(patterns)


def test_fields_carry_their_root_and_the_legend_lists_all(lamps: Landscape) -> None:
    drawing = draw_members(lamps, find_family("double-harmonic"), size=ScapeSize(360, 120, 2))
    root = etree.fromstring(drawing.encode())
    texts = [text.text or "" for text in root.findall(f"{SVG}text")]
    assert "D" in texts
    assert "harmonic major on D, F" in texts


def test_two_images_on_one_page_do_not_share_ids(lamps: Landscape) -> None:
    one, other = draw_likeness(lamps, D, size=SIZE), draw_members(lamps, default_family(), size=SIZE)
    ids = [set(re.findall(r'id="([^"]+)"', drawing)) for drawing in (one, other)]
    assert not ids[0] & ids[1]


def test_the_image_says_what_it_shows(lamps: Landscape) -> None:
    root = etree.fromstring(draw_likeness(lamps, D, size=SIZE).encode())
    assert (root.get("aria-label") or "").startswith("Likeness to D double harmonic: 50 % to 60 %")
    assert (root.get("data-columns"), root.get("data-rows"), root.get("data-pixel")) == ("60", "20", "3")


@pytest.mark.parametrize("size", [(0, 5, 1), (5, 5, 0), (5000, 5000, 1)])
def test_a_size_that_cannot_be_drawn_is_refused(size: tuple[int, int, int]) -> None:
    with pytest.raises(InputError, match="cannot be drawn"):
        ScapeSize(*size)
