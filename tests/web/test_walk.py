"""The whole job, walked by a reader who knows the trade: once with the mouse, once with the keyboard alone.

A scale is entered, its sheet read, heard and kept; it is found on the shelf; a passage is opened, traced and asked
about; a progression is sketched and taken away as MusicXML that reads back; a lesson is written and built.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from sonorarium.pcs.subject import subject
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.reading import read_score
from sonorarium.study.folder import Study
from sonorarium.web.room import Room
from tests.web.conftest import Served
from tests.web.waiting import plays, wait_until

SCALE = "D double harmonic"
ROW = ("Dmaj7", "Ebmaj7")
LESSON = """

{scale} has 7 notes.

```{{scale}} {scale}
```
"""


def cards(study: Study, folder: str) -> list[str]:
    """The texts of the cards of one folder of the study."""
    return [path.read_text(encoding="utf-8") for path in sorted((study.folder / folder).glob("*.md"))]


def pitch_classes(path: Path) -> set[int]:
    """What sounds in a file of notation, read back."""
    return {int(pitch) % 12 for pitch in read_score(path).notes["pitch"]}


def wanted_pitch_classes() -> set[int]:
    """What the sketched row must hold."""
    return {pc for chord in ROW for pc in subject(chord).pcset.pcs}


def described_by_mouse(page: Page, study: Study) -> None:
    """Enter a scale at the desk, read its sheet, hear it, keep it."""
    page.locator("#desk-field").press_sequentially(SCALE, delay=5)
    page.locator("#desk-field-readings [role=option]").first.click()
    page.wait_for_url("**/sheet?set=**")
    expect(page.get_by_role("heading", level=1)).to_have_text(SCALE)
    expect(page.locator("#insides tbody tr:visible", has_text="only here").first).to_be_visible()
    page.locator("#in-short [data-hear]").first.click()
    plays(page)
    page.locator("#in-short [data-keep]").click()
    expect(page.locator("#said")).to_contain_text(f"Kept: {SCALE}")
    assert any(SCALE in card for card in cards(study, "sets"))


def found_by_mouse(page: Page, study: Study) -> None:
    """Look for it on the shelf, hear a passage, keep it, open it in its piece."""
    page.get_by_role("link", name="look for it in the scores").click()
    page.wait_for_url("**/find?set=**")
    found = page.locator("main [data-specimen]", has=page.locator("svg [data-note]")).first
    found.locator("[data-hear]").first.click()
    plays(page)
    found.locator("[data-keep]").first.click()
    expect(page.locator("#said")).to_contain_text("Kept:")
    assert len(cards(study, "passages")) == 1
    found.locator("a[href^='/score']").first.click()


def traced_by_mouse(page: Page, room: Room) -> None:
    """Read what the piece is built on and what lies in the bars, and hear them."""
    page.wait_for_url("**/score?piece=**")
    key = re.search(r"piece=([0-9a-f]+)", page.url)
    assert key
    first_span = trace(room.score(key[1]), room.family())[0]
    expect(page.locator(".spans li").first).to_contain_text(first_span.sentence)
    expect(page.locator("[data-here]")).to_be_visible()
    page.get_by_role("button", name="play from the selected bar").click()
    plays(page)
    page.keyboard.press("Escape")
    wait_until(page, "window.sounding.paused")


def sketched_by_mouse(page: Page, folder: Path) -> None:
    """Put a row of chords down, and take it away as MusicXML that reads back."""
    page.get_by_role("link", name="Sketch", exact=True).click()
    page.fill("#add-chord", "; ".join(ROW))
    page.click("#add button")
    page.wait_for_selector(f'.chord[aria-label$="{ROW[1]}"]')
    with page.expect_download() as download:
        page.click(".files a[download='sketch.musicxml']")
    download.value.save_as(folder / "sketch.musicxml")
    assert pitch_classes(folder / "sketch.musicxml") == wanted_pitch_classes()


def taught_by_mouse(page: Page, study: Study) -> None:
    """Write a lesson with what was kept, have its statements checked, build the handout."""
    page.get_by_role("link", name="Lessons").click()
    page.fill("#new-title", "A walk")
    page.get_by_role("button", name="begin").click()
    page.wait_for_selector("#lesson-text")
    page.locator("#lesson-text").press("Control+End")
    page.keyboard.insert_text(LESSON.format(scale=SCALE))
    page.locator("[data-put]").first.click()
    page.wait_for_selector("[data-checked] li >> text=true")
    page.keyboard.press("Control+s")
    expect(page.locator("[data-state]")).to_have_text("as saved")
    page.get_by_role("button", name="handout, PDF").click()
    page.wait_for_selector("[data-made] a[download]", timeout=30_000)
    made = list((study.folder / "made").rglob("*.pdf"))
    assert len(made) == 1 and made[0].read_bytes().startswith(b"%PDF")


@pytest.mark.browser
def test_the_whole_job_with_the_mouse(page: Page, served: Served, tmp_path: Path) -> None:
    study = served.room.study
    page.goto(served.url)
    described_by_mouse(page, study)
    found_by_mouse(page, study)
    traced_by_mouse(page, served.room)
    sketched_by_mouse(page, tmp_path)
    taught_by_mouse(page, study)
    page.get_by_role("link", name="Keepings").click()
    expect(page.locator("article.card")).to_have_count(2)


def tab_to(page: Page, question: str, *, most: int = 120) -> None:
    """Press Tab until what has the focus is what is looked for, ``at`` in the question."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate(f"(at => Boolean({question}))(document.activeElement)"):
            return
    raise AssertionError(f"never reached by Tab: {question}")


