"""A syllabus for a family: in which order to take its scales, so that each adds much and leans on what is known.

The rule
--------
1. Count the subset classes of three notes or more that each kind of the family holds, the kind's own size left out:
   under transposition and inversion, or, where ``tn`` is asked for, under transposition alone (a scale and its mirror
   then differ).
2. The first kind is the one asked for, or else the hub: the kind from which the most others are one semitone's move
   away; of equals, the one most like the others, by the mean share of classes in common among those that either has.
3. Each next kind is chosen among those that **lean**: at least half (or the share asked for) of their classes are
   known by then. Of these the one that **adds the most**, that is, has the most classes not known yet, comes next.
   Where none leans that much, the one that leans the most comes next.
4. Of equals, the one that is one semitone's move from a kind already taken goes before one that is not; then the one
   that leans more; then the family's own order.

Classes that are known from a course already given (a `Ledger`) count as known from the start.

A syllabus is a proposal. It knows nothing of how a scale sounds or of what the repertoire has; the numbers are there
to be argued with. The rule is our own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.lesson.courses.ledger import LEAST, Ledger, held_classes
from sonorarium.pcs import catalogue
from sonorarium.pcs.family import Family, FamilyKind
from sonorarium.pcs.familyrule import moved_masks
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.setclass import SetClass

HALF = Fraction(1, 2)


@dataclass(frozen=True)
class Step:
    """One kind in a syllabus.

    Parameters
    ----------
    kind : FamilyKind
    adds : tuple of SetClass
        Its classes that were not known before.
    leans : int
        How many of its classes were known before.
    nearest : str
        The kind taken before with which it shares the most classes, or empty.
    shared : int
        How many it shares with that kind.
    moves : tuple of str
        Kinds taken before from which it is one semitone's move away.
    """

    kind: FamilyKind
    adds: tuple[SetClass, ...]
    leans: int
    nearest: str
    shared: int
    moves: tuple[str, ...]

    @property
    def reason(self) -> str:
        """Why it comes here, in a sentence."""
        whole = len(self.adds) + self.leans
        new = f"{len(self.adds)} of its {whole} classes are new"
        if not self.nearest:
            return f"{new}."
        near = f"it shares {self.shared} with {self.nearest}"
        moved = f"; one semitone from {' and '.join(self.moves)}" if self.moves else ""
        return f"{new}; {near}{moved}."


@dataclass(frozen=True)
class Syllabus:
    """An order of lessons for a family.

    Parameters
    ----------
    family : str
    lean : Fraction
        The share of known classes that was asked for.
    steps : tuple of Step
    """

    family: str
    lean: Fraction
    steps: tuple[Step, ...]

    @property
    def rule(self) -> str:
        """The rule in a sentence."""
        return (
            f"Of the scales of whose subset classes at least {self.lean} are known, the one that adds the most comes "
            "next; where there is none, the one that leans the most on what is known."
        )


def syllabus(
    family: Family,
    *,
    first: str | None = None,
    lean: Fraction = HALF,
    tn: bool = False,
    after: Ledger | None = None,
) -> Syllabus:
    """Propose an order for the kinds of a family.

    Parameters
    ----------
    family : Family
    first : str, optional
        The kind to begin with; by default the rule chooses.
    lean : Fraction
        Share of a kind's classes that shall be known before it is taken, 0 to 1.
    tn : bool
        Count a class and its mirror apart.
    after : Ledger, optional
        A course that has been given already.

    Returns
    -------
    Syllabus

    Raises
    ------
    InputError
        Where the family has no such kind, or the share is no share.

    Examples
    --------
    >>> from sonorarium.pcs.families import find_family
    >>> [step.kind.name for step in syllabus(find_family("spaced")).steps][:3]
    ['harmonic minor', 'acoustic', 'octatonic']
    """
    if not 0 <= lean <= 1:
        raise InputError(f"{lean} is no share.", value=lean, suggestion="Give a number from 0 to 1, such as 0.5.")
    table = _Table({kind: _classes(kind.pcset, tn=tn) for kind in family.kinds}, _moves(family))
    known = _known(after or Ledger(()), tn=tn)
    labels = catalogue.tn_labels() if tn else catalogue.tni_labels()
    taken: list[Step] = []
    left = list(family.kinds)
    while left:
        done = tuple(step.kind for step in taken)
        kind = family.kind(first) if first and not taken else table.next(left, known, done, lean)
        adds = np.flatnonzero(table.held[kind] & ~known).tolist()
        taken.append(table.step(kind, tuple(SetClass(labels[i]) for i in adds), done))
        known |= table.held[kind]
        left.remove(kind)
    return Syllabus(family.name, lean, tuple(taken))


Flags = NDArray[np.bool_]


def _classes(notes: SetFacts, *, tn: bool) -> Flags:
    return held_classes(notes, range(LEAST, notes.pcset.cardinality), tn=tn)


def _known(ledger: Ledger, *, tn: bool) -> Flags:
    """Classes that a course shows, lists, or holds in its collections; of a class shown alone, both halves."""
    known = np.zeros(len(catalogue.tn_labels() if tn else catalogue.tni_labels()), bool)
    index = catalogue.tn_index() if tn else catalogue.tni_index()
    for meeting in ledger.meetings:
        known[index[[meeting.pcset.mask, meeting.pcset.inverted().mask]]] = True
        if meeting.collection:
            known |= _classes(meeting.pcset, tn=tn)
    return known


def _moves(family: Family) -> dict[FamilyKind, tuple[FamilyKind, ...]]:
    """For each kind, the others that are one semitone's move away."""
    near = {kind: {PcSet.of_mask(mask).label for mask in moved_masks(kind.pcset.mask)} for kind in family.kinds}
    return {kind: tuple(o for o in family.kinds if o != kind and o.label in near[kind]) for kind in family.kinds}


@dataclass(frozen=True, eq=False)
class _Table:
    """What each kind holds, and which are one move apart."""

    held: Mapping[FamilyKind, Flags]
    moves: Mapping[FamilyKind, tuple[FamilyKind, ...]]

    def next(self, left: list[FamilyKind], known: Flags, done: tuple[FamilyKind, ...], lean: Fraction) -> FamilyKind:
        if not known.any():
            return max(left, key=lambda kind: (len(self.moves[kind]), self.likeness(kind)))
        leans = {kind: _share(self.held[kind] & known, self.held[kind]) for kind in left}
        near = {kind: any(other in done for other in self.moves[kind]) for kind in left}
        ready = [kind for kind in left if leans[kind] >= lean]
        if not ready:
            return max(left, key=lambda kind: (leans[kind], near[kind]))
        return max(ready, key=lambda kind: (int((self.held[kind] & ~known).sum()), near[kind], leans[kind]))

    def likeness(self, kind: FamilyKind) -> Fraction:
        mine = self.held[kind]
        return sum((_share(mine & other, mine | other) for other in self.held.values()), Fraction(0))

    def step(self, kind: FamilyKind, adds: tuple[SetClass, ...], done: tuple[FamilyKind, ...]) -> Step:
        mine = self.held[kind]
        shared = {other: int((mine & self.held[other]).sum()) for other in done}
        nearest = max(done, key=lambda other: shared[other], default=None)
        moves = tuple(other.name for other in done if other in self.moves[kind])
        leans = int(mine.sum()) - len(adds)
        return Step(kind, adds, leans, nearest.name if nearest else "", shared[nearest] if nearest else 0, moves)


def _share(part: Flags, whole: Flags) -> Fraction:
    return Fraction(int(part.sum()), max(int(whole.sum()), 1))
