"""How many realisations a set has, counted exactly without listing any.

A realisation is what `sonorarium.pitch.candidates.placements` lists: rising pitches in a range that sound a set, some
notes left out where that is allowed, some doubled where there are more voices than notes. They are counted for each
lowest and highest note by inclusion and exclusion over the pitch classes that have to sound, so that it is known
beforehand how many there are, and how many a fixed bass, a fixed top or a span takes away.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pitch.candidates import Compass, available

Ints = NDArray[np.int64]

MOST_VOICES = 12
"""With more voices the numbers could outgrow 64 bits, and nobody could look at them."""


def counts(notes: SetFacts, voices: int, compass: Compass, *, omit: int = 0) -> Ints:
    """Count realisations by their lowest and highest note.

    Parameters
    ----------
    notes : SetFacts
    voices : int
        Number of notes, 1 to 12.
    compass : Compass
        Only its range counts here.
    omit : int
        At most so many notes of the set may be missing.

    Returns
    -------
    ndarray of int, shape (n, n)
        By lowest and highest note, as they come in `sonorarium.pitch.candidates.available`.

    Raises
    ------
    InputError
        Where the number of voices is not from 1 to 12.

    Examples
    --------
    >>> int(counts(PcSet((0, 4, 7)), 3, Compass(48, 71)).sum())  # each pitch class in either of two octaves
    8
    """
    if not 1 <= voices <= MOST_VOICES:
        raise InputError(f"{voices} voices cannot be set.", value=voices, suggestion=f"Use 1 to {MOST_VOICES}.")
    pitches = available(notes, compass)
    total = np.zeros((len(pitches), len(pitches)), np.int64)
    for missing in range(omit + 1):
        for left_out in combinations(notes.pcs, missing):
            total += _sounding_all(notes.mask & ~PcSet(left_out).mask, voices, pitches)
    return total


def _sounding_all(mask: int, voices: int, pitches: Ints) -> Ints:
    """Count those that sound all of a set and nothing else."""
    size = len(pitches)
    inside = (mask >> pitches % 12 & 1).astype(bool)
    if voices == 1:
        return np.diag(inside & (mask.bit_count() == 1)).astype(np.int64)
    if not mask or voices < mask.bit_count():
        return np.zeros((size, size), np.int64)
    ways = np.array([comb(n, voices - 2) for n in range(129)], np.int64)
    total = np.zeros((size, size), np.int64)
    for sign, without in _signed_subsets(mask):
        free = inside & ~(without >> pitches % 12 & 1).astype(bool)
        before = np.cumsum(free)
        between = np.maximum(before[None, :] - before[:, None] - 1, 0)  # above the lowest, below the highest
        total += sign * np.where(free[:, None] & free, ways[between], 0)
    return np.triu(total, 1)


@cache
def _signed_subsets(mask: int) -> tuple[tuple[int, int], ...]:
    """Each subset of a set with the sign it has in inclusion and exclusion."""
    subsets, part = [], mask
    while True:
        subsets.append(((-1) ** part.bit_count(), part))
        if not part:
            return tuple(subsets)
        part = (part - 1) & mask
