"""Evenness: how evenly a set is spread over the octave, by three published measures, each with its rank.

The pitch classes are points on a circle of twelve, one turn to the octave.

Measures
--------
``chords``
    The sum of the lengths of the straight lines between all pairs of points on a circle of radius 1 (Block and
    Douthett 1994). It depends on the interval vector alone.
``degrees``
    The length of the mean of the points after each has been turned back by its scale degree's share of the octave,
    0 to 1; 1 for an equal division (Amiot 2009; Milne, Bulger, Herff and Sethares 2015).
``division``
    |Fd|, the magnitude of the Fourier coefficient numbered by the size d of the set, divided by d, 0 to 1. Among the
    sets of d notes the maximally even ones, and no others, have the largest value (Quinn 2006-7; Amiot 2007). It
    depends on the interval vector alone. The double harmonic scale, sixth of 38 by the chords, is last here.

Below the top the measures disagree: a rank means something only with the measure's name. Ranks run among the TnI
classes of the same size, 1 for the most even; classes with equal values share the better rank. Values nearer than a
thousand-millionth count as equal. The empty set is given the value 0.

**Balance** is 1 less the distance of the points' centre of gravity from the circle's centre, 0 to 1 (Milne and others
2015): a set can be perfectly balanced without being even.

Sources
-------
Steven Block and Jack Douthett, Vector products and intervallic weighting, Journal of Music Theory 38 (1994); Ian
Quinn, General equal-tempered harmony, Perspectives of New Music 44/2 and 45/1 (2006-7); Emmanuel Amiot, David Lewin
and maximally even sets, Journal of Mathematics and Music 1 (2007), and Discrete Fourier transform and Bach's good
temperament, Music Theory Online 15/2 (2009); Andrew Milne, David Bulger, Steffen Herff and William Sethares,
Perfect balance: a novel principle for the construction of musical scales and meters, Mathematics and Computation in
Music (2015).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import catalogue, fourier, tables
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.tables import frozen

MEASURES = ("chords", "degrees", "division")
_DIGITS = 9


@dataclass(frozen=True)
class Evenness:
    """The evenness of a set by one measure.

    Parameters
    ----------
    measure : str
        One of `MEASURES`.
    value : float
    rank : int
        Place among the TnI classes of its size, 1 for the most even.
    tied : int
        How many classes share that place, itself included.
    classes : int
        How many TnI classes there are of its size.
    """

    measure: str
    value: float
    rank: int
    tied: int
    classes: int


@cache
def values() -> NDArray[np.float64]:
    """Evenness of each TnI class by the three measures: shape (224, 3), columns as in `MEASURES`."""
    found = np.stack([_chords(), _degrees(), _division()], axis=1)
    return frozen(found.round(_DIGITS + 3))


@cache
def ranks() -> NDArray[np.int16]:
    """Rank of each TnI class among those of its size: shape (224, 3), columns as in `MEASURES`."""
    return _compared()[0]


@cache
def ties() -> NDArray[np.int16]:
    """How many TnI classes of its size share the rank of each: shape (224, 3), columns as in `MEASURES`."""
    return _compared()[1]


@cache
def balances() -> NDArray[np.float64]:
    """Balance of every set: shape (4096,); 1 for the empty set."""
    return frozen(1 - fourier.magnitudes()[:, 0] / np.maximum(tables.size(), 1))


def _chords() -> NDArray[np.float64]:
    lengths = 2 * np.sin(np.pi * np.arange(1, 7) / 12)
    return np.asarray(tables.vector()[catalogue.tni_masks()] @ lengths)


def _degrees() -> NDArray[np.float64]:
    member = tables.members()[catalogue.tni_masks()]
    size = np.maximum(member.sum(axis=1, keepdims=True), 1)
    degree = member.cumsum(axis=1) - 1
    turned = np.exp(2j * np.pi * (np.arange(12) / 12 - degree / size))
    return np.asarray(np.abs((turned * member).sum(axis=1)) / size[:, 0])


def _division() -> NDArray[np.float64]:
    size = tables.size()[catalogue.tni_masks()].astype(int)
    component = np.minimum(size, 12 - size)
    return np.asarray(np.abs(fourier.coefficients()[catalogue.tni_masks(), component]) / np.maximum(size, 1))


@cache
def _compared() -> tuple[NDArray[np.int16], NDArray[np.int16]]:
    size = tables.size()[catalogue.tni_masks()]
    found = values().round(_DIGITS)
    rank, tied = np.zeros(found.shape, np.int16), np.zeros(found.shape, np.int16)
    for n in range(13):
        mine = found[size == n]
        rank[size == n] = 1 + (mine[:, None] < mine).sum(axis=1)
        tied[size == n] = (mine[:, None] == mine).sum(axis=1)
    return frozen(rank), frozen(tied)


def evenness(notes: SetFacts) -> tuple[Evenness, ...]:
    """The evenness of a set by the three measures.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> for found in evenness(PcSet((0, 1, 4, 5, 7, 8, 11))):
    ...     print(found.measure, round(found.value, 4), found.rank, found.tied, found.classes)
    chords 30.1151 6 1 38
    degrees 0.9668 8 1 38
    division 0.0 38 1 38
    """
    at = int(catalogue.tni_index()[notes.mask])
    classes = int((tables.size()[catalogue.tni_masks()] == notes.cardinality).sum())
    rows = zip(MEASURES, values()[at].tolist(), ranks()[at].tolist(), ties()[at].tolist(), strict=True)
    return tuple(Evenness(measure, value, rank, tied, classes) for measure, value, rank, tied in rows)


def balance(notes: SetFacts) -> float:
    """The balance of a set, 0 to 1.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> balance(PcSet((0, 3, 4, 7, 8, 11))), round(balance(PcSet((0, 2, 4, 5, 7, 9, 11))), 6)
    (1.0, 0.961722)
    """
    return float(balances()[notes.mask])


def is_perfectly_balanced(notes: SetFacts) -> bool:
    """Whether the points of a set have their centre of gravity in the centre of the circle.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> is_perfectly_balanced(PcSet((0, 6, 1, 5, 9)))
    True
    """
    return bool(fourier.magnitudes()[notes.mask, 0] == 0)
