import numpy as np
import pytest

from sonorarium.errors import DamagedError
from sonorarium.pcs import catalogue
from sonorarium.score.reading import read_score
from sonorarium.shelf import tables
from sonorarium.shelf.batch import Batch
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf
from tests.shelf.library import fill
from tests.shelf.test_tables import same


def only_batch(shelf: Shelf) -> Batch:
    (batch,) = shelf.snapshot().batches
    return batch


def test_each_score_comes_back(indexed: Shelf) -> None:
    batch, paths = only_batch(indexed), indexed.snapshot().paths
    numbers = batch.numbers.tolist()
    for number, score in zip(numbers, batch.scores(numbers, {n: paths[n][0] for n in numbers}), strict=True):
        assert same(score, read_score(paths[number][0]))
        assert same(score, batch.score(number, paths[number][0]))


def test_scores_come_back_from_small_row_groups(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    monkeypatch.setattr(tables, "ROW_GROUP", {"scores": 1, "bars": 7, "notes": 30, "occurrences": 100})
    folder = fill(tmp_path_factory.mktemp("some"), 3)
    add_folders(shelf, [folder], jobs=1)
    for path in shelf.snapshot().files:
        assert same(shelf.score(path), read_score(path))
    snapshot = shelf.snapshot()
    for batch in snapshot.batches:
        whole = batch.table("occurrences")
        for number in (0, 5, 30, 200):
            wanted = whole.filter(whole.column("class_number").to_numpy() == number)
            found = batch.occurrences(number)
            assert len(found["form"]) < len(whole)
            here = catalogue.tni_index()[found["form"]] == number
            assert np.array_equal(found["onset"][here], wanted.column("onset").to_numpy())


@pytest.mark.parametrize("name", tables.TABLES)
def test_damage_anywhere_is_noticed(name: str, shelf: Shelf, folder: object) -> None:
    add_folders(shelf, [str(folder)], jobs=1)
    for batch in shelf.snapshot().batches:
        batch.check()
        path = batch.path(name)
        data = bytearray(path.read_bytes())
        data[len(data) // 3] ^= 255
        path.write_bytes(data)
        assert batch.is_there()
        fresh = Batch(shelf.folder, batch.entry)
        with pytest.raises(DamagedError, match=rf"The table .*{name}\.parquet of the shelf is damaged or missing\."):
            fresh.check()
        path.write_bytes(data[:-10])
        assert not batch.is_there()
        path.unlink()
        assert not batch.is_there()
        with pytest.raises(DamagedError, match="shelf check --mend"):
            Batch(shelf.folder, batch.entry).table(name)
