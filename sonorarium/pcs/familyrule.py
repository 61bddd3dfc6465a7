"""Rules by which the kinds of a family are found: conditions on a set that hold at every transposition.

All conditions given must hold at once:

==============  ====================  ================================================================================
condition       example               the set …
==============  ====================  ================================================================================
``scales``      ``["dorian"]``        is one of these, by list; see `shapes` for what may be written
``near``        ``"dorian"``          is this one, or comes of it when one of its notes moves by a semitone
``notes``       ``[7]``               has one of these numbers of notes
``without``     ``["3-1"]``           holds no set of these classes
``holding``     ``["4-27B"]``         holds a set of each of these classes
``maximal``     ``true``              meets ``without`` and ``holding``, and no set with a note more does
``limited``     ``true``              has fewer than twelve transpositions (the empty set and the aggregate left out)
==============  ====================  ================================================================================

A set that no set with *one* note more exceeds is maximal among all: ``without`` passes from a set to its subsets and
``holding`` to its supersets, so every set between two that meet both meets both.

Source of the idea that a family of scales is defined by a rule: Dmitri Tymoczko, The consecutive-semitone constraint
on scalar structure, Integral 11 (1997), from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import find_kind
from sonorarium.pcs.setclass import SetClass

Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class FamilyRule:
    """Conditions that the kinds of a family meet; at least one is given.

    Parameters
    ----------
    scales : tuple of str
    near : str
    notes : tuple of int
    without : tuple of str
        Class labels.
    holding : tuple of str
        Class labels.
    maximal : bool
    limited : bool

    Raises
    ------
    InputError
        Where no condition is given.

    Examples
    --------
    >>> [PcSet.of_mask(m).label for m in FamilyRule(without=("3-1",), maximal=True).masks()]
    ['6-20', '6-35', '7-32A', '7-32B', '7-34', '7-35', '8-28']
    """

    scales: tuple[str, ...] = ()
    near: str = ""
    notes: tuple[int, ...] = ()
    without: tuple[str, ...] = ()
    holding: tuple[str, ...] = ()
    maximal: bool = False
    limited: bool = False

    def __post_init__(self) -> None:
        if not any(getattr(self, f.name) for f in fields(self)):
            keys = ", ".join(f.name for f in fields(self))
            raise InputError("A family needs a rule.", value=self, suggestion=f"Give at least one of: {keys}.")

    def masks(self) -> tuple[int, ...]:
        """The Tn classes that meet the rule, each by its best-packed set from 0, in catalogue order."""
        meets = _all_within(self.without) & _all_holding(self.holding)
        if self.maximal:
            meets &= _is_maximal(meets)
        if self.notes:
            meets &= np.isin(tables.size(), self.notes)
        if self.limited:
            meets &= is_limited()
        if self.scales:
            meets &= _any_form([pcset.mask for text in self.scales for pcset in shapes(text)])
        if self.near:
            meets &= _any_form([m for pcset in shapes(self.near) for m in (pcset.mask, *moved_masks(pcset.mask))])
        masks = catalogue.tn_masks()
        return tuple(masks[meets[masks] & (masks > 0)].tolist())


def shapes(text: str) -> tuple[PcSet, ...]:
    """Read a kind of scale: its notes from C.

    Parameters
    ----------
    text : str
        A name of the catalogue, a step pattern (``1-3-1-2-1-3-1``), numbers (``0 1 4 5 7 8 11``) or a class label;
        a label without A or B means both halves of the class.

    Raises
    ------
    InputError
        Where it is none of these.

    Examples
    --------
    >>> shapes("1-3-1-2-1-3-1"), [s.label for s in shapes("7-32")]
    ((PcSet((0, 1, 4, 5, 7, 8, 11)),), ['7-32A', '7-32B'])
    """
    plain = text.strip()
    if re.fullmatch(r"\d{1,2}-z?\d{1,2}[ab]?", plain, re.IGNORECASE):
        return tuple(half.representative for half in SetClass(plain).tn_classes)
    if re.fullmatch(r"\d+(-\d+){2,}", plain):
        return (_of_steps(tuple(map(int, plain.split("-")))),)
    if re.fullmatch(r"\d+([\s,]+\d+)*", plain):
        return (PcSet(map(int, re.split(r"[\s,]+", plain))),)
    return (find_kind(plain).pcset,)


def _of_steps(steps: tuple[int, ...]) -> PcSet:
    if sum(steps) != 12 or 0 in steps:
        raise InputError(
            f"The steps {'-'.join(map(str, steps))} do not make an octave.",
            value=steps,
            suggestion=f"They add up to {sum(steps)} semitones; an octave has 12.",
        )
    return PcSet(np.cumsum((0, *steps[:-1])).tolist())


def _all_within(labels: tuple[str, ...]) -> Flags:
    out = np.ones(tables.SETS, bool)
    for label in labels:
        out &= times_held(SetClass(label)) == 0
    return out


def _all_holding(labels: tuple[str, ...]) -> Flags:
    out = np.ones(tables.SETS, bool)
    for label in labels:
        out &= times_held(SetClass(label)) > 0
    return out


def times_held(wanted: SetClass) -> NDArray[np.uint16]:
    """How often each set holds a class: shape (4096,).

    >>> int(times_held(SetClass("3-11"))[PcSet((0, 2, 4, 5, 7, 9, 11)).mask])
    6
    """
    if wanted.letter:
        return catalogue.tn_counts()[:, catalogue.tn_index()[wanted.mask]]
    return catalogue.tni_counts()[:, catalogue.tni_index()[wanted.mask]]


def _is_maximal(meets: Flags) -> Flags:
    """Whether no set with one note more is among them."""
    every, bits = np.arange(tables.SETS)[:, None], 1 << np.arange(12)
    more = (every & bits == 0) & meets[every | bits]
    out: Flags = ~more.any(axis=1)
    return out


def is_limited() -> Flags:
    """Whether a set has fewer than twelve transpositions, the empty set and the aggregate left out: shape (4096,)."""
    fixed: Flags = (tables.transposed() == np.arange(tables.SETS)).sum(axis=0) > 1
    fixed[[0, tables.FULL]] = False
    return fixed


def _any_form(masks: list[int]) -> Flags:
    """Whether a set is a transposition of one of these."""
    return np.isin(tables.tn_prime(), tables.tn_prime()[masks])


def moved_masks(mask: int) -> tuple[int, ...]:
    """Sets that come of a set when one of its notes moves by a semitone onto a free place.

    >>> [PcSet.of_mask(m) for m in moved_masks(PcSet((0, 4, 7)).mask)][:2]
    [PcSet((1, 4, 7)), PcSet((4, 7, 11))]
    """
    held = PcSet.of_mask(mask)
    moves = ((pc, (pc + by) % 12) for pc in held for by in (1, -1))
    return tuple(mask ^ 1 << pc ^ 1 << to for pc, to in moves if to not in held)
