"""Consonance by number."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import consonance
from sonorarium.pcs.pcset import PcSet

SETS = st.integers(0, 4095).map(PcSet.of_mask)


@given(SETS)
def test_dyadic_consonance_against_adding_up_pairs(notes: PcSet) -> None:
    classes = [min((a - b) % 12, (b - a) % 12) for a, b in combinations(notes, 2)]
    assert consonance.dyadic_consonance(notes) == pytest.approx(sum(consonance.HURON[k - 1] for k in classes))


@given(st.lists(st.integers(1, 40), min_size=1, max_size=4), st.integers(1, 9))
def test_gradus_depends_on_the_ratio_alone(tones: list[int], factor: int) -> None:
    assert consonance.gradus(*(tone * factor for tone in tones)) == consonance.gradus(*tones)
    assert consonance.gradus(*reversed(tones)) == consonance.gradus(*tones)


@given(st.integers(1, 200), st.integers(1, 200))
def test_gradus_of_coprime_factors_adds_up(a: int, b: int) -> None:
    """Degrees of the exponents multiply into the sum less one (Euler 1739, from memory)."""
    assert consonance.gradus(1, a * b) == consonance.gradus(1, a) + consonance.gradus(1, b) - 1


def test_gradus_refuses_what_is_no_ratio() -> None:
    for wrong in ((), (0, 1), (-1, 2)):
        with pytest.raises(InputError, match="is no ratio"):
            consonance.gradus(*wrong)
