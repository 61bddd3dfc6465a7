"""Propriety: whether the ear can tell a second of a scale from its thirds by size alone (Rothenberg).

Definitions
-----------
* A scale is **strictly proper** when every interval of k steps is smaller than every interval of k + 1 steps;
  **proper** when none is larger, though some may be equal; else **improper**.
* An interval size is **ambiguous** when it occurs with different numbers of steps, as the tritone of the diatonic
  scale is both a fourth and a fifth. A pair is **contradictory** when more steps make fewer semitones.
* **Stability**, defined for proper scales, is the share of intervals that are not ambiguous: 1 where a scale is
  strictly proper. Rothenberg counts each pair of notes once; counting its two directed intervals, as here, gives
  the same share, for the inversion of an ambiguous interval is ambiguous.

Scales of fewer than three notes are strictly proper, having nothing to confuse. Encyclopedias equate propriety with
coherence; `sonorarium.pcs.coherence` shows that they differ.

Source: David Rothenberg, A model for pattern perception with musical applications, part I: Pitch structures as
order-preserving maps, Mathematical Systems Theory 11 (1978).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import catalogue, spectrum, tables
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.tables import frozen

KINDS = ("improper", "proper", "strictly proper")


@dataclass(frozen=True)
class Propriety:
    """How well the intervals of a scale tell their number of steps.

    Parameters
    ----------
    kind : str
        ``strictly proper``, ``proper`` or ``improper``.
    stability : float or None
        Share of unambiguous intervals, 0 to 1; None for an improper scale.
    ambiguous : tuple of int
        Sizes in semitones that occur with different numbers of steps.
    contradictions : tuple of (int, int)
        Each pair of steps (k, l), k < l, of which some interval of k steps is larger than one of l steps.
    """

    kind: str
    stability: float | None
    ambiguous: tuple[int, ...]
    contradictions: tuple[tuple[int, int], ...]


@cache
def kinds() -> NDArray[np.uint8]:
    """Propriety of each Tn class: shape (352,); 0 improper, 1 proper, 2 strictly proper, as in `KINDS`."""
    gap = spectrum.smallest()[:, 2:] - spectrum.largest()[:, 1:-1]  # what k + 1 steps have over k steps
    gap = np.where(spectrum.is_generic()[:, 2:], gap, 1)
    return frozen(np.where((gap > 0).all(axis=1), 2, np.where((gap >= 0).all(axis=1), 1, 0)).astype(np.uint8))


@cache
def ambiguous_sizes() -> NDArray[np.bool_]:
    """Whether s semitones occur with different numbers of steps in Tn class c: shape (352, 12)."""
    occurs = tables.members()[spectrum.sizes().astype(np.intp)] & spectrum.is_generic()[..., None]
    return frozen(occurs.sum(axis=1) > 1)


@cache
def stability() -> NDArray[np.float64]:
    """Share of unambiguous intervals of each Tn class: shape (352,); not a number for improper classes."""
    content = tables.content()[catalogue.tn_masks()].astype(float)
    content[:, 0] = 0
    total = np.maximum(content.sum(axis=1), 1)
    share = 1 - (content * ambiguous_sizes()).sum(axis=1) / total
    return frozen(np.where(kinds() > 0, share, np.nan))


def propriety(notes: SetFacts) -> Propriety:
    """Tell whether a set is strictly proper, proper or improper.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> found = propriety(PcSet((0, 2, 4, 5, 7, 9, 11)))
    >>> found.kind, round(found.stability, 3), found.ambiguous
    ('proper', 0.952, (6,))
    >>> propriety(PcSet((0, 2, 3, 7, 8)))
    Propriety(kind='improper', stability=None, ambiguous=(6,), contradictions=((1, 2), (3, 4)))
    """
    at = int(catalogue.tn_index()[notes.mask])
    kind = int(kinds()[at])
    low, high = spectrum.smallest()[at].tolist(), spectrum.largest()[at].tolist()
    count = notes.cardinality
    return Propriety(
        KINDS[kind],
        float(stability()[at]) if kind else None,
        tuple(np.flatnonzero(ambiguous_sizes()[at]).tolist()),
        tuple((k, m) for k in range(1, count) for m in range(k + 1, count) if high[k] > low[m]),
    )
