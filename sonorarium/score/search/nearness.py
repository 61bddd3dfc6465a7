"""Near matches: sets that are almost the one looked for, and what differs.

Two ways of being near, of which a search uses one:

* **By semitones**: the least voice leading from some form of what is looked for to the set found takes no more than
  so many semitones (`sonorarium.pcs.distance`). One semitone moves a note, splits one in two, or merges two in one,
  so the set found may have a note more or less.
* **By likeness**: 1 − ASIM of the two classes is no less than a stated number (`sonorarium.pcs.similarity`; Morris
  1979-80). It sees interval content alone, so it is asked of a class, and partners in the Z relation have likeness 1.

The set itself is always among what is searched for. Near matches come after exact ones, the nearer first, and each is
marked with how near it is and what differs from the nearest form (of equals the one with the smallest mask).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, distance, similarity, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass, form_masks
from sonorarium.pcs.spelling import Spelled, spell_freely, spell_in
from sonorarium.score.slices import Masks

MOST_SEMITONES = 4
"""Beyond this nearly every set is near, and the word means nothing."""


@dataclass(frozen=True)
class Near:
    """How near a set must be; as made without options, it must be the very set.

    Parameters
    ----------
    semitones : int
        Up to so many semitones away, 0 to `MOST_SEMITONES`.
    likeness : Fraction or None
        At least so like, above 0 to 1, in thousandths; None where likeness is not asked.

    Raises
    ------
    InputError
        Where a number has no meaning, or both are asked.
    """

    semitones: int = 0
    likeness: Fraction | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.semitones <= MOST_SEMITONES:
            raise InputError(
                f"Sets within {self.semitones} semitones cannot be searched for.",
                value=self.semitones,
                suggestion=f"Give 0 to {MOST_SEMITONES}.",
            )
        if self.likeness is None:
            return
        if not 0 < self.likeness <= 1 or 1000 % self.likeness.denominator:
            raise InputError(
                f"A likeness of {float(self.likeness):g} has no meaning.",
                value=self.likeness,
                suggestion="It is above 0 and up to 1, in thousandths: try 0.9.",
            )
        if self.semitones:
            raise InputError(
                "Near is by semitones or by likeness, not by both.",
                value=(self.semitones, self.likeness),
                suggestion="Leave one out.",
            )

    @classmethod
    def alike(cls, likeness: Fraction | float) -> Near:
        """Ask for a likeness, rounded to thousandths.

        >>> Near.alike(0.9)
        Near(semitones=0, likeness=Fraction(9, 10))
        """
        return cls(likeness=Fraction(round(likeness * 1000), 1000))

    @property
    def is_exact(self) -> bool:
        """Whether nothing but the set itself is searched for."""
        return not self.semitones and self.likeness is None


EXACTLY = Near()
"""Nothing but the set itself."""


@dataclass(frozen=True)
class Nearness:
    """How near a set that was found is to what was looked for.

    Parameters
    ----------
    to : PcSet or SetClass
        The nearest form of what was looked for; the class, where likeness was asked.
    semitones : int or None
        Semitones of the least voice leading between the two; None where likeness was asked.
    likeness : float or None
        1 − ASIM, to four places; None where semitones were asked.
    difference : str
        In words: ``E♭ for E``; ``F besides``; ``without G``.
    """

    to: PcSet | SetClass
    semitones: int | None
    likeness: float | None
    difference: str

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON; ``to`` as pitch classes, or as the label of a class."""
        return {
            "to": self.to.label if isinstance(self.to, SetClass) else list(self.to.pcs),
            "semitones": self.semitones,
            "likeness": self.likeness,
            "difference": self.difference,
        }


@cache
def own_forms(subject: PcSet | SetClass) -> Masks:
    """Every form of what is looked for: shape (1 to 24,), ascending."""
    masks = form_masks(subject) if isinstance(subject, SetClass) else np.array([subject.mask])
    return tables.frozen(masks.astype(np.int16))


