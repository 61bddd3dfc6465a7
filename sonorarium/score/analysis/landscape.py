"""The landscape of a piece: every contiguous segment, at every time scale, with its set class.

Conventions
-----------
* A **segment** runs from the beginning of one slice to the end of the same or a later one. A piece of n slices has
  n(n + 1)/2 of them. Its set is all that sounds in it, its class the class of that set under transposition and
  inversion, by its place in `sonorarium.pcs.catalogue`. Segments in which nothing sounds are of the empty class.
* Segments are kept by length: first all of one slice, then all of two, and so on, each row by where it begins.
* Long pieces have more segments than can be kept. Then so many neighbouring slices are first made one that no more
  than `MOST_SLICES` are left, and `Landscape.merged` says how many were.
* A **class vector** says how much of a piece each class makes up, in one of three ways. *segments*: its share of all
  segments. *area*: the chance that a segment whose beginning and end are picked anywhere in time is of the class, so
  that long slices count for more. *coverage*: the share of the time that lies in at least one segment of the class;
  these add up to more than 1.
* **Likeness** to a chosen set: the notes that two sets share, divided by all notes that either has (Jaccard 1901);
  to a class, the greatest likeness to any of its forms.

Source: Martorell & Gómez, Hierarchical multi-scale set-class analysis, Journal of Mathematics and Music 9 (2015),
who call it a class-scape, and the coverage of classes a class vector; from memory. Segments there are cut by a
window that slides in time; here they are cut by slices, so that none is missed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias, get_args

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.family import Family
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.setclass import SetClass, form_masks
from sonorarium.score.metre import Metre, Place
from sonorarium.score.score import Score
from sonorarium.score.slices import Masks, Ticks, slice_score

MOST_SLICES = 6000
"""Slices that are kept apart; their eighteen million segments take 36 megabytes."""

LIKE_ENOUGH = 0.7
"""Likeness from which a segment is given to a member of a family."""

Measure: TypeAlias = Literal["segments", "area", "coverage"]
"""How a class vector counts."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Segment:
    """One segment of a piece.

    Parameters
    ----------
    first, last : Place
        Where it begins, and where its last slice begins.
    onset, end : int
        Ticks.
    pcset : PcSet
        All that sounds in it.
    """

    first: Place
    last: Place
    onset: int
    end: int
    pcset: PcSet

    @property
    def label(self) -> str:
        """Label of its class under transposition and inversion."""
        return catalogue.tni_labels()[int(catalogue.tni_index()[self.pcset.mask])]

    @property
    def bars(self) -> tuple[str, str]:
        """Printed numbers of its first and last bar."""
        return self.first.bar, self.last.bar

    @property
    def sentence(self) -> str:
        """What it is, in words."""
        one, other = self.bars
        place = f"Bar {one}" if one == other else f"Bars {one}–{other}"
        if not self.pcset.mask:
            return f"{place}: nothing sounds."
        return f"{place}: {self.pcset.label}, the pitch classes {' '.join(map(str, self.pcset.pcs))}."


