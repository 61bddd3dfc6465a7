"""A course becomes a site in which every link leads somewhere, and which is the same when built twice."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from lxml import html

from sonorarium.errors import ClaimError, InputError, NothingFoundError
from sonorarium.lesson.courses.course import Course, build_course
from sonorarium.study.folder import Study, new_study, open_study

DEMO = Path(__file__).parents[3] / "demo"
LESSON = "# The scale\n\nIts modes: {set}`D dorian`.\n\n# The scale\n\nThe class {set}`5-35`, a <b>subset</b>.\n"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Course]:
    folder = tmp_path_factory.mktemp("site")
    return folder, build_course(open_study(DEMO), folder)


@pytest.fixture
def study(tmp_path: Path) -> Study:
    made = new_study(tmp_path / "study", "A <b>course</b>")
    (made.folder / "lessons" / "1-one.md").write_text(LESSON, encoding="utf-8")
    return made


def pages(folder: Path) -> dict[str, html.HtmlElement]:
    return {path.name: html.fromstring(path.read_text(encoding="utf-8")) for path in folder.glob("*.html")}


def test_every_link_leads_somewhere(demo: tuple[Path, Course]) -> None:
    folder, _ = demo
    found = pages(folder)
    links = [(name, href) for name, page in found.items() for href in page.xpath("//a/@href")]
    assert len(links) > 100
    for name, href in links:
        target, _, anchor = href.partition("#")
        target = target or name
        assert (folder / target).is_file(), (name, href)
        assert not anchor or len(found[target].xpath(f"//*[@id='{anchor}']")) == 1, (name, href)


def test_nothing_is_fetched_and_nothing_runs_in_the_indexes(demo: tuple[Path, Course]) -> None:
    for name, page in pages(demo[0]).items():
        assert not page.xpath("//script") or name[0].isdigit()
        assert not page.xpath("//link | //iframe | //object")
        assert all(src.startswith("data:") for src in page.xpath("//@src"))


def test_the_indexes_say_what_the_lessons_do(demo: tuple[Path, Course]) -> None:
    found = pages(demo[0])
    (hinge,) = found["sets.html"].xpath("//tr[@id='5-z17']")
    assert [(a.get("href"), (a.tail or "").strip()) for a in hinge.xpath(".//a")] == [
        ("1-the-double-harmonic-scale.html#what-is-inside-it", "(listed);"),
        ("1-the-double-harmonic-scale.html#where-to-hear-it", ";"),
        ("2-three-sisters.html#what-the-sisters-share", ";"),
        ("3-another-first-note.html#three-collections-on-one-note", ""),
    ]
    text = found["pieces.html"].text_content()
    assert "Sonorarium demo, Saffron Evening" in text
    assert "bars 26–29, 5-15" in text
    assert "CC0 1.0" in text
    assert "In the study, but in no lesson: pieces/5-clockwork-moth.musicxml." in text
    assert found["terms.html"].xpath("//dt[@id='augmented-second']")
    assert len(found["index.html"].xpath("//ol[@class='lessons']/li")) == 3


def test_lessons_are_turned_over_like_pages(demo: tuple[Path, Course]) -> None:
    middle = pages(demo[0])["2-three-sisters.html"]
    assert middle.xpath("//a[@rel='prev']/@href") == ["1-the-double-harmonic-scale.html"]
    assert middle.xpath("//a[@rel='next']/@href") == ["3-another-first-note.html"]


def test_the_demo_states_nothing_false(demo: tuple[Path, Course]) -> None:
    assert not [remark for remark in demo[1].remarks if "false" in remark]
    assert all(file.stat().st_size > 1000 for file in demo[1].files)


def test_building_twice_is_the_same(study: Study, tmp_path: Path) -> None:
    digests = []
    for name in ("one", "two"):
        files = build_course(study, tmp_path / name).files
        digests.append({file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in files})
    assert digests[0] == digests[1]
    assert set(digests[0]) == {"1-one.html", "1-one.pdf", "index.html", "sets.html", "pieces.html", "terms.html"}


def test_titles_are_text_and_headings_of_one_name_are_told_apart(study: Study, tmp_path: Path) -> None:
    build_course(study, tmp_path / "made")
    found = pages(tmp_path / "made")
    assert found["index.html"].xpath("//h1")[0].text_content() == "A <b>course</b>"
    assert found["1-one.html"].xpath("//h1[@id]/@id") == ["the-scale", "the-scale-2"]
    assert found["sets.html"].xpath("//tr[@id='5-35']//a/@href") == ["1-one.html#the-scale-2"]
    assert not found["1-one.html"].xpath("//a[@rel]")


def test_what_is_left_from_before_is_named_and_stays(study: Study, tmp_path: Path) -> None:
    (tmp_path / "made").mkdir()
    (tmp_path / "made" / "old.html").write_text("mine", encoding="utf-8")
    made = build_course(study, tmp_path / "made")
    assert "old.html lies in the folder from before and is no part of the course" in made.remarks
    assert (tmp_path / "made" / "old.html").read_text(encoding="utf-8") == "mine"


def test_what_cannot_be_built_is_said_with_its_lesson(study: Study, tmp_path: Path) -> None:
    lessons = study.folder / "lessons"
    (lessons / "2.md").write_text("The class 5-35 is inside 7-35 four times.\n", encoding="utf-8")
    with pytest.raises(ClaimError, match=r"lessons/2\.md"):
        build_course(study, tmp_path / "made")
    assert not (tmp_path / "made").exists()
    assert any("false" in r for r in build_course(study, tmp_path / "made", allow_false=True).remarks)
    (lessons / "2.md").rename(lessons / "Sets.md")
    with pytest.raises(InputError, match="called like a page of the course"):
        build_course(study, tmp_path / "made")
    for path in lessons.iterdir():
        path.unlink()
    with pytest.raises(NothingFoundError, match="has no lessons"):
        build_course(study, tmp_path / "made")
