"""Consonance by number: Huron's aggregate of interval classes and Euler's degrees of pleasantness.

Conventions
-----------
* **Aggregate dyadic consonance** (Huron 1994) adds up a value for each pair of notes by its interval class: the mean
  of three sets of listening data, each brought to mean 0 and standard deviation 1. Above 0 is consonant. It depends
  on the interval vector alone, not on register, spacing or timbre (`sonorarium.pcs.roughness` does), and grows with
  the number of notes, so that only sets of one size can be compared.
* **Gradus suavitatis** (Euler 1739): for tones in the ratio a:b:c in lowest terms, 1 more than the sum of p − 1 over
  the prime factors p of their least common multiple, each as often as it occurs. 1 is the unison; the higher the
  harsher.

Sources: David Huron, Interval-class content in equally tempered pitch-class sets: common scales exhibit optimum tonal
consonance, Music Perception 11 (1994); Leonhard Euler, Tentamen novae theoriae musicae (1739), ch. 4.
"""

from __future__ import annotations

from functools import cache
from math import gcd, lcm

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.tables import frozen

HURON = (-1.428, -0.582, 0.594, 0.386, 1.240, -0.453)
"""Huron's value of interval classes 1 to 6."""


@cache
def dyadic_consonances() -> NDArray[np.float64]:
    """Huron's aggregate of every set: shape (4096,)."""
    return frozen(np.asarray(tables.vector() @ np.array(HURON)))


def dyadic_consonance(notes: SetFacts) -> float:
    """Huron's aggregate of a set.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> round(dyadic_consonance(PcSet((0, 4, 7))), 3), round(dyadic_consonance(PcSet((0, 1, 2))), 3)
    (2.22, -3.438)
    """
    return float(dyadic_consonances()[notes.mask])


def gradus(*tones: int) -> int:
    """Euler's degree of a chord whose frequencies stand in the ratio of whole numbers.

    Raises `InputError` where a number is not above 0, or there is none.

    >>> gradus(2, 3), gradus(4, 5, 6)
    (4, 9)
    """
    if not tones or min(tones) < 1:
        raise InputError(f"{tones} is no ratio.", value=tones, suggestion="Give whole numbers above 0.")
    shared = gcd(*tones)
    left, degree, factor = lcm(*(tone // shared for tone in tones)), 1, 2
    while left > 1:
        while left % factor == 0:
            left, degree = left // factor, degree + factor - 1
        factor += 1
    return degree
