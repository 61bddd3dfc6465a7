"""Every occurrence of one kind in a score, as arrays, and one of them written out as a passage.

A frequent set occurs thousands of times in a long piece, and most of these occurrences are never looked at. So they
are found, measured and ranked as arrays; only what is handed to a person becomes a `Passage`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from sonorarium.pcs.pcset import PcSet
from sonorarium.score.material import Material
from sonorarium.score.notenames import sounding_names
from sonorarium.score.passage import Passage, Source, Stretch
from sonorarium.score.query import Kind, Query
from sonorarium.score.runs import Runs, Succession, equal_runs, latest_end, tightest, tolerant_runs
from sonorarium.score.salience import Measures, Salience, measure
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
    """

    kind: Kind
    material: Material
    items: Succession
    item_rows: Rows | None
    runs: Runs
    tight_first: Rows
    tight_last: Rows
    measures: Measures

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

    def passage(self, index: int) -> Passage:
        """Write one of them out."""
        score, metre = self.material.score, self.material.metre
        form = int(self.runs.form[index])
        extent = self._stretch(self.runs.first[index], self.runs.last[index])
        rows = self._rows(index, extent)
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
            tightest=self._stretch(self.tight_first[index], self.tight_last[index]),
            salience=Salience(*self.measures[index].tolist()),
        )

    def _rows(self, index: int, extent: Stretch) -> Rows:
        if self.item_rows is None:
            return self.material.slices.rows_between(extent.onset, extent.end)
        return self.item_rows[self.runs.first[index] : self.runs.last[index] + 1]

    def _foreign(self, index: int) -> Fraction:
        here = slice(int(self.runs.first[index]), int(self.runs.last[index]) + 1)
        weights, is_foreign = self.items.weights[here], (self.items.masks[here] & ~self.runs.form[index]) != 0
        return Fraction(int(weights[is_foreign].sum()), int(weights.sum()))

    def _stretch(self, first: np.intp, last: np.intp) -> Stretch:
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
        Its forms, tolerance and least sizes are used.

    Returns
    -------
    Occurrences
        Sorted by form, then by place in the succession.
    """
    is_line = kind == "line"
    items = material.lines.succession if is_line else material.sliced
    runs = equal_runs(items, query.forms) if kind == "chord" else tolerant_runs(items, query.forms, query.tolerance)
    runs = _large_enough(runs, items, material, query, is_line=is_line)
    first, last = tightest(items, runs)
    measures = measure(items, runs, (first, last), material.metre)
    item_rows = material.lines.rows if is_line else None
    return Occurrences(kind, material, items, item_rows, runs, first, last, measures)


def _large_enough(runs: Runs, items: Succession, material: Material, query: Query, *, is_line: bool) -> Runs:
    if query.least_notes <= 1 and not query.least_quarters:
        return runs
    onset, end = items.onsets[runs.first], latest_end(items, runs.first, runs.last)
    notes = runs.last - runs.first + 1 if is_line else material.slices.count_between(onset, end)
    least = query.least_quarters * material.score.ticks_per_quarter
    enough = (notes >= query.least_notes) & ((end - onset) * least.denominator >= least.numerator)
    return Runs(runs.form[enough], runs.first[enough], runs.last[enough])
