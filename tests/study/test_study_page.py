"""The page on the study folder shows cards and files that are read as it says."""

from __future__ import annotations

import re
from pathlib import Path

from sonorarium.lesson.courses.glossary import read_glossary
from sonorarium.study.folder import FOLDERS, NAME, Study, new_study, open_study
from sonorarium.study.keepings import _ONCE, kept_passages
from sonorarium.study.locking import NAME as LOCK
from sonorarium.study.remarks import kept_sets
from sonorarium.study.sketches import sketches

PAGE = (Path(__file__).parents[2] / "docs" / "study.md").read_text(encoding="utf-8")


def shown(kind: str) -> list[str]:
    return re.findall(rf"```{kind}\n(.*?)```", PAGE, re.DOTALL)


def test_the_files_shown_are_read(tmp_path: Path) -> None:
    study_file, glossary = shown("toml")
    (tmp_path / NAME).write_text(study_file, encoding="utf-8")
    study = open_study(tmp_path)
    assert study == Study(tmp_path.resolve(), study.title, study.author)
    assert read_glossary(glossary, "glossary.toml")[0].term == "hinge"


def test_the_cards_shown_are_read_and_written_alike(tmp_path: Path) -> None:
    study = new_study(tmp_path / "study", "Page")
    for folder, text in zip(("sets", "passages", "sketches"), shown("card"), strict=True):
        (study.folder / folder / "card.md").write_text(text, encoding="utf-8")
    one, passage, sketch = kept_sets(study).sets[0], kept_passages(study).passages[0], sketches(study)[0][0]
    assert one.tags == ("glass", "cold")
    assert (passage.bars, str(passage.onset_quarters)) == (("26", "29"), "151/2")
    assert sketch.music == "opening-in-fourths.musicxml"
    assert [filed.card.text for filed in (one.filed, passage.filed, sketch.filed)] == shown("card")


def test_every_place_and_every_key_is_on_the_page() -> None:
    assert all(f"`{name}/`" in PAGE for name in FOLDERS)
    assert all(f"`{name}`" in PAGE for name in (NAME, LOCK, *_ONCE))
