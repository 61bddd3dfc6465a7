from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from sonorarium.score.search.runs import (
    BARRIER,
    Runs,
    Succession,
    equal_runs,
    holding_runs,
    longest_runs,
    tightest,
    tolerant_runs,
)

MASKS = st.lists(st.sampled_from([0, 1, 2, 3, 4, 5, 6, 7, 8, BARRIER]), max_size=30)
FORMS = st.lists(st.integers(1, 15), min_size=1, max_size=6, unique=True).map(sorted)


def beats(masks: list[int]) -> Succession:
    """Items of one tick each."""
    at = np.arange(len(masks), dtype=np.int64)
    return Succession.of(np.array(masks, np.int16), at, at + 1)


def listed(runs: Runs) -> list[tuple[int, int, int]]:
    return list(zip(*(column.tolist() for column in runs), strict=True))


def forms(*masks: int) -> NDArray[np.int16]:
    return np.array(masks, np.int16)


def test_runs_are_trimmed_of_silence_but_not_ended_by_it() -> None:
    assert listed(longest_runs(beats([0, 1, 0, 2, 0, 4, 1, 2]), forms(3))) == [(3, 1, 3), (3, 6, 7)]


def test_no_run_crosses_a_barrier() -> None:
    assert listed(longest_runs(beats([1, BARRIER, 2, 1]), forms(3))) == [(3, 2, 3)]
    assert listed(tolerant_runs(beats([1, BARRIER, 2]), forms(3), Fraction(9, 10))) == []


def test_equal_items_are_merged() -> None:
    assert listed(equal_runs(beats([3, 3, 0, 3, 1, 7]), forms(3, 7))) == [(3, 0, 1), (3, 3, 3), (7, 5, 5)]


def test_the_run_with_most_sounding_time_comes_first_then_what_is_left() -> None:
    items = beats([1, 2, 1, 8, 1, 8, 8, 2, 1])
    assert listed(tolerant_runs(items, forms(3), Fraction(1, 5))) == [(3, 0, 4), (3, 7, 8)]
    assert listed(tolerant_runs(items, forms(3), Fraction(1, 2))) == [(3, 0, 8)]


def test_a_run_does_not_begin_or_end_with_something_foreign() -> None:
    assert listed(tolerant_runs(beats([8, 1, 2, 1, 2, 8]), forms(3), Fraction(1, 2))) == [(3, 1, 4)]


@pytest.mark.parametrize("search", [longest_runs, equal_runs])
def test_nothing_is_found_in_nothing(search: object) -> None:
    assert callable(search)
    assert listed(search(beats([]), forms(1))) == []
    assert listed(search(beats([0, 0]), forms(1))) == []


@given(MASKS, FORMS)
def test_a_vanishing_tolerance_changes_nothing(masks: list[int], wanted: list[int]) -> None:
    items = beats(masks)
    expected = listed(longest_runs(items, forms(*wanted)))
    assert listed(tolerant_runs(items, forms(*wanted), Fraction(1, 1000))) == expected
    assert listed(tolerant_runs(items, forms(*wanted), Fraction(0))) == expected


@given(MASKS, FORMS)
def test_forms_are_independent_of_one_another(masks: list[int], wanted: list[int]) -> None:
    items = beats(masks)
    for search in (longest_runs, equal_runs):
        one_by_one = [run for form in wanted for run in listed(search(items, forms(form)))]
        assert listed(search(items, forms(*wanted))) == one_by_one


@given(MASKS, FORMS, st.integers(0, 4))
def test_a_tight_statement_is_whole_and_cannot_be_narrowed(masks: list[int], wanted: list[int], fifths: int) -> None:
    items = beats(masks)
    runs = tolerant_runs(items, forms(*wanted), Fraction(fifths, 5))
    for (form, first, last), a, b in zip(listed(runs), *(x.tolist() for x in tightest(items, runs)), strict=True):
        assert first <= a <= b <= last
        assert np.bitwise_or.reduce(items.masks[a : b + 1]) & form == form
        for c, d in ((a + 1, b), (a, b - 1)):
            assert c > d or np.bitwise_or.reduce(items.masks[c : d + 1]) & form != form


def test_a_statement_ends_when_its_last_note_does() -> None:
    onsets, ends = np.array([0, 1, 2, 3]), np.array([9, 2, 3, 4])
    items = Succession.of(np.array([1, 2, 1, 2], np.int16), onsets, ends)
    runs = longest_runs(items, forms(3))
    first, last = tightest(items, runs)
    assert (first.tolist(), last.tolist()) == ([1], [2])


def test_items_that_hold_a_set_and_others_are_merged() -> None:
    items = beats([3, 7, 0, 11, 15, 1, BARRIER, 3])
    assert listed(holding_runs(items, forms(3), 1)) == [(3, 0, 1), (3, 3, 3), (3, 7, 7)]
    assert listed(holding_runs(items, forms(3), 12)) == [(3, 0, 1), (3, 3, 4), (3, 7, 7)]


@given(MASKS, FORMS)
def test_holding_nothing_besides_is_being_equal(masks: list[int], wanted: list[int]) -> None:
    assert listed(holding_runs(beats(masks), forms(*wanted), 0)) == listed(equal_runs(beats(masks), forms(*wanted)))
