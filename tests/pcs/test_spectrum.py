"""Generic intervals against counting them one by one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs import catalogue, spectrum
from sonorarium.pcs.pcset import PcSet

SETS = st.integers(0, 4095).map(PcSet.of_mask)


def counted(notes: PcSet) -> list[list[int]]:
    """Climb k steps from every note."""
    out = []
    for k in range(1, len(notes)):
        climbed = []
        for i in range(len(notes)):
            climbed.append(sum(notes.steps[(i + j) % len(notes)] for j in range(k)))
        out.append(climbed)
    return out


@given(SETS)
def test_intervals_against_climbing(notes: PcSet) -> None:
    assert [list(row) for row in spectrum.intervals(notes)] == counted(notes)


@given(SETS)
def test_spectrum_against_climbing(notes: PcSet) -> None:
    rows = counted(notes)
    assert [list(row) for row in spectrum.spectrum(notes)] == [sorted(set(row)) for row in rows]
    at = catalogue.tn_index()[notes.mask]
    inner = slice(1, len(rows) + 1)
    assert spectrum.smallest()[at, inner].tolist() == [min(row) for row in rows]
    assert spectrum.largest()[at, inner].tolist() == [max(row) for row in rows]
    assert spectrum.variety()[at].sum() == sum(len(set(row)) for row in rows)


@given(SETS, st.integers(0, 11))
def test_spectrum_is_the_same_for_all_transpositions(notes: PcSet, n: int) -> None:
    assert spectrum.spectrum(notes.transposed(n)) == spectrum.spectrum(notes)
    assert spectrum.spectrum(notes.inverted(n)) == spectrum.spectrum(notes)


@given(SETS)
def test_complementary_intervals_fill_the_octave(notes: PcSet) -> None:
    rows = spectrum.spectrum(notes)
    for up, down in zip(rows, reversed(rows), strict=True):
        assert sorted(12 - size for size in down) == list(up)
