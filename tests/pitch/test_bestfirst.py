"""Answers come in order, and unlike ones are picked from the best down."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pitch.bestfirst import best_first, unlike

Digits = tuple[int, ...]


@given(st.integers(1, 4), st.lists(st.integers(0, 5), min_size=1, max_size=3))
def test_every_answer_comes_once_and_in_order(length: int, prices: list[int]) -> None:
    def grow(taken: Digits) -> Iterator[tuple[float, Digits]]:
        if len(taken) < length:
            yield from ((sum(prices[i] for i in (*taken, n)), (*taken, n)) for n in range(len(prices)))

    nothing: Digits = ()
    found = list(best_first([(0, nothing)], grow, lambda taken: len(taken) == length))
    assert sorted(answer for _, answer in found) == sorted(product(range(len(prices)), repeat=length))
    assert [cost for cost, _ in found] == sorted(sum(prices[i] for i in answer) for _, answer in found)


@given(st.lists(st.integers(0, 50)), st.integers(1, 6), st.integers(1, 9))
def test_unlike_answers_are_the_first_that_differ_enough(ranked: list[int], limit: int, apart: int) -> None:
    taken, cut = unlike(ranked, limit, lambda a, b: abs(a - b), apart=apart)
    expected: list[int] = []
    for answer in ranked:
        if len(expected) < limit and all(abs(answer - other) >= apart for other in expected):
            expected.append(answer)
    assert list(taken) == expected
    assert cut == (len(taken) == limit and ranked.index(taken[-1]) < len(ranked) - 1)


def test_passing_over_has_an_end() -> None:
    assert unlike([1] * 50 + [9], 2, lambda a, b: abs(a - b), apart=5, look=10) == ((1,), True)
