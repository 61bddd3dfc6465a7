"""Finding several sets in a row: passages that follow each other.

For each passage of the first set, of those passages of the second set that follow it soon enough the one is taken
that begins first (of equals the more salient, then the shorter), and so on from set to set. A passage from which the
row cannot be completed is never taken. So a first passage begins at most one chain of each kind.

The salience of a chain is the mean of those of its passages, and so is its teachability. Repeats are not folded.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.score.score import Score
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.finding import material_for
from sonorarium.score.search.limits import Length
from sonorarium.score.search.listing import By
from sonorarium.score.search.material import Material
from sonorarium.score.search.nearness import farness
from sonorarium.score.search.occurrences import Occurrences, occurrences
from sonorarium.score.search.passage import Passage, Stretch
from sonorarium.score.search.query import Kind
from sonorarium.score.search.salience import totals

NONE = -1
"""No passage follows."""

Indices = NDArray[np.intp]


@dataclass(frozen=True)
class ChainPassage:
    """Passages of one kind that follow each other.

    Parameters
    ----------
    passages : tuple of Passage
        One for each set asked for, in order.
    gaps_quarters : tuple of Fraction
        Time from the end of each to the beginning of the next; negative where they overlap.
    extent : Stretch
        From the beginning of the first to the end of the last.
    """

    passages: tuple[Passage, ...]
    gaps_quarters: tuple[Fraction, ...]
    extent: Stretch

    @property
    def kind(self) -> Kind:
        """The kind of all of its passages."""
        return self.passages[0].kind

    @property
    def salience(self) -> float:
        """Mean of the saliences of its passages."""
        return _mean([passage.salience.total for passage in self.passages])

    @property
    def teachability(self) -> float:
        """Mean of the teachabilities of its passages."""
        return _mean([passage.teachability.total if passage.teachability else 0.0 for passage in self.passages])

    def key(self, by: By) -> tuple[object, ...]:
        """Key that sorts chains by one of the orders of `sonorarium.score.search.listing`."""
        place = self.passages[0].key("place") + self.passages[-1].key("place")
        far = sum(passage.farness for passage in self.passages)
        values = {
            "place": 0.0,
            "salience": sum(_ten_thousandths(passage.salience.total) for passage in self.passages),
            "teachability": _ten_thousandths(self.teachability),
        }
        return (0 if by == "place" else far, -values[by], *place)

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON, with keys that stay the same."""
        return {
            "passages": [passage.as_dict() for passage in self.passages],
            "gaps_quarters": [float(gap) for gap in self.gaps_quarters],
            "bars": list(self.extent.bars),
            "onset": self.extent.onset,
            "end": self.extent.end,
            "kind": self.kind,
            "salience": self.salience,
            "teachability": self.teachability,
        }


@dataclass(frozen=True)
class BestChains:
    """The best chains of a search, and how many there were.

    Parameters
    ----------
    chains : tuple of ChainPassage
        In the order of the listing.
    count : int
        How many there are in all.
    link_counts : tuple of int
        How many passages there are of each set by itself.
    bars, notes : int
        How many bars and notes were looked at.
    by : {"salience", "teachability", "place"}
        What decided the order.
    """

    chains: tuple[ChainPassage, ...]
    count: int
    link_counts: tuple[int, ...]
    bars: int = 0
    notes: int = 0
    by: By = "salience"


def find_chains(score: Score | Material, chain: Chain, limit: int | None = None) -> BestChains:
    """Find several sets in a row.

    Parameters
    ----------
    score : Score or Material
    chain : Chain
    limit : int, optional
        At most so many; all by default.

    Returns
    -------
    BestChains

    Raises
    ------
    InputError
        Where the score has no such part or bars, or repeats were to be folded.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE, Part
    >>> notes, bars = np.zeros(4, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["pitch"] = (0, 1, 2, 3), 1, (60, 64, 68, 71)
    >>> score = Score(notes, bars, (Part("P1", "Flute", voices=("1",)),), ticks_per_quarter=1)
    >>> for one in find_chains(score, Chain.of("C E then 2-3", kind="line")).chains:
    ...     print([p.pcs.pcs for p in one.passages], one.gaps_quarters)
    [(0, 4), (8, 11)] (Fraction(0, 1),)
    """
    first = chain.links[0]
    if first.listing.fold:
        raise InputError("Repeats of a row of sets are not folded.", value=chain, suggestion="Leave folding out.")
    material = material_for(score, first)
    size = material.bar_count, len(material.searched), first.listing.by
    if not len(material.searched):
        return BestChains((), 0, (0,) * len(chain.links), *size)
    counts = np.zeros(len(chain.links), np.int64)
    found: list[ChainPassage] = []
    total = 0
    for kind in first.kinds:
        links = [occurrences(kind, material, query) for query in chain.links]
        counts += [len(one) for one in links]
        rows = _rows(links, chain, material)
        total += len(rows)
        found += [_written(links, row, material) for row in _best(links, rows, chain, limit).tolist()]
    found.sort(key=lambda one: one.key(first.listing.by))
    return BestChains(tuple(found[:limit]), total, tuple(counts.tolist()), *size)


