"""The most probable course of hidden states, and how probable each state is at each moment.

A hidden Markov model goes through states that are not seen; each moment shows something that the state there makes
more or less likely. Two questions are answered exactly:

* `best_path`: which course of states is the most probable as a whole (Viterbi);
* `posteriors`: how probable each state is at each moment, all courses considered (forward and backward).

How readily the state changes may differ from boundary to boundary: each boundary has a **level**, and each level its
own matrix of transitions, so that a change on a downbeat can be likelier than one off the beat.

Conventions
-----------
* All input is in natural logarithms. ``emissions[t, s]`` need not be normalised; a constant added to a row changes
  nothing.
* Each step costs one small array product for all states at once. The backward pass through the best path jumps from
  change to change, for a state that held its place needs no look.

Source: Rabiner, A tutorial on hidden Markov models and selected applications in speech recognition, Proceedings of
the IEEE 77 (1989), sec. III, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
States = NDArray[np.intp]

_RESCALE_EVERY = 8
"""Steps between two rescalings: few enough that no product of probabilities can vanish in between."""


@dataclass(frozen=True, eq=False)
class Transitions:
    """How probable each change of state is at each boundary.

    Parameters
    ----------
    logs : ndarray, shape (levels, states, states)
        Log-probability of going from the first state to the second; the rows of each level add up to 1.
    levels : ndarray of int, shape (moments − 1,)
        Which matrix holds at each boundary.
    """

    logs: Floats
    levels: NDArray[np.intp]

    @property
    def states(self) -> int:
        """Number of states."""
        return int(self.logs.shape[1])


def best_path(emissions: Floats, transitions: Transitions) -> States:
    """Find the most probable course of states; every state is equally probable at the start.

    Parameters
    ----------
    emissions : ndarray, shape (moments, states)
        Log-likelihoods; at least one moment.
    transitions : Transitions

    Returns
    -------
    ndarray of int, shape (moments,)

    Examples
    --------
    Two states, of which the second is likelier for one moment only; staying is likelier still:

    >>> stay = np.log([[[0.9, 0.1], [0.1, 0.9]]])
    >>> seen = np.log([[0.9, 0.1], [0.4, 0.6], [0.9, 0.1]])
    >>> best_path(seen, Transitions(stay, np.zeros(2, int))).tolist()
    [0, 0, 0]
    """
    steps, states = emissions.shape
    levels = transitions.levels.tolist()
    matrices = list(transitions.logs)
    best = np.empty((steps, states))
    best[0] = emissions[0]
    sums, add, largest = np.empty((states, states)), np.add, np.maximum.reduce
    columns = best[:-1, :, None]
    for level, before, row, seen in zip(levels, columns, best[1:], emissions[1:], strict=True):
        add(matrices[level], before, sums)
        largest(sums, 0, None, row)
        add(row, seen, row)
    return _traced_back(best, emissions, transitions)


def _traced_back(best: Floats, emissions: Floats, transitions: Transitions) -> States:
    """Follow the best course from its last state; the moments through which a state lasts are skipped in one go."""
    changes = _Changes(best, emissions, transitions)
    path, at, state = np.empty(len(best), np.intp), len(best) - 1, int(best[-1].argmax())
    while True:
        began = changes.last(state, at)
        path[began : at + 1] = state
        if not began:
            return path
        at = began - 1
        state = int((transitions.logs[transitions.levels[at], :, state] + best[at]).argmax())


class _Changes:
    """Where each state, on the best course that leads to it, was reached from another; looked up by need."""

    def __init__(self, best: Floats, emissions: Floats, transitions: Transitions) -> None:
        self._best, self._emissions = best, emissions
        self._stay = np.diagonal(transitions.logs, axis1=1, axis2=2)
        self._levels = transitions.levels
        self._found: dict[int, States] = {}

    def last(self, state: int, at: int) -> int:
        """The moment, not after ``at``, at which the state was last reached from another; 0 for none."""
        if state not in self._found:
            column = self._best[:, state]
            stayed = (self._stay[self._levels, state] + column[:-1]) + self._emissions[1:, state]
            self._found[state] = np.flatnonzero(stayed < column[1:]) + 1
        before = int(np.searchsorted(self._found[state], at, side="right"))
        return int(self._found[state][before - 1]) if before else 0


def posteriors(emissions: Floats, transitions: Transitions) -> Floats:
    """Probability of each state at each moment, given all moments.

    Parameters
    ----------
    emissions : ndarray, shape (moments, states)
        Log-likelihoods; at least one moment.
    transitions : Transitions

    Returns
    -------
    ndarray, shape (moments, states)
        Each row adds up to 1.

    Examples
    --------
    >>> stay = np.log([[[0.9, 0.1], [0.1, 0.9]]])
    >>> seen = np.log([[0.9, 0.1], [0.4, 0.6], [0.9, 0.1]])
    >>> posteriors(seen, Transitions(stay, np.zeros(2, int))).round(2)[1].tolist()
    [0.93, 0.07]
    """
    seen = np.exp(emissions - emissions.max(axis=1, keepdims=True))
    matrices = list(np.exp(transitions.logs))
    levels = transitions.levels.tolist()
    forward = _forward(seen, matrices, levels)
    turned = [matrix.T.copy() for matrix in matrices]
    backward = _forward(seen[::-1], turned, levels[::-1], before_seen=True)[::-1]
    product = forward * backward
    return np.asarray(product / product.sum(axis=1, keepdims=True), np.float64)


def _forward(seen: Floats, matrices: list[Floats], levels: list[int], *, before_seen: bool = False) -> Floats:
    """Relative probability of each state, given the moments so far, the present one left out by option.

    Run over reversed moments with transposed matrices, and with the present moment left out, the same recursion
    gives the probability of all that follows.
    """
    out = np.empty_like(seen)
    now = seen[0].copy()
    out[0] = 1.0 if before_seen else now
    predicted, multiply = np.empty_like(now), np.multiply
    for step, (level, row, here) in enumerate(zip(levels, out[1:], seen[1:], strict=True)):
        if before_seen:
            now.dot(matrices[level], row)
            now = row * here
        else:
            now.dot(matrices[level], predicted)
            multiply(predicted, here, row)
            now = row
        if step % _RESCALE_EVERY == 0:
            now /= now.sum()
    return out
