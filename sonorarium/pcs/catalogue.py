"""The catalogue of set classes: order, labels, partners, and how often each class sits in each set.

Conventions
-----------
* 224 classes under transposition and inversion (TnI), 352 under transposition alone (Tn), the empty set and the
  aggregate included; both lists run by size, then by Forte's ordinal, A before B.
* A **label** is size-ordinal (``4-19``), with ``Z`` before the ordinal where another class of that size has the same
  interval-class vector, and for Tn classes ``A`` or ``B`` where the class is not its own mirror: A is the form
  whose normal order, moved to 0, is the prime form (by Rahn's rule), B its inversion.
* Forte numbers only classes of 3 to 9 notes; the others carry the ordinals in common use (``2-3``: interval class
  3; ``10-3``: its complement).

Source: Allen Forte, The Structure of Atonal Music (1973), Appendix 1, kept in ``forte.csv``.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.pcs.tables import frozen


@cache
def ordinal() -> NDArray[np.uint8]:
    """Forte's ordinal of every set: shape (4096,)."""
    by_prime = np.zeros(tables.SETS, np.uint8)
    lines = (Path(__file__).parent / "forte.csv").read_text(encoding="utf-8").splitlines()
    rows = [line.split(",") for line in lines if line and line[0].isdigit()]
    masks = np.array([sum(1 << int(pc) for pc in row[2].split()) for row in rows])
    ordinals = np.array([int(row[1]) for row in rows], np.uint8)
    by_prime[masks] = ordinals
    complements = tables.prime()[tables.FULL ^ masks]
    large = tables.size()[complements] > 6  # hexachords are listed whole, for a Z hexachord's complement differs
    by_prime[complements[large]] = ordinals[large]
    return frozen(by_prime[tables.prime()])


@cache
def tni_masks() -> tables.Masks:
    """Prime forms of the 224 TnI classes in catalogue order, as masks: shape (224,)."""
    masks = np.flatnonzero(tables.prime() == np.arange(tables.SETS)).astype(np.int16)
    order = np.lexsort((ordinal()[masks], tables.size()[masks]))
    return frozen(masks[order])


@cache
def tn_masks() -> tables.Masks:
    """The 352 Tn classes in catalogue order, each as its best-packed set from 0: shape (352,)."""
    masks = np.flatnonzero(tables.tn_prime() == np.arange(tables.SETS)).astype(np.int16)
    order = np.lexsort((masks != tables.prime()[masks], ordinal()[masks], tables.size()[masks]))
    return frozen(masks[order])


def _index(masks: tables.Masks, class_of: tables.Masks) -> NDArray[np.int16]:
    where = np.zeros(tables.SETS, np.int16)
    where[masks] = np.arange(len(masks))
    return frozen(where[class_of])


@cache
def tni_index() -> NDArray[np.int16]:
    """Place of every set's TnI class in the catalogue, 0 to 223: shape (4096,)."""
    return _index(tni_masks(), tables.prime())


@cache
def tn_index() -> NDArray[np.int16]:
    """Place of every set's Tn class in the catalogue, 0 to 351: shape (4096,)."""
    return _index(tn_masks(), tables.tn_prime())


@cache
def partner() -> NDArray[np.int16]:
    """For each TnI class the place of the other class with the same vector, or -1: shape (224,)."""
    vectors = tables.vector()[tni_masks()].astype(np.int64)
    keys = vectors @ (13 ** np.arange(6)) * 13 + tables.size()[tni_masks()]
    out = np.full(len(keys), -1, np.int16)
    order = np.argsort(keys, kind="stable")
    same = np.flatnonzero(np.diff(keys[order]) == 0)  # no vector belongs to more than two classes
    out[order[same]], out[order[same + 1]] = order[same + 1], order[same]
    return frozen(out)


@cache
def complement() -> NDArray[np.int16]:
    """For each TnI class the place of the class of its complements: shape (224,)."""
    return frozen(tni_index()[tables.FULL ^ tni_masks()])


@cache
def multiplied() -> NDArray[np.int16]:
    """Place of the image of each TnI class under Mk: shape (12, 224), first index k; 1, 5, 7, 11 keep the size."""
    return frozen(tni_index()[tables.multiplied()[:, tni_masks()]])


@cache
def tni_labels() -> tuple[str, ...]:
    """Labels of the 224 TnI classes in catalogue order: ``4-Z15``, ``4-19``."""
    masks = tni_masks()
    sizes, ordinals = tables.size()[masks].tolist(), ordinal()[masks].tolist()
    zs = ["Z" if at >= 0 else "" for at in partner().tolist()]
    return tuple(f"{s}-{z}{o}" for s, z, o in zip(sizes, zs, ordinals, strict=True))


@cache
def tn_labels() -> tuple[str, ...]:
    """Labels of the 352 Tn classes in catalogue order: ``4-Z15A``, ``4-19B``, ``5-22``."""
    masks = tn_masks()
    is_prime = masks == tables.prime()[masks]
    letters = np.where(tables.is_mirror()[masks], "", np.where(is_prime, "A", "B")).tolist()
    names, at = tni_labels(), tni_index()[masks].tolist()
    return tuple(names[i] + letter for i, letter in zip(at, letters, strict=True))


@cache
def mask_of_label() -> dict[str, tuple[int, bool]]:
    """Find a label: its mask at 0, and whether the label means the class under inversion too."""
    found = {label: (int(m), True) for label, m in zip(tni_labels(), tni_masks(), strict=True)}
    for label, m in zip(tn_labels(), tn_masks(), strict=True):
        found.setdefault(label, (int(m), False))
    return found


@cache
def tni_counts() -> NDArray[np.uint16]:
    """How often each TnI class is embedded in each set: shape (4096, 224)."""
    return _embedded(tni_index(), 224)


@cache
def tn_counts() -> NDArray[np.uint16]:
    """How often each Tn class is embedded in each set: shape (4096, 352)."""
    return _embedded(tn_index(), 352)


def _embedded(index: NDArray[np.int16], classes: int) -> NDArray[np.uint16]:
    one_each = np.zeros((tables.SETS, classes), np.uint16)
    one_each[np.arange(tables.SETS), index] = 1
    return frozen(tables.subset_sums(one_each))
