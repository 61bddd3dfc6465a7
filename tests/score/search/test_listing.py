from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find, find_best
from sonorarium.score.search.listing import BEST_FIRST, BY, By, Listing
from sonorarium.score.search.nearness import Near
from sonorarium.score.search.query import Query
from tests.score.random_scores import scores


def test_an_order_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match=r"listed by 'beauty'\. Choose salience, teachability, place\."):
        Listing("beauty")  # type: ignore[arg-type]
    assert eval(repr(Listing("place", True))) == Listing("place", True)
    assert Listing() == BEST_FIRST


@settings(max_examples=80, deadline=None)
@given(scores(least=8), st.sampled_from(BY), st.integers(1, 5), st.sampled_from([Near(), Near(1)]))
def test_passages_come_in_the_order_asked_for(score: Score, by: By, limit: int, near: Near) -> None:
    query = replace(Query.of("2-2"), near=near)
    listed = replace(query, listing=Listing(by))
    every = find(score, query)
    found = find(score, listed)
    assert found == sorted(every, key=lambda p: p.key(by))
    assert find_best(score, listed, limit).passages == tuple(found[:limit])
    if by == "place":
        assert [p.onset for p in found] == sorted(p.onset for p in every)
    if by == "teachability" and near.is_exact:
        ease = [p.teachability.total for p in found if p.teachability]
        assert ease == sorted(ease, reverse=True)
        assert len(ease) == len(every)
