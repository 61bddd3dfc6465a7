"""Repeats: the same passage again in its piece.

A passage is a **repeat** of another of the same kind where the same pitches sound at the same distances from its
onset and for the same times, as far as they sound within it, and the set shown is the same. In which parts they
sound, and where in the bar, does not matter. It is a **transposed** repeat where all of its pitches, and with them
the set, lie the same number of semitones higher or lower; at an octave's distance too.

Repeats are folded into the passage that comes first in the order of the listing. Transposed ones remain passages of
their own and are named beside it. Only places that the search found are told: a transposed repeat of one literal set
shows another set, and is found where a class was asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.score.search.occurrences import Occurrences
from sonorarium.score.search.passage import Elsewhere
from sonorarium.score.slices import part_name

Indices = NDArray[np.intp]


class Found(NamedTuple):
    """Occurrences of several kinds in one row.

    Parameters
    ----------
    by_kind : sequence of Occurrences
    kind : ndarray of int
        Which of them each row is from.
    place : ndarray of int
        Its index there.
    """

    by_kind: Sequence[Occurrences]
    kind: Indices
    place: Indices


@dataclass(frozen=True)
class Repeats:
    """Rows that are repeats of each other.

    Parameters
    ----------
    group : list of int
        For each row the number of its group: rows of one group are repeats of each other.
    members : list of list of int
        Rows of each group, in the order of the piece.
    kin : list of list of (int, int)
        For each group the other groups that are its transpositions, with how many semitones higher they are.
    """

    group: list[int]
    members: list[list[int]]
    kin: list[list[tuple[int, int]]]

    @property
    def count(self) -> int:
        """How many different passages there are."""
        return len(self.members)


def find_repeats(found: Found) -> Repeats:
    """Group the rows that are repeats of each other.

    Parameters
    ----------
    found : Found

    Returns
    -------
    Repeats
    """
    group = [-1] * len(found.kind)
    members: list[list[int]] = []
    kin: list[list[tuple[int, int]]] = []
    for rows in _alike(found):
        sounding: dict[tuple[int, bytes], dict[int, int]] = {}  # content from its lowest pitch -> pitch -> group
        for row in rows:
            content, lowest = _content(found, row) if len(rows) > 1 else ((0, b""), 0)
            at_pitch = sounding.setdefault(content, {})
            if lowest not in at_pitch:
                at_pitch[lowest] = len(members)
                members.append([])
            group[row] = at_pitch[lowest]
            members[group[row]].append(row)
        kin += [[]] * (len(members) - len(kin))
        for at_pitch in sounding.values():
            for pitch, one in at_pitch.items():
                kin[one] = [(other, higher - pitch) for higher, other in sorted(at_pitch.items()) if other != one]
    return Repeats(group, members, kin)


def elsewhere(found: Found, row: int, semitones: int = 0) -> Elsewhere:
    """Name the place of a row."""
    one, place = found.by_kind[int(found.kind[row])], int(found.place[row])
    score = one.material.score
    parts = sorted(set(score.notes["part"][one.rows(place)].tolist()))
    extent = one.stretch(one.runs.first[place], one.runs.last[place])
    return Elsewhere(extent, tuple(part_name(score, part) for part in parts), semitones)


def _alike(found: Found) -> list[list[int]]:
    """Rows of one kind, one length and one class, which alone can be repeats; each list in the order of the piece."""
    if not len(found.kind):
        return []
    length = np.concatenate([one.end - one.onset for one in found.by_kind])
    family = tables.tn_prime()[np.concatenate([one.form for one in found.by_kind])]
    onset = np.concatenate([one.onset for one in found.by_kind])
    order = np.lexsort((found.place, onset, family, length, found.kind))
    new = np.zeros(len(order), bool)
    for column in (found.kind, length, family):
        new[1:] |= np.diff(column[order]) != 0
    return [rows.tolist() for rows in np.split(order, np.flatnonzero(new))]


def _content(found: Found, row: int) -> tuple[tuple[int, bytes], int]:
    """What sounds in a row: the set and the notes counted from the lowest pitch, and that pitch."""
    one, place = found.by_kind[int(found.kind[row])], int(found.place[row])
    score = one.material.slices.score if one.item_rows is None else one.material.clipped
    notes = score.notes[one.rows(place)]
    onset, end = int(one.onset[place]), int(one.end[place])
    begins = np.maximum(notes["onset"], onset) - onset
    stops = np.minimum(notes["onset"] + notes["duration"], end) - onset
    pitches = notes["pitch"].astype(np.int64)
    lowest = int(pitches.min())
    table = np.stack([begins, pitches - lowest, stops], axis=1)
    table = table[np.lexsort((stops, pitches, begins))]
    moved = int(tables.transposed()[-lowest % 12, one.form[place]])
    return (moved, table.tobytes()), lowest
