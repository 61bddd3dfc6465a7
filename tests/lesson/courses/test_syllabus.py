"""A syllabus keeps its own rule, at every step, for every family."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.courses.ledger import classes_in, read_ledger
from sonorarium.lesson.courses.syllabus import syllabus
from sonorarium.pcs.families import families, find_family
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[3] / "demo"


@pytest.mark.parametrize("name", list(families()))
@pytest.mark.parametrize("lean", [Fraction(0), Fraction(1, 2), Fraction(9, 10)])
def test_every_step_keeps_the_rule(name: str, lean: Fraction) -> None:
    family = find_family(name)
    holds = {kind: set(classes_in(kind.pcset, range(3, kind.pcset.cardinality))) for kind in family.kinds}
    steps = syllabus(family, lean=lean).steps
    assert sorted(step.kind.name for step in steps) == sorted(kind.name for kind in family.kinds)
    known = set(holds[steps[0].kind])
    for at, step in enumerate(steps[1:], start=1):
        mine, left = holds[step.kind], [holds[later.kind] for later in steps[at:]]
        assert set(step.adds) == mine - known
        assert step.leans == len(mine & known)
        leaning = [other for other in left if len(other & known) >= lean * max(len(other), 1)]
        if leaning:
            assert mine in leaning
            assert len(mine - known) == max(len(other - known) for other in leaning)
        known |= mine


def test_the_first_kind_is_the_hub_or_the_one_asked_for() -> None:
    kin = find_family("double-harmonic")
    assert syllabus(kin).steps[0].kind.name == "double harmonic"
    assert syllabus(kin, first="harmonic major").steps[0].kind.name == "harmonic major"
    with pytest.raises(InputError, match="no kind 'dorian'"):
        syllabus(kin, first="dorian")
    with pytest.raises(InputError, match="is no share"):
        syllabus(kin, lean=Fraction(2))


def test_a_scale_and_its_mirror_differ_under_transposition_alone() -> None:
    family = find_family("spaced")
    added = {
        tn: {step.kind.name: len(step.adds) for step in syllabus(family, tn=tn).steps}["harmonic major"]
        for tn in (False, True)
    }
    assert added[False] == 0
    assert added[True] > 0


def test_what_a_course_has_covered_is_known_from_the_start() -> None:
    family = find_family("double-harmonic")
    steps = syllabus(family, after=read_ledger(open_study(DEMO))).steps
    of_kind = {step.kind.name: step for step in steps}
    assert of_kind["double harmonic"].adds == ()
    assert of_kind["harmonic minor"].adds == ()
    assert of_kind["neapolitan minor"].adds != ()


def test_reasons_say_numbers_and_moves() -> None:
    steps = syllabus(find_family("spaced")).steps
    assert steps[0].reason == "55 of its 55 classes are new."
    assert steps[1].reason == (
        "10 of its 44 classes are new; it shares 34 with harmonic minor; one semitone from harmonic minor."
    )
    assert "at least 1/2" in syllabus(find_family("spaced")).rule
