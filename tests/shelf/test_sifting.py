"""Sifting: by composer and year, alone and in a search, which then tells how much it was put to."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.query import Query
from sonorarium.score.search.question import Typed, question
from sonorarium.shelf.folding import search_folded
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.sifting import Sift
from sonorarium.shelf.snapshot import ScoreRow

DEMO = Path(__file__).parents[2] / "demo" / "pieces"
ROW = ScoreRow(1, "", "Song", "Anna Weiss, arr.", "between 1826 and 1828", 1, 1, 1, 1, 1, 0)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Shelf:
    """The demo pieces, half of them by somebody else."""
    folder = tmp_path_factory.mktemp("pieces")
    for number, piece in enumerate(sorted(DEMO.glob("*.musicxml"))):
        text = piece.read_text(encoding="utf-8")
        if number % 2:
            text = text.replace("Sonorarium demo</creator>", "Other hand</creator>")
        (folder / piece.name).write_text(text, encoding="utf-8")
    shutil.copy(DEMO / "3-the-well.musicxml", folder / "again.musicxml")
    made = Shelf(tmp_path_factory.mktemp("shelf"))
    add_folders(made, [folder], jobs=1)
    return made


def test_a_score_is_let_through_by_part_of_a_name_and_by_year() -> None:
    assert Sift("weiss").lets(ROW) and not Sift("weis s").lets(ROW)
    assert (
        Sift(since=1826, until=1826).lets(ROW) and not Sift(since=1827).lets(ROW) and not Sift(until=1825).lets(ROW)
    )
    undated = replace(ROW, date="n. d.")
    assert Sift().lets(undated) and not Sift(since=1).lets(undated) and not Sift(until=2000).lets(undated)
    with pytest.raises(InputError, match="earlier year first"):
        Sift(since=1830, until=1820)


@pytest.mark.parametrize(
    "typed", [Typed(every=True), Typed(), Typed(by="place"), Typed(kind=("line",), tolerance=0.1)]
)
def test_a_search_finds_the_same_as_where_the_others_are_not_there(shelf: Shelf, typed: Typed) -> None:
    query = question("4-19", typed)
    assert isinstance(query, Query)
    every = search_folded(shelf, query, limit=None)
    mine = search_folded(shelf, query, limit=None, sift=Sift("other"))
    assert 0 < mine.count < every.count
    assert mine.passages == tuple(one for one in every.passages if one.source.composer == "Other hand")
    assert (every.files, mine.files) == (7, 3)


def test_chains_are_sifted_too(shelf: Shelf) -> None:
    chain = question("3-11 then 3-11", Typed(kind=("chord",)))
    found = search_shelf(shelf, chain, limit=None, sift=Sift("other"))
    assert found.files == 3
    assert {one.passages[0].source.composer for one in found.chains} <= {"Other hand"}


def test_nobody_is_an_answer(shelf: Shelf) -> None:
    found = search_shelf(shelf, Query.of("3-11"), sift=Sift("nobody at all"))
    assert (found.count, found.files, found.notes) == (0, 0, 0)
