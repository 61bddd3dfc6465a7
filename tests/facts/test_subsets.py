"""Published statements about subsets, one row of ``subsets.csv`` each, counted anew."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.complexes import inclusion
from sonorarium.pcs.insides import insides
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.kinds import KINDS
from tests.facts.table import Checks, Row

CHECKS = Checks("subsets")


def classes(size: int) -> list[SetClass]:
    return [SetClass(label) for label in catalogue.tni_labels() if label.startswith(f"{size}-")]


def held(pcset: PcSet, size: int) -> list[str]:
    return [str(row.set_class) for row in insides(pcset, sizes=[size])]


@CHECKS.of("SUB-001")
def _all_trichord_hexachord(row: Row) -> None:
    assert [str(c) for c in classes(row.input["card"]) if len(held(c.representative, 3)) == 12] == row.value


@CHECKS.of("SUB-002")
def _all_interval_tetrachords(row: Row) -> None:
    found = [str(c) for c in classes(row.input["card"]) if all(r.times == 1 for r in insides(c, sizes=[2]))]
    assert [label for label in found if len(held(SetClass(label).representative, 2)) == 6] == row.value


@CHECKS.of("SUB-004")
def _hexachords_of_a_scale(row: Row) -> None:
    found = {str(r.set_class): r.times for r in insides(row.input["set"], sizes=[6])}
    assert {label: found[label] for label in row.input["subsets"]} == row.value


@CHECKS.of("SUB-007")
def _sevenths_of_the_diatonic(row: Row) -> None:
    scale = KINDS[row.input["set"]].pcset
    found = {str(r.set_class): r.times for r in insides(scale, sizes=[4], tn=True)}
    assert {label: found[label] for label in row.value} == row.value


@CHECKS.of("SUB-008")
def _kinds_of_sevenths(row: Row) -> None:
    stacks = {
        PcSet((0, a, a + b, a + b + c)).label
        for a in (3, 4)
        for b in (3, 4)
        for c in (3, 4)
        if (a, b, c) != (4, 4, 4)
    }
    assert len(stacks) == 7
    for name in row.input["scales"]:
        there = {str(r.set_class) for r in insides(KINDS[name].pcset, sizes=[4], tn=True)}
        assert len(stacks & there) == row.value[name]


@CHECKS.of("SUB-009", "SUB-010")
def _trichords_of_a_scale(row: Row) -> None:
    assert held(KINDS[row.input["set"]].pcset, 3) == row.value


@CHECKS.of("SUB-016")
def _trichord_in_common(row: Row) -> None:
    one, other = (PcSet(pcs) for pcs in row.input["pcs"])
    with_it = {str(c) for c in classes(4) if "3-11" in held(c.representative, 3)}
    assert ({str(one.set_class), str(other.set_class)} <= with_it) is row.value["share_3-11"]
    assert len(with_it - {str(one.set_class), str(other.set_class)}) == row.value["others"]


@CHECKS.of("SUB-020")
def _all_tetrachord_sets(row: Row) -> None:
    size = tables.size()[catalogue.tni_masks()]
    holds_all = (inclusion()[size == 4] > 0).all(axis=0)
    assert int((size == 4).sum()) == 29
    assert int(size[np.flatnonzero(holds_all)].min()) == row.value


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
