"""Published facts on complements and set complexes. The sources stand in ``complement.csv``."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row

CHECKS = Checks("complement")

TNI = [SetClass(label) for label in catalogue.tni_labels()]


def in_complexes(nexus: SetClass, size: int) -> tuple[set[str], set[str]]:
    """Classes of a size in the complexes K (in a class or its complement) and Kh (in both)."""
    classes = [c for c in TNI if c.cardinality == size]
    inside = {c.label for c in classes if c.count_in(nexus.representative)}
    outside = {c.label for c in classes if c.count_in(nexus.complement.representative)}
    return inside | outside, inside & outside


@CHECKS.of("CMP-001")
def vectors_of_complements(row: Row) -> None:
    size = tables.size().astype(int)[:, None]
    expected = tables.vector().astype(int) + (12 - 2 * size) // np.array([1, 1, 1, 1, 1, 2])
    assert np.array_equal(tables.vector()[::-1], expected) is row.value  # the complement of mask m is 4095 - m


@CHECKS.of("CMP-002")
def two_vectors(row: Row) -> None:
    small, large = (np.array(SetClass(label).interval_vector) for label in row.input["sets"])
    assert (large - small).tolist() == row.value


@CHECKS.of("CMP-003")
def hexachord_theorem(row: Row) -> None:
    six = np.flatnonzero(tables.size() == row.input["card"])
    assert len(six) == 924
    assert np.array_equal(tables.vector()[six], tables.vector()[tables.FULL ^ six]) is row.value


@CHECKS.of("CMP-004")
def ordinals_of_complements(row: Row) -> None:
    for found in TNI:
        if 2 <= found.cardinality <= 5:
            size, ordinal = found.label.split("-")
            assert (found.complement.label == f"{12 - int(size)}-{ordinal}") is row.value


@CHECKS.of("CMP-009")
def complexes_of_self_complementary(row: Row) -> None:
    own = [c for c in TNI if c.cardinality == row.input["card"] and c.complement == c]
    assert len(own) == 20
    for nexus in own:
        for size in range(2, 6):
            wide, narrow = in_complexes(nexus, size)
            assert (wide == narrow) is row.value


@CHECKS.of("CMP-011")
def complexes_about_one_nexus(row: Row) -> None:
    wide, narrow = in_complexes(SetClass(row.input["nexus"]), row.input["card"])
    assert row.value == {"K": len(wide), "Kh": len(narrow)}
    assert SetClass(row.input["nexus"]).complement == SetClass("6-Z43")


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
