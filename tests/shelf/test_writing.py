from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.score.reading import read_score
from sonorarium.shelf import writing as module
from sonorarium.shelf.manifest import read_manifest
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.tables import Entry, FileRow
from sonorarium.shelf.writing import write_batch, writing
from tests.shelf.library import PIECES


def test_a_batch_is_live_once_it_is_committed(shelf: Shelf) -> None:
    with writing(shelf) as hand:
        number = hand.reserve(1)
        folder = hand.new_folder()
        entry = write_batch(folder, [Entry.of(number, "c", read_score(PIECES[0]))], [FileRow("/x", digest="c")])
        assert shelf.snapshot().files == {}
        hand.commit(folder, entry)
        assert list(shelf.snapshot().files) == ["/x"]
    assert [row.content for row in shelf.snapshot().scores.values()] == ["c"]
    assert read_manifest(shelf.folder).next_score == 1


def test_what_was_left_behind_is_cleared_away(shelf: Shelf) -> None:
    with writing(shelf) as hand:
        hand.commit_files([FileRow("/x", status="damaged")])
        write_batch(hand.new_folder(), [], [FileRow("/y")])
    assert len(list((shelf.folder / "tables").iterdir())) == 2
    with writing(shelf) as hand:
        hand.remove([])
    (batch,) = shelf.snapshot().batches
    assert list((shelf.folder / "tables").iterdir()) == [batch.folder]


def test_removed_batches_stay_until_the_next_writing(shelf: Shelf) -> None:
    """Who reads an older snapshot finds its tables."""
    with writing(shelf) as hand:
        hand.commit_files([FileRow("/x")])
    before = shelf.snapshot()
    with writing(shelf) as hand:
        hand.remove([before.batches[0].entry.name])
    assert list(before.files) == ["/x"]
    assert shelf.snapshot().files == {}
    with writing(shelf):
        assert not before.batches[0].folder.exists()


def test_afresh_forgets_all_even_a_damaged_list(shelf: Shelf) -> None:
    with writing(shelf) as hand:
        hand.commit_files([FileRow("/x")])
    (shelf.folder / "manifest.json").write_text("{")
    with writing(shelf, afresh=True) as hand:
        assert hand.manifest.batches == ()
    assert shelf.snapshot().files == {}


def test_a_full_disk_gets_a_sentence(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> dict[str, int]:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module, "write_tables", fail)
    with (
        writing(shelf) as hand,
        pytest.raises(InputError, match=r"could not be written to .*: No space left on device\. What was indexed"),
    ):
        hand.commit_files([FileRow("/x")])


def test_paths_with_signs_of_sql_are_only_paths(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path / "it's [a] shelf; --")
    with writing(shelf) as hand:
        folder = hand.new_folder()
        entry = write_batch(
            folder, [Entry.of(hand.reserve(1), "c", read_score(PIECES[0]))], [FileRow("/x", digest="c")]
        )
        hand.commit(folder, entry)
    assert shelf.snapshot().rows("SELECT count(*) FROM scores") == [(1,)]
