"""Symmetry: the operations that carry a set into itself, into its complement, or into another set.

Conventions
-----------
* An operation multiplies first and transposes after: TnMk takes x to kx + n modulo 12. **Tn** is TnM1; **TnI** is
  TnM11, x to n − x. M5 exchanges semitones and fourths; M7 is M5 inverted.
* An **axis** of TnI is a diameter of the circle of pitch classes. For even n it passes through two pitch classes,
  n/2 and n/2 + 6; for odd n between two neighbours, as 0.5 (between C and C sharp) and 6.5.
* The **degree of symmetry** is the number of Tn and TnI that carry a set into itself, from 1 to 24 (Rahn 1980,
  ch. 4). It divides 24, and 24 divided by it is the number of **distinct forms**.
* A set of **limited transposition** is carried into itself by a Tn other than T0 (Messiaen 1944, ch. XVI). Messiaen
  lists seven; computation finds 15 Tn classes between the empty set and the aggregate, for he leaves out most
  truncations of his modes.
* **Combinatoriality** is a property of six-note sets: some operation makes an aggregate of the set and its image
  (Babbitt, Some aspects of twelve-tone composition, The Score 12, 1955). P: a Tn carries the set into its
  complement; I: a TnI does so; RI: a TnI carries the set into itself. R, the set into itself by a Tn, is always met
  by T0. All-combinatorial sets have all four.

Sources: as named; John Rahn, Basic Atonal Theory (1980), ch. 4; Robert Morris, Composition with Pitch-Classes
(1987), for the multiplications.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.tables import frozen

_SUFFIX = {1: "", 5: "M5", 7: "M7", 11: "I"}
_FACTOR = {"": 1, "M": 5, "M5": 5, "M7": 7, "MI": 7, "I": 11}


@dataclass(frozen=True, order=True)
class Operation:
    """A twelve-tone operation, x to kx + n.

    Parameters
    ----------
    n : int
        Transposition, 0 to 11.
    factor : int
        Multiplier k: 1, 5, 7, or 11 for inversion.

    Raises
    ------
    InputError
        Where n or k is none of these.

    Examples
    --------
    >>> operation("T9I")(PcSet((4, 6, 10, 11)))
    PcSet((3, 5, 10, 11))
    >>> operation("T9I").after(operation("T4I")), operation("T3M5").inverse
    (operation('T5'), operation('T9M5'))
    """

    n: int
    factor: int = 1

    def __post_init__(self) -> None:
        if not 0 <= self.n <= 11 or self.factor not in _SUFFIX:
            raise InputError(
                f"There is no operation x to {self.factor}x + {self.n}.",
                value=(self.n, self.factor),
                suggestion="n runs from 0 to 11, the factor is 1, 5, 7 or 11.",
            )

    def __repr__(self) -> str:
        return f"operation({str(self)!r})"

    def __str__(self) -> str:
        return f"T{self.n}{_SUFFIX[self.factor]}"

    def __call__(self, notes: SetFacts) -> PcSet:
        """Carry a set."""
        return notes.pcset.multiplied(self.factor).transposed(self.n)

    def of(self, pc: int) -> int:
        """Where it takes one pitch class."""
        return (self.factor * pc + self.n) % 12

    def after(self, first: Operation) -> Operation:
        """The one operation that does first the other, then this one."""
        return Operation(self.of(first.n), self.factor * first.factor % 12)

    @property
    def inverse(self) -> Operation:
        """The operation that undoes it."""
        return Operation(-self.factor * self.n % 12, self.factor)  # each factor is its own inverse modulo 12

    @property
    def axis(self) -> tuple[Fraction, Fraction] | None:
        """The two ends of the axis of an inversion, in pitch classes; None for other operations.

        >>> operation("T7I").axis
        (Fraction(7, 2), Fraction(19, 2))
        """
        return (Fraction(self.n, 2), Fraction(self.n, 2) + 6) if self.factor == 11 else None


def operation(name: str) -> Operation:
    """Read the name of an operation: ``T3``, ``T7I``, ``I`` (T0I), ``T2M5``, ``T2M7``.

    Raises `InputError` where the text is no such name.

    >>> operation("T11I"), operation("M7"), operation("I")
    (operation('T11I'), operation('T0M7'), operation('T0I'))
    """
    found = re.fullmatch(r"(?:T(\d{1,2}))?(M5|M7|MI|M|I|)", name.strip(), re.IGNORECASE)
    if not name.strip() or not found or int(found[1] or 0) > 11:
        raise InputError(f"{name!r} is no operation.", value=name, suggestion="Try T3, T7I or T2M5; n is 0 to 11.")
    return Operation(int(found[1] or 0), _FACTOR[found[2].upper()])


@cache
def _images() -> NDArray[np.int16]:
    """Image of every set under T0 to T11, T0I to T11I: shape (24, 4096)."""
    return frozen(np.concatenate([tables.transposed(), tables.inverted()]))


@cache
def self_maps() -> NDArray[np.bool_]:
    """Whether T0 to T11, T0I to T11I carry each set into itself: shape (4096, 24)."""
    return frozen((_images() == np.arange(tables.SETS)).T.copy())


@cache
def complement_maps() -> NDArray[np.bool_]:
    """Whether T0 to T11, T0I to T11I carry each set into its complement: shape (4096, 24)."""
    return frozen((_images() == tables.FULL ^ np.arange(tables.SETS)).T.copy())


@cache
def degree_of_symmetry() -> NDArray[np.uint8]:
    """Number of Tn and TnI that carry each set into itself: shape (4096,)."""
    return frozen(self_maps().sum(axis=1, dtype=np.uint8))


def _listed(row: NDArray[np.bool_]) -> tuple[Operation, ...]:
    return tuple(Operation(at % 12, 11 if at >= 12 else 1) for at in np.flatnonzero(row).tolist())


def symmetries(notes: SetFacts) -> tuple[Operation, ...]:
    """All Tn and TnI that carry a set into itself, T0 first.

    >>> symmetries(PcSet((0, 2, 4, 5, 7, 9, 11)))
    (operation('T0'), operation('T4I'))
    """
    return _listed(self_maps()[notes.mask])


def operations_between(source: SetFacts, target: SetFacts) -> tuple[Operation, ...]:
    """All Tn and TnI that carry one set into another; empty where they are of different TnI classes.

    >>> operations_between(PcSet((1, 2, 4, 7)), PcSet((4, 7, 9, 10)))
    (operation('T11I'),)
    """
    return _listed(_images()[:, source.mask] == target.mask)


def axes(notes: SetFacts) -> tuple[tuple[Fraction, Fraction], ...]:
    """Axes about which a set is its own mirror, each by its two ends in pitch classes.

    >>> axes(PcSet((0, 4, 8)))[0]
    (Fraction(0, 1), Fraction(6, 1))
    """
    return tuple(axis for found in symmetries(notes) if (axis := found.axis) is not None)


def is_limited(notes: SetFacts) -> bool:
    """Whether a set has fewer than twelve different transpositions.

    >>> is_limited(PcSet((0, 2, 4, 6, 8, 10))), is_limited(PcSet((0, 4, 7)))
    (True, False)
    """
    return notes.distinct_transpositions < 12


@cache
def limited_classes() -> tuple[SetClass, ...]:
    """The 15 Tn classes of limited transposition between the empty set and the aggregate.

    >>> " ".join(map(str, limited_classes()))
    '2-6 3-12 4-9 4-25 4-28 6-7 6-20 6-30A 6-30B 6-35 8-9 8-25 8-28 9-12 10-6'
    """
    masks = catalogue.tn_masks()
    found = np.flatnonzero(self_maps()[masks, 1:12].any(axis=1) & (masks > 0) & (masks < tables.FULL))
    return tuple(SetClass(catalogue.tn_labels()[at]) for at in found.tolist())


@dataclass(frozen=True)
class Combinatoriality:
    """How a six-note set makes an aggregate with its own images.

    Parameters
    ----------
    prime : tuple of Operation
        Each Tn that carries the set into its complement.
    inversion : tuple of Operation
        Each TnI that carries the set into its complement.
    retrograde_inversion : tuple of Operation
        Each TnI that carries the set into itself.
    retrograde : tuple of Operation
        Each Tn that carries the set into itself; T0 always does.
    """

    prime: tuple[Operation, ...]
    inversion: tuple[Operation, ...]
    retrograde_inversion: tuple[Operation, ...]
    retrograde: tuple[Operation, ...]

    @property
    def is_all(self) -> bool:
        """Whether the set is all-combinatorial: one of Babbitt's six source sets."""
        return bool(self.prime and self.inversion and self.retrograde_inversion and self.retrograde)

    @property
    def kinds(self) -> tuple[str, ...]:
        """Which of P, I, RI it has; R is left out, for every set has it."""
        having = {"P": self.prime, "I": self.inversion, "RI": self.retrograde_inversion}
        return tuple(kind for kind, found in having.items() if found)


def combinatoriality(notes: SetFacts) -> Combinatoriality | None:
    """How a six-note set combines with its images to an aggregate; None for sets of any other size.

    >>> combinatoriality(PcSet((0, 2, 4, 5, 7, 9))).kinds
    ('P', 'I', 'RI')
    >>> combinatoriality(SetClass("6-Z44").representative).kinds
    ()
    """
    if notes.cardinality != 6:
        return None
    onto, into = _listed(complement_maps()[notes.mask]), symmetries(notes)
    return Combinatoriality(
        prime=tuple(found for found in onto if found.factor == 1),
        inversion=tuple(found for found in onto if found.factor == 11),
        retrograde_inversion=tuple(found for found in into if found.factor == 11),
        retrograde=tuple(found for found in into if found.factor == 1),
    )