@cache
def farness(subject: PcSet | SetClass, near: Near) -> NDArray[np.float64]:
    """How far each of the 4,096 sets is from what is looked for: shape (4096,).

    0 for its own forms; semitones, or 2 − likeness, for near ones; infinite for those that are not searched for.

    >>> far = farness(PcSet((0, 4, 7)), Near(1))
    >>> [float(far[PcSet(pcs).mask]) for pcs in ((0, 4, 7), (0, 3, 7), (0, 4, 7, 8), (0, 4, 9))]
    [0.0, 1.0, 1.0, inf]
    """
    far = np.full(tables.SETS, np.inf)
    if near.likeness is not None:
        alike = _likenesses(subject)
        near_enough = alike >= float(near.likeness) - 1e-9
        far[near_enough] = 2 - alike[near_enough]
    elif near.semitones:
        semitones = _semitones(subject).min(axis=0)
        near_enough = semitones <= near.semitones
        far[near_enough] = semitones[near_enough]
    far[own_forms(subject)] = 0
    far[0] = np.inf
    return tables.frozen(far)


@cache
def searched_forms(subject: PcSet | SetClass, near: Near) -> Masks:
    """Masks of every set that is searched for, ascending."""
    if near.is_exact:
        return own_forms(subject)
    return tables.frozen(np.flatnonzero(np.isfinite(farness(subject, near))).astype(np.int16))


@cache
def nearness(subject: PcSet | SetClass, near: Near, mask: int) -> Nearness | None:
    """Say how near a set is to what is looked for, and what differs; None for its own forms.

    >>> nearness(SetClass("3-11"), Near(1), PcSet((0, 4, 8)).mask).difference
    'A♭ for G'
    >>> nearness(SetClass("3-11"), Near(1), PcSet((0, 4, 7, 8)).mask).difference
    'A♭ besides'
    """
    if near.is_exact or mask in own_forms(subject):
        return None
    shown = PcSet.of_mask(mask)
    if near.likeness is not None:
        alike = round(float(_likenesses(subject)[mask]), 4)
        name = subject.label
        whole = subject.tni if isinstance(subject, SetClass) else subject.set_class
        return Nearness(whole, None, alike, f"{shown.label} for {name}, likeness {alike:.2f}")
    semitones = _semitones(subject)[:, mask]
    to = PcSet.of_mask(int(own_forms(subject)[semitones.argmin()]))
    return Nearness(to, int(semitones.min()), None, difference(to, shown))


def difference(wanted: PcSet, shown: PcSet) -> str:
    """Say what a set has in place of, besides, or without the notes of another.

    >>> difference(PcSet((0, 4, 7)), PcSet((0, 3, 7))), difference(PcSet((0, 4, 5, 7)), PcSet((0, 4, 7)))
    ('E♭ for E', 'without F')
    """
    gone, new = wanted - shown, shown - wanted
    own = spell_freely(wanted.pcs)
    names = {note.pc: note for note in (*own, *_named(own, new.pcs))}
    pairs: list[tuple[int, int]] = []
    paired: set[int] = set()
    for a, b in distance.least_leading(wanted, shown).voices:
        if a in gone and b in new and not paired & {a, b}:  # one note for one, where two go to one or one to two
            pairs.append((a, b))
            paired |= {a, b}
    said = [f"{names[b].sign} for {names[a].sign}" for a, b in pairs]
    said += [f"{names[pc].sign} besides" for pc in new if pc not in paired]
    said += [f"without {names[pc].sign}" for pc in gone if pc not in paired]
    return ", ".join(said)


def _named(own: tuple[Spelled, ...], pcs: tuple[int, ...]) -> tuple[Spelled, ...]:
    return spell_in(own, pcs) if pcs else ()


@cache
def _semitones(subject: PcSet | SetClass) -> NDArray[np.uint8]:
    """Semitones from each form of what is looked for to every set: shape (forms, 4096)."""
    forms = own_forms(subject).astype(int)
    down = -tables.normal_start()[forms].astype(int) % 12
    rows = distance.set_distances()[catalogue.tn_index()[forms]]
    return tables.frozen(np.take_along_axis(rows, tables.transposed()[down].astype(int), axis=1))


@cache
def _likenesses(subject: PcSet | SetClass) -> NDArray[np.float64]:
    """1 − ASIM of what is looked for and every set: shape (4096,)."""
    row = 1 - similarity.asim()[catalogue.tni_index()[subject.mask]]
    return tables.frozen(row[catalogue.tni_index()])
