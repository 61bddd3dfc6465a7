"""Periodicity against published values, and against whole-number arithmetic."""

from __future__ import annotations

from fractions import Fraction
from math import lcm, log2

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, placements
from sonorarium.pitch.harmonicity import RATIONAL_TUNING, period, ratio


def test_published_values() -> None:
    # Peter Harrison's package stolz15, an implementation of Stolzenburg (2015), prints these for its examples
    # (README: 2 for the major triad, 3.786034 for the diminished triad); read.
    assert period([60, 64, 67]) == 2
    assert period([60, 63, 66]) == pytest.approx(3.786034, abs=5e-7)


@pytest.mark.parametrize(
    ("chord", "relative"),
    [
        ((0, 4, 7), 4.0), ((0, 3, 8), 5.0), ((0, 5, 9), 3.0),
        ((0, 3, 7), 10.0), ((0, 4, 9), 12.0), ((0, 5, 8), 15.0),
        ((0, 5, 7), 10.7), ((0, 2, 7), 14.3), ((0, 5, 10), 11.0),
        ((0, 3, 6), 17.0), ((0, 3, 9), 15.3), ((0, 4, 8), 20.3),
    ],
)  # fmt: skip
def test_relative_periods_of_triads(chord: tuple[int, ...], relative: float) -> None:
    # Stolzenburg (2015), table of triads, smoothed relative periodicity in rational tuning II; from memory.
    assert np.mean([_relative(chord, note) for note in chord]) == pytest.approx(relative, abs=0.05)


def _relative(chord: tuple[int, ...], reference: int) -> float:
    ratios = [ratio(note - reference) for note in chord]
    return float(lcm(*(r.denominator for r in ratios)) * ratios[0])


def test_the_fast_way_agrees_with_whole_numbers() -> None:
    for notes, size in ((PcSet((0, 1, 4, 8)), 4), (PcSet((2, 3, 6, 7, 9)), 6), (PcSet((5,)), 3)):
        rows = placements(notes, size, Compass(24, 100))[::997]
        exact = [np.mean([log2(_relative(tuple(row), note)) for note in row]) for row in rows.tolist()]
        assert np.allclose(period(rows), exact)


def test_ratios_lie_within_the_tolerance_of_rational_tuning_ii() -> None:
    for semitones, just in enumerate(RATIONAL_TUNING):
        assert abs(float(just) / 2 ** (semitones / 12) - 1) <= 0.011
    assert ratio(-12) == Fraction(1, 2)


def test_transposition_does_not_matter_but_the_place_of_a_note_does() -> None:
    assert period([36, 55, 64]) == pytest.approx(float(period([41, 60, 69])))
    assert period([36, 43, 52]) < period([36, 40, 55])


def test_silence_is_refused() -> None:
    with pytest.raises(InputError, match="Silence has no fundamental"):
        period(np.empty((3, 0), np.int16))
