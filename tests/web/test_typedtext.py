"""German names are read where they are typed, and nowhere else: a link means the same whatever the settings are."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from sonorarium.pcs.meanings import meanings
from sonorarium.settings import Settings
from sonorarium.web.app import make_app
from sonorarium.web.guard import TOKEN_HEADER
from sonorarium.web.room import Room
from sonorarium.web.typedtext import english_of, german_of, in_english
from tests.web.conftest import TOKEN

JSON = {"Accept": "application/json"}
TEXTS = ("B dorian", "Bb7/F", "Eb G Bb", "{B}", "C# E G# B", "B7 over Bb", "5-15", "0 4 8 11", "F#m7b5; B7; Em")


@pytest.fixture(scope="module")
def german(room: Room) -> TestClient:
    """A client of a workbench that reads German names."""
    app = make_app(replace(room, settings=Settings(german=True)))
    return TestClient(app, base_url="http://127.0.0.1:8000", headers={TOKEN_HEADER: TOKEN})


@pytest.mark.parametrize("text", TEXTS)
def test_there_and_back_is_the_same(text: str) -> None:
    back = english_of(german_of(text))
    for one, other in zip(text.split(";"), back.split(";"), strict=True):
        assert meanings(one.strip())[0].subject == meanings(other.strip())[0].subject


@given(st.text(max_size=30))
def test_nothing_typed_makes_it_fail(text: str) -> None:
    assert isinstance(english_of(german_of(text)), str)


@pytest.mark.parametrize(("query", "led_to"), [("typed=set", ""), ("a=1&typed=b", "a=1"), ("set=&typed=set", "set=")])
def test_what_is_not_there_is_left(query: str, led_to: str) -> None:
    assert in_english(query) == led_to


def test_typed_and_linked_are_two_things(german: TestClient) -> None:
    linked = german.get("/sheet", params={"set": "B dorian"})
    typed = german.get("/sheet", params={"set": "B dorian", "typed": "set"})
    assert typed.url.query == b"set=Bb%20dorian"
    assert "<h1>B dorian</h1>" in linked.text
    assert "<h1>Bb dorian</h1>" in typed.text


def test_fields_show_german_and_say_that_they_are_typed(german: TestClient, client: TestClient) -> None:
    page = german.get("/sheet", params={"set": "B dorian"}).text
    assert 'value="H dorian"' in page and '<input type="hidden" name="typed" value="set">' in page
    assert 'name="typed"' not in client.get("/sheet", params={"set": "B dorian"}).text


def test_a_row_keeps_its_chords_when_one_is_added(german: TestClient) -> None:
    asked = {"line": "B7; Em", "chord": "H7", "typed": "chord"}
    led = german.get("/sketch/changed", params=asked, headers=JSON)
    assert led.url.query.startswith(b"line=B7%3B%20Em%3B%20B7")


@pytest.mark.parametrize("path", ["//evil.example/x", "/%5Cevil.example/x", "///evil.example"])
def test_nobody_is_led_on_to_another_site(client: TestClient, path: str) -> None:
    led = client.get(f"http://127.0.0.1:8000{path}?set=H&typed=set", follow_redirects=False)
    assert led.status_code == 303
    assert led.headers["location"].startswith("/evil.example")
