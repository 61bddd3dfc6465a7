"""The best path and the posteriors against all paths, listed one by one."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.score.analysis.markov import Floats, Transitions, best_path, posteriors


def model(seed: int, steps: int, states: int, levels: int) -> tuple[Floats, Transitions]:
    """A model of random numbers; some changes are all but impossible."""
    rng = np.random.default_rng(seed)
    chance = rng.random((levels, states, states)) ** 4 + 1e-12
    logs = np.log(chance / chance.sum(axis=2, keepdims=True))
    return rng.normal(0, 3, (steps, states)), Transitions(logs, rng.integers(0, levels, steps - 1))


def log_probability(path: tuple[int, ...], emissions: Floats, transitions: Transitions) -> float:
    changes = zip(transitions.levels.tolist(), path[:-1], path[1:], strict=True)
    return float(sum(emissions[t, s] for t, s in enumerate(path)) + sum(transitions.logs[c] for c in changes))


sizes = st.tuples(st.integers(0, 10**6), st.integers(1, 5), st.integers(1, 4), st.integers(1, 3))


@given(sizes)
@settings(max_examples=60, deadline=None)
def test_no_path_is_better_than_the_best(size: tuple[int, int, int, int]) -> None:
    emissions, transitions = model(*size)
    paths = list(product(range(size[2]), repeat=size[1]))
    best = max(paths, key=lambda path: log_probability(path, emissions, transitions))
    assert best_path(emissions, transitions).tolist() == list(best)


@given(sizes)
@settings(max_examples=60, deadline=None)
def test_posteriors_are_shares_of_all_paths(size: tuple[int, int, int, int]) -> None:
    emissions, transitions = model(*size)
    expected = np.zeros(emissions.shape)
    for path in product(range(size[2]), repeat=size[1]):
        weight = np.exp(log_probability(path, emissions, transitions))
        expected[np.arange(size[1]), path] += weight
    expected /= expected.sum(axis=1, keepdims=True)
    assert np.allclose(posteriors(emissions, transitions), expected, atol=1e-9)


def test_a_long_row_neither_vanishes_nor_drifts() -> None:
    """Ten thousand moments, each of which alone makes the wrong state a million times less likely."""
    truth = np.repeat([0, 1, 0], [4000, 3000, 3000])
    emissions = np.where(truth[:, None] == np.arange(3), 0.0, -14.0)
    stay = np.full((1, 3, 3), np.log(1e-6))
    np.fill_diagonal(stay[0], np.log(1 - 2e-6))
    transitions = Transitions(stay, np.zeros(len(truth) - 1, np.intp))
    assert np.array_equal(best_path(emissions, transitions), truth)
    told = posteriors(emissions, transitions)
    assert np.isfinite(told).all()
    assert np.allclose(told.sum(axis=1), 1)
    assert told[np.arange(len(truth)), truth].min() > 0.5


def test_a_constant_added_to_a_moment_changes_nothing() -> None:
    emissions, transitions = model(3, 5, 4, 2)
    shifted = emissions + np.arange(5)[:, None] * 1000.0
    assert np.array_equal(best_path(emissions, transitions), best_path(shifted, transitions))
    assert np.allclose(posteriors(emissions, transitions), posteriors(shifted, transitions))


def test_the_level_of_a_boundary_decides_where_a_change_is_cheap() -> None:
    """The second moment says nothing; the change goes to the boundary at which changes are likelier."""
    emissions = np.array([[0.0, -9.0], [0.0, 0.0], [-9.0, 0.0]])
    logs = np.log([[[0.99, 0.01], [0.01, 0.99]], [[0.5, 0.5], [0.5, 0.5]]])
    early = best_path(emissions, Transitions(logs, np.array([1, 0])))
    late = best_path(emissions, Transitions(logs, np.array([0, 1])))
    assert (early.tolist(), late.tolist()) == ([0, 1, 1], [0, 0, 1])
