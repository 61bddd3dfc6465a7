"""Evenness against drawing the circle."""

from __future__ import annotations

from cmath import exp, pi
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs import catalogue, evenness, generated
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass

SETS = st.integers(0, 4095).map(PcSet.of_mask)
FILLED = st.integers(1, 4095).map(PcSet.of_mask)
TNI = [SetClass(label) for label in catalogue.tni_labels()]


def point(place: float) -> complex:
    return exp(2j * pi * place / 12)


@given(FILLED)
def test_values_against_drawing_the_circle(notes: PcSet) -> None:
    d = len(notes)
    chords, degrees, division = (found.value for found in evenness.evenness(notes))
    assert chords == pytest.approx(sum(abs(point(a) - point(b)) for a, b in combinations(notes, 2)))
    assert degrees == pytest.approx(abs(sum(point(pc - 12 * i / d) for i, pc in enumerate(notes))) / d)
    assert division == pytest.approx(abs(sum(point(d * pc) for pc in notes)) / d, abs=1e-9)
    assert evenness.balance(notes) == pytest.approx(1 - abs(sum(map(point, notes))) / d)


@given(SETS, st.integers(0, 11))
def test_evenness_is_the_same_for_all_forms(notes: PcSet, n: int) -> None:
    assert evenness.evenness(notes.inverted(n)) == evenness.evenness(notes)
    assert evenness.balance(notes.inverted(n)) == pytest.approx(evenness.balance(notes))


@pytest.mark.parametrize("size", range(1, 13))
@pytest.mark.parametrize("column", range(3))
def test_the_maximally_even_class_is_first_by_every_measure(size: int, column: int) -> None:
    found = [c for c in TNI if c.cardinality == size]
    first = [c for c in found if evenness.evenness(c.representative)[column].rank == 1]
    assert first == [c for c in found if generated.is_maximally_even(c.representative)]


@pytest.mark.parametrize("size", range(13))
@pytest.mark.parametrize("column", range(3))
def test_ranks_follow_the_values(size: int, column: int) -> None:
    rows = [evenness.evenness(c.representative)[column] for c in TNI if c.cardinality == size]
    for row in rows:
        better = [other for other in rows if other.value > row.value + 1e-9]
        equal = [other for other in rows if abs(other.value - row.value) <= 1e-9]
        assert (row.rank, row.tied, row.classes) == (len(better) + 1, len(equal), len(rows))
        assert row.measure == evenness.MEASURES[column]


@pytest.mark.parametrize("pcs", [(0,), (0, 6), (0, 4, 8), (0, 3, 6, 9), (0, 2, 4, 6, 8, 10), tuple(range(12))])
def test_equal_divisions_are_perfectly_even(pcs: tuple[int, ...]) -> None:
    _, degrees, division = evenness.evenness(PcSet(pcs))
    assert degrees.value == pytest.approx(1)
    assert division.value == pytest.approx(1)
    assert evenness.is_perfectly_balanced(PcSet(pcs)) is (len(pcs) > 1)


@given(SETS)
def test_balance_and_perfect_balance_agree(notes: PcSet) -> None:
    assert evenness.is_perfectly_balanced(notes) == (evenness.balance(notes) > 1 - 1e-9)
    assert evenness.is_perfectly_balanced(notes) == evenness.is_perfectly_balanced(~notes)


def test_the_empty_set_has_no_evenness() -> None:
    assert [found.value for found in evenness.evenness(PcSet())] == [0, 0, 0]
    assert [found.rank for found in evenness.evenness(PcSet())] == [1, 1, 1]
    assert evenness.balance(PcSet()) == 1
