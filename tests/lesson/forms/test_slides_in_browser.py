"""The slides in a real browser, opened from disk: they turn by keys, sound, fit, and can be read as one page."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, sync_playwright

from sonorarium.lesson.building import build_lesson, read_lesson

LESSON = Path(__file__).parents[3] / "demo" / "lessons" / "1-the-double-harmonic-scale.md"
QUIET = ("--no-sandbox", "--disable-gpu", "--autoplay-policy=no-user-gesture-required", "--mute-audio")
SHOWN = "[...document.querySelectorAll('.slide')].filter(s => s.checkVisibility()).map(s => s.id)"

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Page, list[str], str]]:
    made = build_lesson(read_lesson(LESSON), tmp_path_factory.mktemp("made"), forms=("slides",))
    chromium = shutil.which("chromium")
    assert chromium, "the page tests need Chromium on the PATH: run 'make browser'"
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=list(QUIET))
        page = browser.new_page(viewport={"width": 1920, "height": 1080})
        complaints: list[str] = []
        page.on("console", lambda message: complaints.append(message.text))
        page.on("requestfailed", lambda request: complaints.append(request.url[:80]))
        page.goto(made[0].as_uri())
        yield page, complaints, made[0].as_uri()
        browser.close()


@pytest.fixture
def page(opened: tuple[Page, list[str], str]) -> Page:
    page, _, address = opened
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto("about:blank")
    page.goto(address)
    return page


def test_nothing_fails_and_nothing_is_fetched(opened: tuple[Page, list[str], str]) -> None:
    assert opened[1] == []


def test_keys_turn_the_slides(page: Page) -> None:
    count = page.locator(".slide").count()
    seen = [page.evaluate(SHOWN)]
    for key in ("ArrowRight", " ", "PageDown", "ArrowLeft", "Shift+ ", "End", "ArrowRight", "Home", "ArrowLeft"):
        page.keyboard.press(key)
        seen.append(page.evaluate(SHOWN))
    assert [one for (one,) in seen] == [f"slide-{n}" for n in (1, 2, 3, 4, 3, 2, count, count, 1, 1)]
    assert page.locator(".told").text_content() == f"1 of {count}"


def test_an_address_opens_its_slide_and_buttons_turn(page: Page, opened: tuple[Page, list[str], str]) -> None:
    page.goto("about:blank")
    page.goto(f"{opened[2]}#slide-5")
    assert page.evaluate(SHOWN) == ["slide-5"]
    page.get_by_role("button", name="Next slide").click()
    assert page.evaluate(SHOWN) == ["slide-6"]
    assert page.url.endswith("#slide-6")


@pytest.mark.parametrize("size", [(1920, 1080), (1280, 720), (1024, 768), (820, 1180)])
def test_nothing_runs_over_the_edge(page: Page, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for _ in range(page.locator(".slide").count()):
        over = page.evaluate(
            "[...document.querySelectorAll('.slide')].filter(s => !s.hidden)"
            ".map(s => Math.max(s.scrollHeight - s.clientHeight, s.scrollWidth - s.clientWidth))"
        )
        assert over == [0]
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        page.keyboard.press("ArrowRight")


def test_notation_is_large(page: Page) -> None:
    page.keyboard.press("ArrowRight")
    box = page.locator(".slide:not([hidden]) .drawing svg").bounding_box()
    assert box is not None
    assert box["width"] > 1000


def test_s_plays_and_turning_stops(page: Page) -> None:
    page.keyboard.press("ArrowRight")
    page.keyboard.press("s")
    sound = page.locator(".slide:not([hidden]) audio").first
    for _ in range(100):
        if sound.evaluate("one => one.currentTime > 0.2"):
            break
        page.wait_for_timeout(50)
    else:
        raise AssertionError("it never sounded")
    page.keyboard.press("ArrowRight")
    assert page.evaluate("[...document.querySelectorAll('audio')].every(one => one.paused)")


def test_r_shows_all_to_read_at_any_width(page: Page) -> None:
    page.keyboard.press("r")
    assert len(page.evaluate(SHOWN)) == page.locator(".slide").count()
    page.set_viewport_size({"width": 480, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= 480
    page.keyboard.press("r")
    assert len(page.evaluate(SHOWN)) == 1
