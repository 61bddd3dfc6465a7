"""Common tones: how many notes two sets share, at every transposition and inversion.

Conventions
-----------
* Tn keeps as many notes of a set as the set has intervals of n semitones: the entry of its interval-class vector
  for n, twice that for the tritone, all for T0 (the common-tone theorem; Forte 1973, sec. 1.10; Rahn 1980, ch. 5;
  from memory).
* TnI keeps as many notes as there are ordered pairs of notes that add up to n (Rahn 1980, ch. 5; from memory).
* Between two different sets the notes shared at each transposition of the second are Lewin's interval function read
  backwards (Lewin 1959).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.pcs.family import Family, FamilyKind, Member
from sonorarium.pcs.pcset import SetFacts


def shared_under_tn(one: SetFacts, other: SetFacts | None = None) -> tuple[int, ...]:
    """Notes that a set shares with T0 … T11 of another, or of itself.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> shared_under_tn(PcSet((0, 2, 4, 5, 7, 9, 11)))
    (7, 2, 5, 4, 3, 6, 2, 6, 3, 4, 5, 2)
    """
    moved = tables.transposed()[:, (one if other is None else other).mask]
    return tuple(tables.size()[moved & one.mask].tolist())


def shared_under_tni(one: SetFacts, other: SetFacts | None = None) -> tuple[int, ...]:
    """Notes that a set shares with T0I … T11I of another, or of itself.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> shared_under_tni(PcSet((0, 4, 7)))
    (1, 0, 1, 0, 2, 0, 0, 2, 1, 0, 0, 2)
    """
    mirrored = tables.inverted()[:, (one if other is None else other).mask]
    return tuple(tables.size()[mirrored & one.mask].tolist())


@dataclass(frozen=True)
class CommonTones:
    """How many notes every two members of a family share.

    Parameters
    ----------
    members : tuple of Member
    counts : tuple of tuple of int
        One row and one column for each member, in the same order; on the diagonal, the member's own size.
    """

    members: tuple[Member, ...]
    counts: tuple[tuple[int, ...], ...]

    def between(self, one: Member, other: Member) -> int:
        """Notes that two members share."""
        return self.counts[self.members.index(one)][self.members.index(other)]

    def most(self, one: FamilyKind, other: FamilyKind) -> int:
        """The most notes that two different members of two kinds share.

        >>> from sonorarium.pcs.families import default_family
        >>> family = default_family()
        >>> common_tones(family).most(family.kind("diatonic"), family.kind("acoustic"))
        6
        """
        return max(
            count
            for member, row in zip(self.members, self.counts, strict=True)
            for sister, count in zip(self.members, row, strict=True)
            if member.kind == one and sister.kind == other and member != sister
        )


def common_tones(family: Family) -> CommonTones:
    """Count the notes that every two members of a family share, at all their transpositions.

    >>> from sonorarium.pcs.families import default_family
    >>> found = common_tones(default_family())
    >>> family = default_family()
    >>> found.between(family.member("C diatonic"), family.member("D octatonic"))
    5
    """
    return CommonTones(family.members, tuple(map(tuple, shared(family.masks, family.masks).tolist())))


def shared(ones: NDArray[np.integer], others: NDArray[np.integer]) -> NDArray[np.uint8]:
    """How many notes each of some sets shares with each of some others.

    Parameters
    ----------
    ones, others : integer arrays, shape (n,) and (m,)
        Masks, 0 to 4095.

    Returns
    -------
    ndarray of uint8, shape (n, m)
    """
    out: NDArray[np.uint8] = tables.size()[ones[:, None] & others]
    return out
