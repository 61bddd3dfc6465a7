"""Wrong choices that deserve a look: chosen by how like they are to the right one.

A pool of wrong answers stands in order from the most alike to the least. Three of them are taken: the ``near`` ones
from its beginning, the ``middle`` ones from its middle, the ``far`` ones from its end. Nothing is left to chance, so
the same question always has the same wrong choices for a nearness.

* **Classes** are ordered by Morris's ASIM (`sonorarium.pcs.similarity`), ties by the catalogue.
* **Sets inside a scale** are held against sets of the same size that are not inside it, ordered by how many of their
  notes are foreign to the scale, then by how many notes they share with the right set.
* **Chords to be heard** are ordered by the least voice leading from the right one, in semitones
  (`sonorarium.pcs.distance`), the partner in interval content first; no two of them, and none and the right one, are
  transpositions of each other, for those no ear could tell apart without a reference.

That a wrong choice is not a right one after all is for the caller to say: every pool is filtered by a test.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import TypeVar

import numpy as np

from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.distance import distance, nearest_forms
from sonorarium.pcs.kin import neighbours
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.similarity import asim
from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.pcs.subject import Subject

NEARNESSES = ("far", "middle", "near")
"""How near wrong choices may come, the easiest first."""

WRONG = 3
"""Wrong choices of one exercise."""

FARTHEST_SEMITONES = 6
"""A chord so many semitones away counts as wholly different."""

Item = TypeVar("Item")


def taken(pool: Sequence[Item], nearness: str) -> tuple[Item, ...]:
    """Take three of a pool that runs from the most alike to the least.

    >>> [taken("abcdefghi", nearness) for nearness in NEARNESSES]
    [('g', 'h', 'i'), ('d', 'e', 'f'), ('a', 'b', 'c')]
    """
    spare = max(0, len(pool) - WRONG)
    first = {"near": 0, "middle": spare // 2, "far": spare}[nearness]
    return tuple(pool[first : first + WRONG])


def difference(one: SetClass, other: SetClass) -> float:
    """How unlike two classes are: ASIM, 0 to 1.

    >>> difference(SetClass("4-Z15"), SetClass("4-Z29")), round(difference(SetClass("3-11"), SetClass("3-12")), 2)
    (0.0, 0.67)
    """
    return float(asim()[_place(one), _place(other)])


def like_classes(
    right: SetClass, size: int, wrong: Callable[[SetClass], bool], nearness: str
) -> tuple[SetClass, ...]:
    """Three wrong classes of a size, by likeness to the right one; letters A and B do not matter.

    Parameters
    ----------
    right : SetClass
    size : int
        Number of notes of the classes.
    wrong : callable
        Whether a class is a wrong answer.
    nearness : {"far", "middle", "near"}

    Examples
    --------
    >>> like_classes(SetClass("4-19"), 4, lambda c: c != SetClass("4-19"), "near")
    (SetClass('4-7'), SetClass('4-17'), SetClass('4-20'))
    """
    return taken([c for c in _by_likeness(right.tni, size) if wrong(c)], nearness)


def _place(named: SetClass) -> int:
    return int(catalogue.tni_index()[named.mask])


@cache
def _by_likeness(right: SetClass, size: int) -> tuple[SetClass, ...]:
    of_size = np.flatnonzero(tables.size()[catalogue.tni_masks()] == size)
    order = np.argsort(np.round(asim()[_place(right), of_size], 9), kind="stable")
    return tuple(SetClass(catalogue.tni_labels()[at]) for at in of_size[order].tolist())


def outside_sets(right: PcSet, scale: SetFacts, nearness: str) -> tuple[PcSet, ...]:
    """Three sets as large as the right one that do not lie in the scale.

    Parameters
    ----------
    right : PcSet
        A set inside the scale.
    scale : SetFacts
    nearness : {"far", "middle", "near"}
        Near: one foreign note each. Middle: two, or as many as there are. Far: three or as many as there are.

    Examples
    --------
    >>> outside_sets(PcSet((0, 4, 7)), PcSet((0, 2, 4, 5, 7, 9, 11)), "near")
    (PcSet((0, 3, 7)), PcSet((0, 4, 6)), PcSet((0, 4, 8)))
    """
    foreign = min({"near": 1, "middle": 2, "far": 3}[nearness], len(right), len(~scale))
    pool = sorted(
        _exchanged(right, scale, foreign), key=lambda other: (distance(right, other), _spread(other, right))
    )
    return tuple(pool[:WRONG])


def _exchanged(right: PcSet, scale: SetFacts, foreign: int) -> Iterator[PcSet]:
    """The set with so many of its notes exchanged for notes foreign to the scale."""
    for out in combinations(right.pcs, foreign):
        for came in combinations((~scale.pcset).pcs, foreign):
            yield (right - PcSet(out)) | PcSet(came)


def _spread(other: PcSet, right: PcSet) -> tuple[int, int]:
    """An order among equals that does not always prefer low notes: by the middle of what changed, then by mask."""
    left = (right - other).pcs
    return (abs(left[0] - 5) if left else 0, other.mask)


@dataclass(frozen=True)
class OtherChord:
    """A chord that is not the one that was heard.

    Parameters
    ----------
    notes : tuple of Spelled
    semitones : int
        Least voice leading from the right chord.
    relation : str
        What relates the two, in words.
    """

    notes: tuple[Spelled, ...]
    semitones: int
    relation: str

    @property
    def pcset(self) -> PcSet:
        """Its notes without names."""
        return PcSet(note.pc for note in self.notes)


@cache
def other_chords(notes: tuple[Spelled, ...], nearness: str) -> tuple[OtherChord, ...]:
    """Three chords of other classes under transposition than the right one and each other.

    Parameters
    ----------
    notes : tuple of Spelled
        The right chord, rising.
    nearness : {"far", "middle", "near"}

    Examples
    --------
    >>> chord = (Spelled(0), Spelled(2), Spelled(4))
    >>> [(other.pcset.label, other.relation) for other in other_chords(chord, "near")]
    [('3-11A', 'C moves to B'), ('3-10', 'C moves to C♯'), ('3-9', 'E moves to F')]
    """
    right = PcSet(note.pc for note in notes)
    partners = _partner_forms(notes)
    own = Subject("", right, notes)
    moved = [OtherChord(n.notes, 1, n.sentence) for n in neighbours(own, kinds=("move",))]
    moved.sort(key=lambda other: difference(other.pcset.tn_class, right.tn_class))
    rest = sorted(_other_classes(notes), key=lambda other: other.semitones)
    found: dict[str, OtherChord] = {}
    for other in (*partners, *moved, *rest):
        if other.pcset.label != right.label:
            found.setdefault(other.pcset.label, other)
    return taken(tuple(found.values()), nearness)


def _partner_forms(notes: tuple[Spelled, ...]) -> list[OtherChord]:
    right = PcSet(note.pc for note in notes)
    if right.partner is None:
        return []
    form = nearest_forms(right, right.partner)[0]
    relation = f"its partner {right.partner}, with the same intervals"
    return [OtherChord(spell_in(notes, form.normal_order), distance(right, form), relation)]


def _other_classes(notes: tuple[Spelled, ...]) -> Iterator[OtherChord]:
    """For every other class of the size, the form nearest to the right chord."""
    right = PcSet(note.pc for note in notes)
    for named in _by_likeness(right.set_class, len(right)):
        if named != right.set_class:
            form = nearest_forms(right, named)[0]
            semitones = distance(right, form)
            away = f"{semitones} semitone{'s' * (semitones > 1)} away"
            yield OtherChord(spell_in(notes, form.normal_order), semitones, away)
