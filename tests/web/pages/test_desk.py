"""The desk reads anything, describes what is played, and shows what was done lately."""

from __future__ import annotations

from urllib.parse import quote

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from sonorarium.pcs.meanings import meanings
from sonorarium.settings import Settings
from sonorarium.web.facts.playing import played
from sonorarium.web.pages.desk import EXAMPLES, read_text
from sonorarium.web.room import Room
from tests.pcs.test_meanings import LONE
from tests.web.conftest import Served
from tests.web.waiting import plays, wait_until

JSON = {"accept": "application/json"}


@pytest.mark.parametrize("text", LONE)
def test_what_is_offered_reads_back(client: TestClient, text: str) -> None:
    found = client.get("/readings", params={"text": text}, headers=JSON).json()["readings"]
    assert len(found) == len(meanings(text))
    for one in found:
        again = client.get("/readings", params={"text": one["set"]}, headers=JSON).json()["readings"][0]
        assert again == one


def test_what_is_not_understood_is_told_with_what_is_near(client: TestClient) -> None:
    found = client.get("/readings?text=D%20doble%20harmonik", headers=JSON).json()
    assert found["readings"] == []
    assert "is no scale or chord" in found["wrong"]
    assert found["nearest"][0]["set"] == "D double harmonic"
    page = client.get("/readings?text=D%20doble%20harmonik&id=desk-field").text
    assert 'data-set="D double harmonic"' in page
    assert 'aria-disabled="true"' in page
    nothing = client.get("/readings?text=%25%25", headers=JSON).json()
    assert "Try a scale" in nothing["advice"]


def test_a_row_of_chords_is_no_mistake(client: TestClient) -> None:
    """Fields that take rows share these readings."""
    assert "option" not in client.get("/readings", params={"text": "Dm7; G7; Cmaj7#"}).text


def test_german_names() -> None:
    found = read_text("H7", german=True)
    assert (found.readings[0].set, found.readings[0].title) == ("H7", "B7")
    assert read_text("B", german=True).readings[0].title == "B♭"


def test_a_chord_is_described(client: TestClient) -> None:
    found = client.get("/played", params={"pitches": "55 48 52"}, headers=JSON).json()
    facts, _ = played((48, 52, 55), Settings())
    assert found["title"] == facts.title == "C"
    assert found["text"] == "C3 E3 G3"
    page = client.get("/played", params={"pitches": "48 52 55"}).text
    for wanted in ("<svg", "data-hear", "data-keep", "/sheet?set=", "/find?set=", "/sketch?line=C3%20E3%20G3"):
        assert wanted in page


@pytest.mark.parametrize("pitches", ["", "48 x", "128", "1 " * 40])
def test_pitches_that_are_none_are_refused(client: TestClient, pitches: str) -> None:
    answered = client.get("/played", params={"pitches": pitches}, headers=JSON)
    assert answered.status_code == 422
    assert answered.json()["error"]["sentence"]


def test_a_chord_has_an_address(client: TestClient) -> None:
    assert client.get("/", headers=JSON).json()["played"] is None
    assert client.get("/?pitches=48+52+55", headers=JSON).json()["played"]["title"] == "C"
    assert 'data-chord="48 52 55"' in client.get("/?pitches=48+52+55").text


@pytest.mark.parametrize("text", [text for text, _ in EXAMPLES])
def test_every_example_can_be_opened(client: TestClient, text: str) -> None:
    assert f"/sheet?set={quote(text)}" in client.get("/").text
    assert client.get("/sheet", params={"set": text}).status_code == 200


def test_a_sheet_that_was_opened_is_among_the_recent(client: TestClient, room: Room) -> None:
    client.get("/sheet", params={"set": "Ebmaj7#5"})
    found = client.get("/", headers=JSON).json()["recent"]
    assert found["looked"][0]["title"] == "E♭maj7♯5"
    assert found["shelf"]["is_current"]
    assert found["study"] == room.study.title


