"""The lesson page: claims are named as they are typed, what is kept goes in, saving, building, downloading."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find
from sonorarium.shelf.indexing import add_folders
from sonorarium.study.keepings import keep_passage
from sonorarium.study.remarks import keep_set
from sonorarium.web.facts.lessons import read_text
from sonorarium.web.pages.lesson import inserts_of
from sonorarium.web.room import Room
from tests.web.conftest import Served
from tests.web.waiting import wait_until

JSON = {"accept": "application/json"}
NAME = "2-three-sisters"


def test_the_list_names_every_lesson(client: TestClient, room: Room) -> None:
    told = client.get("/lesson", headers=JSON).json()
    assert [one["lesson"] for one in told["lessons"]] == [path.stem for path in room.study.lessons()]
    assert f"/lesson?name={NAME}" in client.get("/lesson").text


def test_a_lesson_is_told_with_its_digest_and_statements(client: TestClient, room: Room) -> None:
    told = client.get("/lesson", params={"name": NAME}, headers=JSON).json()
    assert (told["text"], told["digest"]) == read_text(room.study.lessons()[1])
    assert told["statements"]
    assert {one["standing"] for one in told["statements"]} <= {"true", "not understood"}
    assert {"new"} < {one["depth"] for one in told["classes"]}


@pytest.mark.parametrize("name", ["../study", "/etc/passwd", "1-the-double-harmonic-scale.md"])
def test_no_name_leads_out_of_the_study(client: TestClient, name: str) -> None:
    assert client.get("/lesson", params={"name": name}, headers=JSON).status_code == 404
    assert client.get("/lesson/made", params={"name": name}, headers=JSON).status_code == 404
    asked = {"name": name, "text": "x", "digest": "x"}
    assert client.post("/lesson/save", data=asked, headers=JSON).status_code == 404


def test_a_draft_is_drawn_under_a_policy_of_its_own_and_stores_nothing(client: TestClient, room: Room) -> None:
    before = [path.read_bytes() for path in room.study.lessons()]
    told = client.post("/lesson/preview", data={"text": "7-22 holds 5-35.\n\n```{scal} D\n```"}, headers=JSON).json()
    assert told["statements"][0]["truth"] == "7-22 holds 5-35 not at all"
    assert told["faults"][0]["line"] == 3
    drawn = client.get("/lesson/page", params={"draft": told["draft"]})
    assert "frame-ancestors 'self'" in drawn.headers["content-security-policy"]
    assert "default-src 'none'" in drawn.headers["content-security-policy"]
    assert before == [path.read_bytes() for path in room.study.lessons()]
    assert client.get("/lesson/page", params={"draft": "0" * 16}).status_code == 404


def test_a_new_lesson_can_be_saved_and_a_stale_one_not(client: TestClient) -> None:
    made = client.post("/lesson/new", data={"title": "../Fourth"}).json()
    assert made["name"] == "fourth"
    change = {"name": "fourth", "text": "# Four", "digest": made["digest"]}
    assert client.post("/lesson/save", data=change, headers=JSON).status_code == 200
    refused = client.post("/lesson/save", data=change, headers=JSON)
    assert refused.status_code == 422
    assert "changed by another program" in refused.json()["error"]["sentence"]


def test_what_is_kept_becomes_a_directive_that_is_understood(client: TestClient, room: Room) -> None:
    keep_set(room.study, "D double harmonic", words="A scale.")
    keep_set(room.study, "4-19")
    inserts = inserts_of(room.study)
    assert [one.markdown.split("}")[0] for one in inserts] == ["```{chord", "```{scale"]
    text = "\n\n".join(one.markdown for one in inserts)
    assert client.post("/lesson/preview", data={"text": text}, headers=JSON).json()["faults"] == []


def test_a_handout_is_built_and_given(client: TestClient) -> None:
    job = client.post("/lesson/build", data={"form": "html", "name": NAME}, headers=JSON).json()
    for _ in range(300):
        job = client.get(f"/jobs/{job['key']}", headers=JSON).json()
        if job["state"] in ("done", "failed"):
            break
        time.sleep(0.05)
    assert job["state"] == "done", job["words"]
    given = client.get(job["link"])
    assert given.headers["content-type"].startswith("text/html")
    assert "script-src 'sha256-" in given.headers["content-security-policy"]
    assert client.get("/lesson/files", params={"name": NAME}, headers=JSON).json()[0]["name"] == f"{NAME}.html"
    assert client.post("/lesson/build", data={"form": "drill", "name": NAME, "set": " "}).status_code == 422


def test_a_made_page_of_another_hand_is_given_in_a_sandbox(client: TestClient, room: Room) -> None:
    made = room.study.folder / "made"
    made.mkdir(exist_ok=True)
    (made / "foreign.html").write_bytes(b"<p>\xff no UTF-8")
    given = client.get("/lesson/made/foreign.html")
    assert given.status_code == 200
    assert "; sandbox allow-scripts" in given.headers["content-security-policy"]
    assert "allow-same-origin" not in given.headers["content-security-policy"]


@pytest.mark.browser
def test_words_that_were_not_saved_are_put_back(page: Page, served: Served) -> None:
    address = f"{served.url}/lesson?name=3-another-first-note"
    page.goto(address)
    page.locator("#lesson-text").press("Control+End")
    page.keyboard.insert_text("not yet saved")
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(address)
    wait_until(page, "document.getElementById('lesson-text').value.endsWith('not yet saved')")
    path = served.room.study.lessons()[2]
    path.write_text(path.read_text(encoding="utf-8") + "theirs\n", encoding="utf-8")
    page.goto(address)
    page.wait_for_selector("[data-older]:not([hidden])")
    assert page.input_value("#lesson-text").endswith("theirs\n")


@pytest.mark.browser
def test_a_lesson_is_written(page: Page, served: Served) -> None:
    keep_set(served.room.study, "4-19")
    page.goto(f"{served.url}/lesson?name={NAME}")
    page.wait_for_selector("[data-frames] iframe:not(.coming)")
    page.locator("#lesson-text").press("Control+End")
    page.keyboard.insert_text("\n\n7-22 holds 5-35.\n")
    page.wait_for_selector("[data-checked] li.wrong >> text=not at all")
    assert "not saved" in page.inner_text("[data-state]")
    page.click("[data-put]")
    assert "```{chord} 4-19\n```" in page.input_value("#lesson-text")
    page.click("[data-checked] li.wrong [data-line]")
    at = page.evaluate("document.getElementById('lesson-text').selectionStart")
    assert page.input_value("#lesson-text")[at:].startswith("7-22 holds")
    page.fill("#lesson-text", page.input_value("#lesson-text").replace("7-22 holds 5-35.", "7-22 holds 5-22."))
    page.keyboard.press("Control+s")
    wait_until(page, "document.querySelector('[data-state]').textContent === 'as saved'")
    assert "```{chord} 4-19" in read_text(served.room.study.lessons()[1])[0]
    page.click("text=handout, page")
    page.wait_for_selector("[data-made] a[download]", timeout=20_000)
    with page.expect_download() as given:
        page.click("[data-made] a[download]")
    assert "4-19" in given.value.path().read_text(encoding="utf-8")


def test_a_passage_from_elsewhere_is_put_in_once_its_piece_is_in_the_study(
    client: TestClient, room: Room, tmp_path: Path
) -> None:
    song = tmp_path / "elsewhere.musicxml"
    text = (room.study.pieces()[2]).read_text(encoding="utf-8").replace("The Well", "Elsewhere")
    song.write_text(text, encoding="utf-8")
    add_folders(room.shelf, [song], jobs=1)
    score = read_score(song)
    keep_passage(room.study, score, find(score, "5-15")[0])
    asked = {"name": NAME}
    insert = next(one for one in client.get("/lesson", params=asked, headers=JSON).json()["keepings"] if one["piece"])
    assert not insert["markdown"] and "copy it into the study" in client.get("/lesson", params=asked).text
    told = client.post("/keep/piece", data={"piece": insert["piece"]}, headers=JSON)
    assert told.json()["card"] == "pieces/elsewhere.musicxml"
    now = client.get("/lesson", params=asked, headers=JSON).json()["keepings"]
    assert any("pieces/elsewhere.musicxml" in one["markdown"] for one in now)
    assert not any(one["piece"] for one in now)


@pytest.mark.parametrize("name", ["/etc", "../..", "*", "[", "a/b", "\u00d7", "x" * 200])
def test_strange_names_have_no_files(client: TestClient, name: str) -> None:
    given = client.get("/lesson/files", params={"name": name}, headers=JSON)
    assert (given.status_code, given.json()) in ((200, []), (422, given.json()))
