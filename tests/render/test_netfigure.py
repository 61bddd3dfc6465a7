"""Networks on the page: near sets stand near, frames do not touch, and every line is told in words."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family
from sonorarium.pcs.network import Network, family_network, network
from sonorarium.pcs.pcset import PcSet
from sonorarium.render.netfigure import FRAME, draw_network, layout, place_nodes

ROOTS = ["C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B"]


def diatonic() -> Network:
    members = [m for m in default_family() if m.kind.name == "diatonic"]
    return network(members, names=[m.root.sign for m in members])


def triads() -> Network:
    """The major, minor and augmented triads: Douthett & Steinbach, Parsimonious graphs (1998), "Cube Dance"."""
    fifths = [PcSet((n, (n + third) % 12, (n + 7) % 12)) for n in range(12) for third in (4, 3)]
    names = [ROOTS[n] + kind for n in range(12) for kind in ("", "m")]
    augmented = [PcSet((n, n + 4, n + 8)) for n in range(4)]
    return network([*fifths, *augmented], names=[*names, *(f"{ROOTS[n]}+" for n in range(4))])


def test_the_diatonic_scales_form_a_circle_of_fifths() -> None:
    net = diatonic()
    at = place_nodes(net, np.full(12, 40.0))
    middle = at.mean(axis=0)
    far = np.hypot(*(at - middle).T)
    assert far.max() / far.min() < 1.02
    turn = np.arctan2(at[:, 0] - middle[0], middle[1] - at[:, 1]) % (2 * np.pi)
    clockwise = [net.names[i] for i in np.argsort(np.round(turn, 6) % round(2 * np.pi, 6))]
    assert clockwise == ["C", "G", "D", "A", "E", "B", "F♯", "D♭", "A♭", "E♭", "B♭", "F"]


def test_triads_make_four_cubes_joined_at_their_corners() -> None:
    """The four augmented triads are a quarter of a turn apart, each between two groups of six."""
    net = triads()
    assert len(net.edges) == 48
    at = layout(net)
    middle = at.mean(axis=0)
    turn = np.sort(np.degrees(np.arctan2(*(at[24:] - middle).T)) % 360)
    assert np.diff(turn, append=turn[0] + 360) == pytest.approx([90] * 4, abs=8)


@settings(max_examples=25, deadline=None)
@given(st.sets(st.integers(1, 4095), min_size=1, max_size=14), st.booleans())
def test_frames_do_not_touch(masks: set[int], worded: bool) -> None:
    net = network([PcSet.of_mask(mask) for mask in sorted(masks)])
    wide = np.array([60.0 + 13 * (i % 5) for i in range(len(masks))])
    at = place_nodes(net, wide, worded=worded)
    across, down = np.abs(at[:, None] - at).transpose(2, 0, 1)
    touch = (across < (wide[:, None] + wide) / 2) & (down < FRAME)
    assert np.argwhere(touch).tolist() == [[i, i] for i in range(len(masks))]


def test_neighbours_stand_nearer_than_others() -> None:
    net = diatonic()
    at = layout(net)
    far = np.hypot(*(at[:, None] - at).transpose(2, 0, 1))
    steps = np.array([[s or 0 for s in net.steps_from(i)] for i in range(12)])
    means = [far[steps == k].mean() for k in range(1, 7)]
    assert means == sorted(means)


def test_the_same_network_gives_the_same_figure() -> None:
    assert draw_network(triads()) == draw_network(triads())


def test_a_way_is_told_by_numbers_and_width() -> None:
    net = diatonic()
    way = net.path(0, 4)
    root = etree.fromstring(draw_network(net, way=way, description="twelve scales").encode())
    said = [one.text or "" for one in root.iterfind(".//{*}text")]
    assert {f"{i}. {net.names[node]}" for i, node in enumerate(way, 1)} <= set(said)
    assert len(root.findall(".//{*}path[@stroke-width='3']")) == 4
    assert root.get("aria-label") == "twelve scales"


def test_words_on_a_line_are_read_in_the_order_of_the_sets() -> None:
    net = network([PcSet((0, 4, 7)), PcSet((0, 3, 7)), PcSet((0, 3, 6))], names=["C", "Cm", "C°"])
    words = dict(zip(net.edges, [("E", "E♭"), ("G", "G♭")], strict=True))
    root = etree.fromstring(draw_network(net, words=words).encode())
    at = {one.text: (float(one.get("x", "")), float(one.get("y", ""))) for one in root.iterfind(".//{*}text")}
    first = at["C"] < at["Cm"] if abs(at["C"][0] - at["Cm"][0]) > FRAME else at["C"][1] < at["Cm"][1]
    assert ("E–E♭" if first else "E♭–E") in at


def test_lines_of_splits_are_broken() -> None:
    net = family_network(default_family(), splits=True)
    root = etree.fromstring(draw_network(net).encode())
    assert len(root.findall(".//{*}rect")) == 57
    assert root.find(".//{*}path[@stroke-dasharray='5 4']") is not None


def test_no_frame_lies_outside_the_drawing() -> None:
    root = etree.fromstring(draw_network(family_network(default_family())).encode())
    wide, high = float(root.get("width", "")), float(root.get("height", ""))
    for box in root.iterfind(".//{*}rect"):
        x, y = float(box.get("x", "")), float(box.get("y", ""))
        assert x >= 0
        assert y >= 0
        assert x + float(box.get("width", "")) <= wide
        assert y + float(box.get("height", "")) <= high


@pytest.mark.parametrize("count", [0, 65])
def test_too_many_or_none_are_refused(count: int) -> None:
    net = network([PcSet.of_mask(mask) for mask in range(1, count + 1)])
    with pytest.raises(InputError, match=f"A network of {count} sets cannot be drawn"):
        draw_network(net)
