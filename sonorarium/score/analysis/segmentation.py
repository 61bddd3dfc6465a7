"""The course of a tracing as stretches: cut, weighed whole, and thought over.

The most probable path takes each moment for itself, and cannot know what is never heard in a stretch. So the
stretches it leaves are weighed again as wholes:

* A stretch costs, for each reading, what its slices say, what the changes at both its ends cost, and `claim` for each
  note that the reading claims and the stretch never sounds. None of these claims as many notes as its stock has.
* A pitch class that takes less than `LEAST_SHARE` of a stretch decides nothing there, neither for nor against a
  reading: it is taken for a misprint or a passing note.
* Each stretch takes the reading that is then the best, first the stretches of even, then those of odd number, until
  nothing moves. A stretch that takes its neighbour's reading is joined to it and claims nothing new.
* At last each boundary goes to that slice of the two moments around it where the two readings part best, for a moment
  may hold several slices.

Every step raises the same sum, so the work ends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.score.analysis.emissions import Weights
from sonorarium.score.analysis.markov import States
from sonorarium.score.analysis.moments import STRENGTHS
from sonorarium.score.analysis.tracemodel import Evidence

LEAST_SHARE = 0.015
"""Share of the weight of a stretch below which a pitch class decides nothing."""

_MOST_ROUNDS = 20


@dataclass(frozen=True, eq=False)
class Segmentation:
    """A piece cut into stretches of one reading each.

    Parameters
    ----------
    cuts : ndarray of int, shape (k + 1,)
        Slices: stretch i runs from slice ``cuts[i]`` up to, not including, ``cuts[i + 1]``.
    readings : ndarray of int, shape (k,)
    """

    cuts: States
    readings: States

    def __len__(self) -> int:
        return len(self.readings)

    def joined(self) -> Segmentation:
        """The same with equal neighbours made one."""
        keep = np.diff(self.readings, prepend=-1) != 0
        return Segmentation(np.append(self.cuts[:-1][keep], self.cuts[-1]), self.readings[keep])


def segment(path: States, evidence: Evidence) -> Segmentation:
    """Make stretches of a path, think their readings over, and place the boundaries.

    Parameters
    ----------
    path : ndarray of int, shape (moments,)
    evidence : Evidence
    """
    found = Segmentation(np.append(evidence.moments.starts, len(evidence.slices)), path).joined()
    for _ in range(_MOST_ROUNDS):
        before = found
        for parity in (0, 1):
            found = _thought_over(found, evidence, parity)
        if np.array_equal(found.readings, before.readings):
            break
    return _placed(found, evidence)


def totals(found: Segmentation, evidence: Evidence) -> NDArray[np.float64]:
    """What speaks for each reading of each stretch, its neighbours being as they are: shape (stretches, readings).

    Natural logarithms; only differences within a row mean something.
    """
    told = alone(found, evidence)
    logs, levels = evidence.change_logs, _levels(found, evidence)
    told[0] -= evidence.cost
    told[1:] += logs[levels, found.readings[:-1]]
    told[:-1] += logs[levels, :, found.readings[1:]]
    return told


def alone(found: Segmentation, evidence: Evidence) -> NDArray[np.float64]:
    """What speaks for each reading of each stretch, the changes at its ends left out: shape (stretches, readings)."""
    weights = telling(np.diff(evidence.running_weights[found.cuts], axis=0))
    return np.asarray(
        evidence.told(weights) - evidence.options.claim * _claimed(found, weights, evidence), np.float64
    )


def telling(weights: Weights) -> Weights:
    """The weights of stretches, without the pitch classes that decide nothing: shape (stretches, 12)."""
    return np.where(weights >= LEAST_SHARE * weights.sum(axis=1, keepdims=True), weights, 0.0)


def so_far(found: Segmentation, evidence: Evidence) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """What the readings of all stretches before a place earn, and what the changes up to it cost.

    Returns
    -------
    (ndarray of shape (stretches + 1,), ndarray of shape (stretches,))
        Stretches i to j earn ``earned[j + 1] - earned[i]``; the changes between them cost ``cost[j] - cost[i]``.
    """
    own = alone(found, evidence)[np.arange(len(found)), found.readings]
    changed = evidence.change_logs[_levels(found, evidence), found.readings[:-1], found.readings[1:]]
    return np.concatenate([[0.0], np.cumsum(own)]), np.concatenate([[0.0], np.cumsum(-changed)])


def heard(found: Segmentation, evidence: Evidence) -> NDArray[np.int64]:
    """All pitch classes that sound in each stretch: shape (stretches,), masks."""
    return np.bitwise_or.reduceat(evidence.slices.masks.astype(np.int64), found.cuts[:-1])


def _levels(found: Segmentation, evidence: Evidence) -> States:
    """Level of the place where each stretch but the first begins."""
    return np.searchsorted(STRENGTHS, evidence.moments.strengths[found.cuts[1:-1]] - 1e-9)


def _claimed(found: Segmentation, weights: Weights, evidence: Evidence) -> NDArray[np.float64]:
    """Notes that each reading claims and each stretch does not sound; none where a neighbour claims them already."""
    sounding = (weights > 0) @ (1 << np.arange(12))
    members = tables.size()[evidence.masks & ~sounding[:, None]].astype(float)
    none = np.maximum(0, evidence.options.none_size - tables.size()[sounding])
    claimed = np.column_stack([members, none])
    stretch = np.arange(len(found))
    claimed[stretch[1:], found.readings[:-1]] = 0
    claimed[stretch[:-1], found.readings[1:]] = 0
    return claimed


def _thought_over(found: Segmentation, evidence: Evidence, parity: int) -> Segmentation:
    """Give every second stretch its best reading, a former one where it is as good."""
    told = totals(found, evidence)
    stretch = np.arange(len(found))
    best = told.argmax(axis=1)
    gains = told[stretch, best] > told[stretch, found.readings] + 1e-9
    moves = gains & (stretch % 2 == parity)
    return Segmentation(found.cuts, np.where(moves, best, found.readings)).joined()


def _placed(found: Segmentation, evidence: Evidence) -> Segmentation:
    """Move each boundary to the best struck slice of the moments on its two sides."""
    cuts, moments = found.cuts.copy(), evidence.moments
    ends = np.append(moments.starts, len(evidence.slices))
    for i in range(1, len(found)):
        moment = int(np.searchsorted(moments.starts, cuts[i]))
        first = max(int(cuts[i - 1]), int(ends[max(moment - 1, 0)])) + 1
        last = min(int(found.cuts[i + 1]), int(ends[min(moment + 1, len(moments))]))
        places = first + np.flatnonzero(moments.struck[first:last])
        if len(places):
            cuts[i] = places[_gain(places, int(cuts[i]), found.readings[i - 1 : i + 1], evidence).argmax()]
    return Segmentation(cuts, found.readings)


def _gain(places: States, now: int, pair: States, evidence: Evidence) -> NDArray[np.float64]:
    """What speaks for each place as the boundary of two readings; a hair more for the place where it is now."""
    before, after = pair
    levels = np.searchsorted(STRENGTHS, evidence.moments.strengths[places] - 1e-9)
    told = evidence.told(evidence.running_weights[places])
    parted = told[:, before] - told[:, after]
    return np.asarray(parted + evidence.change_logs[levels, before, after] + 1e-9 * (places == now), np.float64)
