"""What the addresses have in common: strictness, limits, spelling."""

from __future__ import annotations

from starlette.testclient import TestClient

from sonorarium.web.pages.asking import shown
from sonorarium.web.room import Room


def test_a_set_that_is_too_long_is_refused(client: TestClient) -> None:
    answered = client.get("/sheet", params={"set": "C " * 200, "as": "json"})
    assert answered.status_code == 422
    assert answered.json()["error"]["sentence"].startswith("set: ")


def test_readable_spelling_has_no_double_accidentals(room: Room) -> None:
    plain = shown("Gb double harmonic", room, readable=True)
    assert shown("Gb double harmonic", room).pcset == plain.pcset
    assert all(abs(note.alter) < 2 for note in plain.notes)
