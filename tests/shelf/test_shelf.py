from pathlib import Path

import platformdirs
import pytest

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.reading import read_score
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import VARIABLE, Shelf, open_shelf, shelf_folder
from sonorarium.shelf.snapshot import Snapshot
from tests.shelf.test_tables import same


def test_where_it_lies(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)
    assert shelf_folder() == platformdirs.user_data_path("sonorarium", appauthor=False) / "shelf"
    monkeypatch.setenv(VARIABLE, str(tmp_path))
    assert shelf_folder() == tmp_path
    assert shelf_folder(tmp_path / "other") == tmp_path / "other"


def test_an_empty_place_is_no_shelf(shelf: Shelf) -> None:
    assert not shelf.exists
    with pytest.raises(InputError, match=r"There is no shelf in .*shelf\. .*sonorarium shelf add FOLDER"):
        open_shelf(shelf.folder)
    assert shelf.snapshot().files == {}


def test_scores_are_made_again(indexed: Shelf, library: Path) -> None:
    assert open_shelf(indexed.folder).exists
    for path in library.rglob("*.mxl"):
        assert same(indexed.score(path), read_score(path))
    with pytest.raises(InputError, match=r"nowhere\.mxl is not on the shelf"):
        indexed.score(library / "nowhere.mxl")


def test_a_damaged_score_says_why(shelf: Shelf, folder: Path) -> None:
    (folder / "bad.xml").write_text("<score")
    add_folders(shelf, [folder], jobs=1)
    with pytest.raises(DamagedError, match=r"bad\.xml: The XML is damaged"):
        shelf.score(folder / "bad.xml")


def test_a_snapshot_is_kept_until_the_shelf_changes(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder / "a"], jobs=1)
    before = shelf.snapshot()
    assert shelf.snapshot() is before
    add_folders(shelf, [folder], jobs=1)
    assert shelf.snapshot() is not before
    assert (len(before.files), len(shelf.snapshot().files)) == (2, 4)


def test_a_question_is_asked_again_when_tables_were_replaced(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder / "a"], jobs=1)
    asked: list[Snapshot] = []

    def question(snapshot: Snapshot) -> int:
        asked.append(snapshot)
        if len(asked) == 1:  # while the first answer is being made, another hand replaces all there is
            for path in snapshot.batches[0].folder.iterdir():
                path.unlink()
            add_folders(Shelf(shelf.folder), [folder], jobs=1)
        return len(snapshot.files)

    assert shelf.ask(question) == 4
    assert len(asked) == 2


def test_damage_is_told_when_nothing_was_replaced(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    for path in shelf.snapshot().batches[0].folder.iterdir():
        path.unlink()
    with pytest.raises(DamagedError, match="damaged or missing"):
        Shelf(shelf.folder).ask(lambda snapshot: len(snapshot.files))
