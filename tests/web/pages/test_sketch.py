"""The sketch: its facts, its changes, its files that read back, its card; and by hand in a browser."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from sonorarium.pitch.progression import realise
from sonorarium.score.reading import read_score
from sonorarium.study.sketches import sketches
from sonorarium.web.room import Room
from tests.web.conftest import Served
from tests.web.waiting import plays, wait_until

LINE = "Dm7; G7; Cmaj7"
JSON = {"accept": "application/json"}


def pitches_in(path: Path) -> list[int]:
    return sorted(int(pitch) for pitch in read_score(path).notes["pitch"])


def test_the_facts_are_the_smoothest_realisation(client: TestClient) -> None:
    told = client.get("/sketch", params={"line": LINE}, headers=JSON).json()
    best = realise(LINE, limit=1)[0]
    assert [chord["pitches"] for chord in told["chords"]] == [list(one.pitches) for one in best.voicings]
    assert [one["size"] for one in told["movements"]] == [int(leading.size) for leading in best.leadings]
    page = client.get("/sketch", params={"line": LINE}).text
    assert all(move["words"] in page for one in told["movements"] for move in one["moves"])


def test_an_empty_sketch_has_examples_that_work(client: TestClient) -> None:
    assert "Dm7; G7; Cmaj7" in client.get("/sketch").text


def test_parallels_are_told(client: TestClient) -> None:
    told = client.get("/sketch", params={"line": "C3 G3 E4; D3 A3 F4"}, headers=JSON).json()
    assert told["movements"][0]["parallels"] == 1


def test_a_chord_is_replaced_and_added(client: TestClient) -> None:
    gone = client.get("/sketch/changed", params={"line": LINE, "place": 2, "chord": "Db7"}, follow_redirects=False)
    assert gone.headers["location"].startswith("/sketch?line=Dm7%3B%20Db7%3B%20Cmaj7")
    added = client.get("/sketch/changed", params={"line": LINE, "chord": "Am"}, follow_redirects=False)
    assert "Cmaj7%3B%20Am" in added.headers["location"]


def test_voicings_keep_to_the_terms_and_can_be_taken(client: TestClient) -> None:
    asked = {"line": LINE, "place": "2", "bass": "B", "low": "C3"}
    told = client.get("/sketch/voicings", params=asked, headers=JSON).json()
    assert told["offers"]
    for offer in told["offers"]:
        assert offer["pitches"][0][0] % 12 == 11
        row = client.get("/sketch", params={"line": offer["line"]}, headers=JSON).json()
        assert row["chords"][1]["pitches"] == offer["pitches"][0]
    assert "take this one" in client.get("/sketch/voicings", params=asked).text


def test_a_path_and_a_harmonisation_are_offered(client: TestClient) -> None:
    told = client.get("/sketch/path", params={"line": LINE, "place": "1", "steps": "3"}, headers=JSON).json()
    assert all(len(offer["pitches"]) == 4 for offer in told["offers"])
    asked = {"melody": "E5 F5 D5 E5:2", "by": "3-11", "inside": "C major"}
    told = client.get("/sketch/harmonise", params=asked, headers=JSON).json()
    assert told["offers"]
    for offer in told["offers"]:
        assert {pitch % 12 for chord in offer["pitches"] for pitch in chord} <= {0, 2, 4, 5, 7, 9, 11}
    page = client.get("/sketch/harmonise", params=asked).text
    assert page.count("data-take") == len(told["offers"])


def test_notation_reads_back(client: TestClient, tmp_path: Path) -> None:
    answered = client.get("/sketch/file.musicxml", params={"line": LINE})
    assert answered.headers["content-disposition"] == 'attachment; filename="sketch.musicxml"'
    (tmp_path / "sketch.musicxml").write_bytes(answered.content)
    wanted = sorted(pitch for one in realise(LINE, limit=1)[0].voicings for pitch in one.pitches)
    assert pitches_in(tmp_path / "sketch.musicxml") == wanted


@pytest.mark.parametrize(
    ("kind", "begins"), [("mid", b"MThd"), ("flac", b"fLaC"), ("wav", b"RIFF"), ("pdf", b"%PDF")]
)
def test_other_files_are_what_they_say(client: TestClient, kind: str, begins: bytes) -> None:
    assert client.get(f"/sketch/file.{kind}", params={"line": "C; F"}).content.startswith(begins)


def test_a_sketch_is_kept_with_its_row(client: TestClient, room: Room) -> None:
    assert client.post("/keep/sketch", data={"title": "Turn", "line": LINE}, headers=JSON).status_code == 200
    (card,) = [one for one in sketches(room.study)[0] if one.title == "Turn"]
    assert card.words.startswith(f"`{LINE}`")
    assert card.music_file is not None and pitches_in(card.music_file)


def test_what_is_not_understood_is_said(client: TestClient) -> None:
    assert client.get("/sketch", params={"line": "Dm7; xyzzy"}).status_code == 422


def test_what_an_ensemble_cannot_play_is_said_on_the_page(client: TestClient) -> None:
    asked = {"line": "C3 D3 F3 A3", "ensemble": "string quartet"}
    told = client.get("/sketch", params=asked, headers=JSON).json()
    assert "string quartet" in told["objection"]
    assert told["chords"][0]["pitches"] == [48, 50, 53, 57]


@pytest.mark.browser
def test_a_row_is_built_by_hand_heard_and_taken_away(page: Page, served: Served, tmp_path: Path) -> None:
    page.goto(f"{served.url}/sketch")
    for chord in ("Dm7", "G7"):
        page.fill("#add-chord", chord)
        page.click("#add button")
        page.wait_for_url("**#add")
        page.wait_for_selector(f'.chord[aria-label$="{chord}"]')
    page.click("#row > .row [data-hear]")
    plays(page)
    with page.expect_download() as download:
        page.click(".files a[download='sketch.musicxml']")
    download.value.save_as(tmp_path / "sketch.musicxml")
    wanted = sorted(pitch for one in realise("Dm7; G7", limit=1)[0].voicings for pitch in one.pitches)
    assert pitches_in(tmp_path / "sketch.musicxml") == wanted
    page.focus("#chord-2")
    page.keyboard.press("Shift+ArrowLeft")
    page.wait_for_url("**/sketch?line=G7%3B%20Dm7#chord-1")
    wait_until(page, "document.activeElement.id === 'chord-1'")
    page.keyboard.press("Delete")
    page.wait_for_url("**/sketch?line=Dm7")


def test_a_chord_that_is_not_understood_leaves_the_row_as_it_was(client: TestClient) -> None:
    asked = {"line": "Dm7; G7", "chord": "Hx#11"}
    given = client.get("/sketch/changed", params=asked)
    assert given.status_code == 422
    assert 'role="alert"' in given.text and "The row is as it was." in given.text
    assert given.text.count('class="chord"') == client.get("/sketch", params={"line": "Dm7; G7"}).text.count(
        'class="chord"'
    )
    assert client.get("/sketch/changed", params=asked, headers=JSON).status_code == 422
