import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.nearest import nearest
from sonorarium.score.search.query import Query
from sonorarium.shelf import merging
from sonorarium.shelf import snapshot as snapshots
from sonorarium.shelf.folder import FolderResult, search_folder, search_nearest
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.searching import OUTDATED, is_tabulated, search_shelf
from sonorarium.shelf.shelf import Shelf
from tests.shelf.library import fill

QUERIES = (
    Query.of("4-19"),
    Query.of("3-11", kind="line"),
    Query.of("3-11A"),
    Query.of("C E G"),
    Query.of("1-1", kind=["chord", "texture"]),
    Query.of("7-35", least_notes=12),
    Query.of("4-27", least_quarters=3.5),
    Query.of("12-1"),
    Query.of("6-20"),
    Query.of("8-28", tolerance=0.2),
    Query.of("5-35", parts=["Soprano"]),
    Query.of("3-11", parts=[0, 1], kind="texture", least_notes=5),
)


@pytest.mark.parametrize("query", QUERIES, ids=lambda q: f"{q.name} {q.kinds[0]}")
@pytest.mark.parametrize("limit", [None, 7])
def test_the_answer_is_that_of_the_files(query: Query, limit: int | None, indexed: Shelf, library: Path) -> None:
    assert search_shelf(indexed, query, limit=limit) == search_folder([library], query, limit=limit, jobs=1)


@pytest.mark.parametrize("query", [QUERIES[0], QUERIES[7], QUERIES[9], QUERIES[10]], ids=lambda q: q.name)
def test_it_says_how_much_was_looked_at(query: Query, indexed: Shelf, library: Path) -> None:
    found, expected = search_shelf(indexed, query), search_folder([library], query, jobs=1)
    assert found.files == expected.files > 0
    if not query.parts:  # of scores without the part, nothing is looked at either way
        assert (found.bars, found.notes) == (expected.bars, expected.notes)


def test_several_sets_in_a_row_are_found_as_in_the_files(indexed: Shelf, library: Path) -> None:
    chain = Chain.of("3-11 then 3-10 within 2 quarters", kind="chord")
    found = search_shelf(indexed, chain, limit=7)
    assert found == search_folder([library], chain, limit=7, jobs=1)
    assert found.count > 0


def test_what_comes_nearest_is_that_of_the_files(indexed: Shelf, library: Path) -> None:
    query = Query.of("6-35", kind="chord")
    assert search_shelf(indexed, query).count == 0
    found = nearest(query, (), lambda near: search_shelf(indexed, near, limit=5).passages)
    assert found == search_nearest([library], query, jobs=1).passages
    assert found


def test_something_is_found_both_ways(indexed: Shelf) -> None:
    """So that the comparison above is not one of empty answers."""
    found = [search_shelf(indexed, query).count for query in QUERIES]
    assert sum(count > 0 for count in found) >= 10


def test_most_queries_need_no_score() -> None:
    assert [is_tabulated(query) for query in QUERIES] == [True] * 9 + [False] * 3


def test_an_option_unknown_to_the_tables_is_left_to_the_scores(indexed: Shelf) -> None:
    @dataclass(frozen=True)
    class Stricter(Query):
        best_only: bool = False

    plain = Query.of("4-19")
    assert not is_tabulated(Stricter(plain.subject, best_only=True))


def test_copies_and_damaged_files_are_told_as_for_files(shelf: Shelf, folder: Path) -> None:
    shutil.copy(folder / "a/01.mxl", folder / "copy.mxl")
    (folder / "bad.xml").write_text("<score")
    (folder / "empty.mxl").write_text("")
    add_folders(shelf, [folder], jobs=1)
    for query in (Query.of("4-19"), Query.of("4-19", tolerance=0.1), Query.of("4-19", parts=["Alto"])):
        for limit in (None, 3):
            result = search_shelf(shelf, query, limit=limit)
            assert result == search_folder([folder], query, limit=limit, jobs=1)
            assert len(result.unsearched) >= 2


def test_many_batches_give_one_answer(shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(merging, "FEW_BATCHES", 99)
    for i in range(3):
        add_folders(shelf, [fill(tmp_path / f"music{i}", 2 + i)], jobs=1)
    assert len(shelf.snapshot().batches) > 3
    folders = [tmp_path / f"music{i}" for i in range(3)]
    for query in (Query.of("4-19"), Query.of("3-11", least_notes=4)):
        for limit in (1, 5, 30):
            assert search_shelf(shelf, query, limit=limit) == search_folder(folders, query, limit=limit, jobs=1)


def test_progress_is_told_where_it_takes_long(indexed: Shelf) -> None:
    seen: list[tuple[int, int]] = []
    search_shelf(indexed, Query.of("3-11", tolerance=0.1), progress=lambda done, of: seen.append((done, of)))
    assert seen[-1] == (4, 4)


def test_scores_of_another_version_are_named(shelf: Shelf, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add_folders(shelf, [folder], jobs=1)
    monkeypatch.setattr(snapshots, "rules", lambda: "other")
    result = search_shelf(Shelf(shelf.folder), Query.of("4-19"))
    assert (result.count, result.files) == (0, 0)
    assert {one.reason for one in result.unsearched} == {OUTDATED}
    assert len(result.unsearched) == 4


def test_an_empty_shelf_gives_an_empty_answer(shelf: Shelf) -> None:
    assert search_shelf(shelf, Query.of("4-19")) == FolderResult()


def test_a_limit_of_nothing_is_refused(indexed: Shelf) -> None:
    with pytest.raises(InputError, match=r"Limit must be 1 or more\."):
        search_shelf(indexed, Query.of("4-19"), limit=0)
