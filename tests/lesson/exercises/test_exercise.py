"""What an exercise is, and chance that stays the same."""

from __future__ import annotations

from random import Random

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.exercises.exercise import Choice, Exercise, Written, closeness_of, drawn

RIGHT, WRONG = Choice("(0148)", True, "4-19"), Choice("(0147)", False, "4-18")


def test_an_exercise_knows_its_answer_and_its_letter() -> None:
    exercise = Exercise("class", "Which?", 4, 6.25, "4-19.", (WRONG, RIGHT))
    assert (exercise.right_letter, exercise.answer, exercise.difficulty) == ("b", "(0148)", 10.25)
    written = Exercise("mode", "Write.", 2, 0.0, "C E.", written=Written(("C", "E"), "name"))
    assert (written.right_letter, written.answer, written.difficulty) == ("", "C E", 2.0)
    assert eval(repr(written)) == written


@pytest.mark.parametrize(
    ("choices", "written", "sentence"),
    [
        ((), None, "either choices or notes"),
        ((RIGHT, WRONG), Written(("C",), "name"), "either choices or notes"),
        ((WRONG,), None, "Exactly one choice"),
        ((RIGHT, RIGHT), None, "Exactly one choice"),
        ((RIGHT, Choice("(0148)", False, "")), None, "read alike"),
    ],
)
def test_what_is_no_exercise(choices: tuple[Choice, ...], written: Written | None, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        Exercise("class", "Which?", 4, 0.0, "", choices, written)


def test_shuffling_keeps_the_choices() -> None:
    exercise = Exercise("class", "Which?", 4, 6.25, "4-19.", (WRONG, RIGHT))
    orders = {exercise.shuffled(Random(str(seed))).choices for seed in range(12)}
    assert orders == {(WRONG, RIGHT), (RIGHT, WRONG)}


def test_what_is_drawn_is_settled_by_the_seed_and_reaches_everything() -> None:
    assert drawn("abcdef", 3, Random("5")) == drawn("abcdef", 3, Random("5"))
    assert sorted(drawn("abcdef", 99, Random("5"))) == list("abcdef")
    assert {drawn("abcdef", 1, Random(str(seed))) for seed in range(80)} == {(letter,) for letter in "abcdef"}


def test_closeness_is_ten_for_the_same_and_nought_for_the_wholly_different() -> None:
    assert [closeness_of([0.0, 0.0]), closeness_of([1.0]), closeness_of([0.2, 0.3, 0.4])] == [10.0, 0.0, 7.0]
