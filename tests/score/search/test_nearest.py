"""What came near: the least number of semitones at which anything is found, and only for what was not found."""

from __future__ import annotations

from pathlib import Path

from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find
from sonorarium.score.search.nearest import nearest
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from sonorarium.score.search.question import Typed, question

PIECE = Path(__file__).parents[3] / "demo" / "pieces" / "3-the-well.musicxml"


def search(query: Query) -> tuple[Passage, ...]:
    return tuple(find(read_score(PIECE), query))[:3]


def test_the_nearest_are_as_near_as_can_be() -> None:
    asked = Query.of("7-33", kind="texture")
    assert search(asked) == ()
    found = nearest(asked, (), search)
    assert found
    distance = {one.near.semitones for one in found if one.near}
    assert len(distance) == 1
    (semitones,) = distance
    if semitones == 2:
        assert not search(question("7-33", Typed(kind=("texture",), near=1)))  # type: ignore[arg-type]


def test_only_what_was_not_found_of_a_row_is_looked_for() -> None:
    row = question("5-6 then 7-33", Typed(kind=("texture",)))
    looked_for: list[str] = []

    def noted(query: Query) -> tuple[Passage, ...]:
        looked_for.append(query.name)
        return search(query)

    nearest(row, (4, 0), noted)
    assert set(looked_for) == {"7-33"}


def test_what_was_asked_for_as_near_is_not_widened() -> None:
    assert nearest(question("7-33", Typed(near=1)), (), search) == ()
