"""What a scale has that its sisters have not: its subset classes, and which sister scales hold each.

This is the heart of a lesson on a scale. One row for each class of subset says how often the scale holds it and how
often each sister does; a row that no sister shares is marked *only here*.

Conventions
-----------
* The sisters of a member of a family are the family's other kinds. A scale outside the family has all of its kinds
  for sisters, so the double harmonic can be held against the scales without consecutive semitones.
* Under transposition and inversion (the rule unless ``tn`` is asked for) a scale and its mirror hold the same
  classes: nothing in the harmonic minor is then absent from the harmonic major. To look past the mirror, count under
  transposition alone, or lay it aside.
* Only proper subsets are listed, of two notes or more unless sizes are asked for.

Counts are look-ups in `sonorarium.pcs.catalogue`; places are those of `sonorarium.pcs.insides`.
"""

from __future__ import annotations

from collections.abc import Collection as Several
from collections.abc import Iterable
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Family, FamilyKind, Member
from sonorarium.pcs.familyrule import times_held
from sonorarium.pcs.insides import Inside, Source, insides, settle
from sonorarium.pcs.setclass import SetClass


@dataclass(frozen=True)
class SisterRow:
    """One class of subset, held against the sisters.

    Parameters
    ----------
    inside : Inside
        The class, with its places in the scale.
    sisters : tuple of str
        Names of the sister kinds, the same in every row.
    counts : tuple of int
        How often each sister holds the class.
    """

    inside: Inside
    sisters: tuple[str, ...]
    counts: tuple[int, ...]

    @property
    def set_class(self) -> SetClass:
        """The class."""
        return self.inside.set_class

    @property
    def times(self) -> int:
        """How often the scale itself holds it."""
        return self.inside.times

    @property
    def also_in(self) -> tuple[str, ...]:
        """Names of the sisters that hold it too."""
        return tuple(name for name, count in zip(self.sisters, self.counts, strict=True) if count)

    @property
    def only_here(self) -> bool:
        """Whether no sister holds it."""
        return not any(self.counts)


@dataclass(frozen=True)
class SizeTotal:
    """The rows of one size, added up.

    Parameters
    ----------
    size : int
        Number of notes.
    classes : int
        Different classes of this size in the scale.
    subsets : int
        Subsets of this size in the scale.
    only_here : int
        Classes that no sister holds.
    shared : tuple of int
        Classes that each sister holds too, in the order of the sisters.
    """

    size: int
    classes: int
    subsets: int
    only_here: int
    shared: tuple[int, ...]


@dataclass(frozen=True)
class SisterTable:
    """A scale against its sisters.

    Parameters
    ----------
    title : str
        The scale, as it is headed.
    family : str
        Name of the family.
    sisters : tuple of str
        Names of the kinds it is held against.
    rows : tuple of SisterRow
        In catalogue order.
    totals : tuple of SizeTotal
        One for each size.
    """

    title: str
    family: str
    sisters: tuple[str, ...]
    rows: tuple[SisterRow, ...]
    totals: tuple[SizeTotal, ...]

    @property
    def only_here(self) -> tuple[SisterRow, ...]:
        """Rows that no sister shares."""
        return tuple(row for row in self.rows if row.only_here)

    def shared_with(self, *names: str) -> tuple[SisterRow, ...]:
        """Rows shared with exactly these sisters and no other.

        Raises `InputError` where one of them is no sister.

        >>> table = sisters("D double harmonic", sizes=[5])
        >>> [str(row.set_class) for row in table.shared_with("harmonic minor", "harmonic major")]
        ['5-Z18', '5-22']
        """
        for name in names:
            _known(name, self.sisters)
        return tuple(row for row in self.rows if set(row.also_in) == set(names))

    @property
    def groups(self) -> dict[tuple[str, ...], tuple[SetClass, ...]]:
        """Classes by the sisters that share them; those found only here stand under the empty tuple."""
        found: dict[tuple[str, ...], list[SetClass]] = {}
        for row in self.rows:
            found.setdefault(row.also_in, []).append(row.set_class)
        return {names: tuple(classes) for names, classes in sorted(found.items(), key=lambda g: len(g[0]))}


def sisters(
    source: Source | Member,
    family: Family | None = None,
    *,
    sizes: Iterable[int] | None = None,
    tn: bool = False,
    aside: Several[str] = (),
) -> SisterTable:
    """Hold a scale against the kinds of a family, class of subset by class of subset.

    Parameters
    ----------
    source : str, PcSet, SetClass, Collection, Subject or Member
        The scale.
    family : Family, optional
        By default the scales without consecutive semitones.
    sizes : iterable of int, optional
        Numbers of notes; by default 2 to one less than the scale has.
    tn : bool
        Count a class and its mirror apart.
    aside : collection of str
        Names of kinds that are not to count as sisters.

    Returns
    -------
    SisterTable

    Raises
    ------
    InputError
        Where a text is not understood, or the family has no kind of a name laid aside.

    Examples
    --------
    >>> table = sisters("D double harmonic", sizes=[5])
    >>> for row in table.rows[:3]:
    ...     print(row.set_class, row.times, ", ".join(row.also_in) or "only here")
    5-6 2 only here
    5-15 1 only here
    5-16 2 harmonic minor, harmonic major, octatonic
    >>> table.totals[0].classes, table.totals[0].only_here, table.totals[0].subsets
    (12, 4, 21)
    """
    scale = settle(source.subject if isinstance(source, Member) else source)
    family = default_family() if family is None else family
    for name in aside:
        _known(name, tuple(kind.name for kind in family.kinds))
    kinds = [k for k in family.kinds if k.label != scale.pcset.label and k.name not in aside]
    names = tuple(kind.name for kind in kinds)
    size = len(scale.notes)
    found = insides(scale, sizes=range(2, max(size, 2)) if sizes is None else sizes, tn=tn)
    rows = tuple(SisterRow(inside, names, _counts(inside.set_class, kinds)) for inside in found)
    return SisterTable(scale.title, family.name, names, rows, _totals(rows))


def _known(name: str, names: tuple[str, ...]) -> None:
    if name not in names:
        raise InputError(
            f"{name!r} is no sister here.", value=name, suggestion=f"The sisters are: {', '.join(names)}."
        )


def _counts(set_class: SetClass, kinds: list[FamilyKind]) -> tuple[int, ...]:
    held = times_held(set_class)
    return tuple(int(held[kind.pcset.mask]) for kind in kinds)


def _totals(rows: tuple[SisterRow, ...]) -> tuple[SizeTotal, ...]:
    by_size: dict[int, list[SisterRow]] = {}
    for row in rows:
        by_size.setdefault(row.set_class.cardinality, []).append(row)
    return tuple(
        SizeTotal(
            size,
            len(of_size),
            sum(row.times for row in of_size),
            sum(row.only_here for row in of_size),
            tuple(sum(map(bool, column)) for column in zip(*(row.counts for row in of_size), strict=True)),
        )
        for size, of_size in by_size.items()
    )
