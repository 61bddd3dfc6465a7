"""Trellises: a choice at each of several places, with a price for each choice and for each pair of neighbours.

Chords to be voiced one after another, or a melody to be harmonised, make a trellis: every chord has its candidates,
every candidate a price of its own, and every two candidates of neighbouring chords a price of going from one to the
other. `walks` lists the ways through the trellis in order of their whole price, exactly. The least completion of
every candidate comes from dynamic programming, last place first (Bellman, Dynamic Programming, 1957; Viterbi, Error
bounds for convolutional codes, IEEE Transactions on Information Theory 13 (1967)); the listing is best-first
search.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sonorarium.pitch.bestfirst import best_first

Prices = NDArray[np.float64]


class _Choice(NamedTuple):
    """A walk so far, whose last step is the so-manieth best at its place."""

    walk: tuple[int, ...]
    rank: int


def walks(own: Sequence[Prices], between: Sequence[Prices]) -> Iterator[tuple[float, tuple[int, ...]]]:
    """List ways through a trellis, the cheapest first.

    Parameters
    ----------
    own : sequence of ndarray, shape (candidates,)
        Price of each candidate at each place; infinite where it cannot be had.
    between : sequence of ndarray, shape (candidates, candidates of the next place)
        Price of each pair of neighbours; one array fewer than there are places.

    Yields
    ------
    (float, tuple of int)
        Whole price, and which candidate at each place. Ways of infinite price are left out.

    Examples
    --------
    >>> own = [np.array([0.0, 1.0]), np.array([0.0, 0.0])]
    >>> list(walks(own, [np.array([[5.0, 6.0], [1.0, 9.0]])]))[:3]
    [(2.0, (1, 0)), (5.0, (0, 0)), (6.0, (0, 1))]
    """
    rest = [own[-1]]
    for prices, steps in zip(own[-2::-1], between[::-1], strict=True):
        rest.append(prices + (steps + rest[-1]).min(axis=1, initial=np.inf))
    rest.reverse()

    @cache
    def ordered(place: int, before: int) -> tuple[NDArray[np.intp], Prices]:
        """Candidates at a place after another one, the best first, with the least price of all that follows."""
        total = rest[place] if place == 0 else between[place - 1][before] + rest[place]
        order = np.argsort(total, kind="stable")
        return order[: int(np.isfinite(total).sum())], total

    def spent(walk: tuple[int, ...]) -> float:
        own_prices = sum(float(own[i][at]) for i, at in enumerate(walk))
        return own_prices + sum(float(between[i][walk[i], walk[i + 1]]) for i in range(len(walk) - 1))

    def option(before: tuple[int, ...], rank: int) -> Iterator[tuple[float, _Choice]]:
        order, total = ordered(len(before), before[-1] if before else 0)
        if rank < len(order):
            at = int(order[rank])
            yield spent(before) + float(total[at]), _Choice((*before, at), rank)

    def grow(choice: _Choice) -> Iterator[tuple[float, _Choice]]:
        if len(choice.walk) < len(own):
            yield from option(choice.walk, 0)
        yield from option(choice.walk[:-1], choice.rank + 1)

    for price, choice in best_first(option((), 0), grow, lambda c: len(c.walk) == len(own)):
        yield price, choice.walk
