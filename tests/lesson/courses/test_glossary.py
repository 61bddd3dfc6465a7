"""Terms are found whole, in running text only; a study may add its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.courses.glossary import Entry, glossary, read_glossary, terms_used
from sonorarium.lesson.markdown import read_page
from sonorarium.study.folder import new_study


def found(text: str, *entries: Entry) -> dict[str, tuple[int, ...]]:
    return {entry.term: lines for entry, lines in terms_used(read_page(text), entries or glossary()).items()}


def test_whole_words_plurals_and_capitals() -> None:
    assert found("Modes and a mode.\n\nNot modest, not a-mode-b.\n") == {"mode": (1,)}
    assert found("Its pitch\nclasses.\n") == {"pitch class": (1,)}


def test_the_longer_term_counts() -> None:
    assert found("Its interval-class vector and its interval classes.\n") == {
        "interval class": (1,),
        "interval-class vector": (1,),
    }
    assert found("Its interval-class vector.\n") == {"interval-class vector": (1,)}


def test_no_term_is_found_twice_in_the_own_glossary() -> None:
    words = [word.casefold() for entry in glossary() for word in entry.words]
    assert len(words) == len(set(words))
    assert all(entry.says.endswith(".") for entry in glossary())


def test_a_study_has_its_own_words(tmp_path: Path) -> None:
    study = new_study(tmp_path / "study", "Terms")
    place = study.folder / "glossary.toml"
    place.write_text(
        '[[term]]\nterm = "hinge"\nalso = ["pivot"]\nsays = "A class two scales share."\n'
        '[[term]]\nterm = "Mode"\nsays = "In my own words."\n',
        encoding="utf-8",
    )
    entries = {entry.term: entry for entry in glossary(study)}
    assert entries["hinge"].words == ("hinge", "pivot")
    assert entries["Mode"].says == "In my own words."
    assert "mode" not in entries
    assert found("A pivot.\n", *entries.values()) == {"hinge": (1,)}


@pytest.mark.parametrize(
    "text",
    ["[[term", 'term = "x"', 'title = "x"', '[[term]]\nterm = "x"', '[[term]]\nterm = "x"\nsays = "y"\nsee = "z"'],
)
def test_what_is_no_glossary_is_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"mine\.toml"):
        read_glossary(text, "mine.toml")