def _rows(links: list[Occurrences], chain: Chain, material: Material) -> Indices:
    """Chains as rows of indices, one for each link: shape (chains, links)."""
    can_go_on = np.ones(len(links[-1]), bool)
    following: list[Indices] = []
    for before, after, within in zip(links[-2::-1], links[:0:-1], chain.within[::-1], strict=True):
        chosen = _followers(before, after, can_go_on, _reach(before, within, material))
        following.insert(0, chosen)
        can_go_on = chosen != NONE
    columns = [np.flatnonzero(can_go_on)]
    for chosen in following:
        columns.append(chosen[columns[-1]])
    return np.stack(columns, axis=1)


def _best(links: list[Occurrences], rows: Indices, chain: Chain, limit: int | None) -> Indices:
    """The rows that may be among the best: at least so many, and all that equal the last of them."""
    by = chain.links[0].listing.by
    if limit is None or len(rows) <= limit or by == "teachability":
        return rows
    if by == "place":
        first = (links[0].onset[rows[:, 0]],)
        order = np.lexsort(first)
        values: tuple[NDArray[Any], ...] = first
    else:
        columns = list(zip(links, rows.T, chain.links, strict=True))
        far = np.stack([farness(query.subject, query.near)[link.form[row]] for link, row, query in columns])
        salience = np.stack([np.rint(totals(link.measures[row]) * 10_000) for link, row, _ in columns])
        values = -salience.sum(axis=0), far.sum(axis=0)
        order = np.lexsort(values)
    last = order[limit - 1]
    same = np.all([value == value[last] for value in values], axis=0)
    same[order[:limit]] = True
    return rows[same]


def _reach(before: Occurrences, within: Length, material: Material) -> NDArray[np.int64]:
    """Latest tick at which a passage may begin that follows each."""
    end = before.end
    unit = material.metre.lengths_at(end - 1) if within.unit == "bars" else material.score.ticks_per_quarter
    return np.asarray(end + unit * within.amount.numerator // within.amount.denominator, np.int64)


def _followers(
    before: Occurrences, after: Occurrences, usable: NDArray[np.bool_], reach: NDArray[np.int64]
) -> Indices:
    """Which passage follows each: the first to begin, of equals the more salient, then the shorter; or `NONE`."""
    total = totals(after.measures)
    order = np.lexsort((np.arange(len(after)), after.form, after.end, -total, after.onset))
    order = order[usable[order]]
    onset, end = after.onset[order], after.end[order]
    chosen = np.full(len(before), NONE, np.intp)
    starts = np.searchsorted(onset, before.onset, side="right")
    stops = np.searchsorted(onset, reach, side="right")
    for row, (start, stop, ended) in enumerate(
        zip(starts.tolist(), stops.tolist(), before.end.tolist(), strict=True)
    ):
        later = np.flatnonzero(end[start:stop] > ended)
        if len(later):
            chosen[row] = order[start + later[0]]
    return chosen


def _written(links: list[Occurrences], rows: list[int], material: Material) -> ChainPassage:
    passages = tuple(link.passage(row) for link, row in zip(links, rows, strict=True))
    quarter = material.score.ticks_per_quarter
    gaps = tuple(Fraction(b.onset - a.end, quarter) for a, b in pairwise(passages))
    first, last = passages[0].extent, passages[-1].extent
    bars = first.bar_indices[0], last.bar_indices[1]
    return ChainPassage(
        passages, gaps, replace(first, end=last.end, bar_indices=bars, bars=(first.bars[0], last.bars[1]))
    )


def _mean(values: list[float]) -> float:
    return round(sum(map(_ten_thousandths, values)) / len(values) / 10_000, 4)


def _ten_thousandths(value: float) -> int:
    return round(value * 10_000)
