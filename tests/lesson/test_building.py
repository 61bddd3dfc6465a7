"""A lesson becomes files that are whole, alike each time, and true to their source."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pypdfium2
import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.building import FORMS, Choices, build_lesson, read_lesson
from sonorarium.lesson.forms.theme import SIZES, Palette, read_theme

ROOT = Path(__file__).parents[2]
LESSON = ROOT / "demo" / "lessons" / "1-the-double-harmonic-scale.md"
FORMS_PAGE = ROOT / "docs" / "forms.md"


def test_the_demo_lesson_builds_alike_twice(tmp_path: Path) -> None:
    lesson = read_lesson(LESSON)
    assert lesson.count() == {"figures": 6, "sounds": 5, "tables": 2}
    first = [f.read_bytes() for f in build_lesson(lesson, tmp_path / "a")]
    second = [f.read_bytes() for f in build_lesson(read_lesson(LESSON), tmp_path / "b")]
    assert first == second


def test_the_paper_has_the_words_the_staves_and_embedded_fonts(tmp_path: Path) -> None:
    (paper,) = build_lesson(read_lesson(LESSON), tmp_path, forms=("pdf",))
    document = pypdfium2.PdfDocument(paper)
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    assert "D E♭ F♯ G A B♭ C♯" in text
    assert "only here" in text
    assert "Saffron Evening, bars 26–29" in text
    assert b"/FontFile" in paper.read_bytes() or b"/ObjStm" in paper.read_bytes()
    assert "�" not in text


def test_what_cannot_be_read_is_said(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.md could not be read: No such file"):
        read_lesson(tmp_path / "nowhere.md")
    (tmp_path / "latin.md").write_bytes(b"caf\xe9")
    with pytest.raises(InputError, match="it is not UTF-8 text"):
        read_lesson(tmp_path / "latin.md")


def test_a_lesson_that_cannot_be_made_writes_nothing(tmp_path: Path) -> None:
    page = tmp_path / "one.md"
    page.write_text("```{scale} C major\n```\n\n```{scale} C mayjor\n```\n", encoding="utf-8")
    with pytest.raises(InputError, match="Line 4: "):
        build_lesson(read_lesson(page), tmp_path / "made")
    assert not (tmp_path / "made").exists()


def test_all_forms_build_alike_with_and_without_the_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    choices = Choices(picture_px=200, sound="wav")
    builds = []
    for name, folder in (("cold", tmp_path / "cache"), ("warm", tmp_path / "cache"), ("none", "none")):
        monkeypatch.setenv("SONORARIUM_CACHE", str(folder))
        made = build_lesson(read_lesson(LESSON), tmp_path / name, forms=FORMS, choices=choices)
        builds.append({place.relative_to(tmp_path / name): place.read_bytes() for place in made})
    assert builds[0] == builds[1] == builds[2]
    ends = [place.name.removeprefix(LESSON.stem) for place in builds[0]]
    assert ends[:4] == [".html", ".pdf", "-slides.html", "-slides.pdf"]
    assert {"figure-06.svg", "figure-06.png", "figure-06.wav", "figure-06.musicxml", "-captions.txt"} <= set(ends)


def test_a_figure_has_one_number_in_every_form(tmp_path: Path) -> None:
    page, paper, slides, _, captions = build_lesson(
        read_lesson(LESSON), tmp_path, forms=("html", "pdf", "slides", "captions")
    )
    words = "D double harmonic and its kin one semitone away."
    assert f"<strong>Figure 5.</strong> {words}" in page.read_text(encoding="utf-8")
    assert f"<strong>Figure 5.</strong> {words}" in slides.read_text(encoding="utf-8")
    assert f"Figure 5. {words}" in captions.read_text(encoding="utf-8")
    text = " ".join(one.get_textpage().get_text_range() for one in pypdfium2.PdfDocument(paper))
    assert "Figure 5. D double harmonic and its kin" in text


def test_a_form_that_is_not_there_is_refused(tmp_path: Path) -> None:
    lesson = read_lesson(LESSON)
    with pytest.raises(InputError, match=r"no form 'scroll'\. It has html, pdf, slides"):
        build_lesson(lesson, tmp_path, forms=("scroll",))
    with pytest.raises(InputError, match="paper is told twice"):
        build_lesson(lesson, tmp_path, paper="us-letter", choices=Choices())


def test_the_page_of_forms_names_every_form_and_key_and_its_theme_holds(tmp_path: Path) -> None:
    page = FORMS_PAGE.read_text(encoding="utf-8")
    assert all(f"| `{form}` |" in page for form in FORMS)
    keys = (*(one.name for one in fields(Palette)), *SIZES, "text", "headings")
    assert all(f"\n{key} = " in page for key in keys)
    assert all(f"{name} = " in page and f"# {least:g} to {most:g}" in page for name, (least, most) in SIZES.items())
    place = tmp_path / "theme.toml"
    place.write_text(page.split("```toml\n")[1].split("```")[0], encoding="utf-8")
    theme = read_theme(place)
    made = build_lesson(read_lesson(LESSON), tmp_path, forms=("html", "pdf", "slides"), choices=Choices(theme=theme))
    assert "--accent:#7a1f3d" in made[0].read_text(encoding="utf-8")
    assert "--paper:#101216" in made[2].read_text(encoding="utf-8")
