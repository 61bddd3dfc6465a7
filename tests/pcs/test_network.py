"""Networks, against voice-leading distances and published counts."""

from __future__ import annotations

from itertools import pairwise

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.distance import distance
from sonorarium.pcs.families import default_family
from sonorarium.pcs.network import Network, family_network, network
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass


def triads_and_augmented() -> Network:
    return network([*SetClass("3-11").forms, *SetClass("3-12").forms])


def test_cube_dance() -> None:
    # Douthett and Steinbach, Parsimonious graphs (1998), from memory: 24 triads and four augmented triads, each of
    # which touches six triads.
    cube = triads_and_augmented()
    assert len(cube.sets) == 28 and len(cube.edges) == 48 and cube.is_connected
    assert cube.degrees == (3,) * 24 + (6,) * 4


def test_edges_agree_with_the_voice_leading_distance() -> None:
    scales = [m for m in default_family() if m.cardinality == 7]
    net = network(scales)
    joined = {(edge.start, edge.end) for edge in net.edges}
    for i, one in enumerate(scales):
        for j, other in enumerate(scales[:i]):
            assert ((j, i) in joined) == (distance(one, other) == 1)
    for edge in net.edges:
        (leaving,), (arriving,) = edge.leaving, edge.arriving
        assert (arriving - leaving) % 12 in (1, 11)
        assert PcSet({*net.sets[edge.start]} - {leaving} | {arriving}) == net.sets[edge.end]


def test_splits_and_fuses() -> None:
    # Callender 1998, from memory: a whole-tone scale becomes an acoustic scale when one note splits, an octatonic
    # when two fuse; six ways and four for each scale.
    net = family_network(default_family(), splits=True)
    kinds = {name: name.split(" ", 1)[1] for name in net.names}
    found: dict[tuple[str, str, str], int] = {}
    for edge in net.edges:
        key = edge.kind, kinds[net.names[edge.start]], kinds[net.names[edge.end]]
        found[key] = found.get(key, 0) + 1
    splits = {key: count for key, count in found.items() if key[0] != "move"}
    assert splits == {("split", "acoustic", "octatonic"): 12, ("fuse", "acoustic", "whole tone"): 12}
    for edge in net.edges:
        if edge.kind != "move":
            assert distance(net.sets[edge.start], net.sets[edge.end]) == 2


def test_ways_agree_with_a_breadth_first_search_by_hand() -> None:
    cube = triads_and_augmented()
    start, end = cube.node(PcSet((0, 4, 7))), cube.node(PcSet((8, 0, 3)))
    way = cube.path(start, end)
    assert len(way) == 3 and way[0] == start and way[-1] == end
    assert all(b in cube.neighbours(a) for a, b in pairwise(way))
    assert cube.steps_from(start)[end] == 2 and cube.path(start, start) == (start,)


def test_what_does_not_hang_together() -> None:
    net = network([PcSet((0, 4, 7)), PcSet((0, 3, 7)), PcSet((0, 1, 2))], names=["C", "Cm", "cluster"])
    assert net.components == ((0, 1), (2,)) and not net.is_connected
    assert net.path(0, 2) == () and net.steps_from(0) == (0, 1, None)
    assert network([]).components == () and network([]).edges == ()


def test_what_is_no_network_is_refused() -> None:
    with pytest.raises(InputError, match="each set once"):
        network([PcSet((0,)), PcSet((0,))])
    with pytest.raises(InputError, match="2 sets and 1 names"):
        network([PcSet((0,)), PcSet((1,))], names=["C"])
    net = network([PcSet((0,))])
    with pytest.raises(InputError, match="no node 1"):
        net.neighbours(1)
    with pytest.raises(InputError, match="not in the network"):
        net.node(PcSet((5,)))
