"""The lesson page in a real browser, opened from disk: it sounds, it fits, and it says nothing is wrong."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, sync_playwright

from sonorarium.lesson.building import build_lesson, read_lesson

LESSON = Path(__file__).parents[3] / "demo" / "lessons" / "1-the-double-harmonic-scale.md"
QUIET = ("--no-sandbox", "--disable-gpu", "--autoplay-policy=no-user-gesture-required", "--mute-audio")

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    (made,) = build_lesson(read_lesson(LESSON), tmp_path_factory.mktemp("made"), forms=("html",))
    return made


@pytest.fixture(scope="module")
def browser_page(page_file: Path) -> Iterator[tuple[Page, list[str]]]:
    chromium = shutil.which("chromium")
    assert chromium, "the page tests need Chromium on the PATH: run 'make browser'"
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=list(QUIET))
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        complaints: list[str] = []
        page.on("console", lambda message: complaints.append(message.text))
        page.on("requestfailed", lambda request: complaints.append(request.url[:80]))
        page.goto(page_file.as_uri())
        yield page, complaints
        browser.close()


def wait_until(page: Page, question: str) -> None:
    """Ask until the answer is yes: the page's own policy forbids the library's way, which evaluates texts."""
    for _ in range(100):
        if page.evaluate(question):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never true: {question}")


def test_nothing_fails_and_nothing_is_fetched(browser_page: tuple[Page, list[str]]) -> None:
    page, complaints = browser_page
    wait_until(page, "document.fonts.status === 'loaded'")
    assert complaints == []
    assert page.evaluate("document.fonts.check('600 20px \"Sonorarium Serif\"', 'E♭')")


def test_a_sound_really_plays_and_escape_stops_it(browser_page: tuple[Page, list[str]]) -> None:
    page, _ = browser_page
    first = page.locator("audio").first
    first.evaluate("sound => sound.play()")
    wait_until(page, "document.querySelector('audio').currentTime > 0.3")
    page.keyboard.press("Escape")
    assert first.evaluate("sound => sound.paused")


def test_starting_one_sound_stops_the_other(browser_page: tuple[Page, list[str]]) -> None:
    page, _ = browser_page
    sounds = page.locator("audio")
    sounds.nth(0).evaluate("sound => sound.play()")
    sounds.nth(1).evaluate("sound => sound.play()")
    wait_until(page, "document.querySelectorAll('audio')[1].currentTime > 0.1")
    assert sounds.nth(0).evaluate("sound => sound.paused")
    page.keyboard.press("Escape")


@pytest.mark.parametrize("width", [390, 1280, 1920])
def test_nothing_runs_over_the_edge(browser_page: tuple[Page, list[str]], width: int) -> None:
    page, _ = browser_page
    page.set_viewport_size({"width": width, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_every_drawing_is_read_aloud(browser_page: tuple[Page, list[str]]) -> None:
    page, _ = browser_page
    labels = page.locator("svg[role=img]").evaluate_all("all => all.map(one => one.getAttribute('aria-label'))")
    assert len(labels) > 20
    assert all(labels)
