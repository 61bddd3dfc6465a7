"""Published statements about distances of sets and classes, one row of ``distance.csv`` each, measured anew.

Rows of ``leading.csv`` that speak of sets are measured here a second time, from the tables of `pcs`.
"""

from __future__ import annotations

from itertools import product

import pytest

from sonorarium.pcs import catalogue
from sonorarium.pcs.distance import class_distance, distance
from sonorarium.pcs.network import Network, network
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row, rows

CHECKS = Checks("distance")
LED = {row.id: row for row in rows("leading")}


def has_long_cycle(net: Network) -> bool:
    """Whether some component has a cycle of more than three nodes.

    Of a component without triangles any cycle is longer, and it has one if it has as many edges as nodes.
    """
    for part in net.components:
        edges = [edge for edge in net.edges if edge.start in part]
        triangles = any(set(net.neighbours(e.start)) & set(net.neighbours(e.end)) for e in edges)
        assert not triangles or len(part) == 3
        if len(edges) >= len(part) > 3:
            return True
    return False


@CHECKS.of("VLD-006")
def _maximally_smooth_cycles(row: Row) -> None:
    found = []
    for label in catalogue.tni_labels()[1:-1]:
        if has_long_cycle(network(SetClass(label).forms)):
            found.append(label)
    assert found == row.value


@CHECKS.of("VLD-018")
def _one_semitone_apart(row: Row) -> None:
    assert [class_distance(SetClass(a), SetClass(b)) for a, b in row.input["pairs"]] == row.value


@CHECKS.of("VLD-021")
def _kinds_of_equivalence(row: Row) -> None:
    symmetries = row.input["symmetries"]
    chords = list(product(("kept", "ignored"), repeat=symmetries))
    progressions = list(product(("kept", "ignored", "ignored chord by chord"), repeat=symmetries))
    assert [len(chords), len(progressions)] == row.value


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)


def test_moves_of_a_triad_by_the_tables() -> None:
    row = LED["VLD-001"]
    start = PcSet(row.input["from"])
    assert {name: distance(start, PcSet(pcs)) for name, pcs in row.input["to"].items()} == row.value


@pytest.mark.parametrize("row_id", ["VLD-009", "VLD-011"])
def test_transpositions_of_a_chord_by_the_tables(row_id: str) -> None:
    row = LED[row_id]
    start = PcSet(row.input["from"])
    assert [distance(start, start.transposed(n)) for n in row.input.get("T", range(12))] == row.value


@pytest.mark.parametrize(("row_id", "label"), [("VLD-016", "7-35"), ("VLD-017", "5-35")])
def test_circle_of_fifths_by_the_tables(row_id: str, label: str) -> None:
    start, row = SetClass(label).representative, LED[row_id]
    assert [distance(start, start.transposed(n)) for n in row.input["T"]] == row.value
