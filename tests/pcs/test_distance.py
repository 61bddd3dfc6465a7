"""Least voice leadings: against assignment, exhaustive search, and worked examples."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.distance import (
    NONE,
    class_distance,
    class_distances,
    distance,
    least_leading,
    nearest_forms,
    set_distances,
    tn_distances,
    walk_distances,
)
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass

masks = st.integers(1, 4095)


def semitones(a: int, b: int) -> int:
    return min((a - b) % 12, (b - a) % 12)


def by_search(one: PcSet, other: PcSet) -> int:
    """Every way to send each note of the larger set to a note of the smaller, none left out."""
    larger, smaller = sorted((one, other), key=len, reverse=True)
    ways = product(smaller.pcs, repeat=len(larger))
    return min(sum(map(semitones, larger, way)) for way in ways if set(way) == set(smaller))


def by_free_search(one: PcSet, other: PcSet) -> int:
    """Every set of pairs that leaves no note out."""
    pairs = list(product(one, other))
    best = 999
    for size in range(max(len(one), len(other)), len(one) + len(other)):
        for chosen in combinations(pairs, size):
            if {a for a, _ in chosen} == set(one) and {b for _, b in chosen} == set(other):
                best = min(best, sum(semitones(a, b) for a, b in chosen))
    return best


def assigned(one: PcSet, other: PcSet, power: int = 1) -> int:
    costs = np.array([[semitones(a, b) ** power for b in other] for a in one])
    return int(costs[linear_sum_assignment(costs)].sum())


def test_equal_sizes_agree_with_optimal_assignment() -> None:
    rng = np.random.default_rng(12)
    for size in range(1, 12):
        among = np.flatnonzero(tables.size() == size)
        for a, b in rng.choice(among, (60, 2)).tolist():
            one, other = PcSet.of_mask(a), PcSet.of_mask(b)
            assert distance(one, other) == assigned(one, other)


def test_unequal_sizes_agree_with_exhaustive_search() -> None:
    rng = np.random.default_rng(13)
    for larger, smaller in ((3, 1), (3, 2), (4, 3), (5, 2), (5, 3), (6, 4), (7, 3)):
        ones, others = (np.flatnonzero(tables.size() == size) for size in (larger, smaller))
        for a, b in zip(rng.choice(ones, 12).tolist(), rng.choice(others, 12).tolist(), strict=True):
            one, other = PcSet.of_mask(a), PcSet.of_mask(b)
            assert distance(one, other) == distance(other, one) == by_search(one, other)


def test_free_doubling_agrees_with_exhaustive_search() -> None:
    rng = np.random.default_rng(14)
    for larger, smaller in ((2, 2), (3, 2), (3, 3), (4, 3), (4, 4), (5, 3)):
        ones, others = (np.flatnonzero(tables.size() == size) for size in (larger, smaller))
        for a, b in zip(rng.choice(ones, 6).tolist(), rng.choice(others, 6).tolist(), strict=True):
            one, other = PcSet.of_mask(a), PcSet.of_mask(b)
            assert distance(one, other, free=True) == by_free_search(one, other)


@given(masks, masks, st.booleans())
def test_the_voices_add_up_to_the_distance(a: int, b: int, free: bool) -> None:
    one, other = PcSet.of_mask(a), PcSet.of_mask(b)
    found = least_leading(one, other, free=free)
    assert PcSet(start for start, _ in found.voices) == one
    assert PcSet(end for _, end in found.voices) == other
    assert free or len(found.voices) == max(len(one), len(other))
    assert found.semitones == distance(one, other, free=free)


@given(masks)
def test_least_squares_agree_with_optimal_assignment(a: int) -> None:
    one = PcSet.of_mask(a)
    same = np.flatnonzero(tables.size() == len(one))
    other = PcSet.of_mask(int(same[a * 7919 % len(same)]))
    squares = sum(move**2 for move in least_leading(one, other, power=2).moves)
    assert squares == assigned(one, other, power=2)


def test_no_least_voice_leading_crosses_more_than_six_deep() -> None:
    some = catalogue.tn_masks()[::9]
    for free in (False, True):
        assert np.array_equal(walk_distances(some, free=free), walk_distances(some, free=free, reach=9))


@given(masks, masks, st.integers(0, 11), st.booleans())
def test_distance_is_kept_by_transposing_and_inverting_both(a: int, b: int, n: int, free: bool) -> None:
    one, other = PcSet.of_mask(a), PcSet.of_mask(b)
    found = distance(one, other, free=free)
    assert distance(other, one, free=free) == found
    assert distance(one.transposed(n), other.transposed(n), free=free) == found
    assert distance(one.inverted(n), other.inverted(n), free=free) == found
    assert distance(one, other, free=True) <= found
    assert (found == 0) == (one == other)


def test_class_tables_are_symmetrical_and_least_over_the_forms() -> None:
    rng = np.random.default_rng(15)
    for free in (False, True):
        table, halves = class_distances(free=free), tn_distances(free=free)
        assert table.shape == (224, 224) and halves.shape == (352, 352)
        assert np.array_equal(table, table.T) and np.array_equal(halves, halves.T)
        assert np.array_equal(np.flatnonzero(table[50] == 0), [50])
        for i, j in rng.integers(1, 224, (40, 2)).tolist():
            one, other = (SetClass(catalogue.tni_labels()[at]) for at in (i, j))
            least = min(distance(one.representative, form, free=free) for form in other.forms)
            assert table[i, j] == class_distance(one, other, free=free) == least


def test_classes_of_one_size_obey_the_triangle_inequality() -> None:
    at = np.flatnonzero(tables.size()[catalogue.tni_masks()] == 5)
    table = class_distances()[np.ix_(at, at)].astype(int)
    assert (table[:, None, :] <= table[:, :, None] + table[None, :, :]).all()


def test_worked_example_of_the_matrix() -> None:
    # Tymoczko, The geometry of musical chords (2006), supporting online material, fig. S12: C and E major sevenths,
    # (4, 4, 7, 11, 0) to (3, 4, 8, 11, 11), taxicab size 3.
    one, other = PcSet((0, 4, 7, 11)), PcSet((4, 8, 11, 3))
    assert distance(one, other, free=True) == 3
    printed = zip((4, 4, 7, 11, 0), (3, 4, 8, 11, 11), strict=True)
    assert sum(semitones(a, b) for a, b in printed) == 3
    assert distance(one, other) == 4


def test_a_whole_collection_shrinks_to_a_note() -> None:
    # By hand: eleven notes move 1, 1, 2, 2, 3, 3, 4, 4, 5, 5 and 6 semitones.
    assert class_distance(SetClass("12-1"), SetClass("1-1")) == 36


def test_nearest_forms() -> None:
    assert nearest_forms(PcSet((0, 4, 7)), SetClass("3-11B")) == (PcSet((0, 4, 7)),)
    assert nearest_forms(PcSet((0, 4, 8)), SetClass("3-11A")) == (
        PcSet((1, 4, 8)),
        PcSet((0, 5, 8)),
        PcSet((0, 4, 9)),
    )


def test_letters_decide_between_a_class_and_its_half() -> None:
    assert class_distance(SetClass("4-27A"), SetClass("4-27B")) > 0
    assert class_distance(SetClass("4-27"), SetClass("4-27B")) == 0
    assert class_distance(SetClass("4-27A"), SetClass("4-27")) == 0


def test_nothing_leads_nowhere() -> None:
    assert set_distances()[0, 1] == NONE and set_distances()[0, 0] == 0
    with pytest.raises(InputError, match="no voice leading"):
        distance(PcSet(), PcSet((0,)))
    with pytest.raises(InputError, match="no least voice leading"):
        least_leading(PcSet((0,)), PcSet())
    with pytest.raises(InputError, match="power"):
        least_leading(PcSet((0,)), PcSet((1,)), power=0)
