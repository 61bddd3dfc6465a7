"""Directives, options, roles and the head are read exactly, and what is malformed is named with its line."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.markdown import Directive, read_page


def only(text: str) -> Directive:
    (directive,) = read_page(text).directives
    return directive


@pytest.mark.parametrize("fence", ["```", "````", ":::"])
def test_a_directive_has_name_argument_options_and_body(fence: str) -> None:
    found = only(f"words\n\n{fence}{{passage}} pieces/a.musicxml\n:set: 5-22\n:rank: 2\n\nThe caption.\n{fence}\n")
    assert (found.name, found.argument, found.line) == ("passage", "pieces/a.musicxml", 3)
    assert found.options == {"set": "5-22", "rank": "2"}
    assert found.body == "The caption."


def test_the_head_is_read() -> None:
    page = read_page('---\ntitle: "One"\nauthor: Sonorarium demo\n---\n\n# Text\n')
    assert page.head == {"title": "One", "author": "Sonorarium demo"}


def test_an_unknown_key_of_the_head_names_its_line() -> None:
    with pytest.raises(
        InputError, match=r"Line 3: the head of a lesson holds title, subtitle, author, not 'colour: red'"
    ):
        read_page("---\ntitle: One\ncolour: red\n---\n")


def test_an_option_given_twice_names_its_line() -> None:
    with pytest.raises(InputError, match="Line 3: the option 'set' is given twice"):
        read_page("```{passage} a\n:set: 1\n:set: 2\n```\n")


def test_a_fence_that_names_no_directive_is_refused() -> None:
    with pytest.raises(InputError, match=r"Line 1: '\{Passage a' does not name a directive"):
        read_page("```{Passage a\n```\n")


def test_plain_code_stays_code() -> None:
    assert [t.type for t in read_page("```python\nprint(1)\n```\n").tokens] == ["fence"]


def test_options_are_checked() -> None:
    found = only("```{sound} C major\n:as: shout\n:tempo: fast\n```\n")
    with pytest.raises(
        InputError, match=r"'as' is 'shout', which is not understood. It takes scale, chord or arpeggio"
    ):
        found.choice("as", ("scale", "chord", "arpeggio"))
    with pytest.raises(InputError, match=r"'tempo' is 'fast', which is not understood. It takes a whole number"):
        found.number("tempo", 84, least=20, most=300)
    assert found.words("parts", "facts, modes") == ("facts", "modes")
