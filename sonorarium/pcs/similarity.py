"""How alike two classes are, by published measures; and what is like a given set, with the reasons.

Measures
--------
==============  ==========  =========  =============================================================================
measure         from        alike at   what it is
==============  ==========  =========  =============================================================================
IcVSIM          vectors     0          standard deviation of the six differences of the interval-class vectors
ASIM            vectors     0, up to   sum of the six differences without sign (SIM), divided by the number of
                            1          intervals in both sets together
ANGLE           vectors     0, up to   angle between the two vectors in degrees; 90 where one of them is nought
                            90
Fourier         magnitudes  0          distance of the six Fourier magnitudes, as points in six dimensions
voice leading   notes       0          least voice leading in semitones: `sonorarium.pcs.distance`
==============  ==========  =========  =============================================================================

All but the last see interval content only: partners in the Z relation are alike to them. To the Fourier distance a
set and its complement are alike too, to IcVSIM nearly so, for their vectors differ by a constant but for the tritone.

The ranking of `most_alike` is this program's own: each class is placed by IcVSIM, ASIM, Fourier and voice leading,
that is, by how many classes come before it, and the mean place decides, then ASIM, then the order of the catalogue.

Sources: Eric Isaacson, Similarity of interval-class content between pitch-class sets: the IcVSIM relation, Journal of
Music Theory 34 (1990); Robert Morris, A similarity index for pitch-class sets, Perspectives of New Music 18
(1979-80); Damon Scott and Eric Isaacson, The interval angle: a similarity measure for pitch-class sets, ibid. 36
(1998); Ian Quinn, General equal-tempered harmony, ibid. 44/2 (2006) and Dmitri Tymoczko, Set-class similarity,
voice leading, and the Fourier transform, Journal of Music Theory 52 (2008) for magnitudes. All from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, complexes, distance, fourier, tables
from sonorarium.pcs.insides import Source, settle
from sonorarium.pcs.setclass import SetClass

Table = NDArray[np.float64]


@cache
def _vectors() -> NDArray[np.int64]:
    return tables.vector()[catalogue.tni_masks()].astype(np.int64)


@cache
def icvsim() -> Table:
    """IcVSIM of every two TnI classes: shape (224, 224), catalogue order.

    >>> at = {label: i for i, label in enumerate(catalogue.tni_labels())}
    >>> round(float(icvsim()[at["3-11"], at["3-12"]]), 3)
    1.0
    """
    return tables.frozen((_vectors()[:, None] - _vectors()).std(axis=2))


@cache
def sim() -> NDArray[np.int64]:
    """Morris's SIM of every two TnI classes: shape (224, 224)."""
    return tables.frozen(np.abs(_vectors()[:, None] - _vectors()).sum(axis=2))


@cache
def asim() -> Table:
    """Morris's ASIM of every two TnI classes: shape (224, 224); 0 between classes without intervals."""
    intervals = _vectors().sum(axis=1)
    return tables.frozen(sim() / np.maximum(intervals[:, None] + intervals, 1))


@cache
def angle_degrees() -> Table:
    """Scott and Isaacson's ANGLE of every two TnI classes, in degrees: shape (224, 224)."""
    products = _vectors() @ _vectors().T
    squares = np.diag(products)
    lengths = np.sqrt(np.maximum(np.outer(squares, squares), 1))
    cosines = np.where(products**2 == np.outer(squares, squares), 1.0, products / lengths)  # parallel: exactly 0
    empty = (squares[:, None] == 0) != (squares == 0)
    return tables.frozen(np.where(empty, 90.0, np.degrees(np.arccos(np.clip(cosines, -1, 1)))))


@cache
def fourier_distance() -> Table:
    """Distance of the Fourier magnitudes of every two TnI classes: shape (224, 224)."""
    points = fourier.magnitudes()[catalogue.tni_masks()]
    found = np.sqrt(((points[:, None] - points) ** 2).sum(axis=2))
    return tables.frozen(np.where(found < fourier.NOTHING, 0.0, found))


@dataclass(frozen=True)
class Likeness:
    """How alike two classes are.

    Parameters
    ----------
    set_class : SetClass
        The other class.
    icvsim, asim, angle_degrees, fourier : float
        The measures above.
    semitones : int
        The least voice leading.
    place : float
        Mean place among all classes by IcVSIM, ASIM, Fourier and voice leading; 0 is the best there is.
    reasons : tuple of str
        What relates the two, in plain words, the closest relation first.
    """

    set_class: SetClass
    icvsim: float
    asim: float
    angle_degrees: float
    fourier: float
    semitones: int
    place: float
    reasons: tuple[str, ...]


