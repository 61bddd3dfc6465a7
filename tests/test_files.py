"""A file is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.files import write_whole


def test_writes_and_replaces_and_makes_folders(tmp_path: Path) -> None:
    place = tmp_path / "new" / "page.html"
    write_whole(place, b"old")
    write_whole(place, b"new")
    assert place.read_bytes() == b"new"
    assert [p.name for p in place.parent.iterdir()] == ["page.html"]


def test_a_failed_write_leaves_the_old_file_and_nothing_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "page.html"
    write_whole(place, b"old")

    def full_disk(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(InputError, match="could not be written: No space left on device"):
        write_whole(place, b"new")
    assert place.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["page.html"]


def test_a_folder_in_the_way_is_one_clear_sentence(tmp_path: Path) -> None:
    (tmp_path / "page.html").mkdir()
    with pytest.raises(InputError, match=r"page\.html could not be written"):
        write_whole(tmp_path / "page.html", b"new")
