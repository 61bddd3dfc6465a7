"""The page of a piece: what it says agrees with the core, and notes, landscape and sound are linked."""

from __future__ import annotations

import time
from typing import Any

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from sonorarium.pcs.families import default_family
from sonorarium.render.hearing import hear_bars
from sonorarium.render.midi import to_midi
from sonorarium.score.analysis.landscape import landscape
from sonorarium.score.analysis.stretch import read_stretch
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find
from sonorarium.web.piece.following import turns_of
from sonorarium.web.room import Room
from tests.web.conftest import Served
from tests.web.waiting import plays, wait_until

BOAT = "Boat without Oars"


def asked(client: TestClient, path: str, status: int = 200, **query: object) -> Any:
    answered = client.get(path, params=query, headers={"accept": "application/json"})  # type: ignore[arg-type]
    assert answered.status_code == status, answered.text
    return answered.json()


def key_of(room: Room, title: str = BOAT) -> str:
    return next(key for key in room.paths() if room.score(key).title == title)


@pytest.fixture(scope="module")
def boat(room: Room) -> tuple[str, Score]:
    key = key_of(room)
    return key, room.score(key)


def test_every_piece_can_be_opened_from_the_list(client: TestClient, room: Room) -> None:
    told = asked(client, "/score")
    assert [row["key"] for row in told["pieces"]] == list(room.paths())
    assert told["pieces"][3]["title"] == BOAT
    assert [row["title"] for row in asked(client, "/score", text="boat oars")["pieces"]] == [BOAT]
    assert "No piece has these words" in client.get("/score", params={"text": "xyzzy"}).text
    page = client.get("/score").text
    assert page.count('<a href="/score?piece=') == len(room.paths())


def test_a_piece_is_told_with_its_spans(client: TestClient, boat: tuple[str, Score]) -> None:
    key, score = boat
    told = asked(client, "/score", piece=key, first=3, last=5)["piece"]
    spans = trace(score, default_family())
    assert [one["sentence"] for one in told["spans"]] == [span.sentence for span in spans]
    assert told["spans"][0]["set"] == spans[0].readings[0].name
    assert [one["name"] for one in told["spans"][0]["others"]] == [one.name for one in spans[0].readings[1:4]]
    assert told["selection"] == {"first": 3, "last": 5, "words": "bars 4–6"}
    assert told["bars"] == [str(label) for label in score.bars["label"]]
    assert told["sections"][-1][1] == len(score.bars) - 1
    assert told["why"] == ""
    other = asked(client, "/score", piece=key, family="double-harmonic")["piece"]
    assert other["family"] == "double harmonic and its kin"
    assert other["selection"] is None


def test_only_the_section_of_the_selection_comes_at_once(client: TestClient, boat: tuple[str, Score]) -> None:
    page = client.get("/score", params={"piece": boat[0], "first": 10}).text
    assert page.count('hx-trigger="intersect once"') == 4
    at_once = page.split("data-section")[2]
    assert 'data-first="8" data-last="15"' in at_once
    assert 'hx-trigger="load"' in at_once


def test_what_is_here_agrees_with_the_core(client: TestClient, boat: tuple[str, Score]) -> None:
    key, score = boat
    told = asked(client, "/score/here", piece=key, first=3, last=5)
    found = read_stretch(score, (3, 5), family=default_family())
    assert told["where"] == found.where
    assert told["whole"]["label"] == found.whole.label
    assert [one["set"] for one in told["scales"]] == [one.collection.name for one in found.scales]
    page = client.get("/score/here", params={"piece": key, "first": 3, "last": 5}).text
    assert "/find?set=7-32B" in page
    assert 'data-hear="/sound/bars?piece=' in page
    assert page.count("data-keep") >= 1 + len(told["scales"]) + len(told["collections"]) + len(told["verticals"])


