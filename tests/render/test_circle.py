"""Every note stands where a clock face of twelve has it; axes are axes; nothing is told by colour alone."""

from __future__ import annotations

import re
from math import atan2, hypot, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sonorarium.pcs import symmetry
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import spell_freely
from sonorarium.pcs.subject import subject
from sonorarium.render.circle import RADIUS, SIDE, Order, Round, draw_circles


def hours(drawing: str, radius: float) -> list[float]:
    """Where the filled discs of a radius stand, in twelfths of a turn from the top."""
    root = etree.fromstring(drawing.encode())
    found = []
    for disc in root.iterfind(".//{*}circle"):
        if disc.get("fill") != "none" and float(disc.get("r", "")) == radius:
            x, y = float(disc.get("cx", "")) - SIDE / 2, float(disc.get("cy", "")) - SIDE / 2
            assert hypot(x, y) == pytest.approx(RADIUS, abs=0.02)
            found.append(atan2(x, -y) / (2 * pi) * 12 % 12)
    return sorted(round(hour, 2) % 12 for hour in found)


@given(st.sets(st.integers(0, 11), min_size=1))
def test_discs_are_the_notes(pcs: set[int]) -> None:
    one = Round(spell_freely(tuple(sorted(pcs))), description="a set")
    assert hours(draw_circles([one]), 8) == sorted(pcs)
    assert hours(draw_circles([one], order="fifths"), 8) == sorted(7 * pc % 12 for pc in pcs)


def test_the_circle_of_fifths_runs_c_g_d_clockwise() -> None:
    """As every textbook prints it (common practice)."""
    drawing = draw_circles([Round(subject("C major").notes)], order="fifths")
    names = etree.fromstring(drawing.encode()).iterfind(".//{*}text")
    at = {one.text: (float(one.get("x", "")) - SIDE / 2, float(one.get("y", "")) - SIDE / 2) for one in names}
    assert sorted(at, key=lambda name: atan2(at[name][0], -at[name][1]) % (2 * pi) // 0.4)[:3] == ["C", "G", "D"]


@pytest.mark.parametrize("order", ["semitones", "fifths"])
@given(pcs=st.sets(st.integers(0, 11), min_size=3, max_size=9))
def test_axes_mirror_the_notes(order: Order, pcs: set[int]) -> None:
    pcset = PcSet(pcs)
    one = Round(spell_freely(pcset.pcs), axes=symmetry.axes(pcset))
    drawing = draw_circles([one], order=order)
    places = set(hours(drawing, 8))
    lines = re.findall(r'<path d="M([\d.]+) ([\d.]+)L[^"]*" fill="none"[^>]*stroke-dasharray="9 3', drawing)
    assert len(lines) == len(symmetry.axes(pcset))
    for x, y in lines:
        end = round(atan2(float(x) - SIDE / 2, SIDE / 2 - float(y)) / (2 * pi) * 24) / 2
        assert {(2 * end - place) % 12 for place in places} == places


def test_a_second_set_is_ringed_and_broken() -> None:
    scale, chord = subject("D double harmonic"), subject("Dmaj7")
    drawing = draw_circles([Round(scale.notes, scale.root, chord.notes, description="a chord in a scale")])
    root = etree.fromstring(drawing.encode())
    rings = [one for one in root.iterfind(".//{*}circle") if one.get("fill") == "none" and one.get("r") == "11.5"]
    assert len(rings) == 4
    assert root.find(".//{*}path[@stroke-dasharray='6 3.5']") is not None
    assert root.get("aria-label") == "a chord in a scale"


def test_circles_stand_in_rows() -> None:
    one = Round(subject("C major").notes, title="C major")
    root = etree.fromstring(draw_circles([one] * 5, across=3).encode())
    assert float(root.get("width", "")) == 3 * SIDE
    assert sum(text.text == "C major" for text in root.iterfind(".//{*}text")) == 5
