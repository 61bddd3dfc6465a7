"""A workbench for the tests: the demo study in a folder of its own, asked in process or served to a real browser."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from starlette.testclient import TestClient

from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf
from sonorarium.study.folder import Study, open_study
from sonorarium.web.app import make_app
from sonorarium.web.guard import TOKEN_HEADER, Gate
from sonorarium.web.room import Room
from sonorarium.web.serving import listen

DEMO = Path(__file__).parents[2] / "demo"
TOKEN = "the-token-of-this-test"
QUIET = ("--no-sandbox", "--disable-gpu", "--autoplay-policy=no-user-gesture-required", "--mute-audio")


def demo_study(folder: Path) -> Study:
    """The demo study, copied."""
    for name in ("pieces", "lessons"):
        shutil.copytree(DEMO / name, folder / name)
    shutil.copy(DEMO / "study.toml", folder)
    return open_study(folder)


def demo_shelf(folder: Path, study: Study) -> Shelf:
    """A shelf that holds the pieces of the study."""
    shelf = Shelf(folder)
    add_folders(shelf, [study.folder / study.pieces_name], jobs=1)
    return shelf


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Room]:
    """The room of a workbench that is asked in process."""
    study = demo_study(tmp_path_factory.mktemp("study"))
    made = Room(study, demo_shelf(tmp_path_factory.mktemp("shelf"), study), Gate(8000, TOKEN))
    yield made
    made.close()


@pytest.fixture(scope="module")
def client(room: Room) -> Iterator[TestClient]:
    """A client that holds the token."""
    with TestClient(make_app(room), base_url="http://127.0.0.1:8000", headers={TOKEN_HEADER: TOKEN}) as made:
        yield made


@dataclass(frozen=True)
class Served:
    """A workbench that is being served."""

    url: str
    room: Room


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A workbench on a free port of this computer."""
    study = demo_study(tmp_path_factory.mktemp("study"))
    listening = listen(0)
    gate = Gate(listening.getsockname()[1], TOKEN)
    room = Room(study, demo_shelf(tmp_path_factory.mktemp("shelf"), study), gate)
    server = uvicorn.Server(uvicorn.Config(make_app(room), log_level="error", access_log=False))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield Served(f"http://{gate.hosts[0]}", room)
    server.should_exit = True
    thread.join(10)
    listening.close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium, silent."""
    chromium = shutil.which("chromium")
    assert chromium, "the page tests need Chromium on the PATH: run 'make browser'"
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=chromium, args=list(QUIET))
        yield made
        made.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh page, in which nothing may fail: whatever the browser complains of fails the test."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    made = context.new_page()
    complaints: list[str] = []
    made.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    made.on("pageerror", lambda error: complaints.append(str(error)))
    yield made
    context.close()
    assert complaints == []
