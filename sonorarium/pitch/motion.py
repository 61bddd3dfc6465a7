"""How whole choices of voicings move to each other: every voicing of one chord against every voicing of the next.

Voices are taken from the lowest up, each going to the voice at its own place, so that none cross. Everything is array
work: with some hundreds of voicings on both sides a pair of chords takes milliseconds.

Parallels: two voices a fifth, an octave or a unison apart (or as much and some octaves) that go the same way and end
as far apart, octaves aside (common practice; Fux, Gradus ad Parnassum, 1725, forbids them).
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from sonorarium.pitch.candidates import Placements

Counts = NDArray[np.int16]


def movement(one: Placements, other: Placements) -> Counts:
    """Semitones that all voices move together, for every pair.

    Parameters
    ----------
    one, other : ndarray of int16, shape (m, voices) and (n, voices)

    Returns
    -------
    ndarray of int16, shape (m, n)

    Examples
    --------
    >>> movement(np.array([[60, 64, 67]], np.int16), np.array([[60, 65, 69], [59, 62, 67]], np.int16)).tolist()
    [[3, 3]]
    """
    total = np.zeros((len(one), len(other)), np.int16)
    for a, b in zip(one.T, other.T, strict=True):
        total += np.abs(a[:, None] - b[None, :])
    return total


def farthest(one: Placements, other: Placements) -> Counts:
    """Semitones that the voice moves which moves farthest, for every pair: shape (m, n).

    >>> farthest(np.array([[60, 64, 67]], np.int16), np.array([[60, 65, 69]], np.int16)).tolist()
    [[2]]
    """
    most = np.zeros((len(one), len(other)), np.int16)
    for a, b in zip(one.T, other.T, strict=True):
        np.maximum(most, np.abs(a[:, None] - b[None, :]), out=most)
    return most


def parallels(one: Placements, other: Placements) -> Counts:
    """How many pairs of voices move in parallel fifths, octaves or unisons, for every pair of voicings: shape (m, n).

    >>> parallels(np.array([[48, 55, 64]], np.int16), np.array([[50, 57, 65], [47, 55, 62]], np.int16)).tolist()
    [[1, 0]]
    """
    count = np.zeros((len(one), len(other)), np.int16)
    for low, high in combinations(range(one.shape[1]), 2):
        before, after = (one[:, high] - one[:, low]) % 12, (other[:, high] - other[:, low]) % 12
        for interval in (0, 7):
            rows, columns = np.flatnonzero(before == interval), np.flatnonzero(after == interval)
            lower = np.sign(other[columns, low][None, :] - one[rows, low][:, None])
            upper = np.sign(other[columns, high][None, :] - one[rows, high][:, None])
            count[np.ix_(rows, columns)] += lower * upper > 0
    return count
