"""Published counts, lists and exercises on set classes. The sources stand in ``catalogue.csv``."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row

CHECKS = Checks("catalogue")

SIZES = range(13)


def tn_sizes() -> list[int]:
    return [int(n) for n in tables.size()[catalogue.tn_masks()]]


def tni_sizes() -> list[int]:
    return [int(n) for n in tables.size()[catalogue.tni_masks()]]


def vectors_of_size(size: int) -> set[tuple[int, ...]]:
    return {tuple(v) for v in tables.vector()[tables.size() == size].tolist()}


@CHECKS.of("CAT-001")
def tn_count(row: Row) -> None:
    assert len(catalogue.tn_labels()) == row.value


@CHECKS.of("CAT-002")
def tni_count(row: Row) -> None:
    assert len(catalogue.tni_labels()) == row.value


@CHECKS.of("CAT-003")
def tni_by_size(row: Row) -> None:
    assert [tni_sizes().count(n) for n in SIZES] == row.value


@CHECKS.of("CAT-004")
def tn_by_size(row: Row) -> None:
    assert [tn_sizes().count(n) for n in SIZES] == row.value


@CHECKS.of("CAT-005")
def vectors_by_size(row: Row) -> None:
    assert [len(vectors_of_size(n)) for n in SIZES] == row.value


@CHECKS.of("CAT-007")
def middle_sizes(row: Row) -> None:
    middle = range(2, 11)
    assert row.value == {
        "TnI": sum(n in middle for n in tni_sizes()),
        "Tn": sum(n in middle for n in tn_sizes()),
        "iv": sum(len(vectors_of_size(n)) for n in middle),
    }


@CHECKS.of("CAT-010")
def aperiodic(row: Row) -> None:
    periodic = sum(PcSet.of_mask(int(m)).distinct_transpositions < 12 for m in catalogue.tn_masks())
    assert row.value == {"aperiodic": 352 - periodic, "periodic": periodic}


@CHECKS.of("CAT-011")
def with_complement(row: Row) -> None:
    both = np.minimum(tables.tn_prime(), tables.tn_prime()[::-1])  # the complement of mask m is 4095 - m
    assert len(np.unique(both)) == row.value


@CHECKS.of("CAT-014")
def two_to_twelve(row: Row) -> None:
    assert sum(n >= 2 for n in tn_sizes()) == row.value


@CHECKS.of("CAT-015")
def mirrors(row: Row) -> None:
    own = sum(SetClass(label).is_symmetrical for label in catalogue.tni_labels())
    assert row.value == {"symmetrical": own, "asymmetrical": 224 - own}


@CHECKS.of("CAT-016")
def mirrors_by_size(row: Row) -> None:
    own = Counter(c.cardinality for c in map(SetClass, catalogue.tni_labels()) if c.is_symmetrical)
    assert [own[n] for n in range(3, 7)] == row.value


@CHECKS.of("CAT-017", "CAT-019", "CAT-021", "CAT-022")
def two_prime_forms(row: Row) -> None:
    found = PcSet(row.input["pcs"])
    assert found.set_class == SetClass(row.input["set_class"])
    assert row.value == {"forte": list(found.prime_form_forte), "rahn": list(found.prime_form)}


@CHECKS.of("CAT-023")
def classes_with_two_prime_forms(row: Row) -> None:
    differ = [str(c) for c in map(SetClass, catalogue.tni_labels()) if c.prime_form != c.prime_form_forte]
    assert sorted(differ) == sorted(row.value)


@CHECKS.of("CAT-024")
def classes_with_two_normal_orders(row: Row) -> None:
    differ = tables.normal_start() != tables.normal_start_forte()
    assert int(differ[catalogue.tn_masks()].sum()) == row.value


@CHECKS.of("CAT-027", "CAT-028", "CAT-029", "CAT-030", "CAT-033", "CAT-034")
def listed_class(row: Row) -> None:
    found = SetClass(row.input["set_class"])
    assert row.value == {
        "prime": list(found.prime_form),
        "iv": list(found.interval_vector),
        "name": found.label,
    }


@CHECKS.of("CAT-037", "CAT-040", "CAT-042", "CAT-044", "CAT-047", "CAT-048", "CAT-049")
def exercise(row: Row) -> None:
    found = PcSet(row.input["pcs"])
    got = {
        "normal": list(found.normal_order),
        "prime": list(found.prime_form),
        "name": found.set_class.label,
        "iv": list(found.interval_vector),
    }
    assert {key: got[key] for key in row.value} == row.value


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
