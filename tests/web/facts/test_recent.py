"""The margin of the desk: what was looked at and kept, the latest first, and how the shelf stands."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf
from sonorarium.study.remarks import keep_set
from sonorarium.study.sketches import keep_sketch
from sonorarium.web.facts.recent import recent_of, shelf_state
from sonorarium.web.guard import Gate
from sonorarium.web.room import LOOKED_KEPT, Looked, Room
from tests.web.conftest import demo_shelf, demo_study


@pytest.fixture
def own_room(tmp_path: Path) -> Iterator[Room]:
    study = demo_study(tmp_path / "study")
    room = Room(study, demo_shelf(tmp_path / "shelf", study), Gate(8000, "token"))
    yield room
    room.close()


def test_the_latest_stands_first_and_each_is_linked(own_room: Room) -> None:
    keep_set(own_room.study, "C E G", kept=datetime.date(2026, 3, 1))
    keep_set(own_room.study, "D dorian", kept=datetime.date(2026, 3, 5))
    keep_sketch(own_room.study, "Falling", words="`Dm7; G7`", kept=datetime.date(2026, 3, 4))
    own_room.looked.add("5-26")
    own_room.looked.add("C7#9")
    found = recent_of(own_room)
    assert [(one.title, one.kind) for one in found.kept[:3]] == [
        ("D dorian", "set"),
        ("Falling", "sketch"),
        ("C E G", "set"),
    ]
    assert found.kept[1].link == "/sketch?line=Dm7%3B%20G7"
    assert [one.title for one in found.looked] == ["C7♯9", "5-26"]
    assert found.looked[0].link == "/sheet?set=C7%239"
    assert {one.title for one in found.lessons} >= {"The double harmonic scale"}
    assert len(recent_of(own_room, 1).kept) == 1


def test_what_was_looked_at_stands_once_and_does_not_grow() -> None:
    looked = Looked()
    for text in ("C", "D", " C ", *map(str, range(50))):
        looked.add(text)
    assert len(looked.latest()) == LOOKED_KEPT
    looked.add("C")
    looked.add("D")
    looked.add("C")
    assert looked.latest()[:3] == ["C", "D", "49"]


def test_the_shelf_is_current_until_a_piece_is_new_or_changed(own_room: Room, tmp_path: Path) -> None:
    pieces = own_room.study.pieces()
    state = shelf_state(own_room)
    assert (state.scores, state.missing, state.changed, state.is_current) == (len(pieces), 0, 0, True)
    pieces[0].write_bytes(pieces[0].read_bytes() + b"\n")
    (pieces[0].parent / "torn.musicxml").write_text("<score-partwise>")
    state = shelf_state(own_room)
    assert (state.missing, state.changed, state.is_current) == (1, 1, False)
    add_folders(own_room.shelf, [own_room.places[0]], jobs=1)
    state = shelf_state(own_room)
    assert (state.missing, state.changed, state.unread) == (0, 0, 1)
    empty = replace(own_room, shelf=Shelf(tmp_path / "none"))
    assert shelf_state(empty).missing == len(pieces) + 1


def test_a_shelf_of_other_rules_is_told_as_to_be_brought_up_to_date(
    own_room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = shelf_state(own_room)
    monkeypatch.setattr("sonorarium.shelf.snapshot.rules", lambda: "others")
    after = shelf_state(replace(own_room, shelf=Shelf(own_room.shelf.folder)))
    assert after.changed == before.changed + len(own_room.study.pieces()) - before.missing - before.changed
    assert not after.is_current
