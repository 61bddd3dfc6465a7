"""How nearly a chord is a piece of one harmonic series: its periodicity, and its fundamental.

Frieder Stolzenburg, Harmony perception by periodicity detection, Journal of Mathematics and Music 9 (2015): take the
notes of a chord for simple ratios of its lowest one; the whole repeats after as many periods of that note as their
denominators' least common multiple says. The shorter this period, the better the notes fit one fundamental.

* **Ratios** are those of his rational tuning II, each within 1.1 per cent of equal temperament: 1, 16/15, 9/8, 6/5,
  5/4, 4/3, 7/5, 3/2, 8/5, 5/3, 9/5, 15/8, widened by octaves.
* **Smoothed**: ratios depend on the note from which they are taken, so each note is taken in turn and the logarithms
  are averaged.
* **Logarithmic**: the logarithm is to the base 2. The result is thus how many octaves the common fundamental lies
  below the lowest note: 0 for a note with its octaves and twelfth, 2 for a major triad in root position. Lower is
  more harmonic.

It depends on the place of each note, so that voicings of one set differ. Register as such does not matter.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sonorarium.errors import InputError

RATIONAL_TUNING = (
    Fraction(1), Fraction(16, 15), Fraction(9, 8), Fraction(6, 5), Fraction(5, 4), Fraction(4, 3), Fraction(7, 5),
    Fraction(3, 2), Fraction(8, 5), Fraction(5, 3), Fraction(9, 5), Fraction(15, 8),
)  # fmt: skip
"""Stolzenburg's rational tuning II: a ratio for 0 to 11 semitones."""

_TWOS = 14  # powers of 2 that a denominator can reach: 3 of its own, 11 octaves down
_LARGEST = 127


def ratio(semitones: int) -> Fraction:
    """The ratio for which an interval is taken, up or down by any number of octaves.

    >>> ratio(7), ratio(-5), ratio(24)
    (Fraction(3, 2), Fraction(3, 4), Fraction(4, 1))
    """
    return RATIONAL_TUNING[semitones % 12] * Fraction(2) ** (semitones // 12)


@cache
def _codes() -> NDArray[np.uint16]:
    """Denominators of the intervals -127 to 127 as bits, so that bitwise "or" is the least common multiple.

    A bit for each power of 2 up to the one that divides it, one for 3, one for 5; no other prime divides any.
    """
    codes = np.zeros(2 * _LARGEST + 1, np.uint16)
    for semitones in range(-_LARGEST, _LARGEST + 1):
        denominator = ratio(semitones).denominator
        twos = (denominator & -denominator).bit_length() - 1
        codes[semitones + _LARGEST] = (
            (1 << twos) - 1 | (denominator % 3 == 0) << _TWOS | (denominator % 5 == 0) << _TWOS + 1
        )
    return codes


@cache
def _logarithms() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Base-2 logarithms: of the least common multiple for each code, and of the ratio for each interval."""
    code = np.arange(1 << _TWOS + 2)
    twos = np.zeros(len(code))
    for power in range(_TWOS):
        twos += code >> power & 1
    multiples = twos + (code >> _TWOS & 1) * np.log2(3) + (code >> _TWOS + 1) * np.log2(5)
    ratios = np.log2([float(ratio(n)) for n in range(-_LARGEST, _LARGEST + 1)])
    return multiples, ratios


def period(pitches: ArrayLike) -> NDArray[np.float64]:
    """Smoothed logarithmic periodicity of voicings by Stolzenburg (2015); many at once.

    Parameters
    ----------
    pitches : array_like of int, shape (..., notes)
        MIDI numbers 0 to 127, each voicing rising.

    Returns
    -------
    ndarray of float, shape (...)
        Octaves from the lowest note down to the fundamental that all notes share; lower is more harmonic.

    Raises
    ------
    InputError
        Where there is no note.

    Examples
    --------
    >>> period([[60, 64, 67], [60, 63, 66]]).round(3).tolist()
    [2.0, 3.786]
    """
    given = np.asarray(pitches, np.int16)
    if not given.shape[-1]:
        raise InputError("Silence has no fundamental.", value=pitches, suggestion="Give at least one pitch.")
    columns = np.ascontiguousarray(given.reshape(-1, given.shape[-1]).T)
    multiples, ratios = _logarithms()
    codes, total = _codes(), np.zeros(columns.shape[1])
    for reference in columns:
        shared = codes[columns[0] - reference + _LARGEST]
        total += ratios[columns[0] - reference + _LARGEST]
        for other in columns[1:]:
            shared = shared | codes[other - reference + _LARGEST]
        total += multiples[shared]
    return np.asarray(total / len(columns)).reshape(given.shape[:-1])
