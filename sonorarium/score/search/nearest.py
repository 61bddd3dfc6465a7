"""What came near where nothing was found: the sets one semitone away from those that were not found, or else two."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from sonorarium.score.search.chain import Chain
from sonorarium.score.search.finding import NEAREST
from sonorarium.score.search.nearness import Near
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query

Search = Callable[[Query], Iterable[Passage]]
"""Gives the first few passages of a query, wherever is searched."""


def nearest(asked: Query | Chain, link_counts: tuple[int, ...], search: Search) -> tuple[Passage, ...]:
    """Look for what comes nearest to a question that found nothing.

    Parameters
    ----------
    asked : Query or Chain
    link_counts : tuple of int
        Of a chain, how many passages there are of each of its sets by itself; those that are there are passed over.
        Empty where that is not known.
    search : callable

    Returns
    -------
    tuple of Passage
        Of each set that was not found at all and for which the very set was asked for, the first few passages at the
        least number of semitones at which there are any; all other options stay.
    """
    links = (asked,) if isinstance(asked, Query) else asked.links
    counts = (0,) if isinstance(asked, Query) else link_counts or (0,) * len(links)
    found: list[Passage] = []
    for query in (link for link, number in zip(links, counts, strict=True) if not number and link.near.is_exact):
        for semitones in NEAREST:
            near = tuple(search(replace(query, near=Near(semitones))))
            if near:
                found += near
                break
    return tuple(found)
