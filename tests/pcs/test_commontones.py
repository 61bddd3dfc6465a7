"""Common tones under transposition and inversion, and within a family."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs.commontones import common_tones, shared, shared_under_tn, shared_under_tni
from sonorarium.pcs.families import default_family
from sonorarium.pcs.pcset import PcSet

masks = st.integers(0, 4095)


@given(masks)
def test_transposition_keeps_what_the_vector_says(mask: int) -> None:
    # The common-tone theorem (Forte 1973, sec. 1.10; Rahn 1980, ch. 5; from memory).
    notes = PcSet.of_mask(mask)
    vector = notes.interval_vector
    expected = [len(notes), *vector[:5], 2 * vector[5], *vector[4::-1]]
    assert list(shared_under_tn(notes)) == expected


@given(masks, masks)
def test_shared_notes_agree_with_set_algebra(a: int, b: int) -> None:
    one, other = PcSet.of_mask(a), PcSet.of_mask(b)
    assert shared_under_tn(one, other) == tuple(len(one & other.transposed(n)) for n in range(12))
    assert shared_under_tni(one, other) == tuple(len(one & other.inverted(n)) for n in range(12))
    assert sum(shared_under_tn(one, other)) == sum(shared_under_tni(one, other)) == len(one) * len(other)


def test_inversion_keeps_as_many_notes_as_pairs_that_add_up() -> None:
    notes = PcSet((0, 1, 4, 8))
    sums = [(a + b) % 12 for a in notes for b in notes]
    assert list(shared_under_tni(notes)) == [sums.count(n) for n in range(12)]


def test_a_familys_table_is_symmetrical_with_sizes_on_the_diagonal() -> None:
    family = default_family()
    table = np.array(common_tones(family).counts)
    assert table.shape == (57, 57) and np.array_equal(table, table.T)
    assert np.diag(table).tolist() == [len(m.kind.pcs) for m in family]
    assert np.array_equal(table, shared(family.masks, family.masks))


def test_fifth_related_diatonic_scales_share_six_notes() -> None:
    found = common_tones(default_family())
    diatonic = default_family().kind("diatonic")
    assert found.most(diatonic, diatonic) == 6
    assert found.between(default_family().member("C diatonic"), default_family().member("G diatonic")) == 6
