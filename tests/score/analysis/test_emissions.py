"""Weights and likelihoods of slices, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.score.analysis.emissions import felt_beats, log_chances, log_likelihoods, weigh
from sonorarium.score.slices import slice_score
from tests.score.writing import attributes, chord, measure, note, read, time

C_MAJOR = 0b101010110101
WHOLE_TONE = 0b010101010101


def test_a_pitch_class_weighs_its_felt_beats_and_doublings_count_once() -> None:
    score = read(measure(attributes(1) + note("C4", 2) + chord("C5", 2) + chord("E5", 2) + note("D4", 2)))
    weights = weigh(slice_score(score))
    assert weights.shape == (2, 12)
    assert weights[0].nonzero()[0].tolist() == [0, 4]
    assert weights[0][[0, 4]].tolist() == [2.0, 2.0]
    assert weights[1][2] == 2.0


def test_three_eighths_of_six_eight_weigh_one() -> None:
    score = read(measure(attributes(2, time("6", 8)) + note("C4", 3) + note("D4", 3)))
    assert felt_beats(slice_score(score)).tolist() == [3.0, 3.0]
    assert weigh(slice_score(score)).sum(axis=1).tolist() == [1.0, 1.0]


def test_the_same_music_in_longer_notes_weighs_the_same() -> None:
    quarters = read(measure(attributes(1, time("2", 4)) + note("C4", 1) + note("D4", 1)))
    halves = read(measure(attributes(1, time("2", 2)) + note("C4", 2) + note("D4", 2)))
    assert np.array_equal(weigh(slice_score(quarters)), weigh(slice_score(halves)))


def test_by_option_weak_places_weigh_less() -> None:
    score = read(measure(attributes(2) + note("C4", 1) + note("D4", 1) + note("E4", 2) + note("F4", 4)))
    plain, metrical = weigh(slice_score(score)), weigh(slice_score(score), metrical=1.0)
    assert (metrical.sum(axis=1) / plain.sum(axis=1)).tolist() == [1.0, 0.25, 0.5, 0.75]


def test_a_rest_says_nothing() -> None:
    score = read(measure(attributes(1) + note("C4", 2) + note("R", 2)))
    assert weigh(slice_score(score))[1].tolist() == [0.0] * 12


def test_chances_of_every_reading_add_up_to_one() -> None:
    chances = np.exp(log_chances(np.array([C_MAJOR, WHOLE_TONE]), foreign=0.1, none_size=12))
    assert np.allclose(chances.sum(axis=0), 1)
    assert chances[0, 0] == pytest.approx(0.9 / 7)
    assert chances[1, 0] == pytest.approx(0.1 / 5)


def test_of_two_collections_that_hold_all_the_smaller_is_likelier() -> None:
    """C, D and E for two beats each lie in both scales; the odds are 7/6 for each of six observations."""
    weights = np.zeros((1, 12))
    weights[0, [0, 2, 4]] = 2.0
    told = log_likelihoods(weights, log_chances(np.array([C_MAJOR, WHOLE_TONE]), 0.1, 12), 1.0)[0]
    assert told[1] - told[0] == pytest.approx(6 * np.log(7 / 6))
