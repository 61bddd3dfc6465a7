"""Cardinality equals variety, and structure implies multiplicity (Clough and Myerson).

Move a figure of scale degrees ("first, third and fifth") along a scale: how many different kinds does it come in,
measured in semitones, and how often does each occur?

Definitions
-----------
* A **figure** is a tuple of ascending scale degrees counted from 0: (0, 2, 4) for stacked thirds.
* Its **kinds** are the different tuples of semitones from its first note upward that it takes on, begun on each note
  of the scale in turn.
* A scale has the property **cardinality equals variety** when every figure of k notes comes in k kinds. Among
  scales with at least two notes the nondegenerate well-formed ones have it (`sonorarium.pcs.generated`).
* **Structure implies multiplicity**: in the diatonic, how often the kinds occur can be read off the gaps that the
  figure leaves on the circle of fifths. `multiplicities` counts them outright, for any scale.

Source: John Clough and Gerald Myerson, Variety and multiplicity in diatonic systems, Journal of Music Theory 29
(1985).
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import SetFacts


def kinds(notes: SetFacts, figure: tuple[int, ...]) -> dict[tuple[int, ...], int]:
    """Find the kinds of a figure in a scale, and how often each occurs.

    Parameters
    ----------
    notes : SetFacts
        A scale of d notes.
    figure : tuple of int
        Ascending scale degrees from 0 to d − 1, beginning with 0.

    Returns
    -------
    dict
        Semitones above the first note, and number of occurrences; the smallest kind first.

    Raises
    ------
    InputError
        Where the figure is not of this form.

    Examples
    --------
    >>> from sonorarium.pcs.pcset import PcSet
    >>> kinds(PcSet((0, 2, 4, 5, 7, 9, 11)), (0, 2, 4))
    {(0, 3, 6): 1, (0, 3, 7): 3, (0, 4, 7): 3}
    """
    count = notes.cardinality
    rising = all(a < b for a, b in pairwise(figure))
    if not figure or figure[0] != 0 or not rising or figure[-1] >= max(count, 1):
        raise InputError(
            f"{figure} is no figure of degrees of a scale of {count} notes.",
            value=figure,
            suggestion=f"Give ascending degrees from 0, the last below {count}.",
        )
    pcs = notes.pcs
    found = Counter(tuple((pcs[(i + step) % count] - pcs[i]) % 12 for step in figure) for i in range(count))
    return dict(sorted(found.items()))


def multiplicities(notes: SetFacts, figure: tuple[int, ...]) -> tuple[int, ...]:
    """How often each kind of a figure occurs, in ascending order; their number is the variety of the figure.

    Raises `InputError` as `kinds` does.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> multiplicities(PcSet((0, 2, 4, 5, 7, 9, 11)), (0, 2, 4, 6))
    (1, 1, 2, 3)
    """
    return tuple(sorted(kinds(notes, figure).values()))


def cardinality_equals_variety(notes: SetFacts) -> bool:
    """Whether every figure of k scale degrees comes in k kinds; the set has at least two notes.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> cardinality_equals_variety(PcSet((0, 2, 4, 7, 9))), cardinality_equals_variety(PcSet((0, 2, 4, 6, 7, 9, 10)))
    (True, False)
    """
    count = notes.cardinality
    figures = ((0, *rest) for k in range(count) for rest in combinations(range(1, count), k))
    return count >= 2 and all(len(kinds(notes, figure)) == len(figure) for figure in figures)
