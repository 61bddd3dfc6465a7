"""Families: several kinds of scale studied together, in all their transpositions.

A **kind** is a scale without a place, under the short name that the family gives it; a **member** is a kind on a
root. Members are distinct as sets: a whole-tone scale has two, an octatonic three. They are numbered by kind, then by
root from C upward, and each takes the simplest name of its root.

The default family is the scales without consecutive semitones: the maximal sets that hold no three notes a semitone
apart in a row. There are seven kinds and 57 members, and every set without such three notes lies in one of them
(Tymoczko 1997, 2004; recomputed in the tests). Where a family comes from is `sonorarium.pcs.familyrule`; the families
at hand, and how a person writes one, are `sonorarium.pcs.families`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue
from sonorarium.pcs.collection import Collection, distinct_transpositions, simplest_tonic
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.scales import ScaleKind, find_kind
from sonorarium.pcs.spelling import Spelled, spell
from sonorarium.pcs.subject import Subject


@dataclass(frozen=True)
class FamilyKind:
    """A kind of scale in a family.

    Parameters
    ----------
    name : str
        What the family calls it.
    pcs : tuple of int
        Semitones above the root, ascending, beginning with 0.
    scale : str
        Its name in the catalogue of scales, or empty where it has none.

    Examples
    --------
    >>> FamilyKind("octatonic", (0, 1, 3, 4, 6, 7, 9, 10), "octatonic semitone-tone").transpositions
    3
    """

    name: str
    pcs: tuple[int, ...]
    scale: str = ""

    @property
    def pcset(self) -> PcSet:
        """Its notes from C."""
        return PcSet(self.pcs)

    @property
    def label(self) -> str:
        """Label of its class under transposition."""
        return self.pcset.label

    @property
    def transpositions(self) -> int:
        """How many members it has."""
        return distinct_transpositions(self.pcset)

    @property
    def scale_kind(self) -> ScaleKind:
        """The catalogue's entry, or one made for the purpose."""
        return find_kind(self.scale) if self.scale else ScaleKind(self.name, self.pcs, self.name, 1, (), "")

    def on(self, pc: int) -> Member:
        """The member on a pitch class, under the simplest name of its root."""
        return Member(self, simplest_tonic(self.scale_kind, pc))


