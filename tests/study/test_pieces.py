"""A score is taken into the study once, with its corrections, under a name that is free."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.score.corrections import corrections_path
from sonorarium.study.folder import Study, new_study
from sonorarium.study.pieces import places, take_in

PIECE = Path(__file__).parents[2] / "demo" / "pieces" / "3-the-well.musicxml"


@pytest.fixture
def study(tmp_path: Path) -> Study:
    return new_study(tmp_path / "study", "Mine")


def test_a_piece_is_copied_once(study: Study, tmp_path: Path) -> None:
    first = take_in(study, PIECE)
    assert first == "pieces/3-the-well.musicxml"
    assert study.inside(first).read_bytes() == PIECE.read_bytes()
    again = tmp_path / "other-name.musicxml"
    shutil.copy(PIECE, again)
    assert take_in(study, again) == first
    assert len(study.pieces()) == 1
    assert places(study) == {hashlib.sha256(PIECE.read_bytes()).hexdigest(): first}


def test_another_piece_of_the_same_name_keeps_both(study: Study, tmp_path: Path) -> None:
    take_in(study, PIECE)
    other = tmp_path / "3-the-well.musicxml"
    other.write_bytes(PIECE.read_bytes() + b"\n")
    place = take_in(study, other)
    assert place != "pieces/3-the-well.musicxml"
    assert study.inside(place).read_bytes() == other.read_bytes()


def test_corrections_come_along(study: Study, tmp_path: Path) -> None:
    piece = tmp_path / "song.musicxml"
    shutil.copy(PIECE, piece)
    corrections_path(piece).write_text('title = "Other"\n', encoding="utf-8")
    place = take_in(study, piece)
    assert corrections_path(study.inside(place)).read_text(encoding="utf-8") == 'title = "Other"\n'


def test_a_file_that_is_gone_is_told(study: Study) -> None:
    with pytest.raises(InputError, match="could not be read"):
        take_in(study, Path("/nowhere/song.mxl"))
