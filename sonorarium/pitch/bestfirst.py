"""Answers in order of cost: search that always opens the most promising beginning first.

Voice leadings, paths and progressions are all built piece by piece, and of all of them the k best are wanted.
The search keeps the beginnings in a heap by a bound: what has been spent, and the least that the rest can cost. As
long as no bound is above the true cost of the best continuation, finished answers come out in order, and none is
missed (Hart, Nilsson & Raphael, A formal basis for the heuristic determination of minimum cost paths, IEEE
Transactions on Systems Science and Cybernetics 4 (1968), 100-107). Where the bound is exact, as it is after dynamic
programming, hardly anything is opened in vain.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from heapq import heappop, heappush
from typing import TypeVar

State = TypeVar("State")
Bounded = Iterable[tuple[float, State]]


def best_first(
    starts: Bounded[State], grow: Callable[[State], Bounded[State]], finished: Callable[[State], bool]
) -> Iterator[tuple[float, State]]:
    """Give finished answers, the cheapest first.

    Parameters
    ----------
    starts : iterable of (float, State)
        Beginnings, each with its bound.
    grow : callable
        What follows from a state, each with its bound, which is never below that of the state.
    finished : callable
        Whether a state is an answer; it may grow on all the same.

    Yields
    ------
    (float, State)
        Cost and answer. Equals come in an order that is always the same: what was begun last is finished first.

    Examples
    --------
    >>> grow = lambda s: [(sum(s) + n, (*s, n)) for n in (1, 2)] if len(s) < 2 else []
    >>> [answer for _, answer in best_first([(0, ())], grow, lambda s: len(s) == 2)]
    [(1, 1), (2, 1), (1, 2), (2, 2)]
    """
    heap: list[tuple[float, int, State]] = []
    serial = 0

    def push(reached: Bounded[State]) -> None:
        nonlocal serial
        for bound, state in reversed(list(reached)):
            serial -= 1  # the youngest of equals first: deep before wide
            heappush(heap, (bound, serial, state))

    push(starts)
    while heap:
        cost, _, state = heappop(heap)
        if finished(state):
            yield cost, state
        push(grow(state))


Answer = TypeVar("Answer")


def unlike(
    ranked: Iterable[Answer], limit: int, differ: Callable[[Answer, Answer], float], *, apart: float, look: int = 2000
) -> tuple[tuple[Answer, ...], bool]:
    """Take the best answers that are unlike each other.

    Parameters
    ----------
    ranked : iterable
        Answers, the best first.
    limit : int
        At most so many are taken.
    differ : callable
        How unlike two answers are.
    apart : float
        Each one taken differs at least so much from every one taken before it.
    look : int
        At most so many are passed over.

    Returns
    -------
    tuple of (tuple, bool)
        What was taken, and whether something was left that was not looked at.

    Examples
    --------
    >>> unlike([1, 2, 3, 9, 10, 20], 2, lambda a, b: abs(a - b), apart=5)
    ((1, 9), True)
    """
    taken: list[Answer] = []
    for seen, answer in enumerate(ranked):
        if len(taken) == limit or seen - len(taken) == look:
            return tuple(taken), True
        if all(differ(answer, other) >= apart for other in taken):
            taken.append(answer)
    return tuple(taken), False