def described_by_keys(page: Page) -> None:
    """Enter a scale from anywhere, hear and keep it, go on to the search."""
    page.keyboard.press("/")
    page.keyboard.type("E double harmonic", delay=5)
    page.wait_for_selector("[role=option] >> text=E double harmonic")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url("**/sheet?set=**")
    tab_to(page, "at.closest('#in-short') && at.matches('[data-hear]')")
    page.keyboard.press("h")
    plays(page)
    page.keyboard.press("Escape")
    page.keyboard.press("k")
    expect(page.locator("#said")).to_contain_text("Kept: E double harmonic")
    tab_to(page, "at.textContent.includes('look for it in the scores')", most=400)
    page.keyboard.press("Enter")


def found_by_keys(page: Page) -> None:
    """Keep the first passage and open it."""
    page.wait_for_url("**/find?set=**")
    page.wait_for_selector("main [data-specimen] svg [data-note]")
    tab_to(page, "at.closest('main [data-specimen]')")
    page.keyboard.press("k")
    expect(page.locator("#said")).to_contain_text("Kept:")
    tab_to(page, "at.matches(\"a[href^='/score']\")")
    page.keyboard.press("Enter")
    page.wait_for_url("**/score?piece=**")
    page.wait_for_selector("[data-here]")
    tab_to(page, "at.matches('[data-play-from=chosen]')")
    page.keyboard.press("Enter")
    plays(page)
    page.keyboard.press("Escape")
    wait_until(page, "window.sounding.paused")


def sketched_by_keys(page: Page, folder: Path) -> None:
    """The same row, by keys."""
    page.keyboard.press("g")
    page.keyboard.press("k")
    page.wait_for_url("**/sketch")
    tab_to(page, "at.id === 'add-chord'")
    page.keyboard.type("; ".join(ROW))
    page.keyboard.press("Enter")
    page.wait_for_selector(f'.chord[aria-label$="{ROW[1]}"]')
    tab_to(page, "at.matches(\".files a[download='sketch.musicxml']\")")
    with page.expect_download() as download:
        page.keyboard.press("Enter")
    download.value.save_as(folder / "sketch.musicxml")
    assert pitch_classes(folder / "sketch.musicxml") == wanted_pitch_classes()


def taught_by_keys(page: Page, study: Study) -> None:
    """A lesson, by keys."""
    page.keyboard.press("g")
    page.keyboard.press("l")
    page.wait_for_url("**/lesson")
    tab_to(page, "at.id === 'new-title'")
    page.keyboard.type("Keys alone")
    page.keyboard.press("Enter")
    page.wait_for_selector("#lesson-text")
    tab_to(page, "at.id === 'lesson-text'")
    page.keyboard.press("Control+End")
    page.keyboard.insert_text(LESSON.format(scale="E double harmonic"))
    page.wait_for_selector("[data-checked] li >> text=true")
    page.keyboard.press("Control+s")
    expect(page.locator("[data-state]")).to_have_text("as saved")
    tab_to(page, "at.textContent === 'handout, page'")
    page.keyboard.press("Enter")
    page.wait_for_selector("[data-made] a[download]", timeout=30_000)
    assert list((study.folder / "made").rglob("*.html"))


@pytest.mark.browser
def test_the_whole_job_with_the_keyboard_alone(page: Page, served: Served, tmp_path: Path) -> None:
    before = len(cards(served.room.study, "passages"))
    page.goto(served.url)
    described_by_keys(page)
    found_by_keys(page)
    assert len(cards(served.room.study, "passages")) == before + 1
    sketched_by_keys(page, tmp_path)
    taught_by_keys(page, served.room.study)
