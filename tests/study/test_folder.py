"""A study is a folder; nothing outside it can be reached."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import DamagedError, InputError
from sonorarium.study.folder import FOLDERS, Study, new_study, open_study, study_around


@pytest.fixture
def study(tmp_path: Path) -> Study:
    (tmp_path / "study.toml").write_text('title = "Seconds"\n', encoding="utf-8")
    (tmp_path / "pieces").mkdir()
    (tmp_path / "pieces" / "one.musicxml").write_text("<score/>", encoding="utf-8")
    (tmp_path / "lessons").mkdir()
    (tmp_path / "lessons" / "first.md").write_text("# One", encoding="utf-8")
    return open_study(tmp_path)


def test_knows_its_title_pieces_and_lessons(study: Study) -> None:
    assert study.title == "Seconds"
    assert [p.name for p in study.pieces()] == ["one.musicxml"]
    assert [p.name for p in study.lessons()] == ["first.md"]
    assert study.inside("pieces/one.musicxml").is_file()


@pytest.mark.parametrize("name", ["../secret.xml", "/etc/hosts", "pieces/../../x"])
def test_nothing_outside_can_be_reached(study: Study, name: str) -> None:
    with pytest.raises(InputError, match="lies outside the study"):
        study.inside(name)


def test_a_link_that_leads_outside_is_outside(study: Study, tmp_path_factory: pytest.TempPathFactory) -> None:
    secret = tmp_path_factory.mktemp("elsewhere") / "secret.xml"
    secret.write_text("x", encoding="utf-8")
    (study.folder / "pieces" / "way-out.xml").symlink_to(secret)
    with pytest.raises(InputError, match="lies outside the study"):
        study.inside("pieces/way-out.xml")


def test_links_that_lead_outside_are_neither_pieces_nor_lessons(
    study: Study, tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    for folder, name in (("pieces", "out.musicxml"), ("lessons", "out.md")):
        (elsewhere / name).write_text("secret", encoding="utf-8")
        (study.folder / folder / name).symlink_to(elsewhere / name)
    (study.folder / "lessons" / "again.md").symlink_to(study.folder / "lessons" / "first.md")
    assert [p.name for p in study.pieces()] == ["one.musicxml"]
    assert [p.name for p in study.lessons()] == ["again.md", "first.md"]


def test_a_missing_piece_names_those_there_are(study: Study) -> None:
    with pytest.raises(InputError, match=r"Its pieces are: pieces/one\.musicxml"):
        study.inside("pieces/two.musicxml")


def test_the_study_of_a_file_is_found_upward(study: Study) -> None:
    assert study_around(study.folder / "lessons" / "first.md") == study


def test_unknown_keys_and_broken_files_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"holds no study\.toml"):
        open_study(tmp_path)
    (tmp_path / "study.toml").write_text('titel = "x"\n', encoding="utf-8")
    with pytest.raises(InputError, match="'titel' is not understood"):
        open_study(tmp_path)
    (tmp_path / "study.toml").write_text("title = \n", encoding="utf-8")
    with pytest.raises(InputError, match="could not be read"):
        open_study(tmp_path)


def test_a_new_study_can_be_opened_and_is_not_made_twice(tmp_path: Path) -> None:
    made = new_study(tmp_path / "mine", 'Seconds "and" thirds', "Me")
    assert open_study(tmp_path / "mine") == made
    assert (made.title, made.author, made.sets_name) == ('Seconds "and" thirds', "Me", "sets")
    assert {p.name for p in made.folder.iterdir()} == {"study.toml", *FOLDERS}
    with pytest.raises(InputError, match="is a study already"):
        new_study(tmp_path / "mine", "Again")


@pytest.mark.parametrize("name", ["..", "/etc", "", "pieces/../..", "."])
def test_no_folder_of_a_study_lies_outside_it(tmp_path: Path, name: str) -> None:
    (tmp_path / "study.toml").write_text(f'sets = "{name}"\n', encoding="utf-8")
    with pytest.raises(InputError, match="the folder of sets"):
        open_study(tmp_path)


def test_a_later_format_is_refused_and_a_strange_one_too(tmp_path: Path) -> None:
    (tmp_path / "study.toml").write_text("format = 2\n", encoding="utf-8")
    with pytest.raises(DamagedError, match="is of format 2; this version reads format 1"):
        open_study(tmp_path)
    (tmp_path / "study.toml").write_text('format = "new"\n', encoding="utf-8")
    with pytest.raises(InputError, match="there is no format 'new'"):
        open_study(tmp_path)
