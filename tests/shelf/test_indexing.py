import multiprocessing
import os
import shutil
import signal
import threading
import time
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.score.reading import read_score
from sonorarium.score.search.query import Query
from sonorarium.shelf import indexing
from sonorarium.shelf import snapshot as snapshots
from sonorarium.shelf.checking import check_shelf
from sonorarium.shelf.folder import search_folder
from sonorarium.shelf.indexing import DIED, Progress, add_folders, drop_folder
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.statistics import class_use
from tests.shelf.library import fill, line, start
from tests.shelf.working import index_or_die

QUERY = Query.of("4-19")

ADD = """
    indexing.MOST_FILES = 2
    told = lambda at: print(at.done, flush=True)
    add_folders(Shelf(Path(sys.argv[1])), [sys.argv[2]], jobs=int(sys.argv[3]), progress=told)
    print("done", flush=True)
"""

ADD_AND_WAIT = """
    indexing.MOST_FILES = 2
    def told(at):
        print(at.done, flush=True)
        if at.done == 6:
            time.sleep(60)
    add_folders(Shelf(Path(sys.argv[1])), [sys.argv[2]], jobs=int(sys.argv[3]), progress=told)
"""


def agrees(shelf: Shelf, folder: Path) -> bool:
    return search_shelf(shelf, QUERY) == search_folder([folder], QUERY, jobs=1)


def test_later_runs_read_what_is_new(shelf: Shelf, folder: Path) -> None:
    first = add_folders(shelf, [folder], jobs=1)
    assert (first.files, first.indexed, first.unchanged) == (4, 4, 0)
    assert first.notes == sum(row.notes for row in shelf.snapshot().scores.values())
    again = add_folders(shelf, [folder], jobs=1)
    assert (again.files, again.indexed, again.unchanged, again.notes) == (4, 0, 4, 0)
    shutil.copy(folder / "a/01.mxl", folder / "copy.mxl")
    (folder / "a/03.mxl").unlink()
    with (folder / "b/c/00.mxl").open("ab") as file:
        file.write(b"\0")
    third = add_folders(shelf, jobs=1)
    assert (third.files, third.indexed, third.unchanged) == (4, 1, 3)
    assert third.gone == (str(folder / "a/03.mxl"),)
    assert agrees(shelf, folder)


def test_a_damaged_file_is_listed_and_stops_nothing(shelf: Shelf, folder: Path) -> None:
    (folder / "bad.xml").write_text("<score")
    for _ in range(2):
        added = add_folders(shelf, [folder], jobs=1)
        assert [(row.path, row.reason) for row in added.damaged] == [
            (str(folder / "bad.xml"), "bad.xml: The XML is damaged at line 1.")
        ]
    assert added.unchanged == 4
    shutil.copy(folder / "a/01.mxl", folder / "bad.xml")
    assert add_folders(shelf, jobs=1).damaged == ()
    assert agrees(shelf, folder)