@dataclass(frozen=True, eq=False)
class Landscape:
    """All segments of a piece.

    Parameters
    ----------
    score : Score
    cuts : ndarray, shape (n + 1,), int64
        Ticks at which the slices begin and end.
    masks : ndarray, shape (n (n + 1) / 2,), int16
        Set of each segment, by length, then by where it begins.
    merged : int
        So many neighbouring slices were made one; 1 where none were.
    """

    score: Score
    cuts: Ticks
    masks: Masks
    merged: int = 1

    def __len__(self) -> int:
        return len(self.masks)

    @property
    def slices(self) -> int:
        """Number of slices."""
        return len(self.cuts) - 1

    @cached_property
    def classes(self) -> NDArray[np.int16]:
        """Class of each segment, by its place among the 224 of the catalogue: shape (segments,)."""
        return catalogue.tni_index()[self.masks]

    def place(self, first: int, last: int) -> int:
        """Place in the tables of the segment from one slice to another, both included.

        Raises `InputError` where there is no such segment.
        """
        if not 0 <= first <= last < self.slices:
            raise InputError(
                f"There is no segment from slice {first} to slice {last}.",
                value=(first, last),
                suggestion=f"Slices run from 0 to {self.slices - 1}, the first before the last.",
            )
        return int(row_start(self.slices, last - first)) + first

    def row(self, length: int) -> Masks:
        """Sets of all segments of so many slices, by where they begin; raises `InputError` where there are none."""
        start = self.place(0, length - 1)
        return self.masks[start : start + self.slices - length + 1]

    def segment(self, onset: int, end: int) -> Segment:
        """The smallest segment that holds all the time between two ticks.

        Parameters
        ----------
        onset, end : int
            Ticks; what lies outside the piece is left out.

        Raises
        ------
        InputError
            Where the piece is empty, or the end does not lie after the onset.
        """
        if not self.slices or end <= onset:
            raise InputError(
                f"From tick {onset} to tick {end} there is no segment.",
                value=(onset, end),
                suggestion="Its end has to lie after its onset, and the piece has to have notes or bars.",
            )
        first, last = self._slices_between(np.array([onset]), np.array([end]))
        return self._written(int(first[0]), int(last[0]))

    def around(self, middle: float, length: float) -> Segment:
        """The segment that an image shows at a point: of so many ticks, around a tick; see `segment`."""
        onset = round(middle - length / 2)
        return self.segment(onset, max(onset + 1, round(middle + length / 2)))

    def _slices_between(self, onsets: Ticks | Floats, ends: Ticks | Floats) -> tuple[Ticks, Ticks]:
        top = self.slices - 1
        first = np.clip(np.searchsorted(self.cuts, onsets, side="right") - 1, 0, top)
        last = np.clip(np.searchsorted(self.cuts, ends, side="left") - 1, 0, top)
        return first, np.maximum(first, last)

    def _written(self, first: int, last: int) -> Segment:
        metre, onset, end = Metre(self.score), int(self.cuts[first]), int(self.cuts[last + 1])
        mask = int(self.masks[self.place(first, last)])
        return Segment(metre.place(onset), metre.place(int(self.cuts[last])), onset, end, PcSet.of_mask(mask))

    def grid(self, columns: int, rows: int) -> NDArray[np.int16]:
        """Sets at the points of an image: shape (rows, columns), -1 where no segment fits.

        Columns divide the time of the piece, rows the length of segments, the shortest at the bottom and the whole
        piece at the top. Each point is the middle of a segment of its length, so the image is a triangle.
        """
        whole = float(self.cuts[-1]) if self.slices else 0.0
        out = np.full((rows, columns), -1, np.int16)
        if not whole:
            return out
        middle = (np.arange(columns) + 0.5) / columns * whole
        length = ((rows - np.arange(rows) - 0.5) / rows * whole)[:, None]
        onset, end = middle - length / 2, middle + length / 2
        fits = (onset >= 0) & (end <= whole)
        first, last = self._slices_between(onset[fits], end[fits])
        out[fits] = self.masks[row_start(self.slices, last - first) + first]
        return out

    def class_vector(self, by: Measure = "segments") -> Floats:
        """How much of the piece each class makes up: shape (224,), in the order of the catalogue.

        Parameters
        ----------
        by : {"segments", "area", "coverage"}
            See the head of this module.

        Raises
        ------
        InputError
            Where ``by`` is none of these.
        """
        if by not in get_args(Measure):
            raise InputError(
                f"A class vector cannot be counted by {by!r}.",
                value=by,
                suggestion=f"Choose one of: {', '.join(get_args(Measure))}.",
            )
        if not self.slices:
            return np.zeros(224)
        if by == "coverage":
            return np.asarray(self.class_matrix @ np.diff(self.cuts) / self.cuts[-1], np.float64)
        weights = self._areas() if by == "area" else None
        counted = np.bincount(self.classes, weights, minlength=224).astype(float)
        return np.asarray(counted / counted.sum(), np.float64)

    def _areas(self) -> Floats:
        """How many pairs of moments each segment stands for: the length of its first slice times that of its last."""
        long = np.diff(self.cuts).astype(float)
        rows = [long[: self.slices - k] * long[k:] for k in range(self.slices)]
        rows[0] = rows[0] / 2  # of two moments in one slice either may come first
        return np.concatenate(rows)

    @cached_property
    def class_matrix(self) -> NDArray[np.bool_]:
        """Whether each slice lies in at least one segment of each class: shape (224, slices)."""
        reach = np.zeros(
            (224, self.slices), np.int64
        )  # one past the last slice of the longest segment that begins here
        start = 0
        for length in range(1, self.slices + 1):
            row = self.classes[start : start + self.slices - length + 1]
            begins = np.arange(len(row))
            reach[row, begins] = begins + length
            start += len(row)
        return np.asarray(np.maximum.accumulate(reach, axis=1) > np.arange(self.slices))


