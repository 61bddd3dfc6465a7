"""Arrays over all 4,096 pitch-class sets: every question about a set is a look-up here.

A set is a 12-bit integer, its *mask*: bit k is set where pitch class k (C = 0) is in the set. All tables are
indexed by mask, built once on first use by array work, and read-only.

Conventions
-----------
* **Tn** transposes upward by n; **TnI** inverts about 0 first and transposes by n after: x becomes n − x.
* **Mk** multiplies: x becomes kx modulo 12.
* **Content** counts directed intervals: entry k is the number of notes that lie k semitones above a note of the set,
  entry 0 its size (Lewin's interval function of the set with itself).
* **Vector**: entry k − 1 counts the pairs at interval class k, 1 to 6; the tritone entry is half of content 6.
* **Packing**. A normal order is the rotation with the least span from first note to last. Where spans tie, Rahn
  (1980) compares first to last-but-one and so on inward from the right; Forte (1973) compares first to second and
  so on from the left. A mask whose lowest note is bit 0 is best by Rahn's rule exactly when it is the smallest
  integer, which is why that rule is the default here. Where whole rotations tie, the set is transpositionally
  symmetrical, and the normal order starts on the lowest pitch class number.

Sources
-------
Allen Forte, The Structure of Atonal Music (1973), ch. 1; John Rahn, Basic Atonal Theory (1980), ch. 2 to 4; David
Lewin, Intervallic relations between two collections of notes, Journal of Music Theory 3 (1959).
"""

from __future__ import annotations

from functools import cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

SETS = 4096
FULL = 0xFFF

Masks = NDArray[np.int16]
Counts = NDArray[np.uint8]
T = TypeVar("T", bound=np.generic)


def frozen(array: NDArray[T]) -> NDArray[T]:
    """Return the same array, made read-only."""
    array.setflags(write=False)
    return array


@cache
def members() -> NDArray[np.bool_]:
    """Whether set m holds pitch class k: shape (4096, 12)."""
    return frozen((np.arange(SETS)[:, None] >> np.arange(12) & 1).astype(bool))


@cache
def size() -> Counts:
    """Number of pitch classes: shape (4096,)."""
    return frozen(members().sum(axis=1, dtype=np.uint8))


@cache
def transposed() -> Masks:
    """Tn of every set: shape (12, 4096), first index n."""
    m, n = np.arange(SETS), np.arange(12)[:, None]
    return frozen(((m << n | m >> (12 - n)) & FULL).astype(np.int16))


@cache
def multiplied() -> Masks:
    """Mk of every set, x to kx modulo 12: shape (12, 4096), first index k; only 1, 5, 7 and 11 keep the size."""
    bits = 1 << (np.arange(12)[:, None] * np.arange(12) % 12)  # [k, pc]
    out = np.zeros((12, SETS), np.int16)
    for pc in range(12):
        out[:, members()[:, pc]] |= bits[:, pc, None].astype(np.int16)
    return frozen(out)


@cache
def inverted() -> Masks:
    """TnI of every set: shape (12, 4096), first index n."""
    return frozen(transposed()[:, multiplied()[11]])


@cache
def content() -> Counts:
    """Directed intervals: shape (4096, 12); entry k counts ordered pairs k semitones apart (common tones with Tk)."""
    return frozen(size()[np.arange(SETS) & transposed()].T.copy())


@cache
def vector() -> Counts:
    """Interval-class vector: shape (4096, 6)."""
    halves = np.array([1, 1, 1, 1, 1, 2], np.uint8)  # a tritone maps each of its notes to the other: met twice
    return frozen(content()[:, 1:7] // halves)


@cache
def chromatic_trichords() -> Counts:
    """Number of chromatic trichords (3-1: three neighbouring semitones) in every set: shape (4096,)."""
    return frozen(size()[np.arange(SETS) & transposed()[1] & transposed()[2]])


@cache
def tn_prime() -> Masks:
    """The set of its Tn class that is packed best from 0 by Rahn's rule: shape (4096,)."""
    return frozen(transposed().min(axis=0))


@cache
def prime() -> Masks:
    """Prime form by Rahn's rule, as a mask: shape (4096,)."""
    return frozen(np.minimum(tn_prime(), tn_prime()[inverted()[0]]))


@cache
def normal_start() -> NDArray[np.int8]:
    """Pitch class on which the normal order begins by Rahn's rule: shape (4096,); 0 for the empty set."""
    at_zero = transposed()[-np.arange(12) % 12]  # [s]: the set with pitch class s moved to 0
    return frozen((at_zero == tn_prime()).argmax(axis=0).astype(np.int8))


@cache
def _forte_keys() -> NDArray[np.int32]:
    """Smaller is packed better by Forte's rule: shape (4096,), for sets taken from their bit 0."""
    powers = 1 << np.arange(12)
    from_left = members() @ powers[::-1]  # bit 0 counts most, so the larger number is packed to the left
    span = np.where(members().any(axis=1), 11 - members()[:, ::-1].argmax(axis=1), 0)
    key = span * SETS + (FULL - from_left)
    return frozen(np.where(members()[:, 0], key, np.iinfo(np.int32).max).astype(np.int32))


@cache
def normal_start_forte() -> NDArray[np.int8]:
    """Pitch class on which the normal order begins by Forte's rule: shape (4096,)."""
    at_zero = transposed()[-np.arange(12) % 12]
    return frozen(_forte_keys()[at_zero].argmin(axis=0).astype(np.int8))


@cache
def prime_forte() -> Masks:
    """Prime form by Forte's rule, as a mask: shape (4096,)."""
    at_zero = transposed()[-normal_start_forte().astype(int) % 12, np.arange(SETS)]
    mirrored = at_zero[inverted()[0]]
    better = _forte_keys()[at_zero] <= _forte_keys()[mirrored]
    return frozen(np.where(better, at_zero, mirrored))


@cache
def is_mirror() -> NDArray[np.bool_]:
    """Whether some TnI maps the set to itself (inversional symmetry): shape (4096,)."""
    return frozen(tn_prime() == tn_prime()[inverted()[0]])


def subset_sums(values: NDArray[Any]) -> NDArray[Any]:
    """Add up, for every set, the values of all its subsets, itself and the empty set included.

    Parameters
    ----------
    values : ndarray, shape (4096, ...)

    Returns
    -------
    ndarray, same shape and dtype
        Entry m is the sum of the entries of all subsets of m (Yates's transform: twelve additions a set instead
        of up to 4,096).
    """
    out = values.copy()
    for pc in range(12):
        pairs = out.reshape(SETS >> (pc + 1), 2, 1 << pc, *values.shape[1:])
        pairs[:, 1] += pairs[:, 0]
    return out
