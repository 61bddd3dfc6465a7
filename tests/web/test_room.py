"""Pieces are found by the key of their content, never by a path."""

from __future__ import annotations

import pytest

from sonorarium.errors import NothingFoundError
from sonorarium.web.room import KEY_LENGTH, Room, Scores


def test_every_piece_of_the_study_has_its_key(room: Room) -> None:
    paths = room.paths()
    assert set(paths.values()) == set(room.study.pieces())
    for key, path in paths.items():
        assert room.score(key).digest[:KEY_LENGTH] == key
        assert room.score(key).path == path


@pytest.mark.parametrize("key", ["", "../study.toml", "pieces/1-saffron-evening.musicxml", "0" * KEY_LENGTH])
def test_nothing_else_is_a_key(room: Room, key: str) -> None:
    with pytest.raises(NothingFoundError, match="no such piece"):
        room.score(key)


def test_a_file_that_changes_is_read_again(room: Room) -> None:
    scores, path = Scores(), room.study.pieces()[-1]
    first = scores.read(path)
    assert scores.read(path) is first
    before, text = scores.key(path), path.read_text(encoding="utf-8")
    path.write_text(text.replace("</score-partwise>", "<!-- . --></score-partwise>"), encoding="utf-8")
    assert scores.key(path) != before
    assert scores.read(path).digest != first.digest
    path.write_text(text, encoding="utf-8")
