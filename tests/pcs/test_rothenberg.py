"""Propriety against comparing all intervals with each other."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs import rothenberg, spectrum
from sonorarium.pcs.pcset import PcSet

SETS = st.integers(0, 4095).map(PcSet.of_mask)


@given(SETS)
def test_propriety_against_comparing_all_intervals(notes: PcSet) -> None:
    rows = spectrum.intervals(notes)
    pairs = [(k, m) for k in range(len(rows)) for m in range(k + 1, len(rows))]
    larger = [(k + 1, m + 1) for k, m in pairs if any(a > b for a in rows[k] for b in rows[m])]
    equal = {a for k, m in pairs for a in rows[k] for b in rows[m] if a == b}
    found = rothenberg.propriety(notes)
    assert list(found.contradictions) == larger
    assert set(found.ambiguous) == equal
    assert found.kind == ("improper" if larger else "proper" if equal else "strictly proper")
    if found.kind == "improper":
        assert found.stability is None
    else:
        sizes = [size for row in rows for size in row]
        clear = sum(size not in equal for size in sizes)
        assert found.stability == pytest.approx(clear / len(sizes) if sizes else 1)


@given(SETS, st.integers(0, 11))
def test_propriety_is_the_same_for_all_forms(notes: PcSet, n: int) -> None:
    assert rothenberg.propriety(notes.inverted(n)) == rothenberg.propriety(notes)


@pytest.mark.parametrize(
    ("name", "pcs", "kind"),
    [
        ("melodic minor", (0, 2, 3, 5, 7, 9, 11), "proper"),
        ("harmonic minor", (0, 2, 3, 5, 7, 8, 11), "proper"),
        ("harmonic major", (0, 2, 4, 5, 7, 8, 11), "proper"),
        ("double harmonic", (0, 1, 4, 5, 7, 8, 11), "improper"),
        ("whole tone", (0, 2, 4, 6, 8, 10), "strictly proper"),
    ],
)
def test_common_scales(name: str, pcs: tuple[int, ...], kind: str) -> None:
    """Rothenberg (1978) names the first three among the proper scales of seven notes in twelve (from memory)."""
    assert rothenberg.propriety(PcSet(pcs)).kind == kind, name


def test_the_tritone_is_the_one_ambiguity_of_the_diatonic() -> None:
    found = rothenberg.propriety(PcSet((0, 2, 4, 5, 7, 9, 11)))
    assert found.ambiguous == (6,)
    assert found.stability == pytest.approx(20 / 21)
