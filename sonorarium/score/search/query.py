"""What is searched for in a score, and how.

A query names a set, or a class of sets whose forms are all searched for: up to 24 for a class under transposition
and inversion (``4-19``), up to 12 for one under transposition alone (``4-19A``). What the kinds of passage mean is
said in `sonorarium.score.search.finding`; what the further options mean, in `sonorarium.score.search.limits` (length,
bars, bass, top), `sonorarium.score.search.nearness` (near matches), `sonorarium.score.search.material` (struck notes)
and `sonorarium.score.search.listing` (order, repeats).

A chord is exactly its set, unless ``extra`` lets it hold so many other pitch classes besides: then it is a slice, or
neighbouring slices merged, each of which holds all of the set and at most so many others.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal, TypeAlias, get_args

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.score.search.limits import UNLIMITED, Limits
from sonorarium.score.search.listing import BEST_FIRST, Listing
from sonorarium.score.search.nearness import EXACTLY, Near, searched_forms
from sonorarium.score.slices import Masks

Under: TypeAlias = Literal["literal", "Tn", "TnI"]
"""What counts as the same set: itself alone, what transposition makes of it, or inversion too."""

UNDER: tuple[Under, ...] = get_args(Under)

ANY_EXTRA = 12
"""So many other pitch classes are as many as there may be."""

Kind: TypeAlias = Literal["chord", "line", "texture"]
"""A kind of passage."""

KINDS: tuple[Kind, ...] = get_args(Kind)
"""All kinds, in the order in which equal passages are listed."""


@dataclass(frozen=True)
class Query:
    """What is searched for. `Query.of` makes one of what a person types.

    Parameters
    ----------
    subject : PcSet or SetClass
        The set, or the class of which every form is searched for.
    kinds : tuple of {"chord", "line", "texture"}
        Kinds of passage, in this order.
    parts : tuple of str or int
        Parts to look at, by printed name or index from 0; empty for all.
    tolerance : Fraction
        Largest share of a line's or a texture's sounding time that may be foreign, 0 to less than 1, in thousandths.
        Chords have none.
    least_notes : int
        A passage has at least so many notes.
    least_quarters : Fraction
        A passage is at least so many quarter notes long.
    extra : int
        So many other pitch classes a chord may hold besides the set; `ANY_EXTRA` for any number.
    struck : bool
        Whether notes of chords and textures count only where they are struck, not where they are held.
    near : Near
        How near to the subject a set must be.
    limits : Limits
        Length, bars, bass, top.
    listing : Listing
        How passages are listed.

    Raises
    ------
    InputError
        Where an option has no meaning.
    """

    subject: PcSet | SetClass
    kinds: tuple[Kind, ...] = KINDS
    parts: tuple[str | int, ...] = ()
    tolerance: Fraction = Fraction(0)
    least_notes: int = 1
    least_quarters: Fraction = Fraction(0)
    extra: int = 0
    struck: bool = False
    near: Near = EXACTLY
    limits: Limits = UNLIMITED
    listing: Listing = BEST_FIRST

    def __post_init__(self) -> None:
        _check_subject(self.subject)
        _check_kinds(self.kinds)
        if not 0 <= self.tolerance < 1:
            raise InputError(
                f"A tolerance of {float(self.tolerance):g} has no meaning.",
                value=self.tolerance,
                suggestion="It is the share of the time that may be foreign, from 0 to less than 1: try 0.1.",
            )
        if 1000 % self.tolerance.denominator:
            raise InputError("A tolerance is given in thousandths.", value=self.tolerance, suggestion="Try 0.05.")
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
        _check_longest(self.least_quarters, self.limits.most_quarters)
        _check_chords(self)
        if self.near.likeness is not None and isinstance(self.subject, PcSet):
            raise InputError(
                "Likeness is a matter of classes, and a set was given.",
                value=self.subject,
                suggestion="Search under transposition and inversion (TnI), or by semitones.",
            )

    @classmethod
    def of(
        cls,
        what: str | SetFacts | SetClass,
        *,
        kind: str | Iterable[str] | None = None,
        parts: Iterable[str | int] = (),
        tolerance: Fraction | float = 0,
        least_notes: int = 1,
        least_quarters: Fraction | float = 0,
    ) -> Query:
        """Make a query of what a person types.

        Parameters
        ----------
        what : str, PcSet, Collection, SetClass or another set
            A text is read as `sonorarium.pcs.reading.read_set` reads it; of any set its pitch classes count.
        kind : str or iterable of str, optional
            Kinds of passage; all three by default.
        parts : iterable of str or int
            Parts to look at; empty for all.
        tolerance : Fraction or float
            Rounded to thousandths.
        least_notes, least_quarters : int, Fraction or float
            Least size.

        Returns
        -------
        Query

        Raises
        ------
        InputError
            Where the text is not understood, or an option has no meaning.

        Examples
        --------
        >>> query = Query.of("4-19b", kind="texture", tolerance=0.05)
        >>> query.subject, query.kinds, query.tolerance
        (SetClass('4-19B'), ('texture',), Fraction(1, 20))
        """
        read = read_set(what) if isinstance(what, str) else what
        asked = (kind,) if isinstance(kind, str) else KINDS if kind is None else tuple(kind)
        unknown = [one for one in asked if one not in KINDS]
        return cls(
            read.pcset if isinstance(read, SetFacts) else read,
            (*(one for one in KINDS if one in asked), *unknown),  # type: ignore[arg-type]  # refused by name
            (parts,) if isinstance(parts, str) else tuple(parts),
            Fraction(round(tolerance * 1000), 1000),
            least_notes,
            Fraction(least_quarters),
        )

    def under(self, what: str) -> Query:
        """The same query for what transposition, or inversion too, makes of its set.

        Parameters
        ----------
        what : {"literal", "Tn", "TnI"}

        Returns
        -------
        Query

        Raises
        ------
        InputError
            Where a class is to be searched for more narrowly than it was given.

        Examples
        --------
        >>> query = Query.of("C E Ab B")
        >>> query.under("Tn").subject, query.under("TnI").subject
        (SetClass('4-19B'), SetClass('4-19'))
        """
        if what not in UNDER:
            raise InputError(
                f"Nothing is searched for under {what!r}.", value=what, suggestion=f"Choose {', '.join(UNDER)}."
            )
        subject = self.subject
        given = UNDER.index("literal" if isinstance(subject, PcSet) else "Tn" if subject.letter else "TnI")
        if UNDER.index(what) < given:
            raise InputError(
                f"{self.name} is a class, which leaves open what {what} would ask for.",
                value=what,
                suggestion="Give a set by its notes, or a class with its letter and a place: 4-19A on C.",
            )
        if what == "TnI":
            return replace(self, subject=subject.tni if isinstance(subject, SetClass) else subject.set_class)
        if what == "Tn" and isinstance(subject, PcSet):
            return replace(self, subject=subject.tn_class)
        return self

    @property
    def forms(self) -> Masks:
        """Every set searched for, as masks, near ones too: shape (n,), int16, ascending."""
        return searched_forms(self.subject, self.near)

    @property
    def name(self) -> str:
        """What is searched for, as it can be typed: a class label, or pitch classes."""
        if isinstance(self.subject, SetClass):
            return self.subject.label
        return " ".join(str(pc) for pc in self.subject.pcs)


def _check_subject(subject: object) -> None:
    if not isinstance(subject, SetClass | PcSet):
        raise InputError(
            f"{subject!r} is no set.",
            value=subject,
            suggestion="Give a set, a class, or a text such as 4-19 or C E Ab B.",
        )
    if not subject.mask:
        raise InputError(
            "The empty set is found nowhere and everywhere.", value=subject, suggestion="Give some notes."
        )


def _check_longest(least: Fraction, most: Fraction | None) -> None:
    if most is not None and most < least:
        raise InputError(
            f"Nothing is at least {least} and at most {most} quarters long.",
            value=(least, most),
            suggestion="Give the smaller number as the shortest.",
        )


def _check_chords(query: Query) -> None:
    """Refuse options that would change nothing in any of the kinds."""
    if not 0 <= query.extra <= ANY_EXTRA:
        raise InputError(
            f"A chord cannot hold {query.extra} others besides.",
            value=query.extra,
            suggestion=f"Give 0 to {ANY_EXTRA}.",
        )
    if query.extra and "chord" not in query.kinds:
        raise InputError(
            "Only a chord may hold others besides.",
            value=query.extra,
            suggestion="Search for chords, or give lines and textures a tolerance.",
        )
    if query.struck and query.kinds == ("line",):
        raise InputError(
            "A line is made of notes as they are struck, so asking for struck notes changes nothing.",
            value=query.kinds,
            suggestion="Search for chords or textures, or leave it out.",
        )


def _check_kinds(kinds: tuple[str, ...]) -> None:
    for kind in kinds:
        if kind not in KINDS:
            raise InputError(
                f"There is no kind of passage {kind!r}.", value=kind, suggestion=f"The kinds are {', '.join(KINDS)}."
            )
    if not kinds or list(kinds) != [kind for kind in KINDS if kind in kinds]:
        raise InputError(
            "Kinds of passage are given once each, in order.", value=kinds, suggestion=f"They are {', '.join(KINDS)}."
        )
