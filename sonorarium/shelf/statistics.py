"""How often each class occurs on a shelf: over all, by composer, by date.

Conventions
-----------
* What is counted is one kind at a time: *slices* (every cut of the time line counts, so a repeated chord counts as
  often as it is struck), or *chords* (neighbouring slices of the same pitch classes are one), *lines* or *textures*
  as `sonorarium.score.search.finding` defines them.
* Time is in quarter notes. Overlapping lines or textures each count their own time.
* Files of equal content are one score and are counted once.
* Composers and dates are told apart as the files spell them.
* Classes that never occur are in the answer, with zeros, where nothing is grouped: what a repertoire leaves unused is
  half of what it says. Silence (the empty set) is not a class here.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.score.search.query import KINDS
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.snapshot import Snapshot

COUNTED = ("slice", *KINDS)
"""Kinds that are counted."""

GROUPS = ("composer", "date")
"""What the count may be divided by."""


@dataclass(frozen=True)
class ClassUse:
    """How often a class occurs.

    Parameters
    ----------
    label : str
    group : str
        Composer or date; "" where nothing is grouped, or the files state none.
    count : int
        How many there are.
    quarters : float
        How long they last together, in quarter notes.
    scores : int
        In how many scores.
    """

    label: str
    group: str = ""
    count: int = 0
    quarters: float = 0.0
    scores: int = 0

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON, with keys that stay the same."""
        return asdict(self)


def class_use(
    shelf: Shelf,
    *,
    kind: str = "slice",
    by: Literal["composer", "date"] | None = None,
    inversion: bool = True,
) -> tuple[ClassUse, ...]:
    """Count every class.

    Parameters
    ----------
    shelf : Shelf
    kind : {"slice", "chord", "line", "texture"}
    by : {"composer", "date"}, optional
        Count for each of them apart.
    inversion : bool
        Whether a class and its inversion are one (223 classes) or two (351).

    Returns
    -------
    tuple of ClassUse
        By group, then in the order of the catalogue.

    Raises
    ------
    InputError
        Where there is no such kind or group.
    DamagedError
        Where a table of the shelf is damaged.
    """
    for given, known, name in ((kind, COUNTED, "kind"), (by or GROUPS[0], GROUPS, "group")):
        if given not in known:
            raise InputError(f"There is no {name} {given!r} to count by.", value=given, suggestion=_listed(known))
    label = "rtrim(label, 'AB')" if inversion else "label"
    sql = (
        f"SELECT {label} AS of, {by or repr('')} AS for_whom, sum(count)::BIGINT, "
        "sum(ticks::DOUBLE / ticks_per_quarter), count(DISTINCT score) "
        "FROM counts JOIN scores USING (score) WHERE kind = ? GROUP BY ALL"
    )
    found = shelf.ask(lambda snapshot: _rows(snapshot, sql, kind))
    labels = (catalogue.tni_labels() if inversion else catalogue.tn_labels())[1:]
    if by is None:
        by_label = {use.label: use for use in found}
        return tuple(by_label.get(label, ClassUse(label)) for label in labels)
    order = {label: place for place, label in enumerate(labels)}
    return tuple(sorted(found, key=lambda use: (use.group, order[use.label])))


def slices_by_set(shelf: Shelf) -> NDArray[np.int64]:
    """Count the slices of each set, from the table of slices itself.

    Parameters
    ----------
    shelf : Shelf

    Returns
    -------
    ndarray, shape (4096,), int64
        By mask; the first for silence.

    Raises
    ------
    DamagedError
        Where a table of the shelf is damaged.
    """
    return shelf.ask(_count_slices)


def _count_slices(snapshot: Snapshot) -> NDArray[np.int64]:
    counts = np.zeros(tables.SETS, np.int64)
    for batch in snapshot.holding():
        table = batch.table("slices", ["score", "mask"])
        live = snapshot.is_live[table.column("score").to_numpy()]
        counts += np.bincount(table.column("mask").to_numpy()[live], minlength=tables.SETS)
    return counts


def _rows(snapshot: Snapshot, sql: str, kind: str) -> list[ClassUse]:
    return [ClassUse(*row) for row in snapshot.rows(sql, [kind])] if snapshot.scores else []


def _listed(known: tuple[str, ...]) -> str:
    return f"Choose one of {', '.join(known)}."
