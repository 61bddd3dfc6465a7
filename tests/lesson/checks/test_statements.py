"""Patterns with slots, denials, and the words of the grammar."""

from __future__ import annotations

import pytest

from sonorarium.lesson.checks.claims import FORMS, check_claim
from sonorarium.lesson.checks.statements import affirmed, expression, normal, weigh
from sonorarium.lesson.checks.terms import Setting


def test_slots_become_groups() -> None:
    found = expression("<as> lies in <bs><times>").fullmatch("5-22 lies in 7-22 at least three times")
    assert found
    assert found.groupdict() == {"as": "5-22", "bs": "7-22", "how": "at least ", "times": "three times"}


def test_the_whole_statement_has_to_fit() -> None:
    assert weigh("5-22 is inside 7-22 when it rains", FORMS, Setting()).standing == "not understood"


@pytest.mark.parametrize(
    ("text", "plain", "denied"),
    [
        ("7-22 doesn't contain 5-35", "7-22 contain 5-35", True),
        ("5-22 is not inside 7-35", "5-22 is inside 7-35", True),
        ("5-22 is inside 7-22", "5-22 is inside 7-22", False),
    ],
)
def test_denials(text: str, plain: str, denied: bool) -> None:
    assert affirmed(text) == (plain, denied)


def test_a_denial_turns_the_verdict_round() -> None:
    assert check_claim("7-22 does not hold 5-35").standing == "true"
    assert check_claim("7-22 does not hold 5-22").standing == "false"
    assert check_claim("7-22 does not hold 5-22 twice").standing == "not understood"
    assert check_claim("5-22 and 5-35 are not inside 7-22").standing == "not understood"


def test_the_words_of_the_grammar() -> None:
    assert normal("two five-note classes") == "two classes of five notes"
    assert normal("the 38 sevens") == "the 38 classes of 7 notes"


def test_what_was_understood_is_shown() -> None:
    assert check_claim("the class 5-22 lies in the double harmonic").understood == "<5-22> lies in <double harmonic>"
