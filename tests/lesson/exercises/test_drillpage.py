"""The page of a drill in a real browser, opened from disk: it sounds, checks, and tells what is right."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, sync_playwright

from sonorarium.lesson.exercises.drillpage import drill_page
from sonorarium.lesson.exercises.drills import Drill, Request, make_drill

QUIET = ("--no-sandbox", "--disable-gpu", "--autoplay-policy=no-user-gesture-required", "--mute-audio")
KINDS = ("mode", "class", "chord", "voicing", "leading")


@pytest.fixture(scope="module")
def drill() -> Drill:
    return make_drill("D double harmonic", Request(KINDS, count=5, seed=5))


@pytest.fixture(scope="module")
def opened(drill: Drill, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Page, list[str]]]:
    file = tmp_path_factory.mktemp("drill") / "drill.html"
    file.write_text(drill_page(drill), encoding="utf-8")
    chromium = shutil.which("chromium")
    assert chromium, "the page tests need Chromium on the PATH: run 'make browser'"
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=list(QUIET))
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        complaints: list[str] = []
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("request", lambda request: complaints.append(request.url[:80]) if "http" in request.url[:5] else None)
        page.goto(file.as_uri())
        yield page, complaints
        browser.close()


@pytest.fixture
def page(opened: tuple[Page, list[str]]) -> Page:
    opened[0].click("#again")
    return opened[0]


def test_nothing_can_be_fetched_and_the_script_is_allowed_by_its_hash_alone(drill: Drill) -> None:
    text = drill_page(drill)
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy and "default-src 'none'" in policy[1] and "form-action 'none'" in policy[1]
    assert "'unsafe-inline'" not in policy[1].partition("script-src")[2]
    assert not re.search(r"localStorage|sessionStorage|fetch\(|XMLHttpRequest|sendBeacon|cookie", text)


@pytest.mark.browser
def test_every_right_answer_is_accepted_from_the_keyboard(page: Page, drill: Drill) -> None:
    for number, exercise in drill.exercises:
        form = page.locator(f"#exercise-{number}")
        if exercise.written:
            typed = exercise.answer.replace("♭", "b").replace("♯", "#").replace("𝄪", "x").replace("𝄫", "bb")
            form.locator("input").fill(typed)
            form.locator("input").press("Enter")
        else:
            first = form.locator("input").first
            first.focus()
            for _ in range("abcd".index(exercise.right_letter)):
                page.keyboard.press("ArrowDown")
            if exercise.right_letter == "a":
                page.keyboard.press("Space")
            page.keyboard.press("Enter")
        assert form.locator(".verdict").inner_text() == "✓ Right."
        assert exercise.key in form.locator(".key").inner_text()
    assert page.locator("#tally").inner_text() == "5 of 5 answered, 5 of them right at the first try."


@pytest.mark.browser
def test_wrong_notes_are_named_by_their_places_and_the_key_stays_shut(page: Page, drill: Drill) -> None:
    notes = drill.exercises[0][1].answer.split()
    form = page.locator("#exercise-1")
    form.locator("input").fill(" ".join([*notes[:-1], "H"]))
    form.locator("button[type=submit]").click()
    assert form.locator(".verdict").inner_text() == "“H” is not a note name."
    form.locator("input").fill(" ".join(notes[:-1]))
    form.locator("button[type=submit]").click()
    assert form.locator(".verdict").inner_text() == "7 notes are wanted, 6 are here."
    assert page.locator("#tally").inner_text() == "Nothing answered yet."
    swapped = [notes[0], notes[2], notes[1], *notes[3:]]
    form.locator("input").fill(" ".join(swapped))
    form.locator("button[type=submit]").click()
    assert form.locator(".verdict").inner_text() == "✗ Not right yet: notes 2 and 3."
    assert form.locator("input").get_attribute("aria-invalid") == "true"
    assert form.locator(".key").is_hidden()
    assert page.locator("#tally").inner_text() == "1 of 5 answered, 0 of them right at the first try."


@pytest.mark.browser
def test_enharmonic_names_count_for_pitches_and_not_for_spelling(page: Page, drill: Drill) -> None:
    """Exercise 4 is a voicing; exercise 1 a mode of seven notes."""
    other = {"C♯": "Db", "D♭": "C#", "E♭": "D#", "F♯": "Gb", "G♯": "Ab", "A♭": "G#", "B♭": "A#", "A♯": "Bb"}

    def renamed(text: str) -> str:
        return re.sub(r"[A-G][♭♯]", lambda found: other.get(found[0], found[0]), text)

    for number, verdict in ((1, "✗ Not right yet"), (4, "✓ Right.")):
        answer = drill.exercises[number - 1][1].answer
        assert renamed(answer) != answer
        form = page.locator(f"#exercise-{number}")
        form.locator("input").fill(renamed(answer))
        form.locator("button[type=submit]").click()
        assert form.locator(".verdict").inner_text().startswith(verdict)


@pytest.mark.browser
def test_a_wrong_choice_is_told_in_words_and_by_a_sign_and_others_stay_untold(page: Page, drill: Drill) -> None:
    exercise = drill.exercises[1][1]
    wrong = next(letter for letter in "abcd" if letter != exercise.right_letter)
    form = page.locator("#exercise-2")
    form.locator("button[type=submit]").click()
    assert form.locator(".verdict").inner_text() == "Choose an answer first."
    form.locator(f"input[value={wrong}]").check()
    form.locator("button[type=submit]").click()
    assert form.locator(".verdict").inner_text() == f"✗ Not right: {wrong}."
    assert form.locator(".why:visible").count() == 1
    told = form.locator(".why:visible")
    assert (told.locator(".sign").inner_text(), told.locator(".said").inner_text()) == ("✗", "Not right:")


@pytest.mark.browser
def test_the_answer_can_be_shown_and_the_chords_compared(page: Page, drill: Drill) -> None:
    form = page.locator("#exercise-3")
    assert form.locator(".compare:visible").count() == 0
    button = form.get_by_role("button", name="Show the answer")
    button.press("Enter")
    assert form.locator(".key").is_visible() and form.locator(".compare:visible").count() == 4
    assert form.get_by_role("button", name="Hide the answer").get_attribute("aria-expanded") == "true"
    assert page.locator("#tally").inner_text() == "1 of 5 answered, 0 of them right at the first try."


@pytest.mark.browser
def test_the_chord_really_sounds_and_escape_stops_it(page: Page) -> None:
    sound = page.locator("#exercise-3 audio").first
    sound.evaluate("sound => sound.play()")
    for _ in range(100):
        if sound.evaluate("sound => sound.currentTime") > 0.2:
            break
        page.wait_for_timeout(50)
    assert sound.evaluate("sound => sound.currentTime") > 0.2
    page.keyboard.press("Escape")
    assert sound.evaluate("sound => sound.paused")


@pytest.mark.browser
def test_controls_are_labelled_and_verdicts_are_read_aloud(page: Page) -> None:
    assert page.get_by_role("textbox", name="Your notes").count() == 3
    assert page.get_by_role("group").count() == 5  # a fieldset with its legend for each exercise
    assert page.locator(".verdict[role=status]").count() == 5
    labels = page.locator("svg[role=img], audio").evaluate_all(
        "all => all.map(one => one.getAttribute('aria-label'))"
    )
    assert labels and all(labels)
    assert "Set the volume low" in page.get_by_role("note").inner_text()


@pytest.mark.browser
@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_runs_over_the_edge(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.browser
def test_nothing_failed_and_nothing_was_fetched(opened: tuple[Page, list[str]]) -> None:
    assert opened[1] == []
