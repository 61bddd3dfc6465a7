import os
from pathlib import Path

import pytest

from sonorarium.score.search.query import Query
from sonorarium.shelf import snapshot as snapshots
from sonorarium.shelf.checking import check_shelf, mend_shelf
from sonorarium.shelf.folder import search_folder
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.tables import TABLES

QUERY = Query.of("4-19")


def test_a_new_shelf_is_sound(indexed: Shelf) -> None:
    check = check_shelf(indexed)
    assert check.is_sound
    assert check.files == 4
    assert list(check.as_dict()) == [
        "files",
        "is_sound",
        "damaged_tables",
        "changed",
        "missing",
        "outdated",
        "damaged",
    ]


def test_what_changed_is_named(shelf: Shelf, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "bad.xml").write_text("<score")
    add_folders(shelf, [folder], jobs=1)
    os.utime(folder / "a/01.mxl", ns=(1, 1))
    (folder / "b/c/00.mxl").unlink()
    (folder / "b/c/02.mxl.corrections.toml").write_text('title = "x"')
    check = check_shelf(shelf)
    assert not check.is_sound
    assert check.changed == (str(folder / "a/01.mxl"), str(folder / "b/c/02.mxl"))
    assert check.missing == (str(folder / "b/c/00.mxl"),)
    assert [row.path for row in check.damaged] == [str(folder / "bad.xml")]
    add_folders(shelf, jobs=1)
    assert check_shelf(shelf).is_sound
    monkeypatch.setattr(snapshots, "rules", lambda: "other")
    assert len(check_shelf(Shelf(shelf.folder)).outdated) == 3


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("how", ["changed", "cut", "deleted"])
def test_damaged_tables_are_found_and_mended(name: str, how: str, shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder / "a"], jobs=1)
    add_folders(shelf, [folder], jobs=1)
    path = shelf.snapshot().batches[0].path(name)
    data = path.read_bytes()
    if how == "changed":
        path.write_bytes(data[:-20] + bytes([data[-20] ^ 255]) + data[-19:])
    elif how == "cut":
        path.write_bytes(data[: len(data) // 2])
    else:
        path.unlink()
    check = check_shelf(Shelf(shelf.folder))
    assert len(check.damaged_tables) == 1
    assert path.parent.name in check.damaged_tables[0]
    assert mend_shelf(shelf, jobs=1).indexed == 2
    assert check_shelf(shelf).is_sound
    assert search_shelf(shelf, QUERY) == search_folder([folder], QUERY, jobs=1)


def test_putting_a_folder_on_the_shelf_again_mends_what_is_cut_short(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    path = shelf.snapshot().batches[0].path("notes")
    path.write_bytes(path.read_bytes()[:100])
    assert add_folders(shelf, jobs=1).indexed == 4
    assert check_shelf(shelf).is_sound