def test_the_shelf_can_be_brought_up_to_date_from_here(client: TestClient, room: Room) -> None:
    extra = room.study.pieces()[0].parent / "another.musicxml"
    extra.write_bytes(room.study.pieces()[0].read_bytes() + b" ")
    try:
        page = client.get("/").text
        assert "1 of the study's pieces is not on it" in page
        assert 'hx-post="/shelf/add"' in page
    finally:
        extra.unlink()
    assert 'hx-post="/shelf/add"' not in client.get("/").text


# --- in a browser ---------------------------------------------------------------------------------------------------

MIDI = """
window.asked = 0;
const input = { id: "one", name: "Clavier", state: "connected", onmidimessage: null };
window.instruments = { inputs: new Map([["one", input]]), onstatechange: null };
window.strike = (...pitches) => pitches.forEach((pitch) => input.onmidimessage({ data: [0x90, pitch, 80] }));
window.lift = (...pitches) => pitches.forEach((pitch) => input.onmidimessage({ data: [0x90, pitch, 0] }));
window.unplug = () => { input.state = "disconnected"; window.instruments.onstatechange(); };
navigator.requestMIDIAccess = async () => { window.asked += 1; return window.instruments; };
"""
REFUSED = "navigator.requestMIDIAccess = async () => { throw new DOMException('no', 'SecurityError'); };"
TITLE = "document.querySelector('.played h2')?.textContent"


@pytest.mark.browser
def test_typing_answers_and_enter_opens(served: Served, page: Page) -> None:
    page.goto(served.url)
    page.type("#desk-field", "a minor")
    wait_until(page, "document.querySelectorAll('#desk-field-readings [data-set]').length === 2")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert page.get_attribute("#desk-field", "aria-activedescendant") == "desk-field-2"
    page.keyboard.press("Enter")
    page.wait_for_url("**/sheet?set=Am")


@pytest.mark.browser
def test_enter_without_a_choice_opens_what_was_typed(served: Served, page: Page) -> None:
    page.goto(served.url)
    page.type("#desk-field", "7 0 3")
    page.keyboard.press("Enter")
    page.wait_for_url("**/sheet?set=7+0+3")


@pytest.mark.browser
def test_a_late_answer_never_stands_over_a_newer_one(served: Served, page: Page) -> None:
    page.add_init_script(
        """
        const fetched = window.fetch;
        window.fetch = async (url, how = {}) => {
          const slow = String(url).includes("text=Cmaj7&");
          const answer = await fetched(url, { ...how, signal: undefined });
          if (slow) await new Promise((done) => setTimeout(done, 900));
          return answer;
        };
        """
    )
    page.goto(served.url)
    page.fill("#desk-field", "Cmaj7")
    page.wait_for_timeout(200)
    page.fill("#desk-field", "Dm7")
    wait_until(page, "document.querySelector('#desk-field-readings [data-set]')?.dataset.set === 'Dm7'")
    page.fill("#desk-field", "Cmaj7")
    page.fill("#desk-field", "Dm7")
    page.wait_for_timeout(1200)
    assert page.evaluate("document.querySelector('#desk-field-readings [data-set]').dataset.set") == "Dm7"


@pytest.mark.browser
def test_what_is_near_can_be_taken(served: Served, page: Page) -> None:
    page.goto(served.url)
    page.type("#desk-field", "D doble harmonik")
    wait_until(page, "document.querySelectorAll('#desk-field-readings [data-set]').length > 0")
    assert "is no scale or chord" in page.inner_text("#desk-field-readings [data-wrong]")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url("**/sheet?set=D+double+harmonic")


@pytest.mark.browser
def test_a_failed_question_is_told(served: Served, page: Page) -> None:
    page.add_init_script("window.fetch = async () => { throw new TypeError('gone'); };")
    page.goto(served.url)
    page.type("#desk-field", "C")
    wait_until(page, "document.getElementById('said').textContent.includes('could not be looked up')")


