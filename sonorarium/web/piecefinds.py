"""The passages of a set in one piece: where they are, and what is needed to hear and to keep each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from sonorarium.score.score import Score
from sonorarium.score.search.finding import find
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query

LISTED = 40
"""So many passages are listed, and their notes marked."""

SEARCHES_KEPT = 64


@dataclass(frozen=True)
class PassageRow:
    """A passage.

    Parameters
    ----------
    kind : str
    first, last : int
        Indices of its bars.
    bars : list of str
        Their printed numbers.
    onset, end : int
        Ticks.
    notes : list of str
    parts : list of str
    set : str
        The very set that it shows.
    salience : float
    """

    kind: str
    first: int
    last: int
    bars: list[str]
    onset: int
    end: int
    notes: list[str]
    parts: list[str]
    set: str
    salience: float


@dataclass(frozen=True)
class PassagesFacts:
    """The passages of a set in a piece: how many there are, and the best."""

    piece: str
    set: str
    count: int
    passages: list[PassageRow]


@lru_cache(SEARCHES_KEPT)
def passages_of(score: Score, what: str) -> tuple[Passage, ...]:
    """The passages of a set in a piece, best first; errors as of `sonorarium.score.search.finding.find`."""
    return tuple(find(score, Query.of(what)))


def passages_facts(score: Score, key: str, what: str) -> PassagesFacts:
    """The passages of a set in a piece, in plain values; raises `InputError` where the set is not understood."""
    found = passages_of(score, what)
    return PassagesFacts(key, what, len(found), [_row(one) for one in found[:LISTED]])


def _row(one: Passage) -> PassageRow:
    extent = one.extent
    shown = " ".join(map(str, one.pcs.pcs))
    return PassageRow(
        one.kind,
        *extent.bar_indices,
        list(extent.bars),
        extent.onset,
        extent.end,
        list(one.notes),
        list(one.parts),
        shown,
        round(float(one.salience.total), 3),
    )