def likeness(one: SetClass, other: SetClass) -> Likeness:
    """Compare two classes; letters A and B do not matter.

    Raises `InputError` where one of them is the empty class.

    >>> found = likeness(SetClass("4-Z15"), SetClass("4-Z29"))
    >>> found.icvsim, found.semitones, found.reasons[0]
    (0.0, 2, 'the same interval vector')
    """
    i, j = (int(catalogue.tni_index()[c.mask]) for c in (one, other))
    if not (one.mask and other.mask):
        raise InputError("The empty set is like nothing.", value=(one, other))
    return _likeness(i, j)


def most_alike(
    source: Source, *, sizes: Iterable[int] | None = None, limit: int | None = None
) -> tuple[Likeness, ...]:
    """What is like a set: all classes ranked, with the reasons.

    Parameters
    ----------
    source : str, PcSet, SetClass, Collection or Subject
    sizes : iterable of int, optional
        Rank classes of these numbers of notes only; 1 to 12.
    limit : int, optional
        At most so many; all by default.

    Returns
    -------
    tuple of Likeness
        The most alike first; the class itself and the empty one are left out.

    Raises
    ------
    InputError
        Where a text is not understood, or the set is empty.

    Examples
    --------
    >>> for found in most_alike("7-35", sizes=[7], limit=2):
    ...     print(found.set_class, found.semitones, "; ".join(found.reasons))
    7-29 1 1 semitone away; 13 of 13 tetrachords in common
    7-27 2 2 semitones away; 10 of 13 tetrachords in common
    """
    own = settle(source).pcset
    if not own:
        raise InputError("The empty set is like nothing.", value=source)
    i = int(catalogue.tni_index()[own.mask])
    size = tables.size()[catalogue.tni_masks()]
    wanted = size > 0 if sizes is None else np.isin(size, tuple(sizes)) & (size > 0)
    wanted[i] = False
    among = np.flatnonzero(wanted)
    order = np.lexsort((among, asim()[i, among], _places(i)[among]))
    return tuple(_likeness(i, j) for j in among[order][:limit].tolist())


@cache
def _places(i: int) -> Table:
    """Mean place of every class by likeness to one, over four measures; ties share the better place."""
    measures = (icvsim()[i], asim()[i], fourier_distance()[i], distance.class_distances()[i])
    rounded = [np.round(measure.astype(float), 9) for measure in measures]
    others = np.arange(len(measures[0])) != i
    found: Table = np.mean([np.searchsorted(np.sort(m[others]), m) for m in rounded], axis=0)
    return found


def _likeness(i: int, j: int) -> Likeness:
    return Likeness(
        SetClass(catalogue.tni_labels()[j]),
        float(icvsim()[i, j]),
        float(asim()[i, j]),
        float(angle_degrees()[i, j]),
        float(fourier_distance()[i, j]),
        int(distance.class_distances()[i, j]),
        float(_places(i)[j]),
        _reasons(i, j),
    )


def _reasons(i: int, j: int) -> tuple[str, ...]:
    """What relates two classes, in words."""
    masks, held = catalogue.tni_masks(), complexes.inclusion()
    semitones = int(distance.class_distances()[i, j])
    said = {
        "the same class": i == j,
        "the same interval vector": i != j and bool((_vectors()[i] == _vectors()[j]).all()),
        "its complement": bool(catalogue.tni_index()[tables.FULL ^ masks[i]] == j),
        "exchanges semitones and fourths (M5)": bool(catalogue.tni_index()[tables.multiplied()[5, masks[i]]] == j),
        f"inside it {_times(held[j, i])}": i != j and bool(held[j, i]),
        f"holds it {_times(held[i, j])}": i != j and bool(held[i, j]),
        f"{semitones} semitone{'s' * (semitones > 1)} away": 0 < semitones <= 2,
    }
    return (*(text for text, true in said.items() if true), *_common(i, j))


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(int(count), f"{count} times")


_SIZE_NAMES = {2: "dyads", 3: "trichords", 4: "tetrachords", 5: "pentachords", 6: "hexachords"}


def _common(i: int, j: int) -> tuple[str, ...]:
    """How many of the classes of subsets one note more than half as large they share."""
    size = tables.size()[catalogue.tni_masks()]
    of = min(int(size[i]), int(size[j])) // 2 + 1
    if of not in _SIZE_NAMES or of >= min(size[i], size[j]):
        return ()
    mine, other = (complexes.inclusion()[size == of, at] > 0 for at in (i, j))
    return (f"{int((mine & other).sum())} of {int(mine.sum())} {_SIZE_NAMES[of]} in common",)