@dataclass(frozen=True)
class Member(SetFacts):
    """A kind of a family on a root; it answers what any set answers.

    Parameters
    ----------
    kind : FamilyKind
    root : Spelled

    Examples
    --------
    >>> from sonorarium.pcs.families import default_family
    >>> member = default_family().member("Eb acoustic")
    >>> member.label, [note.text for note in member.spelling]
    ('7-34', ['Eb', 'F', 'G', 'A', 'Bb', 'C', 'Db'])
    """

    kind: FamilyKind
    root: Spelled

    def __str__(self) -> str:
        return self.name

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer."""
        return self.kind.pcset.transposed(self.root.pc).mask

    @property
    def name(self) -> str:
        """Root and kind as they can be typed: ``Eb acoustic``, ``3-12 on C``."""
        placed = self.kind.name[0].isdigit()
        return f"{self.kind.name} on {self.root.text}" if placed else f"{self.root.text} {self.kind.name}"

    @property
    def rising(self) -> tuple[int, ...]:
        """Pitch classes from the root upward."""
        return tuple((self.root.pc + n) % 12 for n in self.kind.pcs)

    @property
    def spelling(self) -> tuple[Spelled, ...]:
        """Its notes by name from the root upward."""
        return spell(self.rising, self.root)

    @property
    def collection(self) -> Collection | None:
        """The same as a collection of the catalogue, or None where the catalogue has no name for it."""
        return Collection(self.root, self.kind.scale_kind) if self.kind.scale else None

    @property
    def subject(self) -> Subject:
        """The same as a subject to be shown or asked about."""
        return Subject(self.name, self.pcset, self.spelling, self.root)


@dataclass(frozen=True)
class Holding:
    """The members of one kind that hold a set.

    Parameters
    ----------
    kind : FamilyKind
    members : tuple of Member
        Those that hold it; empty where none does.
    embedded : int
        How often each member of the kind holds a set of the same class under transposition.
    """

    kind: FamilyKind
    members: tuple[Member, ...]
    embedded: int

    @property
    def times(self) -> int:
        """How many members of the kind hold the set."""
        return len(self.members)

    @property
    def roots(self) -> tuple[Spelled, ...]:
        """Roots of the members that hold it."""
        return tuple(member.root for member in self.members)


@dataclass(frozen=True)
class Family:
    """Several kinds of scale studied together.

    Parameters
    ----------
    name : str
    rule : str
        What makes a set belong, in a sentence.
    kinds : tuple of FamilyKind
        In the order in which they are shown.
    source : str
        Where the family comes from.

    Examples
    --------
    >>> from sonorarium.pcs.families import default_family
    >>> family = default_family()
    >>> [f"{kind.name} {kind.transpositions}" for kind in family.kinds][:4]
    ['diatonic 12', 'acoustic 12', 'harmonic minor 12', 'harmonic major 12']
    >>> len(family), [member.name for member in family.members_holding(PcSet((0, 4, 7, 10)))][:3]
    (57, ['F diatonic', 'C acoustic', 'Bb acoustic'])
    """

    name: str
    rule: str
    kinds: tuple[FamilyKind, ...]
    source: str = ""

    def __str__(self) -> str:
        return self.name

    def __len__(self) -> int:
        return len(self.members)

    def __iter__(self) -> Iterator[Member]:
        return iter(self.members)

    def __contains__(self, notes: SetFacts) -> bool:
        return notes.mask in self._place_of

    @cached_property
    def members(self) -> tuple[Member, ...]:
        """Every kind on every root that makes a new set."""
        return tuple(kind.on(pc) for kind in self.kinds for pc in range(kind.transpositions))

    @cached_property
    def masks(self) -> NDArray[np.int64]:
        """The members as 12-bit integers: shape (members,)."""
        masks = np.array([member.mask for member in self.members], np.int64)
        masks.setflags(write=False)
        return masks

    @cached_property
    def _place_of(self) -> dict[int, int]:
        return {mask: i for i, mask in enumerate(self.masks.tolist())}

    def kind(self, name: str) -> FamilyKind:
        """Find a kind by the family's name, the catalogue's name or the class label; raises `InputError` if none.

        >>> from sonorarium.pcs.families import default_family
        >>> default_family().kind("7-32B").name
        'harmonic major'
        """
        for kind in self.kinds:
            if name in (kind.name, kind.scale, kind.label):
                return kind
        names = ", ".join(kind.name for kind in self.kinds)
        raise InputError(f"The family has no kind {name!r}.", value=name, suggestion=f"Its kinds are: {names}.")

    def member(self, name: str) -> Member:
        """Find a member by its name; raises `InputError` where there is none."""
        for member in self.members:
            if name == member.name:
                return member
        raise InputError(
            f"The family has no member {name!r}.",
            value=name,
            suggestion=f"Members are called like {self.members[0].name}.",
        )

    def member_of(self, notes: SetFacts) -> Member | None:
        """The member that has exactly these notes, or None.

        >>> from sonorarium.pcs.families import default_family
        >>> print(default_family().member_of(PcSet((2, 4, 5, 7, 9, 11, 0))))
        C diatonic
        """
        at = self._place_of.get(notes.mask)
        return None if at is None else self.members[at]

    def kind_of(self, notes: SetFacts) -> FamilyKind | None:
        """The kind whose members the set is one of, or None."""
        found = self.member_of(notes)
        return found.kind if found else None

    def members_holding(self, notes: SetFacts) -> tuple[Member, ...]:
        """Members that hold every note of a set, in the family's order."""
        at = np.flatnonzero(notes.mask & ~self.masks == 0)
        return tuple(self.members[i] for i in at.tolist())

    def holdings(self, notes: SetFacts) -> tuple[Holding, ...]:
        """Which members hold a set, kind by kind, the kinds that do not included.

        >>> from sonorarium.pcs.families import default_family
        >>> [f"{h.kind.name} {h.times}" for h in default_family().holdings(PcSet((0, 4, 7)))][:4]
        ['diatonic 3', 'acoustic 2', 'harmonic minor 2', 'harmonic major 3']
        """
        found = self.members_holding(notes)
        column = catalogue.tn_counts()[:, catalogue.tn_index()[notes.mask]]
        return tuple(
            Holding(kind, tuple(m for m in found if m.kind == kind), int(column[kind.pcset.mask]))
            for kind in self.kinds
        )