def row_start(slices: int, longer: NDArray[np.int64] | int) -> NDArray[np.int64]:
    """Place in the tables at which the segments begin that are so many slices longer than one.

    >>> row_start(4, np.arange(4)).tolist()
    [0, 4, 7, 9]
    """
    longer = np.asarray(longer, np.int64)
    return longer * slices - longer * (longer - 1) // 2


def landscape(score: Score, parts: Iterable[str | int] = (), *, most_slices: int = MOST_SLICES) -> Landscape:
    """Take in every segment of a piece.

    Parameters
    ----------
    score : Score
    parts : iterable of str or int
        Parts to look at, by printed name or index; empty for all.
    most_slices : int
        Where the piece has more slices, neighbours are made one.

    Returns
    -------
    Landscape

    Raises
    ------
    InputError
        Where the score has no such part.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE
    >>> notes, bars = np.zeros(4, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["pitch"] = np.arange(4), 1, (60, 64, 67, 70)
    >>> scape = landscape(Score(notes, bars, (), ticks_per_quarter=1))
    >>> len(scape), scape.segment(0, 4).label, scape.segment(1, 4).sentence
    (10, '4-27', 'Bar 1: 3-10, the pitch classes 4 7 10.')
    """
    slices = slice_score(score, tuple(parts))
    merged = max(1, -(-len(slices) // most_slices))
    starts = np.arange(0, len(slices), merged)
    cuts = np.append(slices.onsets[starts], slices.cuts[-1:]) if len(starts) else slices.cuts
    masks = np.bitwise_or.reduceat(slices.masks, starts) if len(starts) else slices.masks
    return Landscape(score, cuts, _all_segments(masks), merged)


def _all_segments(masks: Masks) -> Masks:
    """Sets of all segments: each row is the row before, with the next slice taken in."""
    n = len(masks)
    out = np.empty(n * (n + 1) // 2, np.int16)
    row, start = masks, 0
    for longer in range(n):
        if longer:
            row = out[start : start + n - longer]
            np.bitwise_or(out[start - n + longer - 1 : start - 1], masks[longer:], out=row)
        else:
            out[:n] = masks
        start += n - longer
    return out


def likeness(what: SetFacts | SetClass) -> Floats:
    """Likeness of every set to a set, or to a class: shape (4096,), 0 to 1.

    >>> table = likeness(PcSet((0, 2, 4, 7, 9)))
    >>> [round(float(table[PcSet(s).mask]), 2) for s in ((0, 2, 4, 7, 9), (0, 4, 7), (0, 4, 8))]
    [1.0, 0.6, 0.33]
    """
    masks = np.asarray(form_masks(what), np.int64) if isinstance(what, SetClass) else np.array([what.mask])
    every = np.arange(tables.SETS)[:, None]
    shared, either = tables.size()[every & masks].astype(float), tables.size()[every | masks]
    return np.asarray((shared / np.maximum(either, 1)).max(axis=1), np.float64)


def fitting_members(family: Family) -> NDArray[np.int64]:
    """For every set the one member of a family to which it belongs: shape (4096,); -1 where there is none.

    A set belongs to a member that holds it and is at least `LIKE_ENOUGH` like it, so that a note or two may be
    missing. Where several are as like it as each other, none is chosen, since the set does not tell them apart.

    >>> from sonorarium.pcs.families import default_family
    >>> family = default_family()
    >>> found = fitting_members(family)[[PcSet((0, 4, 5, 7, 9, 11)).mask, PcSet((0, 2, 4, 7, 9)).mask]]
    >>> str(family.members[found[0]]), int(found[1])  # D is missing; and the notes of three diatonic scales
    ('C diatonic', -1)
    """
    every = np.arange(tables.SETS)[:, None]
    like = np.where(every & ~family.masks == 0, tables.size()[every] / tables.size()[family.masks], 0.0)
    best = like.max(axis=1)
    alone = (like >= best[:, None] - 1e-9).sum(axis=1) == 1
    return np.where((best >= LIKE_ENOUGH) & alone, like.argmax(axis=1), -1)
