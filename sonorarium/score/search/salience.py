"""Salience: how good a witness of its set a passage is, from 0 to 1, with its five parts.

Let S be the set, of size s > 0, and P the passage: items (slices, or notes of one voice) with sounding times, from
its onset to its end. Let b be the length of the bar, by its metre, in which P begins. Then::

    compactness   1 / (1 + w / b)      w: time in the tightest statement from its onset until the last missing pitch
                                       class enters; 0 where all of S is struck at once
    evenness      H / log s            H = - sum of q log q over S, q a pitch class's share of the sounding time of
                                       S in P; 1 where s = 1
    extent        d / (d + b)          d: length of P; half for a passage of one bar
    distinctness  f / t                t: sounding time of the neighbourhood, f: of what in it holds a pitch class
                                       foreign to S; 1 where nothing sounds there
    metre         strength of the place where P begins (see `sonorarium.score.metre`)

    total         0.25 compactness + 0.15 evenness + 0.30 extent + 0.20 distinctness + 0.10 metre

The *neighbourhood* is the item next to P on either side, and every item that begins within the bar's length b before
P begins or after P ends; for a line, items of its own voice only, and none that is next to it across the long rest
that ended it. In slices a pitch class counts once however often it is doubled; in a line each note counts.

Evenness is the normalised entropy of Shannon (A Mathematical Theory of Communication, 1948, section 6). The five
parts and their weights are our own and are a judgement: a set held for a bar is to outrank one that is touched in
passing, even where the latter sounds all at once. Each number is rounded to four places, so that equal passages
come out equal.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass, fields

import numpy as np
from numpy.typing import NDArray

from sonorarium.score.metre import Metre
from sonorarium.score.search.runs import Runs, Succession, latest_end
from sonorarium.score.slices import Masks, Rows, Ticks

WEIGHTS = (25, 15, 30, 20, 10)
"""Weights of compactness, evenness, extent, distinctness and metre, in hundredths."""

Measures = NDArray[np.float64]
"""The five parts of each passage: shape (number of passages, 5)."""


@dataclass(frozen=True)
class Salience:
    """The parts of a passage's salience, each from 0 to 1.

    Parameters
    ----------
    compactness : float
        How soon all of the set has been heard.
    evenness : float
        How equally its pitch classes share the time.
    extent : float
        How long the passage is.
    distinctness : float
        How foreign to the set its surroundings are.
    metre : float
        How strong the place is where it begins.

    Examples
    --------
    >>> Salience(1.0, 1.0, 0.5, 1.0, 0.5).total
    0.8
    """

    compactness: float
    evenness: float
    extent: float
    distinctness: float
    metre: float

    @property
    def total(self) -> float:
        """Weighted mean of the parts."""
        return float(totals(np.array([astuple(self)]))[0])

    def as_dict(self) -> dict[str, float]:
        """Plain values for JSON: the total first, then the parts."""
        return {"total": self.total} | {part.name: getattr(self, part.name) for part in fields(self)}


def totals(measures: Measures) -> NDArray[np.float64]:
    """Weighted mean of the five parts of each passage, to four places: shape (number of passages,)."""
    parts = np.rint(measures * 10_000).astype(np.int64)  # whole numbers, so that no order of summing rounds otherwise
    return np.asarray((parts @ np.array(WEIGHTS) + 50) // 100 / 10_000, np.float64)


def measure(items: Succession, runs: Runs, tight: tuple[Rows, Rows], metre: Metre) -> Measures:
    """Measure the salience of runs.

    Parameters
    ----------
    items : Succession
    runs : Runs
    tight : (ndarray of int, ndarray of int)
        First and last item of the tightest statement of each run.
    metre : Metre

    Returns
    -------
    ndarray, shape (number of runs, 5), float
        Compactness, evenness, extent, distinctness and metre, rounded to four places.
    """
    onset = items.onsets[runs.first]
    end = latest_end(items, runs.first, runs.last)
    bar = metre.lengths_at(onset)
    wait = items.onsets[tight[1]] - items.onsets[tight[0]]
    parts = [
        bar / (bar + wait),
        _evenness(items, runs),
        (end - onset) / (end - onset + bar),
        _distinctness(items, runs, end, bar),
        metre.strengths_at(onset),
    ]
    return np.round(np.stack(parts, axis=1), 4)


def _evenness(items: Succession, runs: Runs) -> NDArray[np.float64]:
    time = (items.weight_of_pcs[:, runs.last + 1] - items.weight_of_pcs[:, runs.first]).T  # (runs, 12)
    member = (runs.form[:, None] >> np.arange(12) & 1).astype(bool)
    time = np.where(member, time, 0)
    share = time / time.sum(axis=1, keepdims=True)
    entropy = -(share * np.log(np.where(share > 0, share, 1))).sum(axis=1)
    size = member.sum(axis=1)
    return np.where(size > 1, entropy / np.log(np.maximum(size, 2)), 1.0)


def _distinctness(items: Succession, runs: Runs, end: Ticks, bar: Ticks) -> NDArray[np.float64]:
    begin_at = items.axis[runs.first]
    end_at = end + begin_at - items.onsets[runs.first]
    near_before = np.searchsorted(items.axis, begin_at - bar, side="left")
    near_after = np.searchsorted(items.axis, end_at + bar, side="left")
    before = np.clip(np.minimum(near_before, runs.first - 1), 0, None)
    after = np.clip(np.maximum(near_after, runs.last + 2), None, len(items))
    bounds = ((before, runs.first), (runs.last + 1, after))
    total = sum((items.total_weight[b] - items.total_weight[a] for a, b in bounds), np.zeros(len(end), np.int64))
    foreign = sum((_foreign_time(items, runs.form, a, b) for a, b in bounds), np.zeros(len(end), np.int64))
    return np.where(total > 0, foreign / np.maximum(total, 1), 1.0)


def _foreign_time(items: Succession, form: Masks, start: Rows, stop: Rows) -> Ticks:
    """Sounding time of what is foreign to each form among the items from each start up to each stop."""
    distinct = np.unique(form)
    lengths = stop - start
    foreign = np.zeros(len(form), np.int64)
    if lengths.sum() < len(distinct) * len(items):
        offsets = np.cumsum(lengths) - lengths
        item = np.arange(lengths.sum()) + np.repeat(start - offsets, lengths)
        times = np.where(items.masks[item] & ~np.repeat(form, lengths), items.weights[item], 0)
        before = np.append(0, np.cumsum(times))
        return np.asarray(before[offsets + lengths] - before[offsets], np.int64)
    for one in distinct.tolist():  # few forms, or wide neighbourhoods: one running sum for each form
        here = form == one
        weight = items.foreign_weight(one)
        foreign[here] = weight[stop[here]] - weight[start[here]]
    return foreign
