"""Lessons while they are written: names never become paths, foreign changes are kept, drafts leave files alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.study.folder import Study, new_study
from sonorarium.web.facts.lessons import (
    draft_of,
    earlier,
    find_lesson,
    made_file,
    movable,
    new_lesson,
    policy_of,
    read_text,
    save_lesson,
)


@pytest.fixture
def study(tmp_path: Path) -> Study:
    return new_study(tmp_path / "study", "A study")


def test_a_new_lesson_lies_in_the_study_whatever_its_title(study: Study) -> None:
    for title in ("../../evil", "/etc/passwd", 'Say "a" \\ b: c', "..", "Ünïcode ♭"):
        path = new_lesson(study, title)
        assert path.parent == study.folder / "lessons"
        assert draft_of(read_text(path)[0], study).faults == ()
        assert earlier(study, path)[0].title == title
    assert len(study.lessons()) == 5
    with pytest.raises(InputError, match="needs a title"):
        new_lesson(study, "  ")


@pytest.mark.parametrize("name", ["../study", "..", "", "/etc/passwd", "lessons/one", "one.md", "*"])
def test_no_name_leads_out(study: Study, name: str) -> None:
    new_lesson(study, "One")
    with pytest.raises(NothingFoundError):
        find_lesson(study, name)
    with pytest.raises(NothingFoundError):
        made_file(study, name)


def test_a_made_file_that_leads_out_is_none(study: Study) -> None:
    (study.folder / "made").mkdir()
    (study.folder / "made" / "out.html").symlink_to(study.folder / "study.toml")
    (study.folder / "made" / "in.html").write_text("x", encoding="utf-8")
    assert made_file(study, "in.html").name == "in.html"
    with pytest.raises(NothingFoundError):
        made_file(study, "out.html")


def test_a_save_is_refused_where_the_file_was_changed_meanwhile(study: Study) -> None:
    path = new_lesson(study, "One")
    _, digest = read_text(path)
    path.write_text("theirs", encoding="utf-8")
    with pytest.raises(InputError, match="changed by another program"):
        save_lesson(study, "one", "mine", digest)
    assert path.read_text(encoding="utf-8") == "theirs"
    digest = save_lesson(study, "one", "mine\n", read_text(path)[1])
    assert read_text(path) == ("mine\n", digest)


def test_line_ends_stay_as_they_were(study: Study) -> None:
    path = new_lesson(study, "One")
    path.write_bytes(b"a\r\nb\r\n")
    text, digest = read_text(path)
    assert text == "a\nb\n"
    save_lesson(study, "one", text + "c\n", digest)
    assert path.read_bytes() == b"a\r\nb\r\nc\r\n"


def test_a_fault_has_its_line_and_the_rest_is_drawn(study: Study) -> None:
    draft = draft_of("# Head\n\n```{scal} D dorian\n```\n\n```{scale} D dorian\n```\n\n7-22 holds 5-35.\n", study)
    assert [fault.line for fault in draft.faults] == [3]
    assert "Head" in draft.page
    assert draft.page.count("<svg") >= 1
    assert [one.standing for one in draft.checked] == ["false"]


def test_a_text_that_cannot_be_read_gives_a_fault_and_no_page(study: Study) -> None:
    draft = draft_of("---\ncolour: red\n---\n\ntext\n", study)
    assert draft.page == ""
    assert len(draft.faults) == 1


def test_the_policy_lets_only_the_pages_own_script_run(study: Study) -> None:
    page = draft_of("```{scale} D dorian\n```\n\n<script>alert(1)</script>", study).page
    policy = policy_of(page)
    assert policy.count("'sha256-") == 1
    assert "script-src 'none'" in policy_of("<p>none</p>")
    assert "<script>alert" not in page


def test_a_page_whose_script_is_its_own_choice_is_a_stranger_to_the_workbench() -> None:
    page = "<meta content=\"script-src 'sha256-" + "A" * 43 + "='\">"
    sandbox = policy_of(page).rpartition("; ")[2].split()
    assert sandbox[0] == "sandbox"
    assert "allow-scripts" in sandbox
    assert not {"allow-same-origin", "allow-popups-to-escape-sandbox", "allow-forms"} & set(sandbox)


def test_a_page_that_is_moved_has_one_script_more_and_its_digest(study: Study) -> None:
    page = draft_of("Words.", study).page
    moved = movable(page)
    assert policy_of(moved).count("'sha256-") == policy_of(page).count("'sha256-") + 1
    assert moved.count("<script>") == page.count("<script>") + 1


def test_what_came_before_is_known(study: Study) -> None:
    for title in ("One", "Two"):
        path = new_lesson(study, title)
        path.write_text("{set}`4-19`\n", encoding="utf-8")
    entry, before = earlier(study, path)
    assert [before.known(one)[0] for one in entry.classes()] == ["shown"]
    assert earlier(study, study.lessons()[0])[1].entries == ()
