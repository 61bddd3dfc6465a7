"""A set of pitch classes, and what can be asked of it.

`PcSet` is the one type for pitch classes: immutable, one 12-bit integer inside, with set algebra through the
operators ``| & ^ - ~`` and inclusion through ``<= < >= >``. `SetFacts` holds the algebra and the questions that any
set answers by look-up; `PcSet`, `sonorarium.pcs.collection.Collection` and whatever else has a ``mask`` share them.

What needs a theory of its own has a module of its own: `sonorarium.pcs.symmetry`, `sonorarium.pcs.evenness`,
`sonorarium.pcs.fourier`, `sonorarium.pcs.generated`, `sonorarium.pcs.rothenberg`, `sonorarium.pcs.roughness`,
`sonorarium.pcs.modes`.

Conventions: pitch classes 0 to 11, C = 0, twelve-tone equal temperament. Labels, normal order and prime form as
in `sonorarium.pcs.tables` and `sonorarium.pcs.catalogue` (Rahn's packing unless the name says Forte).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from operator import index
from typing import TYPE_CHECKING

import numpy as np

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables

if TYPE_CHECKING:
    from sonorarium.pcs.setclass import SetClass


class SetFacts:
    """What any set of pitch classes can be asked; whoever has a ``mask`` has the answers."""

    __slots__ = ()

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer: bit k is set where pitch class k is in the set."""
        raise NotImplementedError

    @property
    def pcs(self) -> tuple[int, ...]:
        """Pitch classes in ascending order, C = 0."""
        return tuple(pc for pc in range(12) if self.mask >> pc & 1)

    @property
    def pcset(self) -> PcSet:
        """The bare set, without root, name or spelling."""
        return PcSet.of_mask(self.mask)

    @property
    def cardinality(self) -> int:
        """Number of pitch classes, 0 to 12."""
        return self.mask.bit_count()

    @property
    def set_class(self) -> SetClass:
        """Its class under transposition and inversion: ``SetClass('4-19')``."""
        return _class_of_label(catalogue.tni_labels()[int(catalogue.tni_index()[self.mask])])

    @property
    def tn_class(self) -> SetClass:
        """Its class under transposition alone: ``SetClass('4-19B')``."""
        return _class_of_label(self.label)

    @property
    def label(self) -> str:
        """Label of its class under transposition, with Z and A or B where they apply: ``4-19B``."""
        return catalogue.tn_labels()[int(catalogue.tn_index()[self.mask])]

    @property
    def normal_order(self) -> tuple[int, ...]:
        """Pitch classes in the rotation packed best by Rahn's rule (1980)."""
        return self.pcset.rising_from(int(tables.normal_start()[self.mask]))

    @property
    def normal_order_forte(self) -> tuple[int, ...]:
        """Pitch classes in the rotation packed best by Forte's rule (1973)."""
        return self.pcset.rising_from(int(tables.normal_start_forte()[self.mask]))

    @property
    def prime_form(self) -> tuple[int, ...]:
        """Prime form by Rahn's rule (1980)."""
        return PcSet.of_mask(int(tables.prime()[self.mask])).pcs

    @property
    def prime_form_forte(self) -> tuple[int, ...]:
        """Prime form by Forte's rule (1973); differs from Rahn's for six of the 224 classes."""
        return PcSet.of_mask(int(tables.prime_forte()[self.mask])).pcs

    @property
    def interval_vector(self) -> tuple[int, ...]:
        """How many pairs of notes lie at interval class 1, 2, 3, 4, 5 and 6."""
        return tuple(tables.vector()[self.mask].tolist())

    @property
    def interval_content(self) -> tuple[int, ...]:
        """How many ordered pairs of notes lie 0 to 11 semitones apart; entry k is also the common tones with Tk."""
        return tuple(tables.content()[self.mask].tolist())

    @property
    def chromatic_trichords(self) -> int:
        """Number of subsets of three neighbouring semitones (3-1)."""
        return int(tables.chromatic_trichords()[self.mask])

    @property
    def is_symmetrical(self) -> bool:
        """Whether the set is its own mirror: some inversion maps it to itself."""
        return bool(tables.is_mirror()[self.mask])

    @property
    def transpositional_symmetry(self) -> tuple[int, ...]:
        """Each n for which Tn maps the set to itself; 0 is always there."""
        return tuple(np.flatnonzero(tables.transposed()[:, self.mask] == self.mask).tolist())

    @property
    def inversional_symmetry(self) -> tuple[int, ...]:
        """Each n for which TnI maps the set to itself."""
        return tuple(np.flatnonzero(tables.inverted()[:, self.mask] == self.mask).tolist())

    @property
    def distinct_transpositions(self) -> int:
        """Number of different sets among its twelve transpositions; under 12: a set of limited transposition."""
        return 12 // len(self.transpositional_symmetry)

    @property
    def distinct_forms(self) -> int:
        """Number of different sets among its 24 transpositions and inversions."""
        return self.distinct_transpositions * (1 if self.is_symmetrical else 2)

    @property
    def partner(self) -> SetClass | None:
        """The other class with the same interval-class vector, or None (Forte's Z relation)."""
        return self.set_class.partner

    @property
    def complement(self) -> PcSet:
        """The pitch classes that are not in the set."""
        return ~self.pcset

    @property
    def abstract_complement(self) -> SetClass:
        """The TnI class of its complement."""
        return self.set_class.complement

    @property
    def steps(self) -> tuple[int, ...]:
        """Semitones from each note to the next, from the lowest pitch class round to it again."""
        return step_pattern(self.pcs)

    def __or__(self, other: SetFacts) -> PcSet:
        return PcSet.of_mask(self.mask | other.mask)

    def __and__(self, other: SetFacts) -> PcSet:
        return PcSet.of_mask(self.mask & other.mask)

    def __xor__(self, other: SetFacts) -> PcSet:
        return PcSet.of_mask(self.mask ^ other.mask)

    def __sub__(self, other: SetFacts) -> PcSet:
        return PcSet.of_mask(self.mask & ~other.mask)

    def __invert__(self) -> PcSet:
        return PcSet.of_mask(tables.FULL ^ self.mask)

    def __le__(self, other: SetFacts) -> bool:
        return self.mask & other.mask == self.mask

    def __lt__(self, other: SetFacts) -> bool:
        return self <= other and self.mask != other.mask

    def __ge__(self, other: SetFacts) -> bool:
        return self.mask & other.mask == other.mask

    def __gt__(self, other: SetFacts) -> bool:
        return self >= other and self.mask != other.mask