def test_every_set_that_is_shown_has_a_sheet(client: TestClient, room: Room) -> None:
    for key in room.paths():
        spans = asked(client, "/score", piece=key)["piece"]["spans"]
        here = asked(client, "/score/here", piece=key, first=0, last=11)
        rows = [*spans, here["whole"], *here["scales"], *here["collections"], *here["lines"], *here["verticals"]]
        for text in {row["set"] for row in rows if row["set"]} | set(here["whole"]["names"]):
            asked(client, "/sheet", set=text)


def test_a_point_of_the_landscape_names_its_bars(client: TestClient, boat: tuple[str, Score]) -> None:
    key, score = boat
    scape = landscape(score)
    told = asked(client, "/score/at", piece=key, middle=0.5, length=0.1)
    whole = int(scape.cuts[-1])
    segment = scape.around(0.5 * whole, 0.1 * whole)
    assert told["sentence"] == segment.sentence
    assert told["bars"] == list(segment.bars)
    assert [str(score.bars["label"][told[name]]) for name in ("first", "last")] == told["bars"]
    facts = asked(client, "/score/scape", piece=key)
    assert facts["segments"] == len(scape)
    assert facts["onsets"][0] == 0
    assert len(facts["onsets"]) == len(score.bars) + 1
    assert "the same as 4-19" in client.get("/score/scape", params={"piece": key, "set": "4-19"}).text


def test_passages_of_a_set_are_listed_and_marked(client: TestClient, boat: tuple[str, Score]) -> None:
    key, score = boat
    found = find(score, "4-19")
    told = asked(client, "/score/passages", piece=key, set="4-19")
    assert told["count"] == len(found)
    best = told["passages"][0]
    assert (best["kind"], best["onset"], best["end"]) == (
        found[0].kind,
        found[0].extent.onset,
        found[0].extent.end,
    )
    marked = sum(
        asked(client, "/score/bars", piece=key, first=first, last=last, set="4-19")["marked"]
        for first, last in asked(client, "/score", piece=key)["piece"]["sections"]
    )
    assert marked == len({row for one in found for row in one.rows})
    bars = {"piece": key, "first": best["first"], "last": best["last"], "set": "4-19"}
    assert 'class="note marked"' in client.get("/score/bars", params=bars).text
    page = client.get("/score/passages", params={"piece": key, "set": "4-19"}).text
    assert page.count('hx-post="/keep/passage?set=') == len(told["passages"])


def test_what_is_not_there_is_told_in_words(client: TestClient, boat: tuple[str, Score]) -> None:
    key, score = boat
    wrong = asked(client, "/score", 422, piece=key, first=3, last=500)["error"]
    assert f"it has {len(score.bars)}" in wrong["sentence"]
    assert asked(client, "/score", 404, piece="0" * 16)["error"]["sentence"]
    assert "16 bars at most" in asked(client, "/score/bars", 422, piece=key, first=0, last=30)["error"]["sentence"]
    for path in ("/score/here", "/score/times", "/score/turns", "/score/bars"):
        assert "it has 33" in asked(client, path, 422, piece=key, first=9, last=3)["error"]["sentence"]


def test_the_page_of_a_piece_is_quick(client: TestClient, room: Room) -> None:
    key = key_of(room, "After the Lamps")
    began = time.monotonic()
    page = client.get("/score", params={"piece": key, "first": 0, "last": 1}).text
    assert time.monotonic() - began < 0.6
    assert "style=" not in page


def test_a_piece_without_notation_keeps_the_rest_of_its_page(client: TestClient, room: Room) -> None:
    file = room.study.folder / room.study.pieces_name / "7-played.mid"
    file.write_bytes(to_midi(hear_bars(room.score(key_of(room)), 0, 7)))
    key = room.scores.key(file)
    told = asked(client, "/score", piece=key)["piece"]
    page = client.get("/score", params={"piece": key}).text
    text = client.get("/score/scape", params={"piece": key}).text
    file.unlink()
    assert "this piece is MIDI" in told["why"]
    assert told["sections"] == []
    assert told["spans"]
    assert page.count("data-bar-button") == len(told["bars"])
    assert 'class="ribbon"' in page
    assert "data-scape" in text


