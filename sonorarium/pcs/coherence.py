"""Coherence and sameness: how nearly a scale sorts its intervals by steps, and how alike those of one kind are.

Definitions
-----------
* **Coherent in Balzano's sense**: every interval of k steps is smaller than every interval of k + 1 steps, the
  tritone alone allowed to stand against the tritone. Of the 66 five-note types 4 are coherent, of the 66 seven-note
  types only the diatonic (Balzano 1980). This is not Rothenberg's propriety (`sonorarium.pcs.rothenberg`), which
  5 seven-note types have.
* A **failure of coherence** is a pair of intervals of k and of l steps, k < l, of which the first is not the smaller.
  Carey's **coherence quotient** is 1 less the failures over the largest possible number of them,
  n(n − 1)(n − 2)(3n − 5)/24 for n notes.
* A **difference** is a pair of intervals of the same number of steps and of different sizes. The **sameness
  quotient** is 1 less the differences over n(n − 1)²/2.

Where nothing can fail, the quotient is 1: coherence below three notes, sameness below two.

Sources: Gerald Balzano, The group-theoretic description of 12-fold and microtonal pitch systems, Computer Music
Journal 4 (1980); Norman Carey, On coherence and sameness, and the evaluation of scale candidacy claims, Journal of
Music Theory 46 (2002), and Coherence and sameness in well-formed and pairwise well-formed scales, Journal of
Mathematics and Music 1 (2007). The two maxima are from memory.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import catalogue, spectrum
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.tables import frozen


@cache
def coherent() -> NDArray[np.bool_]:
    """Whether each Tn class is coherent in Balzano's sense: shape (352,)."""
    low, high = spectrum.smallest()[:, 2:], spectrum.largest()[:, 1:-1]
    fine = (high < low) | ((high == 6) & (low == 6)) | ~spectrum.is_generic()[:, 2:]
    return frozen(fine.all(axis=1))


@cache
def _counts() -> NDArray[np.int32]:
    """Failures of coherence and differences of each Tn class: shape (352, 2)."""
    out = np.zeros((len(catalogue.tn_masks()), 2), np.int32)
    for size in range(2, 13):
        spans = spectrum.spans(size)[:, 1:]  # [class, k, note]
        at_size = (spans[..., None] == np.arange(12)).sum(axis=2)  # [class, k, semitones]
        not_larger = at_size.cumsum(axis=2)
        fewer_steps = at_size.cumsum(axis=1) - at_size  # intervals of fewer than k steps, by semitones
        out[spectrum.classes_of_size(size), 0] = (fewer_steps * not_larger).sum(axis=(1, 2))
        out[spectrum.classes_of_size(size), 1] = (size * size - (at_size**2).sum(axis=2)).sum(axis=1) // 2
    return frozen(out)


def is_coherent(notes: SetFacts) -> bool:
    """Whether a set is coherent in Balzano's sense.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> is_coherent(PcSet((0, 2, 4, 5, 7, 9, 11))), is_coherent(PcSet((0, 2, 3, 5, 7, 9, 11)))
    (True, False)
    """
    return bool(coherent()[catalogue.tn_index()[notes.mask]])


def coherence_failures(notes: SetFacts) -> int:
    """Number of pairs of intervals of which the one of fewer steps is not the smaller."""
    return int(_counts()[catalogue.tn_index()[notes.mask], 0])


def coherence_quotient(notes: SetFacts) -> Fraction:
    """Carey's coherence quotient, 0 to 1.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> coherence_quotient(PcSet((0, 2, 4, 5, 7, 9, 11)))
    Fraction(139, 140)
    """
    n = notes.cardinality
    most = n * (n - 1) * (n - 2) * (3 * n - 5) // 24
    return 1 - Fraction(coherence_failures(notes), most) if n > 2 else Fraction(1)


def differences(notes: SetFacts) -> int:
    """Number of pairs of intervals of the same number of steps and of different sizes."""
    return int(_counts()[catalogue.tn_index()[notes.mask], 1])


def sameness_quotient(notes: SetFacts) -> Fraction:
    """Carey's sameness quotient, 0 to 1.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> sameness_quotient(PcSet((0, 2, 4, 5, 7, 9, 11))), sameness_quotient(PcSet((0, 4, 8)))
    (Fraction(5, 9), Fraction(1, 1))
    """
    n = notes.cardinality
    return 1 - Fraction(differences(notes), n * (n - 1) ** 2 // 2) if n > 1 else Fraction(1)
