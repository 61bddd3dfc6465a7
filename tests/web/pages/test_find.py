"""Find: the form holds the question, the answer is the shelf's, excerpts come, passages are heard and kept."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from sonorarium.shelf.folder import FolderResult
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.shelf import Shelf
from sonorarium.web.app import make_app
from sonorarium.web.guard import TOKEN_HEADER, Gate
from sonorarium.web.room import Room
from tests.web.conftest import TOKEN, Served
from tests.web.waiting import plays, wait_until

JSON = {"Accept": "application/json"}


def told_by(client: TestClient, path: str, asked: dict[str, str]) -> Any:
    """The facts at an address, asked for again until the search is over."""
    for _ in range(100):
        told = client.get(path, params=asked, headers=JSON).json()
        if not told["job"]:
            return told
        time.sleep(0.05)
    raise AssertionError("never over")


def test_nothing_asked_is_a_form_with_examples(client: TestClient) -> None:
    page = client.get("/find").text
    assert "5-6 then 5-15 within two bars" in page and 'name="kind"' in page
    assert client.get("/find", headers=JSON).json()["set"] == ""


def test_options_are_read_and_stand_in_the_form(client: TestClient) -> None:
    asked = {"set": "5-15", "kind": "texture", "longest": "8 bars", "notes": "4", "composer": "demo", "by": "place"}
    told = told_by(client, "/find", asked)
    assert told["options"]["kinds"] == ["texture"] and told["options"]["most_bars"] == 8
    assert "at most 8 bars long" in told["in_words"] and told["in_words"].endswith("by demo")
    assert {one["kind"] for one in told["passages"]} == {"texture"}
    pieces = [one["piece"] for one in told["passages"]]
    assert len(set(pieces)) > 1
    for piece in set(pieces):
        onsets = [one["onset"] for one in told["passages"] if one["piece"] == piece]
        assert onsets == sorted(onsets)
    page = client.get("/find", params=asked).text
    assert 'value="8 bars"' in page and '<option value="place" selected>' in page
    assert page.count("<article") == len(told["passages"]) > 3
    assert page.count("/find/excerpt?") == len(told["passages"])
    assert page.count('hx-trigger="load"') == 3


def test_an_excerpt_is_the_find_of_its_number(client: TestClient) -> None:
    told = told_by(client, "/find", {"set": "5-15"})
    for number, one in enumerate(told["passages"][:5]):
        asked = {"set": "5-15", "place": str(number)}
        assert client.get("/find/excerpt", params=asked, headers=JSON).json() == [one]
    assert "<svg" in client.get("/find/excerpt", params={"set": "5-15", "place": "4"}).text
    assert client.get("/find/excerpt", params={"set": "7-33", "place": "4"}).status_code == 404


def test_none_found_says_how_much_was_searched_and_what_came_near(client: TestClient) -> None:
    told = told_by(client, "/find", {"set": "7-33"})
    assert told["count"] == 0 and told["files"] == 6 and told["bars"] > 100 and told["notes"] > 1000
    page = client.get("/find", params={"set": "7-33"}).text
    assert f"{told['notes']:,} notes searched" in page and "/find/near?set=7-33" in page
    near = told_by(client, "/find/near", {"set": "7-33"})["passages"]
    assert near and all(one["near"] for one in near)
    assert "came near" in client.get("/find/near", params={"set": "7-33"}).text


def test_near_sets_are_spoken_of_only_where_they_are_looked_for(client: TestClient) -> None:
    asked = {"set": "4-28 then 5-15 within one bar", "kind": "texture"}
    told = told_by(client, "/find", asked)
    assert told["count"] == 0 and all(link["count"] for link in told["links"]), "all there, but never in a row"
    page = client.get("/find", params=asked).text
    assert told["missing"] == [] and "/find/near" not in page and "by itself, but never so soon" in page
    half = {"set": "5-15 then 7-33 within one bar"}
    assert told_by(client, "/find", half)["missing"] == ["7-33"]
    page = client.get("/find", params=half).text
    assert "/find/near?set=5-15" in page and "never so soon" not in page
    assert told_by(client, "/find", {"set": "5-15"})["missing"] == []


def test_a_long_passage_says_how_much_of_it_is_drawn(client: TestClient) -> None:
    told = told_by(client, "/find", {"set": "7-22", "shortest": "7 bars"})
    long = [one["last"] - one["first"] + 1 for one in told["passages"]]
    assert long and min(long) > 6
    page = client.get("/find", params={"set": "7-22", "shortest": "7 bars"}).text
    assert page.count("The first 6 of its") == len(long) and f"The first 6 of its {long[0]} bars" in page
    assert "The first 6 of its" not in client.get("/find", params={"set": "7-22", "longest": "2 bars"}).text


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"set": "Qx"}, "Qx"),
        ({"set": "5-15", "from": "1830", "to": "1820"}, "earlier year"),
        ({"set": "5-15", "kind": "chord", "foreign": "10"}, "chord"),
        ({"set": "5-15", "shortest": "2 sheep"}, "sheep"),
        ({"set": "5-15", "kinds": "chord"}, "kind"),
    ],
)
def test_what_cannot_be_asked_is_one_sentence(client: TestClient, asked: dict[str, str], words: str) -> None:
    given = client.get("/find", params=asked, headers=JSON)
    assert given.status_code == 422
    assert words in str(given.json()["error"])


def test_an_empty_shelf_says_what_to_do(room: Room, tmp_path: Path) -> None:
    bare = Room(room.study, Shelf(tmp_path / "none"), Gate(8000, TOKEN))
    with TestClient(make_app(bare), base_url="http://127.0.0.1:8000", headers={TOKEN_HEADER: TOKEN}) as client:
        assert "Put scores on the shelf" in client.get("/find", params={"set": "5-15"}).text
        assert client.get("/find/near", params={"set": "5-15"}, headers=JSON).json() == {"passages": [], "job": None}
        assert client.get("/find", params={"set": "Qx"}).status_code == 422


def test_a_near_find_is_kept_by_its_question(client: TestClient, room: Room) -> None:
    asked = {"set": "7-33", "near": "1", "kind": "texture"}
    one = told_by(client, "/find", asked)["passages"][0]
    form = {"piece": one["piece"], "as": one["kind"], "onset": one["onset"], "end": one["end"], "words": "look again"}
    told = client.post("/keep/passage", params=asked, data=form, headers=JSON)
    assert told.status_code == 200, told.text
    card = (room.study.folder / "passages" / told.json()["card"]).read_text(encoding="utf-8")
    assert one["label"] in card and "look again" in card
    lost = client.post("/keep/passage", params={"set": "7-33"}, data=form, headers=JSON)
    assert lost.status_code == 404


@pytest.mark.browser
def test_finds_are_read_heard_and_kept(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/find")
    page.fill("#find-field", "5-15")
    page.wait_for_selector("#find-field-readings [role=option]")
    page.press("#find-field", "Escape")
    page.get_by_label("all parts together").check()
    page.get_by_role("button", name="find", exact=True).click()
    page.wait_for_url("**kind=texture**")
    finds = page.locator("article.find")
    expect(finds.first.locator("svg [data-note]").first).to_be_visible()
    finds.nth(5).scroll_into_view_if_needed()
    expect(finds.nth(5).locator("svg [data-note]").first).to_be_visible()
    finds.first.focus()
    page.keyboard.press("h")
    plays(page)
    page.keyboard.press("Escape")
    wait_until(page, "window.sounding.paused")
    page.keyboard.press("k")
    expect(page.locator("#said")).to_contain_text("Kept: 5-15")
    finds.first.locator("h2 a").click()
    page.wait_for_url("**/score?piece=**")
    page.go_back()
    expect(page.locator("#find-field")).to_have_value("5-15")


def slowly(steps: int) -> Callable[..., FolderResult]:
    """A search of the shelf that takes a tenth of a second for each step, and tells each."""

    def searching(shelf: Shelf, *asked: Any, progress: Callable[[int, int], None], **options: Any) -> FolderResult:
        for step in range(steps):
            progress(step, steps)
            time.sleep(0.1)
        return search_shelf(shelf, *asked, **options)

    return searching


@pytest.mark.browser
def test_a_long_search_shows_how_far_it_is_until_its_finds_come(
    page: Page, served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sonorarium.web.facts.findings.search_shelf", slowly(25))
    page.goto(f"{served.url}/find?set=5-6 then 5-15 within one bar")
    told = page.locator("#results .job")
    expect(told).to_contain_text("0.2 s")
    expect(told).not_to_contain_text("0.2 s")  # it was asked for again, and is still there
    expect(told.locator("progress")).to_be_visible()
    page.reload()
    expect(told).to_contain_text("of 25")
    expect(page.locator("#results article.find svg [data-note]").first).to_be_visible()
    expect(told).to_have_count(0)


@pytest.mark.browser
def test_a_long_search_can_be_stopped(page: Page, served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sonorarium.web.facts.findings.search_shelf", slowly(300))
    page.goto(f"{served.url}/find?set=5-6 then 5-15 within three bars")
    page.get_by_role("button", name="stop this").click()
    expect(page.locator("#results .job")).to_contain_text("Stopped.")
    expect(page.get_by_role("button", name="stop this")).to_have_count(0)


def test_what_is_not_understood_leaves_the_form_as_it_was(client: TestClient) -> None:
    given = client.get("/find", params={"set": "Qx", "kind": "line", "composer": "Anon", "from": "c. 1890"})
    assert given.status_code == 422
    assert 'role="alert"' in given.text
    assert 'value="Qx"' in given.text and 'value="Anon"' in given.text and 'value="c. 1890"' in given.text


@pytest.mark.parametrize(
    ("since", "until", "words"), [("abc", "", "no year"), ("²²²²", "", "no year"), ("1850", "1820", "earlier year")]
)
def test_years_that_are_none_leave_the_form_too(client: TestClient, since: str, until: str, words: str) -> None:
    given = client.get("/find", params={"set": "5-15", "from": since, "to": until})
    assert given.status_code == 422
    assert words in given.text and 'value="5-15"' in given.text and f'value="{since}"' in given.text


def test_a_sieve_that_lets_nothing_through_is_said(client: TestClient) -> None:
    page = client.get("/find", params={"set": "5-15", "composer": "nobody at all"}).text
    assert "No score on the shelf" in page and "by nobody at all" in page
