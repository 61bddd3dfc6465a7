"""Generated and well-formed scales against their definitions spelled out."""

from __future__ import annotations

from itertools import pairwise
from math import gcd, log2

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, generated, variety
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass

SETS = st.integers(0, 4095).map(PcSet.of_mask)


def chains(notes: PcSet, g: int) -> list[list[int]]:
    """Every order of all notes of a set in which each lies g above the one before it."""
    found = []
    for first in notes:
        chain = [(first + i * g) % 12 for i in range(len(notes))]
        if set(chain) == set(notes):
            found.append(chain)
    return found


def steps_between(notes: PcSet, low: int, high: int) -> int:
    return len([pc for pc in notes if (pc - low) % 12 < (high - low) % 12])


def test_generators_against_climbing_from_every_note() -> None:
    for mask in range(1, 4096):
        notes = PcSet.of_mask(mask)
        expected = [g for g in range(7) if chains(notes, g)] if len(notes) > 1 else [0]
        assert list(generated.generators(notes)) == expected


def test_well_formed_against_counting_steps() -> None:
    for mask in range(1, 4096):
        notes = PcSet.of_mask(mask)
        if len(notes) > 1:
            for g in range(1, 7):
                alike = [
                    len({steps_between(notes, a, b) for a, b in pairwise(chain)}) == 1 for chain in chains(notes, g)
                ]
                assert (g in generated.well_formed_generators(notes)) == any(alike)
                assert any(alike) == all(alike) or not alike


@given(SETS, st.integers(0, 11))
def test_properties_are_the_same_for_all_forms(notes: PcSet, n: int) -> None:
    tests = (
        generated.is_generated,
        generated.is_well_formed,
        generated.is_degenerate,
        generated.is_maximally_even,
        generated.has_myhill_property,
        generated.is_deep,
    )
    for test in tests:
        assert test(notes.inverted(n)) == test(notes)


@given(SETS)
def test_complements_of_maximally_even_sets_are_maximally_even(notes: PcSet) -> None:
    """Clough and Douthett, Maximally even sets (1991), theorem on complements."""
    if 0 < len(notes) < 12:
        assert generated.is_maximally_even(~notes) == generated.is_maximally_even(notes)


@given(SETS)
def test_well_formed_scales_have_steps_of_at_most_two_sizes(notes: PcSet) -> None:
    if generated.is_well_formed(notes):
        assert len(set(notes.steps)) <= 2
        assert generated.is_generated(notes)


def test_cardinality_equals_variety_belongs_to_the_nondegenerate_well_formed() -> None:
    for found in map(SetClass, catalogue.tni_labels()):
        notes = found.representative
        if 2 <= len(notes) <= 8:
            formed = generated.is_well_formed(notes) and not generated.is_degenerate(notes)
            assert variety.cardinality_equals_variety(notes) == formed


def test_deep_scales_share_another_number_of_notes_with_each_transposition() -> None:
    """Gamer (1967), by interval class of the transposition."""
    for found in map(SetClass, catalogue.tni_labels()):
        counts = list(found.interval_vector)
        assert generated.is_deep(found.representative) == (len(set(counts)) == 6)


def test_empty_and_single() -> None:
    empty, single = PcSet(), PcSet((5,))
    assert not generated.is_generated(empty)
    assert not generated.is_maximally_even(empty)
    assert not generated.has_myhill_property(empty)
    assert generated.generators(single) == generated.well_formed_generators(single) == (0,)
    assert generated.is_maximally_even(single)
    assert not generated.has_myhill_property(single)


@given(st.integers(1, 60), st.integers(1, 60), st.integers(0, 59))
def test_j_sets_are_maximally_even_in_any_universe(c: int, d: int, m: int) -> None:
    if d > c or m >= c:
        return
    notes = generated.j_set(c, d, m)
    assert len(set(notes)) == d
    assert all(0 <= note < c for note in notes)
    for k in range(1, d):
        sizes = {(notes[(i + k) % d] - notes[i]) % c for i in range(d)}
        assert max(sizes) - min(sizes) <= 1


@pytest.mark.parametrize(("c", "d", "m"), [(12, 13, 0), (12, 0, 0), (12, 7, 12), (12, 7, -1)])
def test_j_sets_out_of_range_are_refused(c: int, d: int, m: int) -> None:
    with pytest.raises(InputError, match="no maximally even set"):
        generated.j_set(c, d, m)


def test_well_formed_sizes_agree_with_the_sets_of_twelve() -> None:
    for g in (5, 7, 1, 11):
        ours = generated.well_formed_sizes(g / 12, 11)
        sets = {n: PcSet(i * g % 12 for i in range(n)) for n in range(2, 12)}
        assert list(ours) == [n for n in sets if min(g, 12 - g) in generated.well_formed_generators(sets[n])]


def test_well_formed_sizes_of_another_generator() -> None:
    """The golden section does so at the Fibonacci numbers (Carey and Clampitt 1989, from memory)."""
    found = generated.well_formed_sizes((5**0.5 - 1) / 2, 89)
    assert found == (2, 3, 5, 8, 13, 21, 34, 55, 89)
    assert set(generated.well_formed_sizes(1 - log2(3 / 2), 53)) == {2, 3, 5, 7, 12, 17, 29, 41, 53}


@pytest.mark.parametrize("wrong", [0.0, 1.0, -0.5, 7.0])
def test_a_generator_is_a_share_of_the_octave(wrong: float) -> None:
    with pytest.raises(InputError, match="cannot be used"):
        generated.well_formed_sizes(wrong, 12)


@given(st.integers(2, 60), st.integers(1, 59))
def test_generator_steps_undo_the_number_of_smaller_steps(count: int, smaller: int) -> None:
    found = generated.generator_steps(count, smaller)
    assert (found is None) == (gcd(count, smaller) != 1)
    assert found is None or found * smaller % count == 1
