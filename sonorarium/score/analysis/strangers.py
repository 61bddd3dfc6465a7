"""Strangers: sets outside a family on which a stretch of a piece is plainly built.

A piece in a scale that the family lacks would be read as the nearest member with many foreign notes, or as none at
all. But foreign notes that come back as often as the others are no passing notes. So where some set of 5 to 8
notes, which neither lies in a member of the family nor holds one, explains a stretch much better than every member
does, it is taken in as one more reading, and counts as none of these. The piece is then traced once more.

Only the heaviest pitch classes of a stretch are asked: its five, six, seven and eight that sound longest. Each must
take a share of the stretch that tells, and one that the best member leaves out must take `LEAST_OUTSIDE`. A set
must earn what it costs to choose it among the many that might have been chosen. Of two strangers of which one lies
within the other, the larger is taken in.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.pcs.family import Family
from sonorarium.score.analysis.emissions import log_chances
from sonorarium.score.analysis.segmentation import Segmentation, so_far, telling
from sonorarium.score.analysis.tracemodel import Evidence

SIZES = (5, 6, 7, 8)
"""Numbers of notes that a stranger may have."""

LEAST_OUTSIDE = 0.04
"""Share of a stretch that one note of a stranger must take, which the best member of the family leaves out."""

WIDEST = 4
"""So many stretches of a first tracing, at most, are looked at together."""

MOST = 8
"""At most so many strangers are taken in."""


def is_stranger(family: Family) -> NDArray[np.bool_]:
    """Whether a set neither lies in a member of a family nor holds one: shape (4096,).

    >>> from sonorarium.pcs.families import default_family
    >>> from sonorarium.pcs.pcset import PcSet
    >>> flags = is_stranger(default_family())
    >>> [bool(flags[PcSet(s).mask]) for s in ((0, 1, 4, 5, 7, 8, 11), (0, 4, 7), range(8))]
    [True, False, True]
    """
    every = np.arange(tables.SETS)[:, None]
    kin = (every & ~family.masks == 0) | (family.masks & ~every == 0)
    return np.asarray(~kin.any(axis=1))


def find_strangers(found: Segmentation, evidence: Evidence) -> tuple[int, ...]:
    """Sets outside the family that explain stretches of a first tracing better than its readings do.

    Parameters
    ----------
    found : Segmentation
        The first tracing.
    evidence : Evidence
        What it rests on.

    Returns
    -------
    tuple of int
        Masks, those that explain most first; at most `MOST`.
    """
    firsts, lasts = _windows(len(found))
    running = evidence.running_weights[found.cuts]
    weights = telling(running[lasts + 1] - running[firsts])
    masks, told = _best_sets(weights, evidence)
    earned, cost = so_far(found, evidence)
    now = earned[lasts + 1] - earned[firsts] - (cost[lasts] - cost[firsts])
    gains = told - evidence.options.stranger - now
    gaining = np.flatnonzero(gains > 0)
    gaining = gaining[_left_out(masks[gaining], weights[gaining], evidence.family) >= LEAST_OUTSIDE]
    best: dict[int, float] = {}
    for mask, gain in zip(masks[gaining].tolist(), gains[gaining].tolist(), strict=True):
        best[mask] = max(gain, best.get(mask, 0.0))
    widest = [mask for mask in best if not any(mask != other and mask & ~other == 0 for other in best)]
    return tuple(sorted(widest, key=lambda mask: -best[mask])[:MOST])


def _windows(stretches: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last of every 1 to `WIDEST` neighbouring stretches."""
    pairs = [(i, i + wide) for wide in range(min(WIDEST, stretches)) for i in range(stretches - wide)]
    firsts, lasts = np.array(pairs, np.intp).reshape(-1, 2).T
    return firsts, lasts


def _best_sets(weights: NDArray[np.float64], evidence: Evidence) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """The best stranger of each window and how well it explains it; -inf where there is none."""
    order = np.argsort(-weights, axis=1, kind="stable")
    heaviest = np.bitwise_or.accumulate(1 << order, axis=1)[:, np.array(SIZES) - 1]
    heard = (weights > 0) @ (1 << np.arange(12))
    allowed = is_stranger(evidence.family)[heaviest] & (heaviest & ~heard[:, None] == 0)
    chances = np.stack([log_chances(column, evidence.options.foreign, 12.0)[:, :-1] for column in heaviest.T])
    told = evidence.options.evidence * np.einsum("wp,kpw->wk", weights, chances)
    told = np.where(allowed, told, -np.inf)
    best, window = told.argmax(axis=1), np.arange(len(weights))
    return heaviest[window, best].astype(np.int64), np.asarray(told[window, best], np.float64)


def _left_out(sets: NDArray[np.int64], weights: NDArray[np.float64], family: Family) -> NDArray[np.float64]:
    """Share of a window that is taken by one note of a set which the best member leaves out: like ``sets``."""
    share = weights / np.maximum(weights.sum(axis=1, keepdims=True), 1e-12)
    missed = tables.members()[sets[:, None] & ~family.masks]
    return np.asarray((share[:, None] * missed).max(axis=2).min(axis=1, initial=1.0), np.float64)
