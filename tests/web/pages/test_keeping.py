"""One click, and it is in the study; once more, and words and tags are added."""

from __future__ import annotations

import json

from starlette.testclient import TestClient

from sonorarium.study.remarks import kept_sets
from sonorarium.web.pages.keeping import tags_in
from sonorarium.web.room import Room


def test_a_set_is_kept_and_said(client: TestClient, room: Room) -> None:
    answered = client.post("/keep/set", data={"set": "[0148]", "words": "Cool.", "tags": "cold, , light"})
    assert json.loads(answered.headers["hx-trigger"])["said"] == {"text": "Kept: 4-19."}
    told = client.post(
        "/keep/set", data={"set": "4-19", "words": "Still cool."}, headers={"accept": "application/json"}
    )
    assert told.json()["kept"] == "4-19"
    (one,) = kept_sets(room.study).sets
    assert one.tags == ("cold", "light")
    assert "Cool." in one.words and "Still cool." in one.words
    assert one.filed.path.name == told.json()["card"]


def test_what_is_not_understood_is_not_kept(client: TestClient, room: Room) -> None:
    before = len(kept_sets(room.study).sets)
    assert client.post("/keep/set", data={"set": "D nonesuch"}).status_code == 422
    assert client.post("/keep/set", data={}).status_code == 422
    assert len(kept_sets(room.study).sets) == before


def test_tags_stand_between_commas() -> None:
    assert tags_in(" a b ,, c") == ["a b", "c"]
