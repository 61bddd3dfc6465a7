"""Sets side by side: what is told is true, and the network can be moved, enlarged and heard by keys."""

from __future__ import annotations

import time
from typing import Any

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from sonorarium.pcs.families import default_family, families
from sonorarium.pcs.network import family_network
from sonorarium.pcs.sisters import sisters
from tests.web.conftest import Served
from tests.web.waiting import plays, wait_until

MINOR, DOUBLE = "D harmonic minor", "D double harmonic"


def asked(client: TestClient, status: int = 200, path: str = "/beside", reference: str = "", **query: object) -> Any:
    query |= {"from": reference} if reference else {}
    answered = client.get(path, params=query, headers={"accept": "application/json"})  # type: ignore[arg-type]
    assert answered.status_code == status, answered.text
    return answered.json()


def test_common_tones_stand_in_columns(client: TestClient) -> None:
    told = asked(client, set=[MINOR, DOUBLE])
    assert [c["name"] for c in told["columns"] if c["in_all"]] == ["D", "G", "A", "B♭", "C♯"]
    assert told["common"] == [[7, 5], [5, 7]]
    assert told["rows"][1]["own"] == [1, 4]
    assert told["rows"][0]["root"] == 0


def test_the_first_column_can_be_chosen(client: TestClient) -> None:
    told = asked(client, set=[MINOR, DOUBLE], reference="A")
    assert told["reference"] == "A"
    assert told["columns"][0]["name"] == "A"
    assert told["rows"][0]["root"] == 5
    by_roots = asked(client, set=["C", "D"], align="roots")
    assert [c["name"] for c in by_roots["columns"] if c["in_all"]] == ["1", "3", "5"]


def test_classes_agree_with_the_sisters(client: TestClient) -> None:
    told = asked(client, family="spaced", root="D", set=[DOUBLE], size=5)
    rows = {row["label"]: row for row in told["classes"]}
    for row in sisters(DOUBLE, sizes=[5]).rows:
        assert rows[str(row.set_class)]["times"][-1] == row.times
        assert rows[str(row.set_class)]["only_here"] == row.only_here
    own = asked(client, family="spaced", root="D", set=[DOUBLE], size=5, show="own")["classes"]
    assert {row["label"] for row in own if row["times"][-1]} == {
        str(row.set_class) for row in sisters(DOUBLE, sizes=[5]).only_here
    }


def test_moves_say_which_note_goes_where(client: TestClient) -> None:
    (move,) = asked(client, set=["C diatonic", "G diatonic", "E diatonic"])["network"]["moves"]
    assert (move["start"], move["end"], move["words"]) == ("C diatonic", "G diatonic", "F moves to F♯")


@pytest.mark.parametrize("name", families())
def test_every_family_is_quick(client: TestClient, name: str) -> None:
    client.get("/beside", params={"family": name, "root": "D"})
    began = time.monotonic()
    answered = client.get("/beside", params={"family": name, "root": "E"})
    assert answered.status_code == 200
    assert time.monotonic() - began < 1.0
    assert families()[name].rule in answered.text.replace("&#39;", "'")


def test_the_network_of_a_family_comes_by_itself(client: TestClient) -> None:
    told = asked(client, path="/beside/network", family="spaced")
    assert len(told["moves"]) == len(family_network(default_family()).edges)
    assert len(told["nodes"]) == 57
    for _ in range(100):
        part = client.get("/beside/network", params={"family": "spaced"}).text
        if 'class="job"' not in part:
            break
        time.sleep(0.05)
    assert 'class="network"' in part
    assert "<html" not in part


def test_every_member_of_a_family_has_a_sheet(client: TestClient) -> None:
    for family in families().values():
        told = asked(client, path="/beside", family=family.name, root="E")
        texts = [row["text"] for row in told["rows"]]
        again = asked(client, set=texts)
        assert [row["label"] for row in again["rows"]] == [row["label"] for row in told["rows"]]


def test_the_page_has_what_can_be_done(client: TestClient) -> None:
    page = client.get("/beside", params={"set": [MINOR, DOUBLE]}).text
    assert "only here" in page
    assert 'href="/beside?set=D%20double%20harmonic&amp;align=notes' in page
    assert page.count("style=") == 0
    assert client.get("/beside", params={"set": ["<i>"]}).status_code == 422


def test_one_set_or_none_is_offered_a_second(client: TestClient) -> None:
    assert asked(client)["rows"] == []
    assert "Add another" in asked(client, set=[DOUBLE])["note"]
    assert "add-field" in client.get("/beside", params={"set": DOUBLE}).text


def test_what_cannot_be_compared_is_refused(client: TestClient) -> None:
    many = [f"{n} {n + 1} {n + 3}" for n in range(9)] * 2
    assert "side by side" in asked(client, 422, set=many)["error"]["sentence"]
    assert asked(client, 422, set=[DOUBLE, "wxyz"])["error"]["sentence"]
    assert asked(client, 422, family="nowhere")["error"]["suggestion"]
    assert asked(client, 422, family="spaced", root="H9")["error"]["sentence"]


def test_the_same_notes_twice_are_one_node(client: TestClient) -> None:
    told = asked(client, set=["C diatonic", "D dorian", "G diatonic"])
    assert told["network"]["nodes"] == ["C diatonic", "G diatonic"]


@pytest.mark.browser
def test_the_network_is_moved_enlarged_and_heard_by_keys(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/beside?set=C diatonic&set=G diatonic&set=C acoustic")
    box = "document.querySelector('[data-net-view] svg').getAttribute('viewBox')"
    wait_until(page, "document.querySelectorAll('[data-net-view] a').length === 3")
    home = page.evaluate(box)
    page.locator("[data-net-view]").focus()
    page.keyboard.press("+")
    near = page.evaluate(box)
    assert float(near.split()[2]) < float(home.split()[2])
    page.keyboard.press("ArrowRight")
    assert float(page.evaluate(box).split()[0]) > float(near.split()[0])
    page.keyboard.press("0")
    assert page.evaluate(box) == home
    page.locator("[data-zoom=out]").click()
    assert float(page.evaluate(box).split()[2]) > float(home.split()[2])
    page.locator("[data-zoom=fit]").click()
    page.locator("[data-net-view] a").first.focus()
    page.keyboard.press("h")
    plays(page)
    page.route("**/sheet?*", lambda route: route.fulfill(body="the sheet"))
    page.keyboard.press("Enter")
    page.wait_for_url("**/sheet?set=C%20diatonic")


@pytest.mark.browser
def test_the_network_of_a_family_appears_where_it_is_scrolled_to(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/beside?family=spaced&root=D")
    page.locator("#family h3").scroll_into_view_if_needed()
    page.mouse.wheel(0, 2000)
    wait_until(page, "document.querySelectorAll('#family [data-net-view] a').length === 57")


@pytest.mark.browser
def test_the_network_is_dragged_and_that_is_no_click(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/beside?set=C diatonic&set=G diatonic")
    wait_until(page, "document.querySelectorAll('[data-net-view] a').length === 2")
    page.locator("[data-net-view]").scroll_into_view_if_needed()
    box = page.locator("[data-net-view] a").first.bounding_box()
    assert box
    view = "document.querySelector('[data-net-view] svg').getAttribute('viewBox')"
    home, here = page.evaluate(view), page.url
    page.mouse.move(box["x"] + 10, box["y"] + 10)
    page.mouse.down()
    page.mouse.move(box["x"] + 60, box["y"] + 40, steps=4)
    page.mouse.up()
    assert page.evaluate(view) != home
    assert page.url == here
