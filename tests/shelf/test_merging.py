from pathlib import Path

import pytest

from sonorarium.score.reading import read_score
from sonorarium.score.search.query import Query
from sonorarium.shelf import indexing, merging
from sonorarium.shelf.folder import search_folder
from sonorarium.shelf.indexing import add_folders, drop_folder
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.shelf import Shelf
from tests.shelf.library import fill
from tests.shelf.test_tables import same


def test_small_batches_become_one(shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(indexing, "MOST_FILES", 1)
    folder = fill(tmp_path / "many", 10)
    (folder / "bad.mxl").write_text("")
    add_folders(shelf, [folder], jobs=1)
    (batch,) = shelf.snapshot().batches
    batch.check()
    assert batch.entry.scores == 10
    for path, row in shelf.snapshot().files.items():
        assert row.status == "damaged" or same(shelf.score(path), read_score(path))
    query = Query.of("4-19")
    assert search_shelf(shelf, query) == search_folder([folder], query, jobs=1)


def test_large_batches_are_left_alone(shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(indexing, "MOST_FILES", 1)
    monkeypatch.setattr(merging, "SMALL_NOTES", 1)
    add_folders(shelf, [fill(tmp_path / "many", 6)], jobs=1)
    assert len(shelf.snapshot().batches) == 6
    monkeypatch.setattr(merging, "SMALL_NOTES", 10_000)
    monkeypatch.setattr(merging, "LARGE_NOTES", 300)
    add_folders(shelf)
    assert 1 < len(shelf.snapshot().batches) < 6


def test_what_was_dropped_is_left_out(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder / "a"], jobs=1)
    add_folders(shelf, [folder / "b"], jobs=1)
    before = {batch.entry.name for batch in shelf.snapshot().batches}
    drop_folder(shelf, folder / "a")
    assert list(shelf.snapshot().files) == [str(folder / "b/c/00.mxl"), str(folder / "b/c/02.mxl")]
    assert sum(batch.entry.scores for batch in shelf.snapshot().batches) == 2
    assert not {batch.entry.name for batch in shelf.snapshot().batches} >= before
    drop_folder(shelf, folder / "b")
    assert shelf.snapshot().batches == ()


def test_gone_is_remembered_as_long_as_another_batch_knows_the_file(
    shelf: Shelf, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(merging, "SMALL_NOTES", 0)
    add_folders(shelf, [folder], jobs=1)
    drop_folder(shelf, folder / "a/01.mxl")
    monkeypatch.setattr(merging, "SMALL_NOTES", 100)
    monkeypatch.setattr(merging, "FEW_BATCHES", 0)
    for name in ("a/03.mxl", "b/c/00.mxl"):
        drop_folder(shelf, folder / name)
        assert str(folder / "a/01.mxl") not in shelf.snapshot().files
    assert list(shelf.snapshot().files) == [str(folder / "b/c/02.mxl")]
