"""Generic and specific intervals of a scale: which sizes in semitones its seconds, thirds and so on come in.

Conventions
-----------
* A **generic** interval counts steps of the scale: from a note to the next is one step, whatever the size of the
  scale. A **specific** interval counts semitones.
* The **spectrum** of a generic interval is the set of its specific sizes (Clough and Douthett 1991).
* A generic interval of a scale of d notes runs from 1 to d − 1 steps; the octave is no part of the spectrum.

All tables here are indexed by Tn class in catalogue order (`sonorarium.pcs.catalogue.tn_masks`), for
transposition changes nothing in them.

Sources: John Clough and Gerald Myerson, Variety and multiplicity in diatonic systems, Journal of Music Theory 29
(1985); John Clough and Jack Douthett, Maximally even sets, Journal of Music Theory 35 (1991).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.tables import frozen

_NONE = 99


@cache
def classes_of_size(size: int) -> NDArray[np.intp]:
    """Places of the Tn classes with a given number of notes in the catalogue."""
    return frozen(np.flatnonzero(tables.size()[catalogue.tn_masks()] == size))


@cache
def spans(size: int) -> NDArray[np.int8]:
    """Every interval of every Tn class with so many notes.

    Parameters
    ----------
    size : int
        1 to 12 notes.

    Returns
    -------
    ndarray of int8, shape (classes of that size, size, size)
        Entry [c, k, i] is the number of semitones from note i of the class up to the note k steps above it; the row
        of k = 0 holds zeros.
    """
    notes = np.nonzero(tables.members()[catalogue.tn_masks()[classes_of_size(size)]])[1].reshape(-1, size)
    two_octaves = np.concatenate([notes, notes + 12], axis=1)
    steps = np.arange(size)
    return frozen((two_octaves[:, steps[:, None] + steps] - notes[:, None, :]).astype(np.int8))


@cache
def sizes() -> NDArray[np.uint16]:
    """Spectra: shape (352, 12); bit s of entry [c, k] is set where k steps of class c somewhere make s semitones."""
    out = np.zeros((len(catalogue.tn_masks()), 12), np.uint16)
    for size in range(1, 13):
        bits = np.uint16(1) << spans(size).astype(np.uint16)
        out[classes_of_size(size), :size] = np.bitwise_or.reduce(bits, axis=2)
    return frozen(out)


@cache
def is_generic() -> NDArray[np.bool_]:
    """Whether k is a generic interval of class c, 1 to d − 1: shape (352, 12)."""
    k = np.arange(12)
    return frozen((k >= 1) & (k < tables.size()[catalogue.tn_masks()][:, None]))


@cache
def variety() -> NDArray[np.uint8]:
    """Number of different sizes of each generic interval: shape (352, 12); 0 where there is no such interval."""
    return frozen(np.where(is_generic(), tables.size()[sizes().astype(np.intp)], 0).astype(np.uint8))


@cache
def smallest() -> NDArray[np.int8]:
    """Smallest size of each generic interval in semitones: shape (352, 12); 99 where there is none."""
    found = tables.members()[sizes().astype(np.intp)].argmax(axis=2)
    return frozen(np.where(is_generic(), found, _NONE).astype(np.int8))


@cache
def largest() -> NDArray[np.int8]:
    """Largest size of each generic interval in semitones: shape (352, 12); 99 where there is none."""
    found = 11 - tables.members()[sizes().astype(np.intp)][..., ::-1].argmax(axis=2)
    return frozen(np.where(is_generic(), found, _NONE).astype(np.int8))


def spectrum(notes: SetFacts) -> tuple[tuple[int, ...], ...]:
    """The specific sizes of each generic interval of a set, from one step upward.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> spectrum(PcSet((0, 2, 4, 5, 7, 9, 11)))
    ((1, 2), (3, 4), (5, 6), (6, 7), (8, 9), (10, 11))
    """
    row = sizes()[catalogue.tn_index()[notes.mask]].tolist()
    return tuple(
        tuple(s for s in range(12) if row[k] >> s & 1)
        for k in range(1, notes.cardinality)
    )  # fmt: skip


def intervals(notes: SetFacts) -> tuple[tuple[int, ...], ...]:
    """Every interval of a set in semitones: entry k − 1 holds those of k steps, in the order of the set's notes.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> intervals(PcSet((0, 4, 7)))
    ((4, 3, 5), (7, 8, 9))
    """
    pcs = notes.pcs
    count = len(pcs)
    return tuple(tuple((pcs[(i + k) % count] - pcs[i]) % 12 for i in range(count)) for k in range(1, count))