@pytest.mark.browser
def test_playing_moves_the_mark(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/score?piece={key_of(served.room)}&first=2&last=3")
    wait_until(page, "document.querySelectorAll('[data-note]').length > 20")
    page.locator("[data-play-from=chosen]").click()
    plays(page)
    wait_until(page, "document.querySelector('.note.now') !== null")
    now = "[...document.querySelectorAll('.note.now')].map((one) => one.dataset.note).join()"
    before = page.evaluate(now)
    wait_until(page, f"![`{before}`, ''].includes({now})")
    assert page.evaluate("document.querySelector('.bar-field.sounding').dataset.barField") in ("2", "3")
    page.keyboard.press("Escape")
    wait_until(page, "document.querySelector('.note.now, .bar-field.sounding') === null")


@pytest.mark.browser
def test_clip_follows_clip_and_the_mark_goes_on(served: Served, page: Page) -> None:
    key = key_of(served.room)
    page.goto(f"{served.url}/score?piece={key}")
    page.locator("[data-play-from=whole]").click()
    plays(page)
    first, second = turns_of(served.room.score(key), key, (0, 32), 84).turns[:2]
    page.evaluate(f"window.sounding.currentTime = {first.seconds - 0.4}")
    wait_until(page, f"window.sounding.src.includes('first={second.first}&last={second.last}')")
    plays(page)
    wait_until(page, f"document.querySelector('.bar-field.sounding')?.dataset.barField === '{second.first}'")
    assert page.locator("[data-play-from=whole]").get_attribute("aria-pressed") == "true"
    page.locator("[data-play-from=whole]").click()
    wait_until(page, "window.sounding.paused && document.querySelector('.bar-field.sounding') === null")


@pytest.mark.browser
def test_bars_are_selected_by_keyboard_and_the_back_button_restores_them(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/score?piece={key_of(served.room)}")
    wait_until(page, 'document.querySelector(\'[data-bar-button="0"][tabindex="0"]\') !== null')
    page.locator("[data-bar-button='0']").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    wait_until(page, "document.querySelector('[data-here]')?.dataset.last === '1'")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+Enter")
    wait_until(page, "document.querySelector('[data-here]')?.dataset.last === '2'")
    assert "first=1&last=2" in page.url
    assert page.locator("[data-here] h3").inner_text() == "Bars 2–3"
    assert page.locator(".bar-field.chosen").count() == 2
    assert page.locator("[data-kept=last]").input_value() == "2"
    page.go_back()
    wait_until(page, "document.querySelector('[data-here]')?.dataset.last === '1'")
    assert page.locator(".bar-field.chosen").count() == 1
    assert page.locator("select[name=last]").input_value() == "1"
    page.locator("[data-bar-button='1']").focus()
    page.keyboard.press("End")
    wait_until(page, "document.activeElement.dataset.barButton === '32'")
    box = page.locator("[data-bar-field='32']").bounding_box()
    assert box is not None
    assert 0 <= box["y"] < 900


@pytest.mark.browser
def test_the_landscape_selects_bars_and_shows_what_is_selected(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/score?piece={key_of(served.room)}")
    wait_until(page, "document.querySelector('[data-scape] .over') !== null")
    image = page.locator("[data-scape] > svg").first.bounding_box()
    assert image is not None
    page.mouse.click(image["x"] + image["width"] / 2, image["y"] + image["width"] / 2 * 0.8)
    wait_until(page, "document.querySelector('[data-here]') !== null")
    assert "first=" in page.url
    outline = "document.querySelector('.over .chosen').getAttribute('d')"
    first = page.evaluate(outline)
    page.locator("select[name=first]").select_option("0")
    page.locator("select[name=last]").select_option("3")
    page.get_by_role("button", name="ask").click()
    wait_until(page, "document.querySelector('[data-here]').dataset.first === '0'")
    assert page.evaluate(outline) != first
    page.locator("[data-scape]").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    wait_until(page, "document.querySelector('[data-here]').dataset.first !== '0'")
