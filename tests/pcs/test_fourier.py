"""The Fourier transform against its definition and a reference implementation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs import fourier, tables
from sonorarium.pcs.pcset import PcSet

SETS = st.integers(0, 4095).map(PcSet.of_mask)


def test_coefficients_agree_with_the_fast_transform() -> None:
    theirs = np.fft.fft(tables.members().astype(float), axis=1)[:, :7]
    assert np.allclose(fourier.coefficients(), theirs, atol=1e-12)


@given(SETS)
def test_components_make_up_the_coefficients(notes: PcSet) -> None:
    found = fourier.components(notes)
    assert [component.k for component in found] == list(fourier.COMPONENTS)
    for component, number in zip(found, fourier.coefficients()[notes.mask, 1:].tolist(), strict=True):
        if component.phase_degrees is None:
            assert component.phase_twelfths is None
            assert component.magnitude == 0
            assert abs(number) < 1e-12
        else:
            assert 0 <= component.phase_degrees < 360
            assert component.phase_twelfths == pytest.approx(component.phase_degrees / 30)
            rebuilt = component.magnitude * np.exp(1j * np.radians(component.phase_degrees))
            assert abs(rebuilt - number) < 1e-9


@given(SETS, st.integers(0, 11))
def test_transposition_turns_phases_only(notes: PcSet, n: int) -> None:
    before, after = fourier.components(notes), fourier.components(notes.transposed(n))
    for one, other in zip(before, after, strict=True):
        assert other.magnitude == pytest.approx(one.magnitude, abs=1e-9)
        assert (one.phase_degrees is None) == (other.phase_degrees is None)
        if one.phase_twelfths is not None and other.phase_twelfths is not None:
            turned = (other.phase_twelfths - one.phase_twelfths + one.k * n + 6) % 12 - 6
            assert turned == pytest.approx(0, abs=1e-6)


@given(SETS)
def test_inversion_about_c_mirrors_phases(notes: PcSet) -> None:
    mirrored = fourier.components(notes.inverted(0))
    for one, other in zip(fourier.components(notes), mirrored, strict=True):
        if one.phase_degrees is not None and other.phase_degrees is not None:
            assert (one.phase_degrees + other.phase_degrees + 180) % 360 - 180 == pytest.approx(0, abs=1e-6)


@given(SETS)
def test_multiplying_by_five_exchanges_components_one_and_five(notes: PcSet) -> None:
    a, b = fourier.fourier_magnitudes(notes), fourier.fourier_magnitudes(notes.multiplied(5))
    assert (b[0], b[4]) == pytest.approx((a[4], a[0]), abs=1e-9)
    assert (b[1], b[2], b[3], b[5]) == pytest.approx((a[1], a[2], a[3], a[5]), abs=1e-9)


@given(SETS)
def test_content_is_recovered_from_magnitudes(notes: PcSet) -> None:
    back = fourier.content_from_magnitudes(len(notes), fourier.fourier_magnitudes(notes))
    assert back == pytest.approx(notes.interval_content, abs=1e-9)


def test_power_is_conserved() -> None:
    """Parseval's theorem: the squares of all twelve magnitudes add up to twelve times the number of notes."""
    weights = np.array([2, 2, 2, 2, 2, 1])
    total = tables.size().astype(float) ** 2 + (fourier.magnitudes() ** 2 * weights).sum(axis=1)
    assert np.allclose(total, 12.0 * tables.size())


def test_a_single_note_has_the_phases_of_its_pitch_class() -> None:
    """Yust, Schubert's harmonic language and Fourier phase space (2015): on the circle of twelve, -kx."""
    for pc in range(12):
        for component in fourier.components(PcSet((pc,))):
            assert component.phase_twelfths == pytest.approx(-component.k * pc % 12, abs=1e-6)
            assert component.magnitude == pytest.approx(1)


def test_the_c_major_triad() -> None:
    """As printed in an introduction to Yust's article (Introduction to DFT and Fourier phase space, eamonnbell.com,
    2017): magnitudes, and phases of F1, F3, F4, F5 in radians -2.356, 0.464, -1.571, 0.785."""
    found = fourier.components(PcSet((0, 4, 7)))
    assert [round(component.magnitude, 3) for component in found] == [0.518, 1.0, 2.236, 1.732, 1.932, 1.0]
    phases = [component.phase_degrees for component in found]
    assert [phases[k - 1] for k in (1, 3, 4, 5)] == pytest.approx(
        [np.degrees(radians) % 360 for radians in (-2.356, 0.464, -1.571, 0.785)], abs=0.05
    )
    assert [component.quality for component in found] == list(fourier.QUALITIES)
