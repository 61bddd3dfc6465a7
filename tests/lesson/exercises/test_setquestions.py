"""Questions on sets: each key found a second way, each wrong choice shown to be wrong, each measure counted anew."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest

from sonorarium.lesson.exercises.exercise import Exercise
from sonorarium.lesson.exercises.setquestions import (
    class_questions,
    complement_questions,
    partner_questions,
    prime_text,
    subset_questions,
    turning_work,
)
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.subject import Subject, subject
from tests.lesson.exercises.secondway import asim, bare, forms, heights, label, pcs, prime, prime_of_text, vector

SCALE = "D double harmonic"
SUBJECTS = [SCALE, "C major pentatonic", "E octatonic semitone-tone", "C E G"]


def made(make: Callable[[Subject], Iterator[Exercise]], name: str, sample: int = 60) -> list[Exercise]:
    """Exercises spread evenly over all that there are."""
    every = list(make(subject(name)))
    return every[:: max(1, len(every) // sample)]


def closeness(differences: list[float]) -> float:
    return round(10 * (1 - sum(differences) / len(differences)), 2)


@pytest.mark.parametrize("name", SUBJECTS)
def test_the_class_is_the_class_of_the_notes(name: str) -> None:
    for exercise in made(class_questions, name):
        notes = pcs(exercise.prompt.removeprefix("Which class is"))
        for choice in exercise.choices:
            stated = prime_of_text(choice.text)
            assert (stated == prime(notes)) == choice.is_right
            assert bare(choice.text) == label(stated)
            assert vector(stated) == tuple(map(int, re.findall(r"\d", choice.why)))


def test_the_work_of_a_class_is_notes_turning_and_mirror() -> None:
    for exercise in made(class_questions, SCALE):
        notes = heights(exercise.prompt.removeprefix("Which class is"))
        risen = frozenset((pc - notes[0]) % 12 for pc in notes)
        under_transposition = [frozenset((pc + n) % 12 for pc in notes) for n in range(12)]
        packed = min(under_transposition, key=lambda form: sum(1 << pc for pc in form))
        mirror = packed != frozenset(prime(notes))
        assert exercise.work == len(notes) + (risen != packed) + mirror
        wrong = [prime_of_text(choice.text) for choice in exercise.choices if not choice.is_right]
        assert exercise.closeness == closeness([asim(notes, other) for other in wrong])


def test_turning_is_counted_by_hand() -> None:
    assert turning_work((0, 1, 4)) == 0  # normal order from C, prime form (014)
    assert turning_work((1, 4, 0)) == 1  # the same notes, begun on C♯
    assert turning_work((0, 3, 4)) == 1  # the mirror of (014)


@pytest.mark.parametrize("name", ["D double harmonic", "C E G"])
def test_the_partner_alone_has_the_same_vector(name: str) -> None:
    for exercise in made(partner_questions, name):
        asked = prime_of_text(exercise.prompt)
        for choice in exercise.choices:
            other = prime_of_text(choice.text)
            assert (vector(other) == vector(asked)) == choice.is_right
            assert frozenset(other) not in forms(asked)
        wrong = [prime_of_text(choice.text) for choice in exercise.choices if not choice.is_right]
        assert (exercise.work, exercise.closeness) == (len(asked), closeness([asim(asked, o) for o in wrong]))


@pytest.mark.parametrize("name", SUBJECTS)
def test_the_complement_is_what_is_missing(name: str) -> None:
    for exercise in made(complement_questions, name):
        notes = pcs(exercise.prompt.partition("beside")[2])
        missing = frozenset(range(12)) - notes
        for choice in exercise.choices:
            assert (prime_of_text(choice.text) == prime(missing)) == choice.is_right
        assert pcs(exercise.key.partition(":")[2]) == missing
        wrong = [prime_of_text(choice.text) for choice in exercise.choices if not choice.is_right]
        assert (exercise.work, exercise.closeness) == (
            len(missing),
            closeness([asim(missing, other) for other in wrong]),
        )


@pytest.mark.parametrize("name", SUBJECTS[:3])
def test_only_the_right_choice_lies_inside(name: str) -> None:
    inside = frozenset(subject(name).pcset)
    for exercise in made(subset_questions, name, 120):
        if "chords" in exercise.prompt:
            for choice in exercise.choices:
                assert (pcs(choice.text) <= inside) == choice.is_right
            assert len({len(pcs(choice.text)) for choice in exercise.choices}) == 1
            wrong = [pcs(choice.text) for choice in exercise.choices if not choice.is_right]
            differences = [len(other - inside) / len(other) for other in wrong]
            assert exercise.work == len(wrong[0])
        else:
            right = next(prime_of_text(choice.text) for choice in exercise.choices if choice.is_right)
            for choice in exercise.choices:
                held = any(form <= inside for form in forms(prime_of_text(choice.text)))
                assert held == choice.is_right
            others = [prime_of_text(choice.text) for choice in exercise.choices if not choice.is_right]
            differences = [asim(right, other) for other in others]
            assert exercise.work == len(right) + 4
        assert exercise.closeness == closeness(differences)


@pytest.mark.parametrize("make", [class_questions, partner_questions, complement_questions, subset_questions])
def test_there_are_always_four_choices(make: Callable[[Subject], Iterator[Exercise]]) -> None:
    assert {len(exercise.choices) for exercise in made(make, SCALE, 400)} == {4}


def test_a_prime_form_is_written_with_t_and_e() -> None:
    assert prime_text(PcSet((0, 2, 4, 6, 8, 10))) == "(02468t)"
