"""Likeness against trying every assignment and every choice of notes."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from sonorarium.errors import InputError
from sonorarium.pitch.likeness import movement, profile_difference

CHORDS = st.sets(st.integers(40, 70), min_size=1, max_size=4).map(lambda pitches: tuple(sorted(pitches)))


@given(CHORDS, CHORDS)
@settings(max_examples=120, deadline=None)
def test_movement_is_the_least_of_all_ways_that_cover_both_chords(
    one: tuple[int, ...], other: tuple[int, ...]
) -> None:
    more, fewer = (one, other) if len(one) >= len(other) else (other, one)
    least = min(
        sum(abs(a - b) for a, b in zip(more, goals, strict=True))
        for goals in product(fewer, repeat=len(more))
        if set(goals) == set(fewer)
    )
    assert movement(np.array([other], np.int16), one).tolist() == [least]


@given(st.lists(st.integers(30, 90), min_size=8, max_size=8, unique=True))
@settings(max_examples=60, deadline=None)
def test_movement_of_equal_sizes_is_the_assignment_of_scipy(pitches: list[int]) -> None:
    one, other = sorted(pitches[:4]), sorted(pitches[4:])
    cost = np.abs(np.subtract.outer(one, other))
    assigned = cost[linear_sum_assignment(cost)].sum()
    assert movement(np.array([other], np.int16), tuple(one)).tolist() == [assigned]


@given(CHORDS, CHORDS)
@settings(max_examples=120, deadline=None)
def test_profiles_differ_by_the_best_choice_of_notes(one: tuple[int, ...], other: tuple[int, ...]) -> None:
    more, fewer = (one, other) if len(one) >= len(other) else (other, one)
    least = min(
        sum(abs((b - a) - (d - c)) for a, b, c, d in zip(part, part[1:], fewer, fewer[1:], strict=False))
        for part in combinations(more, len(fewer))
    )
    assert profile_difference(np.array([other], np.int16), one).tolist() == [least]


def test_a_transposition_has_the_same_profile() -> None:
    assert profile_difference(np.array([[41, 48, 57, 64]], np.int16), (48, 55, 64, 71)).tolist() == [0]


def test_nothing_is_like_silence() -> None:
    with pytest.raises(InputError, match="There is no voicing to be like"):
        movement(np.array([[60]], np.int16), ())
