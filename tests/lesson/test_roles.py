"""A set in running text is read like everywhere else, and set right."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.markdown import read_page
from sonorarium.lesson.roles import set_roles


def shown(text: str) -> str:
    page = set_roles(read_page(text))
    (token,) = [c for t in page.tokens for c in t.children or () if c.type == "myst_role"]
    return token.content


@pytest.mark.parametrize(
    ("typed", "title"),
    [
        ("6-10", "6-Z10"),
        ("eb lydian", "E♭ lydian"),
        ("C E Ab B", "C E A♭ B"),
        ("f# mixolydian b6", "F♯ mixolydian ♭6"),
    ],
)
def test_what_is_typed_is_set_right(typed: str, title: str) -> None:
    assert shown(f"the set {{set}}`{typed}` here\n") == title


def test_a_class_that_does_not_exist_stops_with_its_line() -> None:
    with pytest.raises(InputError, match=r"Line 3: There is no set class 7-99"):
        shown("one\n\nthe set {set}`7-99`\n")


def test_an_unknown_role_stops_with_its_line() -> None:
    with pytest.raises(InputError, match=r"Line 1: there is no role 'chrod'\. There are: set, claim\."):
        shown("{chrod}`C`\n")
