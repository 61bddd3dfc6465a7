"""Scales built from one interval: generated, well-formed, maximally even; Myhill's property; deep scales.

Definitions
-----------
* A set is **generated** by g when its notes can be put in a chain x, x + g, x + 2g, … without repeats. What g
  generates, 12 − g generates backwards, so generators are given from 1 to 6, and 0 for a single note.
* It is **well-formed** when each g of the chain spans the same number of steps of the scale (Carey and Clampitt
  1989). A well-formed set whose steps are all equal is **degenerate**. Outside this tool the same sets are met as
  moments of symmetry: scales whose steps come in at most two sizes, in the most regular order.
* **Myhill's property**: every generic interval comes in exactly two sizes (Clough and Myerson 1985). In twelve
  notes it belongs to the nondegenerate well-formed sets and to no others (Carey and Clampitt 1989, 1996).
* A set is **maximally even** when every generic interval comes in one size, or in two that differ by a semitone
  (Clough and Douthett 1991). `j_set` makes those sets directly.
* A set is **deep** when every interval class occurs in it a different number of times (Gamer 1967).

The empty set has none of these properties; a single note is generated, well-formed and maximally even.

Sources
-------
Norman Carey and David Clampitt, Aspects of well-formed scales, Music Theory Spectrum 11 (1989), and Self-similar
pitch structures, their duals, and rhythmic analogues, Perspectives of New Music 34 (1996); John Clough and Gerald
Myerson, Variety and multiplicity in diatonic systems, Journal of Music Theory 29 (1985); John Clough and Jack
Douthett, Maximally even sets, Journal of Music Theory 35 (1991); Carlton Gamer, Some combinational resources of
equal-tempered systems, Journal of Music Theory 11 (1967).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, spectrum, tables
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.tables import frozen


def _chains() -> list[tuple[int, tuple[int, ...]]]:
    """Every generator from 0 to 6 with every chain of it that does not repeat a note."""
    found: list[tuple[int, tuple[int, ...]]] = [(0, (0,))]
    for g in range(1, 7):
        for count in range(2, 12 // int(np.gcd(g, 12)) + 1):
            found.append((g, tuple(i * g % 12 for i in range(count))))
    return found


def _spans_alike(g: int, chain: tuple[int, ...]) -> bool:
    """Whether each generator of the chain spans the same number of steps of the scale."""
    rank = {pc: i for i, pc in enumerate(sorted(chain))}
    return len({(rank[(pc + g) % 12] - rank[pc]) % len(chain) for pc in chain[:-1]}) <= 1


@cache
def generated_by() -> NDArray[np.bool_]:
    """Whether g generates the sets of TnI class c: shape (224, 7)."""
    out = np.zeros((len(catalogue.tni_masks()), 7), bool)
    for g, chain in _chains():
        out[catalogue.tni_index()[PcSet(chain).mask], g] = True
    return frozen(out)


@cache
def well_formed_by() -> NDArray[np.bool_]:
    """Whether the sets of TnI class c are well-formed with generator g: shape (224, 7)."""
    out = np.zeros((len(catalogue.tni_masks()), 7), bool)
    for g, chain in _chains():
        out[catalogue.tni_index()[PcSet(chain).mask], g] = _spans_alike(g, chain)
    return frozen(out)


@cache
def maximally_even() -> NDArray[np.bool_]:
    """Whether the sets of Tn class c are maximally even: shape (352,)."""
    narrow = spectrum.largest() - spectrum.smallest() <= 1
    filled = catalogue.tn_masks() > 0
    return frozen(narrow.all(axis=1) & filled)


@cache
def myhill() -> NDArray[np.bool_]:
    """Whether the sets of Tn class c have Myhill's property: shape (352,)."""
    two = (spectrum.variety() == 2) | ~spectrum.is_generic()
    return frozen(two.all(axis=1) & (tables.size()[catalogue.tn_masks()] >= 2))


@cache
def deep() -> NDArray[np.bool_]:
    """Whether every interval class occurs a different number of times in TnI class c: shape (224,)."""
    counts = np.sort(tables.vector()[catalogue.tni_masks()].astype(np.int8), axis=1)
    return frozen((np.diff(counts, axis=1) != 0).all(axis=1))


def generators(notes: SetFacts) -> tuple[int, ...]:
    """Intervals, 0 to 6 semitones, that generate a set; empty where none does.

    >>> generators(PcSet((0, 2, 4, 5, 7, 9, 11))), generators(PcSet((0, 3, 7)))
    ((5,), ())
    """
    return tuple(np.flatnonzero(generated_by()[catalogue.tni_index()[notes.mask]]).tolist())


def well_formed_generators(notes: SetFacts) -> tuple[int, ...]:
    """Intervals, 0 to 6 semitones, with which a set is well-formed; empty where it is not.

    >>> well_formed_generators(PcSet((0, 2, 4, 7, 9))), well_formed_generators(PcSet((0, 2, 4, 5, 7, 9)))
    ((5,), ())
    """
    return tuple(np.flatnonzero(well_formed_by()[catalogue.tni_index()[notes.mask]]).tolist())


