"""How well each collection explains each moment of a piece: the evidence on which tracing rests.

Conventions
-----------
* **Weight.** Through a slice, each pitch class that sounds weighs as much as the slice is long, in felt beats
  (`sonorarium.score.metre`): three eighths of a bar of 6/8 weigh one, and so does a quarter of 2/4. Doublings count
  once. By option, what stands on a weak place of the bar weighs less.
* **Likelihood.** A collection of k notes deals its notes out evenly: each has the chance (1 − f)/k, and each of the
  12 − k others f/(12 − k), where f is the share of foreign notes that is taken for granted (passing notes,
  misprints). The logarithm of that chance, times the weight, is what a pitch class in a slice says for or against
  the collection. So of two collections that hold all that is heard, the smaller explains it better.
* **None of these** is a reading of its own: that the notes come from some other stock of so many notes.

Sources
-------
A scale as a distribution over pitch classes: Temperley, Music and Probability (2007), ch. 4 to 6. That the smaller of
two hypotheses which both hold the data is the better one by exactly this ratio, the "size principle": Tenenbaum &
Griffiths, Generalization, similarity, and Bayesian inference, Behavioral and Brain Sciences 24 (2001). Both from
memory. Weighing by duration and metre: common practice.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.score.metre import Metre
from sonorarium.score.slices import Slices

Weights = NDArray[np.float64]
"""Weight of each pitch class in each slice, in felt beats: shape (slices, 12)."""

LogLikelihoods = NDArray[np.float64]
"""Log-likelihood of each slice under each reading: shape (slices, readings)."""


def weigh(slices: Slices, metrical: float = 0.0) -> Weights:
    """Weigh the pitch classes of each slice.

    Parameters
    ----------
    slices : Slices
        Of a score with at least one bar, or without slices.
    metrical : float
        0 to 1: how much less a weak place weighs. At 1 a slice is multiplied by the strength of the place where it
        begins, 1 on the downbeat to 1/4 off the beat; at 0 all places weigh the same.

    Returns
    -------
    ndarray, shape (slices, 12)
    """
    beats = slices.durations / felt_beats(slices)
    if metrical and len(slices):
        beats = beats * (1 - metrical + metrical * Metre(slices.score).strengths_at(slices.onsets))
    return np.asarray(tables.members()[slices.masks] * beats[:, None], np.float64)


def felt_beats(slices: Slices) -> NDArray[np.float64]:
    """Length of the felt beat of the bar in which each slice begins, in ticks: shape (slices,).

    It is the unit of the metre's lower figure, or three of them where three make a beat; a quarter where the bar
    has no metre.
    """
    score, bars = slices.score, slices.score.bars
    if not len(bars):
        return np.full(len(slices), float(score.ticks_per_quarter))
    beats, beat_type = bars["beats"].astype(np.int64), np.maximum(bars["beat_type"].astype(np.int64), 1)
    in_threes = (beats > 3) & (beats % 3 == 0) & (beat_type >= 8)
    units = np.where(beats > 0, np.where(in_threes, 3, 1) * 4.0 / beat_type, 1.0)
    at = np.maximum(0, np.searchsorted(bars["onset"], slices.onsets, side="right") - 1)
    return np.asarray(units[at] * score.ticks_per_quarter, np.float64)


def log_chances(masks: NDArray[np.int64], foreign: float, none_size: float) -> NDArray[np.float64]:
    """Log-chance of each pitch class under each reading: shape (12, members + 1), the last for none of these.

    Parameters
    ----------
    masks : ndarray, shape (members,)
        The collections, each of 1 to 11 notes.
    foreign : float
        Share of foreign notes taken for granted, above 0 and below 1.
    none_size : float
        Number of notes in the stock that none of these stands for.

    Examples
    --------
    >>> chances = np.exp(log_chances(np.array([0b010101010101]), foreign=0.06, none_size=9))
    >>> chances.round(4)[:2].tolist()
    [[0.1567, 0.1111], [0.01, 0.1111]]
    """
    inside, sizes = tables.members()[masks], tables.size()[masks].astype(float)[:, None]
    member = np.where(inside, (1 - foreign) / sizes, foreign / (12 - sizes))
    return np.asarray(np.log(np.vstack([member, np.full(12, 1 / none_size)]).T), np.float64)


def log_likelihoods(weights: Weights, chances: NDArray[np.float64], evidence: float) -> LogLikelihoods:
    """Log-likelihood of slices, moments or stretches under each reading: shape (..., readings).

    Parameters
    ----------
    weights : ndarray, shape (..., 12)
    chances : ndarray, shape (12, readings)
    evidence : float
        How much one felt beat of one pitch class counts as an observation of its own; below 1, since what sounds
        on one beat and on the next is not independent.
    """
    # Not by matrix product: for so small a one the threads of a linear-algebra library cost more than they save.
    return np.asarray(np.einsum("...p,pr->...r", weights, evidence * chances), np.float64)
