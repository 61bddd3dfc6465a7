"""What lies inside a set, and what the set lies inside: subset and superset classes with their literal places.

Conventions
-----------
* Classes are counted under transposition and inversion (TnI), or under transposition alone where ``tn`` is asked for:
  ``4-19``, or ``4-19A`` and ``4-19B`` apart. Rows run in the order of `sonorarium.pcs.catalogue`.
* **Times** is the number of different subsets (or supersets) that belong to the class. A set of n notes has
  n! / (k! (n − k)!) subsets of k notes, and the times of one size add up to that number.
* A **place** is one of these subsets, by the degrees of the scale it stands on. It begins on the first note of its
  normal order (Rahn's packing); where several notes would serve, as in an augmented triad, on the lowest degree.
* Degrees are counted from the root, or, where there is none, from the first note that was typed or that normal order
  gives; notes are spelled as they stand in the scale.
* How often every class sits in every other is `sonorarium.pcs.complexes`.

Source: Allen Forte, The Structure of Atonal Music (1973), sec. 1.8 (subsets and supersets); David Lewin's embedding
number EMB is "times" (Generalized Musical Intervals and Transformations, 1987, ch. 5), both from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import Readable
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.pcs.subject import Subject, subject

Source = str | Readable | Subject
"""What a question about a set may be put to: a text as a person types it, what it means, or a settled subject."""

_EVERY = np.arange(tables.SETS)


@dataclass(frozen=True, slots=True)
class Place:
    """One subset where it stands in the scale.

    Parameters
    ----------
    degrees : tuple of int
        Degrees of the scale, from 1, rising from the first note of the subset's normal order.
    notes : tuple of Spelled
        The notes on them, by the scale's names.
    """

    degrees: tuple[int, ...]
    notes: tuple[Spelled, ...]

    @property
    def degree(self) -> int:
        """Degree on which it begins."""
        return self.degrees[0]

    @property
    def pcset(self) -> PcSet:
        """The bare subset."""
        return PcSet(note.pc for note in self.notes)


@dataclass(frozen=True, slots=True)
class Inside:
    """A class that a set holds.

    Parameters
    ----------
    set_class : SetClass
    places : tuple of Place
        Every subset that belongs to it, by the degree on which it begins.
    """

    set_class: SetClass
    places: tuple[Place, ...]

    @property
    def times(self) -> int:
        """How many subsets belong to the class."""
        return len(self.places)

    @property
    def degrees(self) -> tuple[int, ...]:
        """Degree on which each place begins."""
        return tuple(place.degree for place in self.places)


@dataclass(frozen=True, slots=True)
class Outside:
    """A class some of whose forms hold a set.

    Parameters
    ----------
    set_class : SetClass
    additions : tuple of tuple of Spelled
        For each form that holds the set, the notes added to it.
    embedded : int
        How often one form of this class holds a set of the same class as the one asked about.
    """

    set_class: SetClass
    additions: tuple[tuple[Spelled, ...], ...]
    embedded: int

    @property
    def times(self) -> int:
        """How many forms of the class hold the set."""
        return len(self.additions)


def settle(source: Source) -> Subject:
    """Settle order and spelling of what a question is put to; raises `InputError` for a text not understood."""
    return source if isinstance(source, Subject) else subject(source)


def insides(source: Source, *, sizes: Iterable[int] | None = None, tn: bool = False) -> tuple[Inside, ...]:
    """Every class that a set holds, with each of its places.

    Parameters
    ----------
    source : str, PcSet, SetClass, Collection or Subject
        The set asked about.
    sizes : iterable of int, optional
        Numbers of notes, 1 to 12; by default 1 to the size of the set.
    tn : bool
        Count a class and its mirror apart.

    Returns
    -------
    tuple of Inside
        In catalogue order.

    Raises
    ------
    InputError
        Where a text is not understood or a size is no number of notes.

    Examples
    --------
    >>> for row in insides("D double harmonic", sizes=[6])[:2]:
    ...     print(row.set_class, row.times, [" ".join(n.text for n in p.notes) for p in row.places])
    6-Z19 2 ['D Eb F# G A Bb', 'F# G A Bb C# D']
    6-Z43 2 ['G A Bb C# D Eb', 'C# D Eb F# G A']
    """
    scale = settle(source)
    masks = _of_sizes(_EVERY & ~scale.pcset.mask == 0, sizes)
    every = _places(scale, masks)
    return tuple(
        Inside(named, tuple(sorted((every[i] for i in at), key=lambda place: place.degrees)))
        for named, at in _grouped(masks, tn)
    )


def outsides(source: Source, *, sizes: Iterable[int] | None = None, tn: bool = False) -> tuple[Outside, ...]:
    """Every class that holds a set, with the notes to add.

    Parameters
    ----------
    source : str, PcSet, SetClass, Collection or Subject
        The set asked about.
    sizes : iterable of int, optional
        Numbers of notes, 1 to 12; by default from one more than the set has.
    tn : bool
        Count a class and its mirror apart.

    Returns
    -------
    tuple of Outside
        In catalogue order; added notes are named near the set's own on the line of fifths.

    Raises
    ------
    InputError
        Where a text is not understood or a size is no number of notes.

    Examples
    --------
    >>> found = {str(row.set_class): row for row in outsides("C E G Bb", sizes=[7])}
    >>> found["7-35"].times, [n.text for n in found["7-35"].additions[0]], found["7-35"].embedded
    (1, ['D', 'F', 'A'], 2)
    """
    scale = settle(source)
    own = scale.pcset.mask
    masks = _of_sizes((_EVERY & own == own) & (own != _EVERY), sizes)
    names = spell_in(scale.notes, range(12))
    counts = catalogue.tn_counts() if tn else catalogue.tni_counts()
    column = int((catalogue.tn_index() if tn else catalogue.tni_index())[own])
    return tuple(
        Outside(
            named,
            tuple(_added(int(masks[i]) & ~own, scale, names) for i in at),
            int(counts[named.mask, column]),
        )
        for named, at in _grouped(masks, tn)
    )


def _of_sizes(holds: NDArray[np.bool_], sizes: Iterable[int] | None) -> NDArray[np.int64]:
    """Masks for which something holds, of these sizes; the empty set goes in any case."""
    wanted = range(1, 13) if sizes is None else tuple(sizes)
    for size in wanted:
        if not 1 <= size <= 12:
            raise InputError(f"{size} is no number of notes.", value=size, suggestion="A set has 1 to 12 notes.")
    return np.flatnonzero(holds & np.isin(tables.size(), wanted))


def _grouped(masks: NDArray[np.int64], tn: bool) -> Iterator[tuple[SetClass, list[int]]]:
    """Each class among these sets, in catalogue order, with the places of its sets in the array."""
    if not len(masks):
        return
    index = (catalogue.tn_index() if tn else catalogue.tni_index())[masks]
    labels = catalogue.tn_labels() if tn else catalogue.tni_labels()
    order = np.argsort(index, kind="stable")
    found, first = np.unique(index[order], return_index=True)
    for at, group in zip(found.tolist(), np.split(order, first[1:]), strict=True):
        yield SetClass(labels[at]), group.tolist()


def _places(scale: Subject, masks: NDArray[np.int64]) -> list[Place]:
    """One place for each subset, beginning on the lowest degree from which it is packed best."""
    rising, size = np.array(scale.rising, int), len(scale.rising)
    if not len(masks):
        return []
    packed = tables.transposed()[-rising % 12][:, masks] == tables.tn_prime()[masks]  # only on its own notes
    starts = packed.argmax(axis=0)
    turned = (starts[:, None] + np.arange(size)) % size  # the degrees, from 0, as they rise from each start
    there = (masks[:, None] >> rising[turned] & 1).astype(bool)
    rows = zip(turned.tolist(), there.tolist(), strict=True)
    kept = ([degree for degree, held in zip(*row, strict=True) if held] for row in rows)
    return [Place(tuple(d + 1 for d in row), tuple(scale.notes[d] for d in row)) for row in kept]


def _added(mask: int, scale: Subject, names: tuple[Spelled, ...]) -> tuple[Spelled, ...]:
    """The notes of a mask, rising from the scale's first note."""
    first = scale.rising[0] if scale.rising else 0
    return tuple(names[pc] for pc in PcSet.of_mask(mask).rising_from(first))
