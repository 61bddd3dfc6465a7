"""Published facts on symmetry, operations and combinatoriality. The sources stand in ``symmetry.csv``."""

from __future__ import annotations

import pytest

from sonorarium.pcs import catalogue, symmetry, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row

CHECKS = Checks("symmetry")

HEXACHORDS = [c for c in map(SetClass, catalogue.tni_labels()) if c.cardinality == 6]


def combined(found: SetClass) -> symmetry.Combinatoriality:
    got = symmetry.combinatoriality(found.representative)
    assert got is not None
    return got


@CHECKS.of("SYM-003")
def limited_transpositions(row: Row) -> None:
    assert len(symmetry.limited_classes()) == row.value


@CHECKS.of("SYM-005")
def limited_classes(row: Row) -> None:
    assert {c.tni.label for c in symmetry.limited_classes()} == set(row.value)


@CHECKS.of("SYM-007")
def distinct_forms(row: Row) -> None:
    assert row.value == {label: SetClass(label).distinct_forms for label in row.input["set_classes"]}


@CHECKS.of("SYM-008")
def all_combinatorial(row: Row) -> None:
    assert row.value == {c.label: c.distinct_forms for c in HEXACHORDS if combined(c).is_all}


@CHECKS.of("SYM-011")
def inversionally_combinatorial(row: Row) -> None:
    assert sum(bool(combined(c).inversion) for c in HEXACHORDS) == row.value


@CHECKS.of("SYM-012")
def not_combinatorial(row: Row) -> None:
    found = combined(SetClass(row.input["set_class"]))
    assert row.value == {"P": bool(found.prime), "I": bool(found.inversion)}


@CHECKS.of("SYM-013")
def not_all_combinatorial(row: Row) -> None:
    assert row.value == {"all_combinatorial": combined(SetClass(row.input["set_class"])).is_all}


@CHECKS.of("SYM-014", "SYM-015", "SYM-016", "SYM-017", "SYM-018", "SYM-019")
def carried(row: Row) -> None:
    assert symmetry.operation(row.input["op"])(PcSet(row.input["pcs"])) == PcSet(row.value)


@CHECKS.of("SYM-021", "SYM-022")
def inversion_between(row: Row) -> None:
    found = symmetry.operations_between(PcSet(row.input["from"]), PcSet(row.input["to"]))
    assert [one.n for one in found if one.factor == 11] == row.value


@CHECKS.of("SYM-024")
def common_tones(row: Row) -> None:
    for mask in range(tables.SETS):
        notes = PcSet.of_mask(mask)
        shared = [len(notes & notes.transposed(n)) for n in range(1, 7)]
        vector = notes.interval_vector
        assert (shared == [*vector[:5], 2 * vector[5]]) is row.value


@CHECKS.of("SYM-027")
def multiplied(row: Row) -> None:
    k = symmetry.operation(row.input["op"]).factor
    assert row.value == {label: SetClass(label).multiplied(k).label for label in row.value}
    assert all(SetClass(label).multiplied(k).multiplied(k).label == label for label in row.value)


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
