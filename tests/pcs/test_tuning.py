"""Frequencies, cents and beats."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import tuning


@given(st.integers(0, 115))
def test_an_octave_doubles_the_frequency(pitch: int) -> None:
    assert float(tuning.frequency(pitch + 12)) == pytest.approx(2 * float(tuning.frequency(pitch)))
    assert tuning.beats(pitch, pitch + 12) == pytest.approx(0, abs=1e-9)


@given(st.fractions(Fraction(1, 50), 50), st.fractions(Fraction(1, 50), 50))
def test_cents_of_a_product_add_up(a: Fraction, b: Fraction) -> None:
    assert tuning.cents(a * b) == pytest.approx(tuning.cents(a) + tuning.cents(b), abs=1e-6)
    assert abs(tuning.tempering(a)) <= 50 + 1e-9


def test_just_intervals_are_nearest_to_their_semitones() -> None:
    assert [round(tuning.cents(ratio) / 100) for ratio in tuning.JUST] == list(range(13))
    assert len(tuning.JUST) == 13


@given(st.integers(0, 103), st.integers(0, 24))
def test_beats_double_an_octave_higher(low: int, interval: int) -> None:
    if low + interval + 12 <= 127:
        lower = tuning.beats(low, low + interval)
        assert tuning.beats(low + 12, low + interval + 12) == pytest.approx(2 * lower, abs=1e-6)


def test_a_compound_fifth_beats_as_its_ratio_says() -> None:
    low, high = tuning.frequency([48, 67]).tolist()
    assert tuning.beats(48, 67) == pytest.approx(abs(3 * low - high))
    assert tuning.beats(60, 64, Fraction(81, 64)) == pytest.approx(
        abs(81 * float(tuning.frequency(60)) - 64 * float(tuning.frequency(64)))
    )


def test_what_cannot_be_tuned_is_refused() -> None:
    with pytest.raises(InputError, match="0 is no frequency ratio"):
        tuning.cents(0)
    with pytest.raises(InputError, match="60 lies under 67"):
        tuning.beats(67, 60)
