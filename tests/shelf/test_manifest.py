from pathlib import Path

import pytest

from sonorarium.errors import DamagedError
from sonorarium.shelf.manifest import NAME, BatchEntry, Manifest, read_manifest, write_manifest

ENTRY = BatchEntry("000001-ab", "rules", 3, 40, {"files": 5}, {"files": 77})


def test_what_is_written_is_read(tmp_path: Path) -> None:
    manifest = Manifest(("/music",), (ENTRY,), 3, 2)
    write_manifest(tmp_path, manifest)
    assert read_manifest(tmp_path) == manifest
    assert [path.name for path in tmp_path.iterdir()] == [NAME]


def test_where_there_is_none_nothing_is_live(tmp_path: Path) -> None:
    assert read_manifest(tmp_path) == Manifest()


def test_a_batch_takes_the_place_of_others() -> None:
    manifest = Manifest(batches=(ENTRY,)).with_batch(BatchEntry("2", "", 0, 0, {}, {}))
    assert [one.name for one in manifest.batches] == ["000001-ab", "2"]
    manifest = manifest.with_batch(BatchEntry("3", "", 0, 0, {}, {}), without=frozenset({"000001-ab"}))
    assert [one.name for one in manifest.batches] == ["2", "3"]


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", '{"kind": "sonorarium shelf", "schema": 1}', "\x00"])
def test_a_damaged_list_says_what_to_do(tmp_path: Path, text: str) -> None:
    (tmp_path / NAME).write_text(text)
    with pytest.raises(DamagedError, match=r"manifest\.json, is damaged\..*shelf add --afresh"):
        read_manifest(tmp_path)


def test_a_later_layout_is_refused(tmp_path: Path) -> None:
    write_manifest(tmp_path, Manifest())
    path = tmp_path / NAME
    path.write_text(path.read_text().replace('"schema": 1', '"schema": 2'))
    with pytest.raises(DamagedError, match="was written in layout 2, and this version reads layout 1"):
        read_manifest(tmp_path)
