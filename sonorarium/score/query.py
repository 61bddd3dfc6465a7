"""What is searched for in a score, and how.

A query names a set, or a class of sets whose forms are all searched for: up to 24 for a class under transposition
and inversion (``4-19``), up to 12 for one under transposition alone (``4-19A``). What the kinds of passage mean is
said in `sonorarium.score.finding`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias, get_args

import numpy as np

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass, form_masks
from sonorarium.score.slices import Masks

Kind: TypeAlias = Literal["chord", "line", "texture"]
"""A kind of passage."""

KINDS: tuple[Kind, ...] = get_args(Kind)
"""All kinds, in the order in which equal passages are listed."""


@dataclass(frozen=True)
class Query:
    """What is searched for.

    Parameters
    ----------
    subject : PcSet or SetClass
        The set, or the class of which every form is searched for. A text or any other set is read, and kept as one of
        these two.
    kinds : tuple of {"chord", "line", "texture"}
        Kinds of passage; one alone may be given as a text.
    parts : tuple of str or int
        Parts to look at, by printed name or index from 0; empty for all.
    tolerance : Fraction
        Largest share of a line's or a texture's sounding time that may be foreign, 0 to less than 1, rounded to
        thousandths. Chords have none.
    least_notes : int
        A passage has at least so many notes.
    least_quarters : Fraction
        A passage is at least so many quarter notes long.

    Raises
    ------
    InputError
        Where an option has no meaning.

    Examples
    --------
    >>> Query("4-19b", "texture", tolerance=0.05)
    Query(subject=SetClass('4-19B'), kinds=('texture',), parts=(), tolerance=Fraction(1, 20), least_notes=1, \
least_quarters=Fraction(0, 1))
    """

    subject: PcSet | SetClass
    kinds: tuple[Kind, ...] = KINDS
    parts: tuple[str | int, ...] = ()
    tolerance: Fraction = Fraction(0)
    least_notes: int = 1
    least_quarters: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        self._set(subject=_subject(self.subject), kinds=_kinds(self.kinds), parts=_parts(self.parts))
        self._set(
            tolerance=Fraction(round(self.tolerance * 1000), 1000), least_quarters=Fraction(self.least_quarters)
        )
        if not 0 <= self.tolerance < 1:
            raise InputError(
                f"A tolerance of {float(self.tolerance):g} has no meaning.",
                value=self.tolerance,
                suggestion="It is the share of the time that may be foreign, from 0 to less than 1: try 0.1.",
            )
        if self.tolerance and self.kinds == ("chord",):
            raise InputError(
                "A chord is exact, so a tolerance changes nothing in a search for chords.",
                value=self.tolerance,
                suggestion="Search for textures or lines, or leave the tolerance out.",
            )
        if self.least_notes < 1 or self.least_quarters < 0:
            raise InputError(
                "A passage cannot have fewer notes than one, or be shorter than nothing.",
                value=(self.least_notes, self.least_quarters),
            )

    def _set(self, **values: object) -> None:
        for name, value in values.items():
            object.__setattr__(self, name, value)

    @property
    def forms(self) -> Masks:
        """Every set searched for, as masks: shape (1 to 24,), int16."""
        if isinstance(self.subject, SetClass):
            return form_masks(self.subject).astype(np.int16)
        return np.array([self.subject.mask], np.int16)

    @property
    def name(self) -> str:
        """What is searched for, as it can be typed: a class label, or pitch classes."""
        if isinstance(self.subject, SetClass):
            return self.subject.label
        return " ".join(str(pc) for pc in self.subject.pcs)


def _subject(what: object) -> PcSet | SetClass:
    read = read_set(what) if isinstance(what, str) else what
    if not isinstance(read, SetClass | SetFacts):
        raise InputError(
            f"{what!r} is no set.", value=what, suggestion="Give a set, a class, or a text such as 4-19 or C E Ab B."
        )
    subject = read if isinstance(read, SetClass) else read.pcset
    if not subject.mask:
        raise InputError("The empty set is found nowhere and everywhere.", value=what, suggestion="Give some notes.")
    return subject


def _kinds(kinds: str | Iterable[str]) -> tuple[str, ...]:
    asked = (kinds,) if isinstance(kinds, str) else tuple(kinds)
    for kind in asked:
        if kind not in KINDS:
            raise InputError(
                f"There is no kind of passage {kind!r}.", value=kind, suggestion=f"The kinds are {', '.join(KINDS)}."
            )
    if not asked:
        raise InputError("No kind of passage was named.", value=kinds, suggestion=f"They are {', '.join(KINDS)}.")
    return tuple(kind for kind in KINDS if kind in asked)


def _parts(parts: str | int | Iterable[str | int]) -> tuple[str | int, ...]:
    return (parts,) if isinstance(parts, str | int) else tuple(parts)
