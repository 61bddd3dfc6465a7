import os
import shutil
from pathlib import Path

from sonorarium.shelf.folder import score_files
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.planning import NAMELESS, Plan, look_at, make_plan, no_longer_there
from sonorarium.shelf.shelf import Shelf


def plan_of(shelf: Shelf, folder: Path) -> Plan:
    return make_plan(shelf.snapshot(), [str(path) for path in score_files([folder])])


def test_only_what_is_new_or_changed_is_read(shelf: Shelf, folder: Path) -> None:
    assert len(plan_of(shelf, folder).to_read) == 4
    add_folders(shelf, [folder], jobs=1)
    plan = plan_of(shelf, folder)
    assert (plan.to_read, plan.known, len(plan.unchanged)) == ([], [], 4)
    os.utime(folder / "a/01.mxl")
    shutil.copy(folder / "a/03.mxl", folder / "copy.mxl")
    with (folder / "b/c/00.mxl").open("ab") as file:
        file.write(b"\0")
    plan = plan_of(shelf, folder)
    assert plan.to_read == [str(folder / "b/c/00.mxl")]
    assert [row.path for row in plan.known] == [str(folder / "a/01.mxl"), str(folder / "copy.mxl")]
    assert len(plan.unchanged) == 2


def test_the_same_size_and_other_bytes_are_noticed(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    path = folder / "a/01.mxl"
    data = bytearray(path.read_bytes())
    data[-1] ^= 1
    path.write_bytes(data)
    os.utime(path, ns=(1, 1))
    assert plan_of(shelf, folder).to_read == [str(path)]


def test_a_correction_file_is_part_of_what_is_read(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    path = folder / "a/01.mxl"
    place = path.with_name(f"{path.name}.corrections.toml")
    place.write_text('title = "Another title"')
    assert plan_of(shelf, folder).to_read == [str(path)]
    add_folders(shelf, [folder], jobs=1)
    assert plan_of(shelf, folder).to_read == []
    assert shelf.score(path).title == "Another title"
    assert shelf.score(folder / "a/03.mxl").title != "Another title"
    place.unlink()
    assert make_plan(shelf.snapshot(), [str(path)]).unchanged == []


def test_what_has_left_or_moved_goes(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    (folder / "a/01.mxl").unlink()
    plan = plan_of(shelf, folder)
    files = [str(path) for path in score_files([folder])]
    assert no_longer_there(shelf.snapshot(), [str(folder)], files, plan) == [str(folder / "a/01.mxl")]
    assert no_longer_there(shelf.snapshot(), [str(folder / "b")], files, plan) == []
    moved = folder.parent / "elsewhere"
    folder.rename(moved)
    plan = plan_of(shelf, moved)
    assert (plan.to_read, len(plan.known)) == ([], 3)
    left = no_longer_there(shelf.snapshot(), [str(moved)], [row.path for row in plan.known], plan)
    assert len(left) == 3


def test_a_name_that_is_no_text_is_told(shelf: Shelf, folder: Path) -> None:
    path = os.fsdecode(bytes(folder) + b"/\xff.mxl")
    shutil.copy(folder / "a/01.mxl", path)
    plan = plan_of(shelf, folder)
    assert [(row.status, row.reason) for row in plan.nameless] == [("damaged", NAMELESS)]
    assert len(plan.to_read) == 4


def test_a_file_that_is_not_there_has_no_size(tmp_path: Path) -> None:
    assert (look_at(str(tmp_path / "x")).size, look_at(str(tmp_path / "x")).mtime_ns) == (0, 0)
