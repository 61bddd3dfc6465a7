"""Equal temperament against just intervals: frequencies, cents, and how fast a tempered interval beats.

Conventions: MIDI numbers, middle C = 60, A4 = 440 Hz; 100 cents to the tempered semitone, 1200 to the octave. Two
tones at nearly the ratio p:q beat between partial p of the lower and partial q of the higher, as many times a second
as these partials are Hz apart (common acoustics).
"""

from __future__ import annotations

from fractions import Fraction
from math import log2

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sonorarium.errors import InputError

JUST = (
    Fraction(1), Fraction(16, 15), Fraction(9, 8), Fraction(6, 5), Fraction(5, 4), Fraction(4, 3), Fraction(45, 32),
    Fraction(3, 2), Fraction(8, 5), Fraction(5, 3), Fraction(9, 5), Fraction(15, 8), Fraction(2),
)  # fmt: skip
"""A just ratio for 0 to 12 semitones, of primes up to 5 (common practice; the tritone and 9:5 have rivals)."""


def frequency(pitch: ArrayLike) -> NDArray[np.float64]:
    """Frequency in Hz of a MIDI number, or of many; fractions of a semitone are allowed.

    >>> float(frequency(69)), float(frequency(60).round(3))
    (440.0, 261.626)
    """
    return np.asarray(440.0 * 2 ** ((np.asarray(pitch, float) - 69) / 12))


def cents(ratio: Fraction | float) -> float:
    """Size of a frequency ratio in cents.

    Raises `InputError` for a ratio that is not above 0.

    >>> cents(2), round(cents(Fraction(3, 2)), 3)
    (1200.0, 701.955)
    """
    if ratio <= 0:
        raise InputError(f"{ratio} is no frequency ratio.", value=ratio, suggestion="Give a number above 0.")
    return 1200 * log2(ratio)


def tempering(ratio: Fraction | float) -> float:
    """How far the nearest interval of equal temperament lies above a ratio, in cents; negative where below.

    Raises `InputError` as `cents` does.

    >>> round(tempering(Fraction(3, 2)), 3), round(tempering(Fraction(5, 4)), 3)
    (-1.955, 13.686)
    """
    size = cents(ratio)
    return 100 * round(size / 100) - size


def beats(low: int, high: int, ratio: Fraction | None = None) -> float:
    """How many times a second two tempered pitches beat.

    Parameters
    ----------
    low, high : int
        MIDI numbers.
    ratio : Fraction, optional
        The just interval that the two stand for; without it the one of `JUST`, widened by octaves.

    Returns
    -------
    float
        Beats a second between the lowest partials that coincide in the just interval.

    Raises
    ------
    InputError
        Where the second pitch lies under the first.

    Examples
    --------
    >>> round(beats(60, 67), 3), round(beats(60, 64), 2)
    (0.886, 10.38)
    """
    if high < low:
        raise InputError(f"{high} lies under {low}.", value=(low, high), suggestion="Give the lower pitch first.")
    just = ratio or JUST[(high - low) % 12] * 2 ** ((high - low) // 12)
    lower, higher = frequency([low, high]).tolist()
    return float(abs(just.numerator * lower - just.denominator * higher))
