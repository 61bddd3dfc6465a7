"""Set classes: sets counted as one because transposition, or inversion too, carries them into each other.

A class is known by its label. ``SetClass("4-19")`` is a class under transposition and inversion (TnI);
``SetClass("4-19A")`` and ``SetClass("4-19B")`` are its two halves under transposition alone (Tn). Where a class is
its own mirror, as 5-22 is, the two notions agree and there is one label and one value. Labels as in
`sonorarium.pcs.catalogue`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, total_ordering

import numpy as np

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet


@total_ordering
@dataclass(frozen=True, slots=True)
class SetClass:
    """A class of pitch-class sets.

    Parameters
    ----------
    label : str
        ``4-19`` (TnI), ``4-19A`` (Tn). A missing or needless Z is set right; so is lower case.

    Raises
    ------
    InputError
        Where there is no such class; the sentence names the nearest labels.

    Examples
    --------
    >>> c = SetClass("4-19")
    >>> c.prime_form, c.interval_vector, len(c.forms)
    ((0, 1, 4, 8), (1, 0, 1, 3, 1, 0), 24)
    >>> SetClass("6-z10").partner
    SetClass('6-Z39')
    """

    label: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "label", canonical_label(self.label))

    def __repr__(self) -> str:
        return f"SetClass({self.label!r})"

    def __str__(self) -> str:
        return self.label

    def __lt__(self, other: SetClass) -> bool:
        return self._order < other._order

    @property
    def _order(self) -> tuple[int, int]:
        return int(catalogue.tni_index()[self.mask]), int(catalogue.tn_index()[self.mask]) if self.letter else -1

    @property
    def mask(self) -> int:
        """Its best-packed form from 0, as a 12-bit integer: the prime form, or for a B class its mirror."""
        return catalogue.mask_of_label()[self.label][0]

    @property
    def representative(self) -> PcSet:
        """Its best-packed form from 0."""
        return PcSet.of_mask(self.mask)

    @property
    def letter(self) -> str:
        """``A`` or ``B`` for half of a class that is not its own mirror, else empty."""
        return self.label[-1] if self.label[-1] in "AB" else ""

    @property
    def tni(self) -> SetClass:
        """The class under inversion too: ``4-19`` for ``4-19A``."""
        return SetClass(self.label.rstrip("AB"))

    @property
    def tn_classes(self) -> tuple[SetClass, ...]:
        """The one or two classes under transposition that it is made of."""
        if self.letter or self.is_symmetrical:
            return (self,)
        return SetClass(self.label + "A"), SetClass(self.label + "B")

    @property
    def cardinality(self) -> int:
        """Number of pitch classes in each form."""
        return self.mask.bit_count()

    @property
    def prime_form(self) -> tuple[int, ...]:
        """Prime form by Rahn's rule (1980)."""
        return self.representative.prime_form

    @property
    def prime_form_forte(self) -> tuple[int, ...]:
        """Prime form by Forte's rule (1973)."""
        return self.representative.prime_form_forte

    @property
    def interval_vector(self) -> tuple[int, ...]:
        """Interval-class vector, the same for every form."""
        return self.representative.interval_vector

    @property
    def is_symmetrical(self) -> bool:
        """Whether each form is its own mirror."""
        return self.representative.is_symmetrical

    @property
    def inversion(self) -> SetClass:
        """The class of the mirrored forms; for a TnI class or a symmetrical one, itself."""
        return SetClass(self.label[:-1] + {"A": "B", "B": "A"}[self.letter]) if self.letter else self

    @property
    def partner(self) -> SetClass | None:
        """The other TnI class with the same interval-class vector, or None (Forte's Z relation)."""
        at = int(catalogue.partner()[catalogue.tni_index()[self.mask]])
        return SetClass(catalogue.tni_labels()[at]) if at >= 0 else None

    @property
    def complement(self) -> SetClass:
        """The class of the complements."""
        label = (~self.representative).label
        return SetClass(label) if self.letter else SetClass(label.rstrip("AB"))

    @property
    def distinct_forms(self) -> int:
        """Number of forms: up to 12 for a Tn class, up to 24 for a TnI class."""
        form = self.representative
        return form.distinct_transpositions if self.letter else form.distinct_forms

    def multiplied(self, k: int) -> SetClass:
        """Its TnI class under Mk, k one of 1, 5, 7, 11.

        Raises `InputError` for any other k, under which notes would fall together.

        >>> SetClass("5-1").multiplied(5), SetClass("3-11").multiplied(7)
        (SetClass('5-35'), SetClass('3-3'))
        """
        if k % 12 not in (1, 5, 7, 11):
            raise InputError(f"M{k} does not keep pitch classes apart.", value=k, suggestion="Use 1, 5, 7 or 11.")
        return self.representative.multiplied(k).set_class

    @property
    def forms(self) -> tuple[PcSet, ...]:
        """Every set of the class, by mask: up to 12 for Tn, up to 24 for TnI."""
        return tuple(PcSet.of_mask(int(m)) for m in form_masks(self))

    def __contains__(self, pcset: PcSet) -> bool:
        return pcset.label == self.label if self.letter else pcset.set_class == self

    def count_in(self, pcset: PcSet) -> int:
        """How many subsets of a set belong to this class.

        >>> SetClass("3-11").count_in(PcSet((0, 2, 4, 5, 7, 9, 11)))
        6
        """
        if self.letter:
            return int(catalogue.tn_counts()[pcset.mask, catalogue.tn_index()[self.mask]])
        return int(catalogue.tni_counts()[pcset.mask, catalogue.tni_index()[self.mask]])


@cache
def form_masks(set_class: SetClass) -> tables.Masks:
    """Masks of every form of a class, ascending: shape (number of forms,)."""
    if set_class.letter:
        return np.unique(tables.transposed()[:, set_class.mask])
    both = np.stack([tables.transposed()[:, set_class.mask], tables.inverted()[:, set_class.mask]])
    return np.unique(both)


def canonical_label(text: str) -> str:
    """Set a class label right: Z where it belongs, capitals.

    Raises `InputError` where there is no such class, or where a letter is given to a class that is its own mirror.

    >>> canonical_label("6-10b"), canonical_label(" 4-z29 ")
    ('6-Z10B', '4-Z29')
    """
    known = catalogue.mask_of_label()
    found = re.fullmatch(r"(\d{1,2})-z?(\d{1,2})([ab]?)", text.strip().lower())
    if found:
        size, number, letter = found.groups()
        for label in (f"{size}-{number}", f"{size}-Z{number}"):
            if label + letter.upper() in known:
                return label + letter.upper()
            if label in known:
                raise InputError(
                    f"There is no class {text.strip()}: {label} is its own mirror and has no A and B.",
                    value=text,
                    suggestion=f"Write {label}.",
                )
    raise InputError(f"There is no set class {text.strip()}.", value=text, suggestion=_nearest(text))


def _nearest(text: str) -> str:
    size = re.match(r"\s*(\d{1,2})-", text)
    if size:
        count = sum(label.startswith(size[1] + "-") for label in catalogue.tni_labels())
        if count:
            return f"Classes of {size[1]} notes are numbered 1 to {count}."
    near = get_close_matches(text.strip(), catalogue.tni_labels(), n=3, cutoff=0.5)
    return f"The nearest are {', '.join(near)}." if near else "Labels look like 4-19 or 6-Z10B."