def _class_of_label(label: str) -> SetClass:
    from sonorarium.pcs.setclass import SetClass  # noqa: PLC0415  (each of the two types gives the other)

    return SetClass(label)


def _checked(pc: int) -> int:
    try:
        number = index(pc)  # also for NumPy's integers; 4.0 is no pitch class
    except TypeError:
        number = -1
    if not 0 <= number <= 11:
        raise InputError(
            f"{pc} is not a pitch class.", value=pc, suggestion="Pitch classes run from 0 (C) to 11 (B)."
        )
    return number


def step_pattern(rising: tuple[int, ...]) -> tuple[int, ...]:
    """Return the semitones from each note to the next, and from the last back to the first an octave up.

    >>> step_pattern((2, 4, 5, 7, 9, 11, 1))
    (2, 1, 2, 2, 2, 2, 1)
    """
    if len(rising) == 1:
        return (12,)
    return tuple((b - a) % 12 for a, b in zip(rising, rising[1:] + rising[:1], strict=True))


class PcSet(SetFacts):
    """An immutable set of pitch classes.

    Parameters
    ----------
    pcs : iterable of int
        Pitch classes 0 to 11, C = 0, in any order; repeats count once.

    Raises
    ------
    InputError
        Where a number is not a pitch class.

    Examples
    --------
    >>> chord = PcSet((0, 4, 8, 11))
    >>> chord.label, chord.prime_form, chord.interval_vector
    ('4-19B', (0, 1, 4, 8), (1, 0, 1, 3, 1, 0))
    >>> chord & PcSet((4, 8, 11, 2)), ~chord
    (PcSet((4, 8, 11)), PcSet((1, 2, 3, 5, 6, 7, 9, 10)))
    """

    __slots__ = ("_mask",)
    _mask: int

    def __init__(self, pcs: Iterable[int] = ()) -> None:
        mask = 0
        for pc in pcs:
            mask |= 1 << _checked(pc)
        object.__setattr__(self, "_mask", mask)

    @classmethod
    def of_mask(cls, mask: int) -> PcSet:
        """Make the set of a 12-bit integer, 0 to 4095; raises `InputError` for any other."""
        if not 0 <= mask <= tables.FULL:
            raise InputError(
                f"{mask} is not the number of a set.", value=mask, suggestion="Masks run from 0 to 4095."
            )
        new = object.__new__(cls)
        object.__setattr__(new, "_mask", int(mask))
        return new

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a PcSet does not change; make a new one")

    def __reduce__(self) -> tuple[type[PcSet], tuple[tuple[int, ...]]]:
        return PcSet, (self.pcs,)

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer."""
        return self._mask

    def __repr__(self) -> str:
        return f"PcSet({self.pcs!r})" if self._mask else "PcSet()"

    def __eq__(self, other: object) -> bool:
        return self._mask == other._mask if isinstance(other, PcSet) else NotImplemented

    def __hash__(self) -> int:
        return hash(self._mask)

    def __len__(self) -> int:
        return self._mask.bit_count()

    def __iter__(self) -> Iterator[int]:
        return iter(self.pcs)

    def __contains__(self, pc: int) -> bool:
        return 0 <= pc <= 11 and bool(self._mask >> pc & 1)

    def __bool__(self) -> bool:
        return self._mask != 0

    def transposed(self, n: int) -> PcSet:
        """Tn: each pitch class n semitones higher (any integer, taken modulo 12)."""
        return PcSet.of_mask(int(tables.transposed()[n % 12, self._mask]))

    def inverted(self, n: int = 0) -> PcSet:
        """TnI: each pitch class x becomes n − x (n any integer, taken modulo 12)."""
        return PcSet.of_mask(int(tables.inverted()[n % 12, self._mask]))

    def multiplied(self, k: int) -> PcSet:
        """Mk: each pitch class x becomes kx. M5 and M7 exchange semitones and fourths; 11 is T0I."""
        return PcSet.of_mask(int(tables.multiplied()[k % 12, self._mask]))

    def rising_from(self, first: int) -> tuple[int, ...]:
        """Pitch classes in rising order from ``first``, round the octave.

        >>> PcSet((0, 4, 7)).rising_from(4)
        (4, 7, 0)
        """
        return tuple(sorted(self.pcs, key=lambda pc: (pc - first) % 12))
