"""The moments at which a new collection may begin, and how likely a change is at each.

Conventions
-----------
* A collection begins where a note is struck. Within one felt beat (`sonorarium.score.metre`) only the first struck
  slice begins a **moment**; the slices after it, up to the first struck slice of a later beat, belong to it. A
  syncopated note begins a moment off the beat; where nothing is struck, the moment before goes on.
* The **level** of a boundary is the strength of the place where the later moment begins: 1, 3/4, 1/2 or 1/4.
* Of two collections, the one that shares more notes with the collection before is the likelier to follow. How far two
  are apart is half the number of notes that are in one of them only: 1 for C and G diatonic. None of these stands
  `NONE_APART` from everything.

That keys, and scales, near to each other follow one another more often is common practice; for scales: Tymoczko,
Scale networks and Debussy (2004), from memory. The numbers are our own (`sonorarium.score.analysis.tracing`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.score.analysis.emissions import felt_beats
from sonorarium.score.analysis.markov import Transitions
from sonorarium.score.metre import Metre
from sonorarium.score.slices import Rows, Slices

STRENGTHS = (0.25, 0.5, 0.75, 1.0)
"""Strengths of a place in the bar, by level."""

NONE_APART = 2.0
"""How far none of these stands from every collection, in notes."""


@dataclass(frozen=True, eq=False)
class Moments:
    """The slices of a score, gathered into moments.

    Parameters
    ----------
    starts : ndarray of int, shape (m,)
        First slice of each moment; the first moment begins with slice 0.
    levels : ndarray of int, shape (m,)
        Index into `STRENGTHS` of the place where each begins.
    struck : ndarray of bool, shape (slices,)
        Whether a note is struck where a slice begins.
    strengths : ndarray, shape (slices,)
        Strength of the place where each slice begins.
    """

    starts: Rows
    levels: NDArray[np.intp]
    struck: NDArray[np.bool_]
    strengths: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.starts)

    @property
    def of_slice(self) -> Rows:
        """Moment to which each slice belongs: shape (slices,)."""
        return np.searchsorted(self.starts, np.arange(len(self.struck)), side="right") - 1

    def gathered(self, by_slice: NDArray[Any]) -> NDArray[Any]:
        """Sums over the slices of each moment: shape (moments, ...)."""
        return np.asarray(np.add.reduceat(by_slice, self.starts, axis=0))


def gather(slices: Slices) -> Moments:
    """Gather slices into moments.

    Parameters
    ----------
    slices : Slices
        At least one, of a score with at least one bar.

    Returns
    -------
    Moments
    """
    score, onsets = slices.score, slices.onsets
    struck = np.isin(onsets, score.notes["onset"][slices.rows])
    strengths = Metre(score).strengths_at(onsets)
    bar = np.maximum(0, np.searchsorted(score.bars["onset"], onsets, side="right") - 1)
    into_bar = onsets - score.bars["onset"][bar] + score.bars["lead"][bar]
    beat = np.floor(into_bar / felt_beats(slices) + 1e-9).astype(np.int64)
    at = np.flatnonzero(struck)
    new = (np.diff(bar[at], prepend=-1) != 0) | (np.diff(beat[at], prepend=-1) != 0)
    starts = np.union1d(at[new], [0]).astype(np.intp)
    levels = np.searchsorted(STRENGTHS, strengths[starts] - 1e-9)
    return Moments(starts, levels.astype(np.intp), struck, strengths)


def distances(masks: NDArray[np.int64]) -> NDArray[np.float64]:
    """How far readings are apart, in notes: shape (members + 1, members + 1), the last for none of these.

    >>> distances(np.array([0b101010110101, 0b101011010101])).tolist()  # C and G diatonic
    [[0.0, 1.0, 2.0], [1.0, 0.0, 2.0], [2.0, 2.0, 0.0]]
    """
    size = len(masks) + 1
    out = np.full((size, size), NONE_APART)
    out[:-1, :-1] = tables.size()[masks[:, None] ^ masks] / 2
    out[-1, -1] = 0.0
    return out


def changes(
    apart: NDArray[np.float64], cost: NDArray[np.float64], *, change: float, per_note: float, metre: float
) -> NDArray[np.float64]:
    """Log-probabilities of going from one reading to another, for each strength: shape (4, readings, readings).

    Parameters
    ----------
    apart : ndarray, shape (readings, readings)
        From `distances`.
    cost : ndarray, shape (readings,)
        What it costs to take each reading up, in natural logarithms.
    change : float
        Probability that the collection changes at a downbeat.
    per_note : float
        By how much, in natural logarithms, each note that must be exchanged makes a change less likely.
    metre : float
        The probability of a change is multiplied by the strength of the place to this power; 0 for all places alike.
    """
    share = np.exp(-per_note * apart - cost)
    np.fill_diagonal(share, 0)
    share /= np.maximum(share.sum(axis=1, keepdims=True), 1e-300)
    chance = change * np.array(STRENGTHS)[:, None, None] ** metre
    every = chance * share + (1 - chance) * np.eye(len(apart))
    return np.asarray(np.log(np.maximum(every, 1e-300)))


def transitions(moments: Moments, logs: NDArray[np.float64]) -> Transitions:
    """The transitions at the boundaries between moments."""
    return Transitions(logs, moments.levels[1:])
