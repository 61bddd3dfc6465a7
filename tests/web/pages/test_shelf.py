"""The shelf says what is on it; folders and files get onto it from the named places alone; a stop leaves it sound."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from sonorarium.shelf.atlas import draw_atlas
from sonorarium.shelf.checking import check_shelf
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.sifting import year_of
from sonorarium.web.app import make_app
from sonorarium.web.guard import TOKEN_HEADER, Gate
from sonorarium.web.jobs import Jobs, StoppedError
from sonorarium.web.pages.shelf import JOB, PAGE, chosen_folder, folder_key, index
from sonorarium.web.room import Room
from tests.web.conftest import TOKEN, Served
from tests.web.waiting import wait_until

JSON = {"accept": "application/json"}
LONG = "x" * 900
AIR = b"X:1\nT:Dropped Air\nM:2/4\nL:1/4\nK:G\nF G|\n"


def over(room: Room) -> None:
    """Wait until the work on the shelf has ended."""
    for _ in range(400):
        if room.jobs.find(JOB).now().is_over:
            return
        time.sleep(0.05)
    raise AssertionError("it never ends")


def test_it_lists_what_is_on_it(client: TestClient, room: Room) -> None:
    told = client.get("/shelf", headers=JSON).json()
    assert (told["scores"], told["found"], told["first"], told["last"]) == (6, 6, 1, 6)
    assert told["not_on"] == 0
    for row in told["rows"]:
        assert len(room.score(row["key"]).notes) == row["notes"]
        assert row["file"].startswith("pieces/")
    assert str(room.study.folder) not in client.get("/shelf", headers=JSON).text


def test_words_composer_and_dates_narrow_it(client: TestClient) -> None:
    def found(**query: str) -> int:
        return int(client.get("/shelf", params=query, headers=JSON).json()["found"])

    assert found(text="saffron") == 1
    assert found(composer="Sonorarium demo") == 6
    assert found(composer="nobody") == 0
    assert found(**{"from": "1200"}) == sum(
        year_of(row["date"]) >= 1200 for row in client.get("/shelf", headers=JSON).json()["rows"]
    )
    assert client.get("/shelf", params={"from": "soon"}, headers=JSON).status_code == 422
    assert client.get("/shelf", params={"page": "7"}, headers=JSON).json()["rows"] == []


def test_the_page_says_it_and_links(client: TestClient, room: Room) -> None:
    shown = client.get("/shelf").text
    key = next(iter(room.paths()))
    assert "1 to 6 of 6" in shown
    assert f"/score?piece={key}" in shown
    assert PAGE == 100


@pytest.mark.parametrize(
    "inside", ["..", "../lessons", "/etc", "a/../../..", ".git", "way-out", "nowhere", "a\0b", LONG]
)
def test_no_folder_outside_the_places_is_reached(client: TestClient, room: Room, tmp_path: Path, inside: str) -> None:
    link = room.places[0] / "way-out"
    if not link.is_symlink():
        link.symlink_to(tmp_path)
    answered = client.post("/shelf/add", data={"place": 0, "inside": inside}, headers=JSON)
    link.unlink()
    assert answered.status_code == 422
    assert client.post("/shelf/add", data={"place": 9}, headers=JSON).status_code == 422
    assert chosen_folder(room, 0, "") == room.places[0]


def test_files_get_in_and_the_others_are_named(client: TestClient, room: Room) -> None:
    sent = [("files", ("../../air.abc", AIR)), ("files", ("picture.abc", b"\x89PNG"))]
    assert client.post("/shelf/files", files=sent, headers=JSON).status_code == 200
    over(room)
    told = client.get("/shelf", headers=JSON).json()
    assert [one["name"] for one in told["refused"]] == ["picture.abc"]
    assert "1 of 2 put in the study. Not taken: picture.abc" in told["job"]["words"]
    assert (room.places[0] / "air.abc").read_bytes() == AIR
    assert "Dropped Air" in [row["title"] for row in told["rows"]]
    many = [("files", (f"{n}.abc", AIR)) for n in range(201)]
    assert client.post("/shelf/files", files=many, headers=JSON).status_code == 422


def test_a_folder_is_taken_off_and_put_on_again(client: TestClient, room: Room) -> None:
    key = folder_key(str(room.places[0]))
    assert "Take pieces off the shelf?" in client.get("/shelf/drop", params={"folder": key}).text
    assert client.post("/shelf/drop", data={"folder": key}, headers=JSON).json()["files"] >= 6
    assert client.post("/shelf/drop", data={"folder": key}, headers=JSON).status_code == 404
    told = client.get("/shelf", headers=JSON).json()
    assert told["rows"] == []
    assert told["not_on"] >= 6
    assert "put the study's pieces on the shelf" in client.get("/shelf").text
    client.post("/shelf/add", data={"place": 0}, headers=JSON)
    over(room)
    assert client.get("/shelf", headers=JSON).json()["not_on"] == 0


def test_a_stop_keeps_what_is_done_and_the_shelf_sound(room: Room, tmp_path: Path) -> None:
    for number in range(100):
        (tmp_path / f"{number}.abc").write_bytes(AIR.replace(b"Air", f"Air {number}".encode()))
    shelf = Shelf(tmp_path / "shelf")
    other = Room(room.study, shelf, room.gate)

    class Stopping:
        def say(self, done: int, total: int = 0, words: str = "") -> None:
            if done:
                raise StoppedError

    with pytest.raises(StoppedError):
        index(other, [tmp_path], Stopping())  # type: ignore[arg-type]
    assert 0 < len(shelf.snapshot().scores) < 100
    assert not check_shelf(shelf).damaged_tables
    jobs = Jobs()
    jobs.start("again", lambda report: index(other, [tmp_path], report), key=JOB)
    while not jobs.find(JOB).now().is_over:
        time.sleep(0.01)
    assert jobs.find(JOB).now().state == "done"
    assert len(shelf.snapshot().scores) == 100
    other.close()


def test_the_atlas_is_that_of_the_core(client: TestClient, room: Room) -> None:
    told = client.get("/shelf/atlas", params={"size": "4"}, headers=JSON).json()
    core = draw_atlas(room.shelf, sizes=[4])
    assert [one["label"] for one in told["unused"]] == [one.label for one in core.unused]
    assert f"/find?set={core.unused[0].label}" in client.get("/shelf/atlas", params={"size": "4"}).text


def test_a_shelf_with_nothing_on_it(room: Room, tmp_path: Path) -> None:
    other = Room(room.study, Shelf(tmp_path / "none"), Gate(8000, TOKEN))
    with TestClient(make_app(other), base_url="http://127.0.0.1:8000", headers={TOKEN_HEADER: TOKEN}) as asked:
        assert "Nothing is on the shelf yet" in asked.get("/shelf").text
        assert asked.get("/shelf", headers=JSON).json()["not_on"] == len(room.study.pieces())
        assert len(asked.get("/shelf/atlas", headers=JSON).json()["unused"]) == 223
        assert asked.post("/shelf/update", headers=JSON).status_code == 404
        assert asked.get("/shelf/drop", params={"folder": "0" * 16}, headers=JSON).status_code == 404


@pytest.mark.browser
def test_chosen_files_are_put_on_the_shelf_before_ones_eyes(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/shelf")
    page.set_input_files("#files", {"name": "air.abc", "mimeType": "text/plain", "buffer": AIR})
    wait_until(page, "document.querySelector('.job')?.textContent.includes('done') ?? false", seconds=20)
    wait_until(page, "document.querySelector('#scores').textContent.includes('Dropped Air')")


@pytest.mark.browser
def test_pieces_that_are_not_on_the_shelf_are_put_on_it_with_one_click(page: Page, served: Served) -> None:
    pieces = served.room.places[0]
    text = (pieces / "3-the-well.musicxml").read_text(encoding="utf-8").replace("The Well", "The Other Well")
    (pieces / "other-well.musicxml").write_text(text, encoding="utf-8")
    page.goto(f"{served.url}/shelf")
    page.get_by_role("button", name="put the study's pieces on the shelf").click()
    page.wait_for_selector("#shelf-list >> text=The Other Well")
    page.wait_for_selector("#work .job >> text=1 read")
    assert not page.get_by_role("button", name="put the study's pieces on the shelf").is_visible()
