"""The sheet: what it tells is what the core says, and every set that can be typed has one."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page
from starlette.testclient import TestClient

from sonorarium.pcs.survey import survey
from sonorarium.score.search.query import Query
from sonorarium.shelf.searching import search_shelf
from sonorarium.web.room import Room
from tests.web.conftest import Served

JSON = {"Accept": "application/json"}


def test_facts_are_the_survey(client: TestClient, room: Room) -> None:
    told = client.get("/sheet", params={"set": "D double harmonic"}, headers=JSON).json()
    known = survey("D double harmonic", room.family())
    assert told["identity"] == known["identity"]
    assert told["insides"]["rows"] == known["insides"]["rows"]  # type: ignore[index]
    assert set(told) == {*known, "switches", "also_called"}


def test_switches_change_what_is_shown(client: TestClient) -> None:
    def rows(**asked: str) -> list[object]:
        told = client.get("/sheet", params={"set": "D double harmonic", **asked}, headers=JSON).json()
        return list(told["insides"]["rows"])

    assert len(rows(tn="1")) > len(rows())
    forte = client.get("/sheet", params={"set": "5-20", "prime": "forte"}).text
    assert "(Forte)" in forte and "Rahn and Forte differ here" in forte


def test_kin_stand_with_the_note_that_moves(client: TestClient) -> None:
    page = client.get("/sheet", params={"set": "D double harmonic"}).text
    assert "E♭ moves to E" in page and "D harmonic major" in page and "only here" in page
    assert "its own mirror around" in page
    assert "its own mirror around" not in client.get("/sheet", params={"set": "C E G"}).text
    places = [
        page.index(f'<section id="{one}"') for one in ("in-short", "modes", "insides", "kin", "names", "voicings")
    ]
    assert places == sorted(places)


@pytest.mark.parametrize(
    "what", ["4-19", "C", "mask 0", "mask 4095", "Ebmaj7#5", "C3 G3 E4", "C E G", "<script>", "B## C D"]
)
def test_whatever_is_typed_gets_a_page_or_a_sentence(client: TestClient, what: str) -> None:
    answer = client.get("/sheet", params={"set": what})
    assert answer.status_code == (422 if what == "<script>" else 200)
    assert "<script>" not in answer.text


def test_voicings_hold_the_notes_or_say_why_not(client: TestClient) -> None:
    told = client.get("/sheet/voicings", params={"set": "C E G"}, headers=JSON).json()
    assert told["voicings"] and all({p % 12 for p in one["pitches"]} == {0, 4, 7} for one in told["voicings"])
    none = client.get("/sheet/voicings", params={"set": "mask 0"}, headers=JSON).json()
    assert none["voicings"] == [] and none["why"]
    shown = client.get("/sheet/voicings", params={"set": "4-19"})
    assert shown.status_code == 200 and "into the sketch" in shown.text


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(mask=st.integers(0, 4095))
def test_every_set_has_a_sheet(client: TestClient, mask: int) -> None:
    assert client.get("/sheet", params={"set": f"mask {mask}"}).status_code == 200


@pytest.mark.browser
def test_tables_are_sorted_by_their_headings(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/sheet?set=D%20double%20harmonic")
    heading = page.locator("#modes th", has_text="brightness")
    heading.get_by_role("button").press("Enter")
    assert heading.get_attribute("aria-sort") == "ascending"
    shown = page.locator("#modes tbody tr td:nth-child(4)").all_inner_texts()
    numbers = [int(text.split(",")[0]) for text in shown]
    assert numbers == sorted(numbers) and numbers[0] < numbers[-1]


def test_witnesses_are_the_shelf_s(client: TestClient, room: Room) -> None:
    told = client.get("/sheet/witnesses", params={"set": "5-15"}, headers=JSON).json()
    known = search_shelf(room.shelf, Query.of("5-15", kind="texture"), limit=3)
    assert told["count"] == known.count > 0
    assert [one["onset"] for one in told["found"]] == [one.onset for one in known.passages]
    page = client.get("/sheet/witnesses", params={"set": "5-15"}).text
    assert page.count("<svg") == len(told["found"]) and "data-note" in page
    assert "3 to 9 notes" in client.get("/sheet/witnesses", params={"set": "C E"}).text


def test_the_name_that_was_typed_is_not_lost(client: TestClient) -> None:
    page = client.get("/sheet", params={"set": "E hungarian minor"}).text
    assert "<h1>E harmonic minor #4</h1>" in page
    assert "also called" in page and "hungarian minor" in page and "equal temperament only approximates" in page
    assert "also called" not in client.get("/sheet", params={"set": "C E G B"}).text
