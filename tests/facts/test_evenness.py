"""Published facts on evenness, balance, depth and coherence. The sources stand in ``evenness.csv``."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations

import pytest

from sonorarium.pcs import catalogue, coherence, evenness, generated, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row

CHECKS = Checks("evenness")

TNI = [SetClass(label) for label in catalogue.tni_labels()]


def j_masks(size: int) -> set[int]:
    return {PcSet(generated.j_set(12, size, m)).mask for m in range(12)}


@CHECKS.of("EVN-002")
def j_function_makes_the_maximally_even(row: Row) -> None:
    for size in range(1, 13):
        even = {m for m in range(1, 4096) if m.bit_count() == size and generated.is_maximally_even(PcSet.of_mask(m))}
        assert (even == j_masks(size)) is row.value


@CHECKS.of("EVN-003")
def j_function(row: Row) -> None:
    c, d = row.input["c"], row.input["d"]
    assert [list(generated.j_set(c, d, m)) for m in row.input["m"]] == row.value


@CHECKS.of("EVN-006")
def second_order(row: Row) -> None:
    c, d, e = row.input["c"], row.input["d"], row.input["e"]
    scale = generated.j_set(c, d, row.input["m"])
    chords = {PcSet(scale[i] for i in generated.j_set(d, e, m)) for m in range(d)}
    assert row.value == {
        "classes": Counter(chord.label for chord in chords),
        "any_ME_in_12": any(map(generated.is_maximally_even, chords)),
    }


@CHECKS.of("EVN-007")
def number_of_maximally_even_sets(row: Row) -> None:
    assert [len(j_masks(d)) for d in range(1, 12)] == row.value


@CHECKS.of("EVN-009")
def most_even_by_chords(row: Row) -> None:
    seven = [c for c in TNI if c.cardinality == row.input["card"]]
    by_rank = sorted(seven, key=lambda c: evenness.evenness(c.representative)[0].rank)
    assert [c.label for c in by_rank[:3]] == row.value


@CHECKS.of("EVN-011")
def deep_diatonic(row: Row) -> None:
    notes = PcSet(row.input["pcs"])
    assert row.value == {"iv": list(notes.interval_vector), "deep": generated.is_deep(notes)}


@CHECKS.of("EVN-012")
def deep_classes(row: Row) -> None:
    assert [c.label for c in TNI if c.cardinality >= 3 and generated.is_deep(c.representative)] == row.value


@CHECKS.of("EVN-013")
def balanced_hexatonic(row: Row) -> None:
    notes = PcSet(row.input["pcs"])
    assert evenness.is_perfectly_balanced(notes)
    assert 1 - evenness.balance(notes) == pytest.approx(row.value, abs=row.tolerance)


@CHECKS.of("EVN-014")
def perfectly_balanced(row: Row) -> None:
    pieces = [0b1000001 << k for k in range(6)] + [0b100010001 << k for k in range(4)]
    unions = {
        sum(chosen)
        for count in range(7)
        for chosen in combinations(pieces, count)
        if sum(chosen).bit_count() == sum(piece.bit_count() for piece in chosen)
    }
    balanced = {m for m in range(tables.SETS) if evenness.is_perfectly_balanced(PcSet.of_mask(m))}
    assert (balanced == unions) is row.value
    assert len(balanced) == 100
    assert len({int(tables.tn_prime()[m]) for m in balanced}) == 19
    assert len({int(tables.prime()[m]) for m in balanced}) == 18


@CHECKS.of("EVN-016")
def diatonic_balance(row: Row) -> None:
    assert evenness.balance(PcSet(row.input["pcs"])) == pytest.approx(row.value, abs=row.tolerance)


@CHECKS.of("EVN-017")
def coherence_quotients(row: Row) -> None:
    diatonic, pentatonic = (PcSet(row.input["pcs"][key]) for key in ("dia", "pent"))
    failures, most = row.value["dia"]
    assert coherence.coherence_failures(diatonic) == failures
    assert coherence.coherence_quotient(diatonic) == 1 - Fraction(failures, most)
    assert coherence.coherence_failures(pentatonic) == row.value["pent"]


@CHECKS.of("EVN-018")
def sameness_quotient(row: Row) -> None:
    notes = PcSet(row.input["pcs"])
    assert coherence.differences(notes) == row.value["differences"]
    assert coherence.sameness_quotient(notes) == 1 - Fraction(row.value["differences"], row.value["max"])


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
