"""Published facts on well-formed scales, Myhill's property, variety and propriety.

The sources stand in ``wellformed.csv``.
"""

from __future__ import annotations

from math import log2

import pytest

from sonorarium.pcs import catalogue, coherence, generated, rothenberg, spectrum, tables, variety
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row

CHECKS = Checks("wellformed")

TNI = [SetClass(label) for label in catalogue.tni_labels()]
KIND = {"strict": "strictly proper", "proper": "proper", "improper": "improper"}


@CHECKS.of("WFS-001", "WFS-015")
def generic_intervals(row: Row) -> None:
    notes = PcSet(row.input["pcs"])
    expected = row.value["spectrum"] if isinstance(row.value, dict) else row.value
    assert [list(sizes) for sizes in spectrum.spectrum(notes)] == expected
    if isinstance(row.value, dict):
        steps = list(notes.steps)  # the source begins on the keynote, the set on its lowest pitch class
        at = sorted(row.input["pcs"]).index(row.input["pcs"][0])
        assert steps[at:] + steps[:at] == row.value["steps"]
    else:
        assert generated.has_myhill_property(notes)


@CHECKS.of("WFS-002")
def well_formed_is_myhill(row: Row) -> None:
    for mask in range(tables.SETS):
        notes = PcSet.of_mask(mask)
        if 2 <= len(notes) <= 11:
            formed = generated.is_well_formed(notes) and not generated.is_degenerate(notes)
            assert (formed == generated.has_myhill_property(notes)) is row.value


@CHECKS.of("WFS-003")
def myhill_classes(row: Row) -> None:
    assert [c.label for c in TNI if generated.has_myhill_property(c.representative)] == row.value


@CHECKS.of("WFS-004")
def just_fifths(row: Row) -> None:
    assert row.input["generator"] == "log2(3/2)"
    assert list(generated.well_formed_sizes(log2(3 / 2), row.input["max"])) == row.value


@CHECKS.of("WFS-005")
def steps_of_the_generator(row: Row) -> None:
    assert [generated.generator_steps(row.input["N"], g) for g in row.input["g"]] == row.value


@CHECKS.of("WFS-006")
def triads(row: Row) -> None:
    found = variety.kinds(PcSet(row.input["pcs"]), tuple(row.input["generic"]))
    assert row.value == {"varieties": len(found), "counts": sorted(found.values())}
    assert found == {(0, 3, 6): 1, (0, 3, 7): 3, (0, 4, 7): 3}


@CHECKS.of("WFS-007")
def multiplicities(row: Row) -> None:
    major = PcSet((0, 2, 4, 5, 7, 9, 11))
    assert [list(variety.multiplicities(major, tuple(figure))) for figure in row.input["generic"]] == row.value


@CHECKS.of("WFS-008")
def cardinality_equals_variety(row: Row) -> None:
    sets = [SetClass(label).representative for label in row.input["sets"]]
    assert [variety.cardinality_equals_variety(notes) for notes in sets] == row.value


@CHECKS.of("WFS-009")
def two_scales(row: Row) -> None:
    assert [rothenberg.propriety(PcSet(pcs)).kind for pcs in row.input["pcs"]] == [KIND[k] for k in row.value]


@CHECKS.of("WFS-010")
def five_note_scales(row: Row) -> None:
    five = [c for c in TNI if c.cardinality == row.input["card"]]
    for word, labels in row.value.items():
        assert [c.label for c in five if rothenberg.propriety(c.representative).kind == KIND[word]] == labels


@CHECKS.of("WFS-012")
def improper(row: Row) -> None:
    assert rothenberg.propriety(PcSet(row.input["pcs"])).kind == KIND[row.value]


@CHECKS.of("WFS-013")
def coherent_types(row: Row) -> None:
    types = [SetClass(label) for label in catalogue.tn_labels()]
    found = [c for c in types if c.cardinality in row.input["card"] and coherence.is_coherent(c.representative)]
    assert [c.label for c in found] == row.value["types"]
    for size in row.input["card"]:
        assert sum(c.cardinality == size for c in types) == 66
        assert sum(c.cardinality == size for c in found) == row.value[str(size)]
    kinds = {
        size: [rothenberg.propriety(c.representative).kind for c in types if c.cardinality == size] for size in (5, 7)
    }
    assert {size: sum(kind != "improper" for kind in found) for size, found in kinds.items()} == {5: 10, 7: 5}
    assert {size: found.count("strictly proper") for size, found in kinds.items()} == {5: 1, 7: 0}


@CHECKS.of("WFS-017")
def octatonic(row: Row) -> None:
    notes = PcSet(row.input["pcs"])
    assert generated.is_maximally_even(notes) is row.value["ME"]
    assert generated.has_myhill_property(notes) is row.value["MP"]
    assert rothenberg.propriety(notes).kind == KIND[row.value["propriety"]]
    assert list(spectrum.spectrum(notes)[1]) == row.value["two_step"]


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