def test_an_unforeseen_fault_loses_one_file_only(shelf: Shelf, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail_on_one(path: str) -> object:
        if path.endswith("01.mxl"):
            raise ZeroDivisionError("a bar of no length")
        return read_score(path)

    monkeypatch.setattr(indexing, "read_score", fail_on_one)
    added = add_folders(shelf, [folder], jobs=1)
    assert added.indexed == 3
    assert added.damaged[0].reason.endswith("not foreseen (ZeroDivisionError: a bar of no length).")


def test_workers_index_what_one_process_does(shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(indexing, "MOST_FILES", 2)
    folder = fill(tmp_path / "many", 12)
    seen: list[Progress] = []
    added = add_folders(shelf, [folder], jobs=2, progress=seen.append)
    assert (added.indexed, [at.done for at in seen]) == (12, [2, 4, 6, 8, 10, 12])
    assert seen[-1] == Progress(12, 12, added.notes)
    assert agrees(shelf, folder)
    alone = Shelf(tmp_path / "alone")
    add_folders(alone, [folder], jobs=1)
    assert class_use(alone) == class_use(shelf)


def test_the_death_of_a_worker_loses_one_file_only(
    shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(indexing, "MOST_FILES", 2)
    monkeypatch.setattr(indexing, "index_task", index_or_die)
    folder = fill(tmp_path / "many", 8)
    shutil.copy(folder / "a/01.mxl", folder / "deadly.mxl")
    added = add_folders(shelf, [folder], jobs=2)
    assert [(row.path, row.reason) for row in added.damaged] == [(str(folder / "deadly.mxl"), DIED)]
    assert added.indexed == 8
    assert check_shelf(shelf).is_sound
    (folder / "deadly.mxl").unlink()
    add_folders(shelf, [folder], jobs=1)
    assert agrees(shelf, folder)


@pytest.mark.parametrize("jobs", [1, 2])
def test_killed_in_mid_run_nothing_that_was_done_is_lost(shelf: Shelf, tmp_path: Path, jobs: int) -> None:
    folder = fill(tmp_path / "many", 12)
    with start(ADD_AND_WAIT, shelf.folder, folder, jobs) as process:
        assert [line(process) for _ in range(3)] == ["2", "4", "6"]
        with pytest.raises(InputError, match=rf"being written to by another process \(number {process.pid}\)"):
            add_folders(shelf, [folder], jobs=1)
        assert len(shelf.snapshot().scores) == 6  # readers see what is done so far
        search_shelf(shelf, QUERY)
        process.send_signal(signal.SIGKILL)
        process.communicate(timeout=60)  # returns when the workers, which share the pipes, have ended too
    assert check_shelf(shelf).is_sound
    added = add_folders(shelf, [folder], jobs=1)
    assert (added.unchanged, added.indexed) == (6, 6)
    assert agrees(shelf, folder)


def test_killed_at_any_moment_it_goes_on(shelf: Shelf, tmp_path: Path) -> None:
    folder = fill(tmp_path / "many", 24)
    done = 0
    for attempt in range(60):
        with start(ADD, shelf.folder, folder, 2) as process:
            if line(process) != "done":
                time.sleep(0.004 * attempt)
                process.send_signal(signal.SIGKILL)
            process.communicate(timeout=60)
        check = check_shelf(shelf)
        assert check.is_sound
        assert check.files >= done, "what had been indexed was lost"
        done = check.files
        if done == 24 and attempt > 3:
            break
    assert done == 24
    assert add_folders(shelf, [folder], jobs=1).unchanged == 24
    assert agrees(shelf, folder)


def test_readers_see_one_state_while_another_process_writes(shelf: Shelf, tmp_path: Path) -> None:
    kept, changing = fill(tmp_path / "kept", 2), fill(tmp_path / "changing", 6)
    add_folders(shelf, [kept], jobs=1)
    few = search_shelf(shelf, QUERY).count
    more = few + search_folder([changing], QUERY, jobs=1).count
    script = """
        for _ in range(8):
            add_folders(Shelf(Path(sys.argv[1])), [sys.argv[2]], jobs=1)
            drop_folder(Shelf(Path(sys.argv[1])), sys.argv[2])
    """
    seen: set[tuple[int, int]] = set()
    faults: list[BaseException] = []

    def read(process_is_on: threading.Event) -> None:
        reader = Shelf(shelf.folder)
        try:
            while process_is_on.is_set():
                seen.add((search_shelf(reader, QUERY, limit=5).count, sum(u.count > 0 for u in class_use(reader))))
        except BaseException as error:
            faults.append(error)

    on = threading.Event()
    on.set()
    threads = [threading.Thread(target=read, args=(on,)) for _ in range(3)]
    for thread in threads:
        thread.start()
    with start(script, shelf.folder, changing) as process:
        _, said = process.communicate(timeout=120)
    on.clear()
    for thread in threads:
        thread.join()
    assert (process.returncode, said) == (0, "")
    assert faults == []
    # What is added comes in two steps: copies of what is on the shelf already, then what has to be read.
    assert {few} <= {count for count, _ in seen} <= {few, 2 * few, more}


def test_an_interruption_passes_on_and_keeps_what_was_done(
    shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(indexing, "MOST_FILES", 2)
    folder = fill(tmp_path / "many", 12)

    def interrupt(at: Progress) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        add_folders(shelf, [folder], jobs=2, progress=interrupt)
    assert multiprocessing.active_children() == []
    assert len(shelf.snapshot().scores) == 2
    assert add_folders(shelf, jobs=1).indexed == 10


def test_a_moved_folder_is_not_read_again(shelf: Shelf, folder: Path, tmp_path: Path) -> None:
    (folder / "bad.xml").write_text("<score")
    add_folders(shelf, [folder], jobs=1)
    moved = tmp_path / "elsewhere"
    folder.rename(moved)
    stay = add_folders(shelf, jobs=1)
    assert (stay.files, stay.missing, len(shelf.snapshot().files)) == (0, (str(folder),), 5)
    added = add_folders(shelf, [moved], jobs=1)
    assert (added.indexed, added.unchanged, len(added.gone)) == (0, 4, 4)
    assert shelf.snapshot().manifest.folders == (str(moved),)
    assert agrees(shelf, moved)


def test_a_moved_shelf_works_on(shelf: Shelf, folder: Path, tmp_path: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    moved = Shelf(shelf.folder.rename(tmp_path / "other place"))
    assert agrees(moved, folder)
    assert add_folders(moved, jobs=1).unchanged == 4


def test_other_rules_make_it_read_all_again(shelf: Shelf, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "bad.xml").write_text("<score")
    batch = "sonorarium.shelf.writing.rules"
    with monkeypatch.context() as patch:
        patch.setattr(batch, lambda: "earlier")
        patch.setattr(snapshots, "rules", lambda: "earlier")
        add_folders(shelf, [folder], jobs=1)
    added = add_folders(shelf, jobs=1)
    assert (added.indexed, added.unchanged, len(added.damaged)) == (4, 0, 1)
    assert len(shelf.snapshot().batches) == 1
    assert agrees(shelf, folder)


def test_afresh_reads_all_again(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    assert add_folders(shelf, [folder / "a"], afresh=True, jobs=1).indexed == 2
    assert len(shelf.snapshot().files) == 2
    with pytest.raises(InputError, match="Nothing was named"):
        add_folders(shelf, afresh=True)


def test_folders_are_dropped_and_the_files_stay(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    assert drop_folder(shelf, folder / "b") == 2
    assert shelf.snapshot().manifest.folders == (str(folder),)
    assert agrees(shelf, folder / "a")
    assert drop_folder(shelf, folder) == 2
    assert shelf.snapshot().manifest.folders == ()
    assert len(list(folder.rglob("*.mxl"))) == 4
    with pytest.raises(InputError, match="is not on the shelf"):
        drop_folder(shelf, folder)


def test_what_makes_no_sense_is_refused_before_anything_is_written(shelf: Shelf, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"There is no file or folder .*nowhere\."):
        add_folders(shelf, [tmp_path / "nowhere"])
    with pytest.raises(InputError, match=r"Jobs must be 1 or more\."):
        add_folders(shelf, [tmp_path], jobs=0)
    assert not os.path.exists(shelf.folder)  # noqa: PTH110
