"""Published statements about networks of scales, one row of ``networks.csv`` each, built anew."""

from __future__ import annotations

import pytest

from sonorarium.pcs.collection import collection
from sonorarium.pcs.distance import class_distance, distance
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Member
from sonorarium.pcs.kin import neighbours
from sonorarium.pcs.network import Network, network
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.kinds import KINDS
from tests.facts.table import Checks, Row

CHECKS = Checks("networks")


def members(*shorts: str) -> list[Member]:
    return [m for m in default_family() if m.kind in [KINDS[short] for short in shorts]]


def sevens() -> Network:
    return network(members("DIA", "ACO", "HMI", "HMA"))


@CHECKS.of("NET-002")
def _neighbours_by_kind(row: Row) -> None:
    net, scales = sevens(), members("DIA", "ACO", "HMI", "HMA")
    assert len(scales) == row.input["nodes"]
    for short, count in row.value.items():
        assert {net.degrees[i] for i, m in enumerate(scales) if m.kind == KINDS[short]} == {count}


@CHECKS.of("NET-003")
def _edges(row: Row) -> None:
    net = sevens()
    assert row.value == {"nodes": len(net.sets), "edges": len(net.edges), "connected": net.is_connected}


@CHECKS.of("NET-004")
def _ring_of_fifths(row: Row) -> None:
    net = network(members("DIA"))
    assert row.input["nodes"] == len(net.sets)
    assert row.value == {
        "edges": len(net.edges),
        "degrees": sorted(set(net.degrees)),
        "connected": net.is_connected,
    }


@CHECKS.of("NET-006")
def _shortest_way(row: Row) -> None:
    net = sevens()
    start, end = (net.node(PcSet(row.input[which])) for which in ("from", "to"))
    assert len(net.path(start, end)) - 1 == row.value == net.steps_from(start)[end]


@CHECKS.of("NET-007")
def _pentatonic_in_diatonic(row: Row) -> None:
    small, large = (SetClass(label) for label in row.input["sets"])
    inside = [sum(s <= scale for s in small.forms) for scale in large.forms]
    around = [sum(s <= scale for scale in large.forms) for s in small.forms]
    assert [set(inside), set(around)] == [{count} for count in row.value]
    assert small.count_in(large.representative) == row.value[0]


@CHECKS.of("NET-008", "NET-010")
def _members_that_hold_a_chord(row: Row) -> None:
    found = {holding.kind: holding.times for holding in default_family().holdings(PcSet(row.input["pcs"]))}
    assert {short: found[KINDS[short]] for short in row.value} == row.value


@CHECKS.of("NET-009")
def _keys_of_a_triad(row: Row) -> None:
    found = default_family().members_holding(PcSet(row.input["pcs"]))
    assert [m.root.pc for m in found if m.kind == KINDS["DIA"]] == row.value


@CHECKS.of("NET-011")
def _altered_scale(row: Row) -> None:
    parent = collection("Db melodic minor")
    assert list(parent.rising) == row.value
    mode = parent.modes[6]
    assert mode.root.pc == 0 and set(mode.rising) == set(row.input["pcs"]) and mode.name == "C altered"


@CHECKS.of("NET-012")
def _split(row: Row) -> None:
    start, end = PcSet(row.input["from"]), PcSet(row.input["to"])
    assert distance(start, end) == distance(start, end, free=True) == row.value
    (spread,) = [n for n in neighbours(start, kinds=("spread",)) if n.pcset == end]
    assert spread.semitones == row.value


@CHECKS.of("NET-013")
def _fuse(row: Row) -> None:
    start = SetClass(KINDS[row.input["from"]].label)
    ends = [SetClass(KINDS[short].label) for short in row.input["to"]]
    assert [class_distance(start, end) for end in ends] == row.value
    assert [class_distance(start, end, free=True) for end in ends] == row.value


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
