"""Runs: longest stretches of a succession that show a set.

A *succession* is a row of items in time, slices or the notes of a voice, each with its pitch classes and its sounding
time. The questions of this module are asked of all forms of a class at once, by array work:

* `longest_runs`: stretches whose pitch classes lie in S and together make up all of S, that cannot be extended on
  either side without taking in a foreign pitch class. Silence does not end them, but is trimmed from their ends.
* `tolerant_runs`: the same where up to a given share of the sounding time may be foreign. The run with the most
  sounding time is taken first (of equals the earliest), then the longest in what is left before it and after it,
  and so on. A run begins and ends with an item that lies in S. With a share of nothing this is `longest_runs`.
* `equal_runs`: neighbouring items that each hold exactly S.
* `holding_runs`: neighbouring items that each hold all of S, and at most so many pitch classes besides.

`tightest` then gives the shortest stretch inside each run in which all of S is heard.

An item may be a *barrier*, which no run crosses: between two voices, or at a long rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.score.slices import Masks, Rows, Ticks

BARRIER = 1 << 12
"""Mask of a barrier: a thirteenth bit, foreign to every set."""

_NEVER = np.iinfo(np.int64).max


class Runs(NamedTuple):
    """Stretches of a succession, sorted by form, then by place: three arrays of one length.

    Parameters
    ----------
    form : ndarray of int16
        Mask of the set that each run shows.
    first, last : ndarray of int
        Index of its first and its last item.
    """

    form: Masks
    first: Rows
    last: Rows


@dataclass(frozen=True, eq=False)
class Succession:
    """Items in time.

    Parameters
    ----------
    masks : ndarray, shape (n,), int16
        Pitch classes of each item; 0 for silence, `BARRIER` for a barrier.
    onsets, ends : ndarray, shape (n,), int64
        Ticks.
    weights : ndarray, shape (n,), int64
        Sounding time of each item in ticks; 0 for silence and for barriers.
    axis : ndarray, shape (n,), int64
        Like ``onsets``, but never decreasing: successions laid end to end are shifted apart on it.
    """

    masks: Masks
    onsets: Ticks
    ends: Ticks
    weights: Ticks
    axis: Ticks

    @classmethod
    def of(cls, masks: Masks, onsets: Ticks, ends: Ticks, axis: Ticks | None = None) -> Succession:
        """Make a succession; its axis is that of the onsets where no other is given."""
        weights = np.where((masks == 0) | (masks == BARRIER), 0, ends - onsets)
        return cls(masks, onsets, ends, weights, onsets if axis is None else axis)

    def __len__(self) -> int:
        return len(self.masks)

    @cached_property
    def union(self) -> int:
        """Every pitch class that occurs, as a mask."""
        return int(np.bitwise_or.reduce(self.masks)) & tables.FULL if len(self) else 0

    @cached_property
    def next_with(self) -> NDArray[np.int32]:
        """Index of the first item from each one on that holds each pitch class: shape (12, n); n where none does."""
        has = (self.masks[None, :] >> np.arange(12, dtype=np.int16)[:, None] & 1).astype(bool)
        at = np.where(has, np.arange(len(self), dtype=np.int32), np.int32(len(self)))
        return np.minimum.accumulate(at[:, ::-1], axis=1)[:, ::-1]

    @cached_property
    def total_weight(self) -> Ticks:
        """Sounding time before each item: shape (n + 1,)."""
        return _before(self.weights)

    @cached_property
    def weight_of_pcs(self) -> Ticks:
        """Sounding time of each pitch class before each item: shape (12, n + 1)."""
        has = self.masks[None, :] >> np.arange(12, dtype=np.int16)[:, None] & 1
        out = np.zeros((12, len(self) + 1), np.int64)
        np.cumsum(has * self.weights, axis=1, out=out[:, 1:])
        return out

    def foreign_weight(self, form: int) -> Ticks:
        """Sounding time, before each item, of items that hold something foreign to a set: shape (n + 1,)."""
        return _before(np.where(self.masks & ~form, self.weights, 0))

    def completed(self, form: Masks, start: Rows) -> Rows:
        """Index of the item at which all of a set has been heard, counted from a starting item.

        Parameters
        ----------
        form : ndarray of int16
            One set, or one for each start.
        start : ndarray of int
            Indices of items.

        Returns
        -------
        ndarray of int
            One for each start; the length of the succession where the set is never completed.
        """
        at = start.astype(np.int64)
        done = at.copy()
        for pc in range(12):
            wanted = (form >> pc & 1).astype(bool)
            if wanted.any():
                done = np.where(wanted, np.maximum(done, self.next_with[pc, at]), done)
        return done


def longest_runs(items: Succession, forms: Masks) -> Runs:
    """Find the longest runs that lie in a set and make up all of it.

    Parameters
    ----------
    items : Succession
    forms : ndarray, shape (k,), int16
        Sets to look for, each for itself.

    Returns
    -------
    Runs
    """
    forms = _present(items, forms)
    wide = len(items) + 1
    if not len(forms):
        return _runs([], [], [])
    outside = np.ones((len(forms), len(items) + 2), bool)
    np.not_equal(items.masks & ~forms[:, None], 0, out=outside[:, 1:-1])
    bounds = np.flatnonzero(outside[:, 1:] != outside[:, :-1])  # first, end, first, end … along all rows
    if not len(bounds):
        return _runs([], [], [])
    row_of_masks = np.append(items.masks, np.int16(0))
    union = np.bitwise_or.reduceat(np.tile(row_of_masks, len(forms)), bounds)[::2]
    form = forms[bounds[::2] // wide]
    whole = union == form
    first, end = bounds[::2][whole] % wide, bounds[1::2][whole] % wide
    sounding = np.flatnonzero(items.masks)
    first = sounding[np.searchsorted(sounding, first)]
    last = sounding[np.searchsorted(sounding, end) - 1]
    return _runs(form[whole], first, last)


def tolerant_runs(items: Succession, forms: Masks, tolerance: Fraction) -> Runs:
    """Find the longest runs of which at most a share is foreign.

    Parameters
    ----------
    items : Succession
    forms : ndarray, shape (k,), int16
    tolerance : Fraction
        Largest share of the sounding time that may be foreign, 0 to less than 1.

    Returns
    -------
    Runs
    """
    if not tolerance:
        return longest_runs(items, forms)
    barriers = np.flatnonzero(items.masks == BARRIER)
    stretches = list(zip([0, *(barriers + 1).tolist()], [*barriers.tolist(), len(items)], strict=True))
    found: list[tuple[int, int, int]] = []
    for form in _present(items, forms).tolist():
        search = _TolerantSearch(items, form, tolerance)
        left = list(stretches)
        while left:
            start, stop = left.pop()
            run = search.longest(start, stop)
            if run:
                found.append((form, *run))
                left += [(start, run[0]), (run[1] + 1, stop)]
    found.sort()
    return _runs(*(np.array(column) for column in zip(*found, strict=True))) if found else _runs([], [], [])


class _TolerantSearch:
    """One set looked for in one succession, with a tolerance.

    A stretch is tolerable where foreign time − share × sounding time is not above 0. With the running sum of that
    balance, a stretch is tolerable where the sum at its end is not above the sum at its start; the share is brought
    to whole numbers, so nothing is rounded.
    """

    def __init__(self, items: Succession, form: int, tolerance: Fraction) -> None:
        self._lies_in = (items.masks & ~form == 0) & (items.masks != 0)
        foreign, total = items.foreign_weight(form), items.total_weight
        self._balance = foreign * tolerance.denominator - total * tolerance.numerator
        self._done = items.completed(np.full(len(items), form, np.int16), np.arange(len(items)))
        self._total = total

    def longest(self, start: int, stop: int) -> tuple[int, int] | None:
        """Return first and last item of the run with the most sounding time among the items from start to stop."""
        lies_in = self._lies_in[start:stop]
        firsts = np.flatnonzero(lies_in)
        if not len(firsts):
            return None
        at_end = np.where(lies_in, self._balance[start + 1 : stop + 1], _NEVER)
        least_from = np.minimum.accumulate(at_end[::-1])[::-1]  # rising, so the last tolerable end is a look-up
        lasts = np.searchsorted(least_from, self._balance[start + firsts], side="right") - 1
        valid = (lasts >= firsts) & (start + lasts >= self._done[start + firsts])
        if not valid.any():
            return None
        firsts, lasts = start + firsts[valid], start + lasts[valid]
        best = int(np.argmax(self._total[lasts + 1] - self._total[firsts]))
        return int(firsts[best]), int(lasts[best])


def equal_runs(items: Succession, forms: Masks) -> Runs:
    """Find neighbouring items that each hold exactly one of the sets.

    Parameters
    ----------
    items : Succession
    forms : ndarray, shape (k,), int16

    Returns
    -------
    Runs
    """
    if not len(items):
        return _runs([], [], [])
    is_form = np.zeros(BARRIER + 1, bool)
    is_form[forms] = True
    changes = np.flatnonzero(np.diff(items.masks)) + 1
    first = np.concatenate([[0], changes])
    last = np.append(changes, len(items)) - 1
    hit = is_form[items.masks[first]]
    form, first, last = items.masks[first][hit], first[hit], last[hit]
    order = np.lexsort((first, form))
    return _runs(form[order], first[order], last[order])


def holding_runs(items: Succession, forms: Masks, extra: int) -> Runs:
    """Find neighbouring items that each hold all of a set and at most so many pitch classes besides.

    Parameters
    ----------
    items : Succession
    forms : ndarray, shape (k,), int16
        Sets to look for, each for itself.
    extra : int
        0 asks for exactly the set, as `equal_runs` does.

    Returns
    -------
    Runs
    """
    forms = _present(items, forms)
    if not extra or not len(forms) or not len(items):
        return equal_runs(items, forms)
    holds = np.zeros((len(forms), len(items) + 2), bool)
    masks = np.where(items.masks == BARRIER, 0, items.masks)
    others = tables.size()[masks & ~forms[:, None]]
    holds[:, 1:-1] = (masks & forms[:, None] == forms[:, None]) & (others <= extra)
    row, at = np.nonzero(holds[:, 1:] != holds[:, :-1])
    return _runs(forms[row[::2]], at[::2], at[1::2] - 1)


def tightest(items: Succession, runs: Runs) -> tuple[Rows, Rows]:
    """Find the shortest stretch inside each run in which all of its set is heard.

    Parameters
    ----------
    items : Succession
    runs : Runs

    Returns
    -------
    first, last : ndarray of int
        Items of each stretch: the shortest in ticks, of equals the earliest.
    """
    if not len(runs.form):
        return runs.first, runs.last
    lengths = runs.last - runs.first + 1
    offsets = _before(lengths)[:-1]
    starts = np.arange(lengths.sum()) + np.repeat(runs.first - offsets, lengths)
    stops = items.completed(np.repeat(runs.form, lengths), starts)
    inside = stops <= np.repeat(runs.last, lengths)
    ticks = np.full(len(starts), _NEVER)
    ticks[inside] = latest_end(items, starts[inside], stops[inside]) - items.onsets[starts[inside]]
    shortest = np.repeat(np.minimum.reduceat(ticks, offsets), lengths)
    hits = np.flatnonzero(ticks == shortest)
    chosen = hits[np.searchsorted(hits, offsets)]  # the first hit of each run
    return starts[chosen], stops[chosen]


def latest_end(items: Succession, first: Rows, last: Rows) -> Ticks:
    """Tick at which the last note of each stretch has ended.

    Notes of one voice may overlap, so this need not be where the last one ends.
    """
    if not len(first) or (np.diff(items.ends) >= 0).all():
        return items.ends[last]
    bounds = np.stack([first, last + 1], axis=1).ravel()
    return np.maximum.reduceat(np.append(items.ends, np.iinfo(np.int64).min), bounds)[::2]


def _present(items: Succession, forms: Masks) -> Masks:
    """Leave out the sets of which some pitch class never occurs."""
    return np.asarray(forms[forms & ~np.int16(items.union) == 0], np.int16)


def _before(values: Ticks) -> Ticks:
    out = np.zeros(len(values) + 1, np.int64)
    np.cumsum(values, out=out[1:])
    return out


def _runs(form: object, first: object, last: object) -> Runs:
    return Runs(np.asarray(form, np.int16), np.asarray(first, np.intp), np.asarray(last, np.intp))
