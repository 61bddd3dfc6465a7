import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.reading import read_score
from sonorarium.shelf import snapshot as module
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.snapshot import Snapshot


def test_it_knows_every_file_and_score(indexed: Shelf, library: Path) -> None:
    snapshot = indexed.snapshot()
    files = sorted(str(path) for path in library.rglob("*.mxl"))
    assert list(snapshot.files) == files
    assert sorted(path for paths in snapshot.paths.values() for path in paths) == files
    for number, row in snapshot.scores.items():
        score = read_score(snapshot.paths[number][0])
        assert (row.title, row.composer, row.notes, row.bars) == (
            score.title,
            score.composer,
            len(score.notes),
            len(score.bars),
        )
        assert row.ticks_per_quarter == snapshot.ticks_per_quarter[number] == score.ticks_per_quarter
        assert snapshot.is_live[number]
    assert snapshot.outdated == ()


def test_files_of_equal_content_are_kept_once(shelf: Shelf, folder: Path) -> None:
    shutil.copy(folder / "a/01.mxl", folder / "copy.mxl")
    add_folders(shelf, [folder], jobs=1)
    snapshot = shelf.snapshot()
    assert (len(snapshot.files), len(snapshot.scores)) == (5, 4)
    assert (str(folder / "a/01.mxl"), str(folder / "copy.mxl")) in snapshot.paths.values()


def test_other_rules_make_it_outdated(shelf: Shelf, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add_folders(shelf, [folder], jobs=1)
    monkeypatch.setattr(module, "rules", lambda: "other")
    snapshot = Snapshot(shelf.folder, shelf.snapshot().manifest)
    assert snapshot.scores == {}
    assert snapshot.outdated == tuple(snapshot.files)


def test_the_tables_answer_in_sql(indexed: Shelf) -> None:
    snapshot = indexed.snapshot()
    ((scores,),) = snapshot.rows("SELECT count(*) FROM scores")
    ((notes,),) = snapshot.rows("SELECT count(*) FROM notes")
    assert (scores, notes) == (4, sum(row.notes for row in snapshot.scores.values()))
    assert snapshot.rows("SELECT kind FROM counts WHERE label = ? GROUP BY kind ORDER BY kind", ["3-11A"]) == [
        ("chord",),
        ("line",),
        ("slice",),
        ("texture",),
    ]


def test_many_threads_may_ask_at_once(indexed: Shelf) -> None:
    snapshot = Snapshot(indexed.folder, indexed.snapshot().manifest)
    sql = "SELECT label, sum(count) FROM counts GROUP BY label ORDER BY label"
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda _: snapshot.rows(sql), range(200)))
    assert len(answers[0]) > 100
    assert all(answer == answers[0] for answer in answers)


def test_a_damaged_table_gets_a_sentence(shelf: Shelf, folder: Path) -> None:
    add_folders(shelf, [folder], jobs=1)
    snapshot = shelf.snapshot()
    snapshot.batches[0].path("counts").write_bytes(b"PAR1 no more")
    assert snapshot.scores
    with pytest.raises(DamagedError, match=r"The tables of the shelf .* could not be read\. .*--mend"):
        snapshot.rows("SELECT count(*) FROM counts")
