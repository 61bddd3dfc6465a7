"""Paths: from chord to chord in so many steps, each of them small.

A path leads from one set to another through chords of a palette. Each step moves the voices by at most so many
semitones in all, counted by the least voice leading (`sonorarium.pcs.distance`), and no chord comes twice. Where
start and goal are the same the path is a loop.

A palette with several homes makes paths that cross from one collection to another. Each step then lies inside one
home, both of its chords being subsets of it, and wherever the home changes the chord in between is the **pivot**: a
subset that both homes share. A change may be given a price, so that a path changes home only where that saves more
movement than it costs.

Paths are listed in order of movement and price, exactly: dynamic programming over chord, home and steps left bounds
best-first search from below. To have paths that differ from each other and not only in one chord, ask for a distance
between them; each one listed then differs from all before it in at least so many chords.

Sources: Cohn, Maximally smooth cycles, Music Analysis 15 (1996), for loops of least steps; Douthett and Steinbach,
Parsimonious graphs, Journal of Music Theory 42 (1998), for the graphs that such paths run through; Tymoczko, Scale
networks and Debussy, Journal of Music Theory 48 (2004), for chords as pivots between scales. (From memory.)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.distance import set_distances
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.reading import Readable, read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pitch.bestfirst import best_first, unlike
from sonorarium.pitch.leading import VoiceLeading, lead
from sonorarium.pitch.movement import Rules
from sonorarium.pitch.palette import Palette

Prices = NDArray[np.float64]


@dataclass(frozen=True)
class Walking:
    """How a path may go.

    Parameters
    ----------
    step : int
        The most semitones that all voices together move in one step.
    change : float
        Price of a change of home, in semitones.
    apart : int
        In how many chords, place by place, each path listed differs from every one before it.
    free : bool
        Whether notes on both sides of a step may be doubled where that makes it smaller.

    Raises
    ------
    InputError
        Where a number is below what makes sense.

    Examples
    --------
    >>> Walking(step=2, apart=2)
    Walking(step=2, change=0.0, apart=2, free=False)
    """

    step: int = 4
    change: float = 0.0
    apart: int = 1
    free: bool = False

    def __post_init__(self) -> None:
        if self.step < 1 or self.change < 0 or self.apart < 1:
            raise InputError(
                f"A path cannot go by steps of {self.step}, changes at {self.change}, {self.apart} apart.",
                value=(self.step, self.change, self.apart),
                suggestion="Use steps of 1 semitone or more, changes at 0 or more, paths 1 chord or more apart.",
            )


@dataclass(frozen=True)
class Pivot:
    """A chord by which a path goes from one home to another.

    Parameters
    ----------
    place : int
        Which chord of the path it is, from 0.
    chord : PcSet
    before, after : SetFacts
        The homes that share it.
    """

    place: int
    chord: PcSet
    before: SetFacts
    after: SetFacts

    @property
    def shared(self) -> PcSet:
        """All that the two homes have in common."""
        return self.before & self.after


@dataclass(frozen=True)
class Path:
    """A path from chord to chord.

    Parameters
    ----------
    chords : tuple of PcSet
        Start and goal included.
    homes : tuple of SetFacts
        In which home each step lies, one fewer than there are chords; empty where the palette has none.
    sizes : tuple of int
        Semitones that the voices move in each step.
    """

    chords: tuple[PcSet, ...]
    homes: tuple[SetFacts, ...]
    sizes: tuple[int, ...]

    @property
    def size(self) -> int:
        """Semitones that the voices move in all."""
        return sum(self.sizes)

    @property
    def is_loop(self) -> bool:
        """Whether it ends where it began."""
        return self.chords[0] == self.chords[-1]

    @property
    def pivots(self) -> tuple[Pivot, ...]:
        """The chords at which the home changes."""
        changes = enumerate(pairwise(self.homes), start=1)
        return tuple(Pivot(at, self.chords[at], a, b) for at, (a, b) in changes if a.mask != b.mask)

    @property
    def leadings(self) -> tuple[VoiceLeading, ...]:
        """A least voice leading for each step, of the size that the step has."""
        steps = zip(pairwise(self.chords), self.sizes, strict=True)
        return tuple(_least(one, other, size) for (one, other), size in steps)


def _least(one: PcSet, other: PcSet, size: int) -> VoiceLeading:
    """The least voice leading; with notes doubled on both sides if only so it is of that size."""
    needed = lead(one, other, limit=1)[0]
    return needed if needed.size == size else lead(one, other, limit=1, rules=Rules(voices="free"))[0]


@dataclass(frozen=True)
class Paths:
    """Paths, the least first.

    Parameters
    ----------
    found : tuple of Path
    cut : bool
        Whether there may be more than were listed.
    """

    found: tuple[Path, ...]
    cut: bool

    def __len__(self) -> int:
        return len(self.found)

    def __iter__(self) -> Iterator[Path]:
        return iter(self.found)

    def __getitem__(self, place: int) -> Path:
        return self.found[place]


def paths(
    from_: str | Readable | SetFacts,
    to: str | Readable | SetFacts,
    steps: int,
    chords: Palette,
    *,
    limit: int = 5,
    walking: Walking | None = None,
) -> Paths:
    """Find ways from one chord to another in so many steps.

    Parameters
    ----------
    from_, to : str, Readable or SetFacts
        Start and goal; they need not belong to the palette. A class as the goal stands for any of its forms, as the
        start for its form from C. The same set twice asks for loops.
    steps : int
        1 to 24.
    chords : Palette
        What may lie between.
    limit : int
        At most so many.
    walking : Walking, optional

    Returns
    -------
    Paths
        In order of movement and price.

    Raises
    ------
    InputError
        Where a number is out of range, a text is not understood, or the start or goal stands in no home.
    NothingFoundError
        Where there is no such path.

    Examples
    --------
    >>> from sonorarium.pitch.palette import palette
    >>> found = paths("C", "E", 4, palette("3-11", "3-12"), walking=Walking(step=1))
    >>> found[0].size, [chord.label for chord in found[0].chords]
    (4, ['3-11B', '3-11A', '3-11B', '3-12', '3-11B'])
    """
    if not 1 <= steps <= 24 or limit < 1:
        raise InputError(f"{limit} paths of {steps} steps cannot be sought.", value=(steps, limit))
    start, *_ = _meant(from_)
    goals = _meant(to)
    field = _Field(chords.with_chords([start, *goals]), start, goals, steps, walking or Walking())
    found, cut = unlike(field.paths(), limit, _places_apart, apart=field.walking.apart)
    if not found:
        raise NothingFoundError(
            f"No path of {steps} steps leads there.",
            value=(start, goals),
            suggestion="Allow larger steps, more chords, or another number of steps.",
        )
    return Paths(found, cut)


def loops(
    from_: str | Readable | SetFacts, steps: int, chords: Palette, *, limit: int = 5, walking: Walking | None = None
) -> Paths:
    """Find ways from a chord back to itself; see `paths`.

    >>> from sonorarium.pitch.palette import palette
    >>> hexatonic = loops("C", 6, palette("3-11"), walking=Walking(step=1))
    >>> len(hexatonic), hexatonic[0].size
    (2, 6)
    """
    return paths(from_, from_, steps, chords, limit=limit, walking=walking)


def _meant(chord: str | Readable | SetFacts) -> tuple[PcSet, ...]:
    meant = read_set(chord) if isinstance(chord, str) else chord
    if isinstance(meant, SetClass):
        return tuple(dict.fromkeys((meant.representative, *meant.forms)))
    return (meant.pcset,)


def _places_apart(one: Path, other: Path) -> float:
    return sum(a != b for a, b in zip(one.chords, other.chords, strict=True))


class _Walk(NamedTuple):
    """A path so far: its chords, and the least spent with each home as the one in which it goes on."""

    chords: tuple[int, ...]
    spent: Prices


@dataclass(frozen=True, eq=False)
class _Field:
    palette: Palette
    start: PcSet
    goals: tuple[PcSet, ...]
    steps: int
    walking: Walking

    def paths(self) -> Iterator[Path]:
        at = self._number(self.start)
        if not self.stands[at].any():
            raise InputError("The start stands in none of the collections.", value=self.start)
        begun = _Walk((at,), np.where(self.stands[at], 0.0, np.inf))
        starts = [(float((begun.spent + self.rest[self.steps][at]).min()), begun)]
        for _, walk in best_first(starts, self._grow, lambda walk: len(walk.chords) == self.steps + 1):
            yield self._path(walk.chords)

    def _number(self, chord: PcSet) -> int:
        return int(np.flatnonzero(self.palette.masks == chord.mask)[0])

    @cached_property
    def stands(self) -> NDArray[np.bool_]:
        return self.palette.stands_in

    @cached_property
    def sizes(self) -> NDArray[np.int64]:
        """Movement between every two chords."""
        masks = self.palette.masks
        down = -tables.normal_start()[masks].astype(int) % 12
        table = set_distances(free=self.walking.free)
        found: NDArray[np.int64] = table[catalogue.tn_index()[masks][:, None], tables.transposed()[down][:, masks]]
        return found.astype(np.int64)

    @cached_property
    def neighbours(self) -> list[NDArray[np.intp]]:
        """Chords within one step of each, the nearest first."""
        near = (self.sizes <= self.walking.step) & ~np.eye(len(self.sizes), dtype=bool)
        nearest_first = np.argsort(self.sizes, axis=1, kind="stable")
        return [order[near[chord, order]] for chord, order in enumerate(nearest_first)]

    @cached_property
    def rest(self) -> list[Prices]:
        """The least that is still to be spent, by steps left: shape (chords, homes) each."""
        last = np.full(self.stands.shape, np.inf)
        last[[self._number(goal) for goal in self.goals]] = 0.0
        layers = [np.where(self.stands, last, np.inf)]
        for _ in range(self.steps):
            arriving = np.where(self.stands, self._changed(layers[-1]), np.inf)
            layer = np.full_like(last, np.inf)
            for chord, near in enumerate(self.neighbours):
                prices = arriving[near] + self.sizes[chord, near, None]
                layer[chord] = prices.min(axis=0, initial=np.inf)
            layers.append(np.where(self.stands, layer, np.inf))
        return layers

    def _changed(self, prices: Prices) -> Prices:
        """The same with a change of home where that is cheaper."""
        changed: Prices = np.minimum(prices, prices.min(axis=-1, keepdims=True) + self.walking.change)
        return changed

    def _grow(self, walk: _Walk) -> Iterator[tuple[float, _Walk]]:
        left = self.steps - len(walk.chords)
        if left < 0:
            return
        here = walk.chords[-1]
        near = np.array([n for n in self.neighbours[here] if self._may(walk, int(n), left)], np.intp)
        arriving = walk.spent + self.sizes[here, near, None]
        arriving = np.where(self.stands[near], arriving, np.inf)
        spent = np.where(self.stands[near], self._changed(arriving), np.inf)
        bounds = (spent + self.rest[left][near]).min(axis=1, initial=np.inf)
        for i in np.flatnonzero(np.isfinite(bounds)).tolist():
            yield float(bounds[i]), _Walk((*walk.chords, int(near[i])), spent[i])

    def _may(self, walk: _Walk, chord: int, left: int) -> bool:
        """No chord comes twice, but a loop closes."""
        return chord not in walk.chords or (left == 0 and chord == walk.chords[0])

    def _path(self, chords: tuple[int, ...]) -> Path:
        sizes = tuple(int(self.sizes[a, b]) for a, b in pairwise(chords))
        homes = tuple(self.palette.homes[at] for at in self._homes(chords)) if self.palette.homes else ()
        return Path(tuple(self.palette.chords[at] for at in chords), homes, sizes)

    def _homes(self, chords: tuple[int, ...]) -> list[int]:
        """Stay as long as can be in a home: this gives the fewest changes."""
        both = [self.stands[a] & self.stands[b] for a, b in pairwise(chords)]
        stretches: list[tuple[NDArray[np.bool_], int]] = []
        for step in both:
            if stretches and (common := stretches[-1][0] & step).any():
                stretches[-1] = common, stretches[-1][1] + 1
            else:
                stretches.append((step, 1))
        return [int(np.argmax(common)) for common, length in stretches for _ in range(length)]
