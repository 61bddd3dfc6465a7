"""Where a collection may begin, and how likely a change is there."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.score.analysis.moments import STRENGTHS, changes, distances, gather
from sonorarium.score.slices import slice_score
from tests.score.writing import attributes, measure, note, read

C_MAJOR, G_MAJOR, F_MAJOR = 0b101010110101, 0b101011010101, 0b011010110101


def test_a_moment_is_a_felt_beat_and_its_level_the_strength_of_its_place() -> None:
    eighths = "".join(note(name, 1) for name in ("C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5"))
    moments = gather(slice_score(read(measure(attributes(2) + eighths))))
    assert moments.starts.tolist() == [0, 2, 4, 6]
    assert [STRENGTHS[level] for level in moments.levels] == [1.0, 0.5, 0.75, 0.5]
    assert moments.of_slice.tolist() == [0, 0, 1, 1, 2, 2, 3, 3]
    assert moments.gathered(np.arange(8)).tolist() == [1, 5, 9, 13]


def test_a_syncopated_note_begins_a_moment_off_the_beat() -> None:
    moments = gather(slice_score(read(measure(attributes(2) + note("C4", 3) + note("D4", 5)))))
    assert moments.starts.tolist() == [0, 1]
    assert STRENGTHS[moments.levels[1]] == 0.25


def test_where_nothing_is_struck_no_collection_begins() -> None:
    score = read(measure(attributes(1) + note("C4", 2) + note("R", 1) + note("D4", 1)))
    moments = gather(slice_score(score))
    assert moments.struck.tolist() == [True, False, True]
    assert moments.starts.tolist() == [0, 2]


def test_distances_count_exchanged_notes() -> None:
    apart = distances(np.array([C_MAJOR, G_MAJOR, F_MAJOR]))
    assert apart[:3, :3].tolist() == [[0, 1, 1], [1, 0, 2], [1, 2, 0]]


def test_changes_are_probabilities_and_go_with_the_strength_of_the_place() -> None:
    apart = distances(np.array([C_MAJOR, G_MAJOR, F_MAJOR]))
    chance = np.exp(changes(apart, np.zeros(4), change=0.1, per_note=1.0, metre=1.0))
    assert np.allclose(chance.sum(axis=2), 1)
    assert (1 - np.diagonal(chance, axis1=1, axis2=2))[:, 0].tolist() == pytest.approx([0.025, 0.05, 0.075, 0.1])
    assert chance[3, 1, 0] / chance[3, 1, 2] == pytest.approx(np.e)


def test_a_reading_that_costs_something_is_taken_up_less_readily() -> None:
    apart = distances(np.array([C_MAJOR, G_MAJOR, F_MAJOR]))
    chance = np.exp(changes(apart, np.array([0, 0, 2.0, 0]), change=0.1, per_note=0.0, metre=0.0))
    assert chance[0, 0, 1] / chance[0, 0, 2] == pytest.approx(np.exp(2))
