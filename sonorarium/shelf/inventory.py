"""Every set that a score shows, and every place where it does: the row of a shelf's index.

`sonorarium.score.search.finding` answers where one set, or one class, occurs. Here the question is turned round: all
sets at once, in one pass, so that a shelf can look any of them up. Both give the same occurrences with the same
salience.

How one pass suffices: let a longest run in a succession begin at item i. The pitch classes heard from i on grow by
one or several at a time, at most twelve times, until the next barrier. The run shows one of these growing sets U, and
ends where the next one begins; and it cannot be extended to the left exactly where the item before i holds something
outside of U. So each item begins at most twelve runs, and a sort of the twelve moments at which each pitch class is
next heard gives them all.

Tolerance has no place here: runs with a share of foreign notes are looked for in the scores themselves.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.score.search.material import Material
from sonorarium.score.search.query import KINDS
from sonorarium.score.search.runs import BARRIER, Runs, Succession, equal_runs, latest_end, tightest
from sonorarium.score.search.salience import measure, totals
from sonorarium.score.slices import Masks

OCCURRENCE = np.dtype(
    [
        ("kind", "i1"),  # index into `sonorarium.score.search.query.KINDS`
        ("form", "i2"),  # mask of the set shown
        ("first", "i4"),  # first item of the run, in the succession of its kind
        ("last", "i4"),  # last item of the run
        ("onset", "i8"),  # ticks
        ("end", "i8"),  # ticks
        ("notes", "i4"),  # how many notes sound in it
        ("salience", "i2"),  # total, in ten thousandths
    ]
)
"""Row of an inventory."""

Inventory = NDArray[np.void]
"""Rows of dtype `OCCURRENCE`, sorted by kind, form and first item."""

_MOST_RUNS = 20_000
_MOST_ITEMS = 2_000_000


def take_inventory(material: Material) -> Inventory:
    """List every occurrence of every set in a score.

    Parameters
    ----------
    material : Material
        Of all parts.

    Returns
    -------
    ndarray, shape (n,), dtype `OCCURRENCE`
        Sorted by kind, form and first item.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE, Part, Score
    >>> notes, bars = np.zeros(2, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["pitch"] = (0, 2), 2, (60, 67)
    >>> score = Score(notes, bars, (Part("P1", "Flute", voices=("1",)),), ticks_per_quarter=1)
    >>> [(KINDS[row["kind"]], int(row["form"]), int(row["onset"])) for row in take_inventory(Material(score))]
    [('chord', 1, 0), ('chord', 128, 2), ('line', 1, 0), ('line', 128, 2), ('line', 129, 0), ('texture', 1, 0), \
('texture', 128, 2), ('texture', 129, 0)]
    """
    if not len(material.score.sounding):
        return np.zeros(0, OCCURRENCE)
    chords = equal_runs(material.sliced, np.arange(1, tables.SETS, dtype=np.int16))
    found = (chords, every_run(material.lines.succession), every_run(material.sliced))
    return np.concatenate([_rows(kind, runs, material) for kind, runs in enumerate(found)])


def every_run(items: Succession) -> Runs:
    """Find the longest runs of all sets, as `sonorarium.score.search.runs.longest_runs` does for some.

    Parameters
    ----------
    items : Succession

    Returns
    -------
    Runs
        Sorted by form, then by place.

    Examples
    --------
    >>> masks, ticks = np.array([1, 16, 1, 128], np.int16), np.arange(5)
    >>> runs = every_run(Succession.of(masks, ticks[:-1], ticks[1:]))
    >>> list(zip(runs.form.tolist(), runs.first.tolist(), runs.last.tolist()))
    [(1, 0, 0), (1, 2, 2), (16, 1, 1), (17, 0, 2), (128, 3, 3), (129, 2, 3), (145, 0, 3)]
    """
    count, masks = len(items), items.masks
    starts = np.flatnonzero((masks != 0) & (masks != BARRIER))
    barrier = np.minimum.accumulate(np.where(masks == BARRIER, np.arange(count), count)[::-1])[::-1][starts, None]
    heard = np.minimum(items.next_with[:, starts].T, barrier)  # when each pitch class is next heard
    order = np.sort(heard.astype(np.int64) * 16 + np.arange(12), axis=1)
    moment, unions = order >> 4, np.cumsum(1 << (order & 15), axis=1)
    following = np.concatenate([moment[:, 1:], barrier], axis=1)
    last_sounding = np.maximum.accumulate(np.append(-1, np.where(masks != 0, np.arange(count), -1)))
    before = last_sounding[starts]
    mask_before = np.where(before >= 0, masks[before], BARRIER)[:, None]
    row, column = np.nonzero((moment < following) & (moment < barrier) & (mask_before & ~unions != 0))
    form, first = unions[row, column].astype(np.int16), starts[row]
    sort = np.lexsort((first, form))
    last = last_sounding[following[row, column]]
    return Runs(form[sort], first[sort].astype(np.intp), last[sort].astype(np.intp))


def form_lookup(forms: Masks) -> NDArray[np.bool_]:
    """Say for each of the 4,096 sets whether it is one of some: shape (4096,)."""
    wanted = np.zeros(tables.SETS, bool)
    wanted[forms] = True
    return wanted


def _rows(kind: int, runs: Runs, material: Material) -> Inventory:
    is_line = KINDS[kind] == "line"
    items = material.lines.succession if is_line else material.sliced
    rows = np.zeros(len(runs.form), OCCURRENCE)
    rows["kind"], rows["form"], rows["first"], rows["last"] = kind, runs.form, runs.first, runs.last
    rows["onset"] = items.onsets[runs.first]
    rows["end"] = latest_end(items, runs.first, runs.last)
    rows["notes"] = (
        runs.last - runs.first + 1 if is_line else material.slices.count_between(rows["onset"], rows["end"])
    )
    for here in _portions(runs):
        some = Runs(runs.form[here], runs.first[here], runs.last[here])
        measures = measure(items, some, tightest(items, some), material.metre)
        rows["salience"][here] = np.rint(totals(measures) * 10_000)
    return rows


def _portions(runs: Runs) -> Iterator[slice]:
    """Cut runs into portions that are measured in bounded memory, however long the piece."""
    items = np.cumsum(runs.last - runs.first + 1)
    start = 0
    while start < len(items):
        done = int(items[start - 1]) if start else 0
        stop = int(np.searchsorted(items, done + _MOST_ITEMS))
        stop = min(max(stop, start + 1), start + _MOST_RUNS, len(items))
        yield slice(start, stop)
        start = stop