def is_generated(notes: SetFacts) -> bool:
    """Whether one interval generates a set."""
    return bool(generators(notes))


def is_well_formed(notes: SetFacts) -> bool:
    """Whether a set is well-formed, degenerate sets included."""
    return bool(well_formed_generators(notes))


def is_degenerate(notes: SetFacts) -> bool:
    """Whether all steps of a set are equal, so that it is well-formed in the degenerate sense.

    >>> is_degenerate(PcSet((0, 4, 8))), is_degenerate(PcSet((0, 4, 7)))
    (True, False)
    """
    return len(set(notes.steps)) == 1


def is_maximally_even(notes: SetFacts) -> bool:
    """Whether every generic interval of a set comes in one size or in two neighbouring ones.

    >>> is_maximally_even(PcSet((0, 1, 3, 4, 6, 7, 9, 10))), is_maximally_even(PcSet((0, 2, 3, 5, 7, 9, 11)))
    (True, False)
    """
    return bool(maximally_even()[catalogue.tn_index()[notes.mask]])


def has_myhill_property(notes: SetFacts) -> bool:
    """Whether every generic interval of a set comes in exactly two sizes; the set has at least two notes.

    >>> has_myhill_property(PcSet((0, 2, 4, 7, 9))), has_myhill_property(PcSet((0, 3, 6, 9)))
    (True, False)
    """
    return bool(myhill()[catalogue.tn_index()[notes.mask]])


def is_deep(notes: SetFacts) -> bool:
    """Whether every interval class occurs in a set a different number of times, one of them perhaps not at all.

    >>> is_deep(PcSet((0, 2, 4, 5, 7, 9)))
    True
    """
    return bool(deep()[catalogue.tni_index()[notes.mask]])


def j_set(chromatic: int, diatonic: int, offset: int = 0) -> tuple[int, ...]:
    """Make a maximally even set: d notes spread over c as evenly as they go.

    Parameters
    ----------
    chromatic : int
        c, the number of notes to choose from, at least 1.
    diatonic : int
        d, the number of notes chosen, 1 to c.
    offset : int
        m, from 0 to c − 1; it chooses among the rotations.

    Returns
    -------
    tuple of int
        The values of the J-function, the integer part of (ck + m)/d for k from 0 to d − 1, in ascending order
        (Clough and Douthett 1991, p. 100).

    Raises
    ------
    InputError
        Where a number is out of its range.

    Examples
    --------
    >>> j_set(12, 7, 5)
    (0, 2, 4, 5, 7, 9, 11)
    """
    if not (1 <= diatonic <= chromatic and 0 <= offset < chromatic):
        raise InputError(
            f"There is no maximally even set of {diatonic} out of {chromatic} with offset {offset}.",
            value=(chromatic, diatonic, offset),
            suggestion="Choose 1 to c notes out of c, and an offset from 0 to c - 1.",
        )
    return tuple((chromatic * k + offset) // diatonic for k in range(diatonic))


def well_formed_sizes(generator: float, largest: int) -> tuple[int, ...]:
    """Numbers of notes at which an interval of any size generates a well-formed scale.

    Parameters
    ----------
    generator : float
        The generator as a share of the octave, between 0 and 1, both excluded: log2(3/2) for the just fifth.
    largest : int
        Largest number of notes tried.

    Returns
    -------
    tuple of int
        From 2 upward, as far as the notes stay apart: a chain that comes back to its beginning ends the list.

    Raises
    ------
    InputError
        Where the generator is not between 0 and 1.

    Examples
    --------
    >>> from math import log2
    >>> well_formed_sizes(log2(3 / 2), 53)
    (2, 3, 5, 7, 12, 17, 29, 41, 53)
    """
    if not 0 < generator < 1:
        raise InputError(
            f"A generator of {generator} octaves cannot be used.",
            value=generator,
            suggestion="Give it as a share of the octave between 0 and 1.",
        )
    found = []
    for count in range(2, largest + 1):
        chain = np.arange(count) * generator % 1
        order = np.argsort(chain)
        if np.diff(chain[order], append=1.0).min() < 1e-9:
            break
        rank = np.argsort(order)
        if len(np.unique(np.diff(rank) % count)) == 1:
            found.append(count)
    return tuple(found)


def generator_steps(count: int, smaller_steps: int) -> int | None:
    """How many steps the generator of a well-formed scale spans.

    Parameters
    ----------
    count : int
        N, number of notes of the scale, at least 2.
    smaller_steps : int
        g, number of its steps of one of the two sizes, 1 to N − 1.

    Returns
    -------
    int or None
        The d from 1 to N − 1 with dg = 1 modulo N (Carey and Clampitt 1996), or None where g and N have a common
        divisor, so that there is no such scale.

    Examples
    --------
    >>> generator_steps(7, 2), generator_steps(7, 5), generator_steps(6, 2)
    (4, 3, None)
    """
    return next((d for d in range(1, count) if d * smaller_steps % count == 1), None)