@pytest.mark.browser
def test_keys_on_the_screen_by_pointer_and_by_keyboard(served: Served, page: Page) -> None:
    page.goto(served.url)
    page.click("[data-pitch='48']", position={"x": 8, "y": 120})
    page.click("[data-pitch='52']", position={"x": 20, "y": 120})
    page.click("[data-pitch='55']", position={"x": 20, "y": 120})
    wait_until(page, f"{TITLE} === 'C'")
    assert page.get_attribute("[data-pitch='52']", "aria-pressed") == "true"
    plays(page)
    assert page.url.endswith("/?pitches=48+52+55")
    page.focus("[data-pitch='55']")
    for key in ("ArrowRight", "ArrowRight", "ArrowRight", "Enter"):
        page.keyboard.press(key)
    wait_until(page, f"{TITLE} === 'C7'")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "B flat 3"
    assert page.evaluate("document.querySelectorAll('.key[tabindex=\"0\"]').length") == 1
    page.keyboard.press("Space")
    wait_until(page, f"{TITLE} === 'C'")
    page.keyboard.press("Escape")
    assert page.evaluate("window.sounding.paused")
    page.keyboard.press("h")
    plays(page)
    page.keyboard.press("k")
    wait_until(page, "document.getElementById('said').textContent === 'Kept: C3 E3 G3.'")
    page.click("[data-octave='1']")
    assert page.get_attribute("[data-pitch='48']", "aria-label") == "C4"
    page.click("[data-clear]")
    wait_until(page, "!document.querySelector('.played')")
    assert page.is_visible("[data-none]")
    page.reload()
    assert page.evaluate("document.querySelectorAll('.key[aria-pressed=true]').length") == 0


@pytest.mark.browser
def test_computer_keys_play_only_when_asked(served: Served, page: Page) -> None:
    page.goto(served.url)
    page.keyboard.press("KeyZ")
    page.wait_for_timeout(150)
    assert page.evaluate("document.querySelectorAll('.key[aria-pressed=true]').length") == 0
    page.check("[data-computer-keys]")
    for code in ("KeyZ", "KeyC", "KeyB"):
        page.keyboard.down(code)
    wait_until(page, f"{TITLE} === 'C'")
    for code in ("KeyZ", "KeyC", "KeyB"):
        page.keyboard.up(code)
    for code in ("KeyX", "KeyV", "KeyN"):
        page.keyboard.down(code)
    wait_until(page, f"{TITLE} === 'Dm'")
    page.keyboard.press("Slash")
    assert page.evaluate("document.activeElement.id") != "desk-field"
    page.type("#desk-field", "zx")
    assert page.input_value("#desk-field") == "zx"


@pytest.mark.browser
def test_an_instrument_is_asked_for_on_click_and_heard(served: Served, page: Page) -> None:
    page.add_init_script(MIDI)
    page.goto(served.url)
    page.wait_for_timeout(200)
    assert page.evaluate("window.asked") == 0
    page.click("[data-midi]")
    wait_until(page, "document.querySelector('[data-midi-told]').textContent === 'Listening to Clavier.'")
    assert page.evaluate("window.asked") == 1
    page.evaluate("window.strike(48, 52, 55, 59)")
    wait_until(page, f"{TITLE} === 'Cmaj7'")
    page.evaluate("window.lift(48, 52, 55, 59)")
    page.evaluate("window.strike(24, 28, 31)")
    wait_until(page, "document.querySelector('[data-pitch=\"48\"]').ariaLabel === 'C1'")
    page.evaluate("window.lift(24, 28, 31)")
    page.evaluate("window.strike(50, 53, 57)")
    wait_until(page, f"{TITLE} === 'Dm'")
    page.evaluate("window.unplug()")
    wait_until(page, "document.getElementById('said').textContent === 'Clavier is no longer connected.'")


@pytest.mark.browser
def test_a_refused_instrument_is_told(served: Served, page: Page) -> None:
    page.add_init_script(REFUSED)
    page.goto(served.url)
    page.click("[data-midi]")
    wait_until(page, "document.querySelector('[data-midi-told]').textContent.includes('not allowed')")
