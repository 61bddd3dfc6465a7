"""Palettes: the chords that a path or a harmonisation may use, and the scales in which they stand.

A palette is chosen by classes (every form of each), by single sets, or by taking every subset of certain sizes; and
it may be kept inside one collection or several, its **homes**. Where there are several homes, a chord that lies in
two of them is a pivot by which music goes from one to the other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs import tables
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.reading import Readable, read_set
from sonorarium.pcs.setclass import SetClass, form_masks


@dataclass(frozen=True)
class Palette:
    """Chords to choose from.

    Parameters
    ----------
    chords : tuple of PcSet
        Each once, by mask.
    homes : tuple of SetFacts
        Collections in which they stand; none where that does not matter.

    Examples
    --------
    >>> chosen = palette("3-11", inside="D double harmonic")
    >>> len(chosen.chords), str(chosen.homes[0])
    (6, 'D double harmonic')
    """

    chords: tuple[PcSet, ...]
    homes: tuple[SetFacts, ...] = ()

    def __len__(self) -> int:
        return len(self.chords)

    @cached_property
    def masks(self) -> NDArray[np.int64]:
        """The chords as 12-bit integers: shape (chords,)."""
        return np.array([chord.mask for chord in self.chords], np.int64)

    @cached_property
    def stands_in(self) -> NDArray[np.bool_]:
        """Which chord stands in which home: shape (chords, homes); one home for all where there are none."""
        if not self.homes:
            return np.ones((len(self.chords), 1), bool)
        outside = ~np.array([home.mask for home in self.homes], np.int64) & tables.FULL
        inside: NDArray[np.bool_] = self.masks[:, None] & outside == 0
        return inside

    @cached_property
    def share_a_home(self) -> NDArray[np.bool_]:
        """Which two chords stand in one home: shape (chords, chords)."""
        stands = self.stands_in.astype(np.int32)
        together: NDArray[np.bool_] = stands @ stands.T > 0
        return together

    def at(self, masks: NDArray[np.int64]) -> NDArray[np.intp]:
        """Places of chords in the palette, all of which belong to it."""
        return np.asarray(np.searchsorted(self.masks, masks))

    def with_chords(self, more: Iterable[SetFacts]) -> Palette:
        """The same with some more chords.

        >>> len(palette("3-12").with_chords([PcSet((0, 4, 7))]))
        5
        """
        return Palette(_each_once([*self.chords, *more]), self.homes)


def palette(
    *wanted: str | Readable | SetFacts,
    inside: str | SetFacts | Iterable[str | SetFacts] = (),
    sizes: tuple[int, ...] = (),
) -> Palette:
    """Choose chords.

    Parameters
    ----------
    wanted : str, Readable or SetFacts
        Classes, which stand for all their forms, and single sets. Where none are named, every set of the sizes given.
    inside : str, SetFacts or iterable of these
        Keep to the subsets of this collection, or of any one of these; a `sonorarium.pcs.family.Family` will do.
    sizes : tuple of int
        Keep to chords of so many notes.

    Raises
    ------
    InputError
        Where neither sets nor sizes are named, or a text is not understood.
    NothingFoundError
        Where nothing fits.

    Examples
    --------
    >>> len(palette("3-11", "3-12")), len(palette(inside="C major", sizes=(3, 4)))
    (28, 70)
    """
    if not wanted and not sizes:
        raise InputError("No chords were named.", value=wanted, suggestion="Name set classes, or sizes.")
    homes = _homes(inside)
    masks = [mask for one in wanted for mask in _masks(one)] if wanted else range(1, tables.SETS)
    chords = _each_once(PcSet.of_mask(mask) for mask in masks if not sizes or mask.bit_count() in sizes)
    every = Palette(chords, homes)
    fitting = tuple(chords[at] for at in np.flatnonzero(every.stands_in.any(axis=1)).tolist())
    if not fitting:
        raise NothingFoundError("No such chord stands in the collections.", value=wanted)
    return Palette(fitting, homes)


def _homes(inside: str | SetFacts | Iterable[str | SetFacts]) -> tuple[SetFacts, ...]:
    every = (inside,) if isinstance(inside, str | SetFacts) else inside
    return tuple(_home(one) for one in every)


def _home(one: str | SetFacts) -> SetFacts:
    if not isinstance(one, str):
        return one
    meant = read_set(one)
    return meant.representative if isinstance(meant, SetClass) else meant


def _masks(one: str | Readable | SetFacts) -> list[int]:
    meant = read_set(one) if isinstance(one, str) else one
    return [int(m) for m in form_masks(meant)] if isinstance(meant, SetClass) else [meant.mask]


def _each_once(chords: Iterable[SetFacts]) -> tuple[PcSet, ...]:
    return tuple(PcSet.of_mask(mask) for mask in sorted({chord.mask for chord in chords}))
