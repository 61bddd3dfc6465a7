"""Published statements about families of scales, one row of ``families.csv`` each, derived anew."""

from __future__ import annotations

from itertools import product

import pytest

from sonorarium.pcs import tables
from sonorarium.pcs.commontones import common_tones
from sonorarium.pcs.families import default_family
from sonorarium.pcs.familyrule import FamilyRule, times_held
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.sisters import sisters
from tests.facts.kinds import KINDS
from tests.facts.table import Checks, Row

CHECKS = Checks("families")


def spaced(**conditions: object) -> list[str]:
    rule = FamilyRule(without=("3-1",), **conditions)  # type: ignore[arg-type]
    return [PcSet.of_mask(mask).label for mask in rule.masks()]


def scales_of(seconds: list[int], thirds: list[int], sizes: range) -> set[PcSet]:
    """Every scale on C whose steps and pairs of steps are among those given, by writing out the steps."""
    found = set()
    for size in sizes:
        for steps in product(seconds, repeat=size):
            pairs = (a + b for a, b in zip(steps, steps[1:] + steps[:1], strict=True))
            if sum(steps) == 12 and all(pair in thirds for pair in pairs):
                found.add(PcSet(sum(steps[:i]) for i in range(size)))
    return found


@CHECKS.of("FAM-001")
def _seven_kinds(row: Row) -> None:
    assert SetClass("3-1").prime_form == tuple(row.input["forbid"])
    assert sorted(spaced(maximal=True)) == sorted(row.value)
    assert sorted(kind.label for kind in default_family().kinds) == sorted(row.value)


@CHECKS.of("FAM-004")
def _each_lies_in_a_member(row: Row) -> None:
    free = [m for m in range(tables.SETS) if times_held(SetClass("3-1"))[m] == 0]
    assert len(free) == row.input["sets"]
    assert all(default_family().members_holding(PcSet.of_mask(m)) for m in free) is row.value


@CHECKS.of("FAM-006")
def _classes_by_size(row: Row) -> None:
    found = {PcSet.of_mask(m).set_class for m in range(4096) if times_held(SetClass("3-1"))[m] == 0}
    sizes = [c.cardinality for c in found]
    assert [sizes.count(size) for size in range(9)] == row.value


@CHECKS.of("FAM-007")
def _seven_note_types(row: Row) -> None:
    assert spaced(notes=(row.input["card"],)) == row.value


@CHECKS.of("FAM-008")
def _locally_diatonic(row: Row) -> None:
    found = scales_of(row.input["seconds"], row.input["thirds"], range(5, 10))
    assert sorted({scale.label for scale in found}) == row.value
    assert set(row.value) <= {kind.label for kind in default_family().kinds}


@CHECKS.of("FAM-009")
def _thirds_minor_or_major(row: Row) -> None:
    size = row.input["card"]
    found = scales_of([1, 2, 3], row.input["thirds"], range(size, size + 1))
    assert sorted({scale.label for scale in found}) == row.value["families"]
    assert len(found) == row.value["modes"]


@CHECKS.of("FAM-011", "FAM-012", "FAM-014", "FAM-017", "FAM-018", "FAM-019", "FAM-020", "FAM-021", "FAM-022")
def _most_notes_shared(row: Row) -> None:
    found = common_tones(default_family())
    assert found.most(KINDS[row.input["a"]], KINDS[row.input["b"]]) == row.value


@CHECKS.of("FAM-024", "FAM-025")
def _all_but_one_note(row: Row) -> None:
    notes = PcSet(row.input["pcs"])
    for short, count in row.value.items():
        kind = KINDS[short]
        wanted = min(len(kind.pcs), len(notes)) - 1
        near = [m for m in default_family() if m.kind == kind and len(m.pcset & notes) == wanted]
        assert len(near) == count


@CHECKS.of("FAM-026")
def _members_on_c(row: Row) -> None:
    for short, pcs in row.input["pcs"].items():
        assert PcSet(pcs).label == row.value[short] == KINDS[short].label
        assert default_family().kind_of(PcSet(pcs)) == KINDS[short]


@CHECKS.of("FAM-027")
def _only_in_the_harmonic_scales(row: Row) -> None:
    for name, mirror in (("harmonic minor", "harmonic major"), ("harmonic major", "harmonic minor")):
        table = sisters(f"C {name}", sizes=row.input["card"], aside=[mirror])
        for size, labels in row.value.items():
            assert [str(r.set_class) for r in table.only_here if r.set_class.cardinality == int(size)] == labels


@CHECKS.of("FAM-028")
def _eight_and_nine_notes(row: Row) -> None:
    assert {str(size): spaced(notes=(size,)) for size in row.input["card"]} == row.value


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
