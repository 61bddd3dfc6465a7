"""A set in running text is read like everywhere else, and set right."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.markdown import read_page
from sonorarium.lesson.roles import set_roles


def role(name: str, typed: str) -> str:
    return shown(f"the {{{name}}}`{typed}` here\n")


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
    with pytest.raises(
        InputError, match=r"Line 1: there is no role 'chrod'\. There are: set, scale, chord, label, notes, claim\."
    ):
        shown("{chrod}`C`\n")


@pytest.mark.parametrize(
    ("name", "typed", "printed"),
    [
        ("scale", "eb lydian", "E♭ lydian"),
        ("scale", "a minor", "A minor"),
        ("chord", "a minor", "Am"),
        ("chord", "Ebmaj7#5", "E♭maj7♯5"),
        ("chord", "Ab over C7", "A♭ over C7"),
        ("label", "C E Ab B", "4-19B"),
        ("label", "4-19", "4-19"),
        ("notes", "D double harmonic", "D E♭ F♯ G A B♭ C♯"),
        ("scale", "D double harmonic: notes, label", "D double harmonic (D E♭ F♯ G A B♭ C♯; 7-22)"),
        ("scale", "D double harmonic: steps, degrees", "D double harmonic (1-3-1-2-1-3-1; 1 ♭2 3 4 5 ♭6 7)"),
        ("set", "6-z10: label", "6-Z10 (6-Z10)"),
        ("chord", "a minor: notes", "Am (A C E)"),
    ],
)
def test_each_role_shows_its_own_kind(name: str, typed: str, printed: str) -> None:
    assert role(name, typed) == printed


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("scale", "Cmaj7", "Line 1: Cmaj7 is no scale"),
        ("chord", "4-19", "Line 1: 4-19 is no chord"),
        ("chord", "D lydian b2 b6", "Line 1: D lydian ♭2 ♭6 is no chord"),
        ("notes", "4-19", "Line 1: 4-19 is a class, and has no notes of its own"),
        ("set", "4-19: degrees", "Line 1: 4-19 is a class"),
        ("set", "C E G: colour", "Line 1: a role does not add 'colour'. It adds label, notes, steps, degrees"),
        ("scale", "D dubble harmonic", "Line 1: "),
    ],
)
def test_what_is_not_of_the_kind_stops_with_its_line(name: str, typed: str, sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        role(name, typed)
    assert str(caught.value).startswith(sentence)
