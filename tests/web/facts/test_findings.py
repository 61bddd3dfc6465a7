"""Answers of the shelf as pages show them: the core's own, page by page; the address says all of the question."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.nearest import nearest
from sonorarium.score.search.question import Typed
from sonorarium.shelf.folding import search_folded
from sonorarium.shelf.searching import search_shelf
from sonorarium.web.facts.findings import (
    PAGE,
    Asked,
    address_of,
    fields_of,
    finds_of,
    folded_words,
    gaps_in_words,
    near_by,
    searched,
)
from sonorarium.web.jobs import JobState
from sonorarium.web.room import Room


def found(room: Room, asked: Asked, page: int = 1) -> object:
    """The answer, waited for."""
    while isinstance(result := searched(room, asked, page, "/find"), JobState):
        pass
    return finds_of(asked, page, result)


def test_the_answer_is_the_shelf_s(room: Room) -> None:
    asked = Asked("4-19", Typed(kind=("line",)))
    told = found(room, asked)
    known = search_folded(room.shelf, asked.question, limit=PAGE)  # type: ignore[arg-type]
    assert (told.count, told.files, told.folded) == (known.count, known.files, known.folded)  # type: ignore[attr-defined]
    assert [one.onset for one in told.passages] == [one.onset for one in known.passages]  # type: ignore[attr-defined]


def test_pages_follow_each_other_without_gap_or_repeat(room: Room) -> None:
    asked = Asked("3-11", Typed(every=True))
    first, second = found(room, asked), found(room, asked, 2)
    known = search_shelf(room.shelf, asked.question, limit=2 * PAGE).passages
    assert len(known) == 2 * PAGE, "the demo has enough triads for two pages"
    told = [(one.piece, one.onset, one.kind, one.set) for page in (first, second) for one in page.passages]  # type: ignore[attr-defined]
    assert [key[1:3] for key in told] == [(one.onset, one.kind) for one in known]
    assert (first.first, first.last, second.first, second.last) == (1, PAGE, PAGE + 1, 2 * PAGE)  # type: ignore[attr-defined]
    assert first.pages >= 2 and second.pages >= 2  # type: ignore[attr-defined]


def test_a_row_tells_its_links_and_gaps(room: Room) -> None:
    told = found(room, Asked("5-6 then 5-15 within two bars"))
    assert told.count == len(told.chains) > 0  # type: ignore[attr-defined]
    assert [one.set for one in told.links] == ["5-6", "5-15"]  # type: ignore[attr-defined]
    for chain in told.chains:  # type: ignore[attr-defined]
        assert len(gaps_in_words(chain)) == 1
        assert chain.first == chain.passages[0].first and chain.last >= chain.passages[1].first


def test_what_came_near_is_the_core_s(room: Room) -> None:
    asked = Asked("7-33")
    while isinstance(near := near_by(room, asked, "/find"), JobState):
        pass
    known = nearest(asked.question, (), lambda query: search_shelf(room.shelf, query, limit=4).passages)
    assert near == known and near


def test_the_address_holds_the_whole_question() -> None:
    typed = Typed(
        ("line", "chord"), ("Voice", "Piano"), "Tn", True, True, None, 0.1, 2, None, "1 bar", "4 bars", 5, "9-12",
        "C", "B", "place", True,
    )  # fmt: skip
    asked = Asked("5-6 then 5-15", typed, "Anon", "1820", "1830")
    told = parse_qs(urlsplit(address_of(asked, 3)).query)
    assert told["kind"] == ["line", "chord"] and told["page"] == ["3"] and told["besides"] == ["any"]
    assert set(fields_of(asked)) - set(told) == {"alike"}
    assert address_of(Asked("5-15")) == "/find?set=5-15"


def test_repeats_are_said_in_words(room: Room) -> None:
    told = found(room, Asked("3-11", Typed(kind=("chord",))))
    words = [folded_words(one) for one in told.passages]  # type: ignore[attr-defined]
    assert any("at pitch" in one or "transposed" in one for one in words)
    for one, said in zip(told.passages, words, strict=True):  # type: ignore[attr-defined]
        assert bool(said) == bool(one.repeats or one.transposed)


def test_what_is_not_understood_is_an_error_of_the_page() -> None:
    with pytest.raises(InputError):
        Asked("no such set").question  # noqa: B018
