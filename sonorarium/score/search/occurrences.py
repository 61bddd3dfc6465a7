"""Every occurrence of one kind in a score, as arrays, and one of them written out as a passage.

A frequent set occurs thousands of times in a long piece, and most of these occurrences are never looked at. So they
are found, measured and ranked as arrays; only what is handed to a person becomes a `Passage`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.notenames import sounding_names
from sonorarium.score.search.limits import Limits
from sonorarium.score.search.material import Material
from sonorarium.score.search.nearness import nearness
from sonorarium.score.search.passage import Passage, Source, Stretch
from sonorarium.score.search.query import Kind, Query
from sonorarium.score.search.runs import Runs, Succession, holding_runs, latest_end, tightest, tolerant_runs
from sonorarium.score.search.salience import Measures, Salience, measure
from sonorarium.score.search.teachability import Teachability, teachability
from sonorarium.score.slices import Masks, Rows, Ticks, part_name


@dataclass(frozen=True, eq=False)
class Occurrences:
    """All occurrences of one kind.

    Parameters
    ----------
    kind : {"chord", "line", "texture"}
    material : Material
        What was searched.
    items : Succession
        The slices, or the notes of the voices.
    item_rows : ndarray of int or None
        Row of the note table for each item, where items are notes.
    runs : Runs
    tight_first, tight_last : ndarray of int
        First and last item of each tightest statement.
    measures : ndarray, shape (n, 5), float
    query : Query or None
        What was searched for, where near matches are to be marked.
    """

    kind: Kind
    material: Material
    items: Succession
    item_rows: Rows | None
    runs: Runs
    tight_first: Rows
    tight_last: Rows
    measures: Measures
    query: Query | None = None

    def __len__(self) -> int:
        return len(self.runs.form)

    @property
    def form(self) -> Masks:
        """Mask of the set that each one shows."""
        return self.runs.form

    @property
    def onset(self) -> Ticks:
        """Ticks at which they begin."""
        return self.items.onsets[self.runs.first]

    @property
    def end(self) -> Ticks:
        """Ticks at which they end."""
        return latest_end(self.items, self.runs.first, self.runs.last)

    def rows(self, index: int) -> Rows:
        """Rows of the note table that one of them has."""
        first, last = self.runs.first[index], self.runs.last[index]
        if self.item_rows is not None:
            return self.item_rows[first : last + 1]
        return self.material.slices.rows_between(int(self.items.onsets[first]), int(self.items.ends[last]))

    def passage(self, index: int) -> Passage:
        """Write one of them out."""
        score, metre = self.material.score, self.material.metre
        form = int(self.runs.form[index])
        extent = self.stretch(self.runs.first[index], self.runs.last[index])
        rows = self.rows(index)
        notes = score.notes[rows]
        struck = max(extent.onset, int(notes["onset"].max()))
        return Passage(
            source=Source.of(score),
            kind=self.kind,
            extent=extent,
            first=metre.place(extent.onset),
            last=metre.place(struck),
            pcs=PcSet.of_mask(form),
            foreign=self._foreign(index),
            rows=tuple(rows.tolist()),
            notes=sounding_names(notes),
            parts=tuple(part_name(score, part) for part in sorted(set(notes["part"].tolist()))),
            tightest=self.stretch(self.tight_first[index], self.tight_last[index]),
            salience=Salience(*self.measures[index].tolist()),
            besides=PcSet.of_mask(self._heard(index) & ~form & tables.FULL),
            near=nearness(self.query.subject, self.query.near, form) if self.query else None,
            teachability=self.teachability(index),
        )

    def teachability(self, index: int) -> Teachability:
        """The facts that tell how easily one of them is shown to a class."""
        first, last = self.runs.first[index], self.runs.last[index]
        extent = int(self.items.onsets[first]), int(self.items.ends[first : last + 1].max())
        notes = self.material.score.notes[self.rows(index)]
        return teachability(notes, extent, self.material.metre, self.material.searched)

    def _heard(self, index: int) -> int:
        return int(np.bitwise_or.reduce(self.items.masks[self.runs.first[index] : self.runs.last[index] + 1]))

    def _foreign(self, index: int) -> Fraction:
        here = slice(int(self.runs.first[index]), int(self.runs.last[index]) + 1)
        weights, is_foreign = self.items.weights[here], (self.items.masks[here] & ~self.runs.form[index]) != 0
        return Fraction(int(weights[is_foreign].sum()), int(weights.sum()))

    def stretch(self, first: np.intp, last: np.intp) -> Stretch:
        """From the onset of one item to the end of the last sounding up to another."""
        onset = int(self.items.onsets[first])
        end = int(self.items.ends[first : last + 1].max())
        metre = self.material.metre
        bars = metre.bar_index(onset), metre.bar_index(end - 1)
        return Stretch(onset, end, bars, (metre.bar_label(bars[0]), metre.bar_label(bars[1])))


def occurrences(kind: Kind, material: Material, query: Query) -> Occurrences:
    """Find, measure and keep every occurrence of one kind.

    Parameters
    ----------
    kind : {"chord", "line", "texture"}
    material : Material
        With at least one note.
    query : Query
        All of its options but the listing are used; parts, struck notes and bars are those of the material.

    Returns
    -------
    Occurrences
        Sorted by form, then by place in the succession.
    """
    is_line = kind == "line"
    items = material.lines.succession if is_line else material.sliced
    if kind == "chord":
        runs = holding_runs(_rightly_bounded(items, material, query.limits), query.forms, query.extra)
    else:
        runs = tolerant_runs(items, query.forms, query.tolerance)
    item_rows = material.lines.rows if is_line else None
    for keeps in (_large_enough, _short_enough, _well_bounded):
        kept = keeps(runs, items, material, query, item_rows)
        if kept is not None:
            runs = Runs(runs.form[kept], runs.first[kept], runs.last[kept])
    first, last = tightest(items, runs)
    measures = measure(items, runs, (first, last), material.metre)
    return Occurrences(kind, material, items, item_rows, runs, first, last, measures, query)


Kept: TypeAlias = NDArray[np.bool_] | None
"""Which runs are kept; None for all."""


def _large_enough(runs: Runs, items: Succession, material: Material, query: Query, item_rows: Rows | None) -> Kept:
    if query.least_notes <= 1 and not query.least_quarters:
        return None
    onset, end = items.onsets[runs.first], latest_end(items, runs.first, runs.last)
    notes = runs.last - runs.first + 1 if item_rows is not None else material.slices.count_between(onset, end)
    least = query.least_quarters * material.score.ticks_per_quarter
    return np.asarray((notes >= query.least_notes) & ((end - onset) * least.denominator >= least.numerator))


def _short_enough(runs: Runs, items: Succession, material: Material, query: Query, _: Rows | None) -> Kept:
    limits = query.limits
    if not limits.least_bars and limits.most_bars is None and limits.most_quarters is None:
        return None
    onset = items.onsets[runs.first]
    ticks, bar = latest_end(items, runs.first, runs.last) - onset, material.metre.lengths_at(onset)
    kept = ticks * limits.least_bars.denominator >= bar * limits.least_bars.numerator
    if limits.most_bars is not None:
        kept &= ticks * limits.most_bars.denominator <= bar * limits.most_bars.numerator
    if limits.most_quarters is not None:
        most = limits.most_quarters * material.score.ticks_per_quarter
        kept &= ticks * most.denominator <= most.numerator
    return np.asarray(kept)


def _rightly_bounded(items: Succession, material: Material, limits: Limits) -> Succession:
    """Silence the slices whose bass or top is not the one asked for, so that no chord is found in them."""
    if limits.bass is None and limits.top is None:
        return items
    right = np.ones(len(items), bool)
    for wanted, pitches in ((limits.bass, material.slices.lowest), (limits.top, material.slices.highest)):
        right &= True if wanted is None else pitches % 12 == wanted
    return replace(items, masks=np.where(right, items.masks, np.int16(0)))


def _well_bounded(runs: Runs, _: Succession, material: Material, query: Query, item_rows: Rows | None) -> Kept:
    if (query.limits.bass is None and query.limits.top is None) or not len(runs.form):
        return None
    if item_rows is None:
        lowest, highest = material.slices.lowest, material.slices.highest
    else:
        lowest = highest = material.score.notes["pitch"][item_rows]
    bounds = np.stack([runs.first, runs.last + 1], axis=1).ravel()
    kept = np.ones(len(runs.form), bool)
    for wanted, pitches, extreme in (
        (query.limits.bass, lowest, np.minimum),
        (query.limits.top, highest, np.maximum),
    ):
        if wanted is not None:
            kept &= extreme.reduceat(np.append(pitches, np.int16(0)), bounds)[::2] % 12 == wanted
    return kept
