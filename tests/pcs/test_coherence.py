"""Coherence and sameness against comparing all intervals with each other."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs import coherence, rothenberg, spectrum
from sonorarium.pcs.pcset import PcSet

SETS = st.integers(0, 4095).map(PcSet.of_mask)


@given(SETS)
def test_counts_against_comparing_all_intervals(notes: PcSet) -> None:
    rows = spectrum.intervals(notes)
    failures = sum(a >= b for low, high in combinations(rows, 2) for a in low for b in high)
    differences = sum(a != b for row in rows for a, b in combinations(row, 2))
    assert coherence.coherence_failures(notes) == failures
    assert coherence.differences(notes) == differences


@given(SETS)
def test_quotients_lie_between_nothing_and_one(notes: PcSet) -> None:
    assert 0 <= coherence.coherence_quotient(notes) <= 1
    assert 0 <= coherence.sameness_quotient(notes) <= 1
    assert (coherence.sameness_quotient(notes) == 1) == (len(set(notes.steps)) <= 1)


@given(SETS)
def test_coherence_quotient_is_one_for_strictly_proper_scales(notes: PcSet) -> None:
    strict = rothenberg.propriety(notes).kind == "strictly proper"
    assert (coherence.coherence_quotient(notes) == 1) == strict


@given(SETS)
def test_coherent_scales_are_proper(notes: PcSet) -> None:
    """A tritone that is also a tritone of one more step is the one ambiguity that Balzano allows."""
    found = rothenberg.propriety(notes)
    assert coherence.is_coherent(notes) == (found.kind != "improper" and set(found.ambiguous) <= {6})


def test_nothing_can_fail_in_small_sets() -> None:
    assert coherence.coherence_quotient(PcSet((0, 1))) == Fraction(1)
    assert coherence.sameness_quotient(PcSet((0,))) == coherence.sameness_quotient(PcSet()) == Fraction(1)
