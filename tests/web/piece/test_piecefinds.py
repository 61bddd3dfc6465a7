"""The passages of a set in one piece."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find
from sonorarium.web.piece.piecefinds import LISTED, passages_facts, passages_of
from tests.web.conftest import DEMO


@pytest.fixture(scope="module")
def boat() -> Score:
    return read_score(DEMO / "pieces" / "4-boat-without-oars.musicxml")


def test_passages_are_those_of_the_search_best_first(boat: Score) -> None:
    told, found = passages_facts(boat, "k", "4-19"), find(boat, "4-19")
    assert told.count == len(found) > 0
    assert [(one.kind, one.onset, one.end) for one in told.passages] == [
        (one.kind, one.extent.onset, one.extent.end) for one in found[:LISTED]
    ]
    saliences = [one.salience["total"] for one in told.passages]
    assert saliences == sorted(saliences, reverse=True)


def test_no_more_are_listed_than_can_be_looked_over(boat: Score) -> None:
    told = passages_facts(boat, "k", "2-3")
    assert told.count > LISTED == len(told.passages)


def test_what_is_not_understood_is_refused(boat: Score) -> None:
    with pytest.raises(InputError):
        passages_of(boat, "no such set at all")
