"""The atlas: what a repertoire uses, what it hardly uses, and what it leaves unused, the best sounding first.

Every set class stands in one of three lists. *Used*: it occurs in two scores or more. *Hardly used*: in one score
alone. *Unused*: nowhere. What is used is in the order of how often it occurs. The other two are places to go to, so
they are in the order of how well their intervals blend (`sonorarium.pcs.consonance.dyadic_consonances`, a sum over
the intervals, so it ranks best among sets of one size); of equals, the less rough comes first (Sethares, in the
closest voicing).
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import asdict, dataclass

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue
from sonorarium.pcs.consonance import dyadic_consonances
from sonorarium.pcs.roughness import closest_roughness
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.statistics import ClassUse, class_use

SIZES = range(1, 13)


@dataclass(frozen=True)
class Sonority:
    """A set class, how much it is used, and how it sounds.

    Parameters
    ----------
    label : str
    size : int
        How many notes it has.
    count : int
        How often it occurs.
    scores : int
        In how many scores.
    consonance : float
        How well its intervals blend, the higher the better; 0 where it has none.
    roughness : float
        Of its prime form in the closest voicing, the lower the smoother.
    """

    label: str
    size: int
    count: int
    scores: int
    consonance: float
    roughness: float


@dataclass(frozen=True)
class Atlas:
    """What a shelf uses and what it leaves unused.

    Parameters
    ----------
    counted : str
        The kind that was counted.
    scores : int
        How many scores there are.
    used, hardly, unused : tuple of Sonority
    """

    counted: str
    scores: int
    used: tuple[Sonority, ...]
    hardly: tuple[Sonority, ...]
    unused: tuple[Sonority, ...]

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON, with keys that stay the same."""
        return asdict(self)


def draw_atlas(shelf: Shelf, *, kind: str = "slice", sizes: Collection[int] = ()) -> Atlas:
    """Sort every set class by its use.

    Parameters
    ----------
    shelf : Shelf
    kind : {"slice", "chord", "line", "texture"}
        What is counted; see `sonorarium.shelf.statistics`.
    sizes : collection of int
        Only classes of so many notes; by default all.

    Returns
    -------
    Atlas

    Raises
    ------
    InputError
        Where there is no such kind or size.
    DamagedError
        Where a table of the shelf is damaged.
    """
    for size in sizes:
        if size not in SIZES:
            raise InputError(f"There are no classes of {size} notes.", value=size, suggestion="Choose 1 to 12.")
    masks = dict(zip(catalogue.tni_labels(), catalogue.tni_masks().tolist(), strict=True))
    every = [_sonority(use, masks[use.label]) for use in class_use(shelf, kind=kind)]
    chosen = [one for one in every if not sizes or one.size in sizes]
    sounding = sorted(chosen, key=lambda one: (-round(one.consonance, 6), one.roughness))
    return Atlas(
        kind,
        len(shelf.snapshot().scores),
        tuple(sorted((one for one in chosen if one.scores > 1), key=lambda one: -one.count)),
        tuple(one for one in sounding if one.scores == 1),
        tuple(one for one in sounding if not one.scores),
    )


def _sonority(use: ClassUse, mask: int) -> Sonority:
    blend = float(dyadic_consonances()[mask])
    rough = float(closest_roughness()[mask])
    return Sonority(use.label, mask.bit_count(), use.count, use.scores, blend, rough)
