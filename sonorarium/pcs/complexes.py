"""Which class holds which, and how often: abstract inclusion, and the set complexes K and Kh.

Conventions
-----------
* Class S is **abstractly included** in class T when some form of S is a subset of some form of T; then every form
  of T holds one. The table says how many.
* With complements (written S′), S belongs to the complex **K about T** when S holds T, T holds S, S holds T′ or T′
  holds S; it belongs to the subcomplex **Kh about T** when one of S and T holds the other *and* one of S and T′
  holds the other. T is the nexus; its complement has the same complexes.
* Both relations are asked of classes of 3 to 9 notes only, and never of two classes of the same size or of
  complementary sizes. Where S belongs, so does S′; both are listed.

Source: Allen Forte, The Structure of Atonal Music (1973), part 2, sec. 2.0 to 2.2 (definitions; from memory). Forte's
earlier article, A theory of set-complexes for music (1964), admits more pairs.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.setclass import SetClass

Relation = NDArray[np.bool_]


@cache
def inclusion() -> NDArray[np.uint16]:
    """How often TnI class i sits in each form of TnI class j: shape (224, 224), catalogue order.

    >>> at = {label: i for i, label in enumerate(catalogue.tni_labels())}
    >>> int(inclusion()[at["3-11"], at["7-35"]])
    6
    """
    return tables.frozen(np.ascontiguousarray(catalogue.tni_counts()[catalogue.tni_masks()].T))


@cache
def tn_inclusion() -> NDArray[np.uint16]:
    """How often Tn class i sits in each form of Tn class j: shape (352, 352), catalogue order."""
    return tables.frozen(np.ascontiguousarray(catalogue.tn_counts()[catalogue.tn_masks()].T))


@cache
def _complements() -> NDArray[np.int16]:
    out: NDArray[np.int16] = catalogue.tni_index()[tables.FULL ^ catalogue.tni_masks()]
    return out


@cache
def _comparable() -> Relation:
    """Whether one of two classes holds the other: shape (224, 224)."""
    holds = inclusion() > 0
    return tables.frozen(holds | holds.T)


@cache
def _askable() -> Relation:
    """Pairs of 3 to 9 notes whose sizes are neither equal nor complementary: shape (224, 224)."""
    size = tables.size()[catalogue.tni_masks()].astype(int)
    usual = (size >= 3) & (size <= 9)
    apart = (size[:, None] != size) & (size[:, None] + size != 12)
    return tables.frozen(usual[:, None] & usual & apart)


@cache
def k_table() -> Relation:
    """Whether class i is in K about class j: shape (224, 224), symmetrical."""
    return tables.frozen(_askable() & (_comparable() | _comparable()[:, _complements()]))


@cache
def kh_table() -> Relation:
    """Whether class i is in Kh about class j: shape (224, 224), symmetrical."""
    return tables.frozen(_askable() & _comparable() & _comparable()[:, _complements()])


def k_complex(nexus: SetClass) -> tuple[SetClass, ...]:
    """Every class in the complex K about a nexus.

    Raises `InputError` for a nexus of fewer than 3 or more than 9 notes.

    >>> len(k_complex(SetClass("6-35")))
    14
    """
    return _about(nexus, k_table())


def kh_complex(nexus: SetClass) -> tuple[SetClass, ...]:
    """Every class in the subcomplex Kh about a nexus; raises `InputError` as `k_complex` does.

    >>> [str(c) for c in kh_complex(SetClass("6-35"))][:7]
    ['3-6', '3-8', '3-12', '4-21', '4-24', '4-25', '5-33']
    """
    return _about(nexus, kh_table())


def complex_relation(one: SetClass, other: SetClass) -> str:
    """The closest complex relation of two classes: ``Kh``, ``K`` or nothing (an empty text).

    Letters A and B do not matter: the classes are taken under inversion.

    >>> complex_relation(SetClass("3-11"), SetClass("7-35")), complex_relation(SetClass("4-19"), SetClass("7-35"))
    ('Kh', '')
    """
    at = int(catalogue.tni_index()[one.mask]), int(catalogue.tni_index()[other.mask])
    return "Kh" if kh_table()[at] else "K" if k_table()[at] else ""


def _about(nexus: SetClass, table: Relation) -> tuple[SetClass, ...]:
    if not 3 <= nexus.cardinality <= 9:
        raise InputError(
            f"{nexus.label} has no set complex.",
            value=nexus,
            suggestion="Complexes are of classes of 3 to 9 notes.",
        )
    row = table[catalogue.tni_index()[nexus.mask]]
    return tuple(SetClass(catalogue.tni_labels()[i]) for i in np.flatnonzero(row).tolist())
