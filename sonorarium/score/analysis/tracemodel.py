"""The numbers that a tracing rests on, and the evidence of one score under them.

Each number of `TraceOptions` says what it means in words of the trade. Their defaults were fitted by random search on
generated pieces with a known truth and on ten of the twenty chorales by Bach that a registry package carries with
analyses by hand (`bench/tracing.py --fit`); the tests and the printed figures use other pieces.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.family import Family
from sonorarium.score.analysis.emissions import LogLikelihoods, Weights, log_chances, log_likelihoods, weigh
from sonorarium.score.analysis.markov import Transitions
from sonorarium.score.analysis.moments import Moments, changes, distances, gather, transitions
from sonorarium.score.slices import Slices


@dataclass(frozen=True)
class TraceOptions:
    """What a tracing takes for granted.

    Parameters
    ----------
    foreign : float
        Share of passing notes and misprints, by weight, inside a collection: above 0, below 1/2.
    none_size : float
        Number of notes, 7 to 12, in the stock that "none of these" deals from where no set outside the family
        explains the music either.
    evidence : float
        How much one felt beat of one pitch class counts as an observation of its own: above 0.
    change : float
        Probability that the collection changes at a downbeat: above 0, below 1.
    per_note : float
        By how much, in natural logarithms, each note exchanged makes a change less likely: 0 or more.
    metre : float
        The probability of a change goes with the strength of the place to this power: 0 or more.
    claim : float
        What it costs, in natural logarithms, to claim a note that is not heard in the whole span: 0 or more.
    metrical : float
        0 to 1: how much less what stands on a weak place weighs.
    stranger : float
        What it costs, in natural logarithms, to read a stretch by a set outside the family: 0 or more.
    margin : float
        By how much, in natural logarithms, the best reading has to lead the next for a span to be decided: 0 or
        more. 2.3 means ten times as likely.

    Raises
    ------
    InputError
        Where a number is outside its range.
    """

    foreign: float = 0.055
    none_size: float = 12.0
    evidence: float = 1.4
    change: float = 0.016
    per_note: float = 0.2
    metre: float = 0.35
    claim: float = 2.2
    metrical: float = 0.0
    stranger: float = 8.3
    margin: float = 2.3

    def __post_init__(self) -> None:
        for field in fields(self):
            low, high = _RANGES[field.name]
            value = getattr(self, field.name)
            if not low <= value <= high:
                raise InputError(
                    f"The option {field.name} cannot be {value:g}.",
                    value=value,
                    suggestion=f"It runs from {low:g} to {high:g}.",
                )


_RANGES = {
    "foreign": (1e-6, 0.5),
    "none_size": (7, 12),
    "evidence": (1e-6, 100),
    "change": (1e-9, 0.999),
    "per_note": (0, 100),
    "metre": (0, 100),
    "claim": (0, 1000),
    "metrical": (0, 1),
    "stranger": (0, 1000),
    "margin": (0, 1000),
}


@dataclass(frozen=True, eq=False)
class Evidence:
    """One score, weighed under every reading of a family.

    Readings are numbered like the members of the family. Those after them mean none of these: first the strangers,
    then the whole stock of notes.

    Parameters
    ----------
    slices : Slices
        At least one.
    family : Family
    options : TraceOptions
    strangers : tuple of int
        Sets outside the family by which stretches may be read (`sonorarium.score.analysis.strangers`), as masks.
    """

    slices: Slices
    family: Family
    options: TraceOptions
    strangers: tuple[int, ...] = ()

    @property
    def none(self) -> int:
        """Number of the first reading that means none of these."""
        return len(self.family)

    @cached_property
    def masks(self) -> NDArray[np.int64]:
        """The sets that the readings but the last stand for: shape (readings − 1,)."""
        return np.append(self.family.masks, np.array(self.strangers, np.int64))

    @cached_property
    def cost(self) -> NDArray[np.float64]:
        """What it costs to take each reading up: shape (readings,)."""
        return np.repeat([0.0, self.options.stranger, 0.0], [self.none, len(self.strangers), 1])

    @cached_property
    def moments(self) -> Moments:
        """Where a collection may begin."""
        return gather(self.slices)

    @cached_property
    def weights(self) -> Weights:
        """Weight of each pitch class in each slice: shape (slices, 12)."""
        return weigh(self.slices, self.options.metrical)

    @cached_property
    def _chances(self) -> NDArray[np.float64]:
        return log_chances(self.masks, self.options.foreign, self.options.none_size)

    def told(self, weights: Weights) -> LogLikelihoods:
        """Log-likelihood of weights under each reading: shape (..., readings), for weights of shape (..., 12)."""
        return log_likelihoods(weights, self._chances, self.options.evidence)

    @cached_property
    def by_moment(self) -> LogLikelihoods:
        """Log-likelihood of each moment under each reading, and the cost of the first: shape (moments, readings)."""
        told = self.told(self.moments.gathered(self.weights))
        told[0] -= self.cost
        return told

    @cached_property
    def running_weights(self) -> Weights:
        """Weight of each pitch class in all slices before a place: shape (slices + 1, 12)."""
        return np.vstack([np.zeros(12), np.cumsum(self.weights, axis=0)])

    @cached_property
    def change_logs(self) -> NDArray[np.float64]:
        """Log-probabilities of each change, by strength: shape (4, readings, readings)."""
        chosen, apart = self.options, distances(self.masks)
        return changes(apart, self.cost, change=chosen.change, per_note=chosen.per_note, metre=chosen.metre)

    @cached_property
    def transitions(self) -> Transitions:
        """The transitions between moments."""
        return transitions(self.moments, self.change_logs)
