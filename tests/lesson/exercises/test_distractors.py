"""Wrong choices: of the right size, truly wrong, and nearer when they are called near."""

from __future__ import annotations

from itertools import combinations

import pytest

from sonorarium.lesson.exercises.distractors import NEARNESSES, like_classes, other_chords, outside_sets, taken
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import spell_freely
from tests.lesson.exercises.secondway import asim, semitones

SCALE = PcSet((1, 2, 3, 6, 7, 9, 10))


def mean(values: list[float]) -> float:
    return sum(values) / len(values)


@pytest.mark.parametrize("label", ["3-11", "4-Z15", "5-22", "6-Z19", "8-28"])
def test_near_classes_are_nearer_than_far_ones(label: str) -> None:
    right = SetClass(label)
    means = []
    for nearness in NEARNESSES:
        wrong = like_classes(right, right.cardinality, lambda other: other != right, nearness)
        assert len(set(wrong)) == 3 and right not in wrong
        means.append(mean([asim(right.prime_form, other.prime_form) for other in wrong]))
    assert means[0] >= means[1] >= means[2] and means[0] > means[2]


def test_the_partner_is_the_most_alike_and_is_left_out_where_it_is_right() -> None:
    right = SetClass("4-Z15")
    assert like_classes(right, 4, lambda other: other != right, "near")[0] == SetClass("4-Z29")
    near = like_classes(right, 4, lambda other: other not in (right, SetClass("4-Z29")), "near")
    assert SetClass("4-Z29") not in near


def test_sets_outside_a_scale_have_the_foreign_notes_that_are_asked_for() -> None:
    for notes in combinations(SCALE.pcs, 4):
        for nearness, foreign in zip(NEARNESSES, (3, 2, 1), strict=True):
            for other in outside_sets(PcSet(notes), SCALE, nearness):
                assert len(other) == 4 and len(other - SCALE) == foreign


def test_other_chords_are_no_transpositions_and_come_nearer() -> None:
    for notes in combinations(SCALE.pcs, 4):
        right = PcSet(notes)
        sums = []
        for nearness in NEARNESSES:
            others = other_chords(spell_freely(right.normal_order), nearness)
            labels = [right.label, *(other.pcset.label for other in others)]
            assert len(set(labels)) == 4
            assert [other.semitones for other in others] == [semitones(right, o.pcset) for o in others]
            sums.append(sum(other.semitones for other in others))
        assert sums[0] >= sums[1] >= sums[2] - 3  # the partner counts as near, however far it lies


def test_a_small_pool_is_taken_whole() -> None:
    assert taken("ab", "far") == taken("ab", "near") == ("a", "b")
