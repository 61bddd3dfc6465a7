"""The ground on which voices are led: where each may go, what it costs, and every leading in order.

A `Grid` has a row for each note that is left and a column for each place that may be reached, low to high. A voice
is a pair of row and column. A voice leading is a choice of voices that leaves every note and reaches every target;
places an octave apart may stand for one target, as all the Cs do where the target is the pitch class C.

Distances are whole numbers in the unit at hand, semitones or scale steps. Of voice leadings of equal size the one
whose movement is spread more evenly over the voices comes first (less sum of squares; for Euclid's measure, less
sum).

Method: dynamic programming over the row reached, the set of targets covered so far, the last place taken and the
number of voices left gives the exact least completion of every beginning; best-first search then lists the answers.
The programme works on the same ground as the one that Tymoczko gives for the least voice leading between chords of
any sizes (The geometry of musical chords, Science 313 (2006), supporting material), but needs no rotation to be
chosen, allows crossings, and gives all answers in order.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sonorarium.pitch.bestfirst import best_first
from sonorarium.pitch.movement import Measure

Ints = NDArray[np.int64]
Allowed = NDArray[np.bool_]
Voice = tuple[int, int]
"""Where a voice starts and where it ends, in the unit at hand."""
Clash = Callable[[Voice, Voice], bool]
"""Whether two voices must not go together."""

FAR = 1 << 50
"""What cannot be had costs so much."""
_WEIGHT = 1 << 20
"""Outweighs the measure that settles ties: 24 voices of 127 semitones squared stay below it."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Where each voice may go.

    Parameters
    ----------
    starts : tuple of int
        The notes left, ascending.
    ends : ndarray of int, shape (places,)
        Places that may be reached, ascending.
    targets : ndarray of int, shape (places,)
        Which target each place stands for, numbered from 0.
    allowed : ndarray of bool, shape (notes, places)
    octave : int or None
        Size of the octave where notes are pitch classes: voices then do not cross round the octave either.
    """

    starts: tuple[int, ...]
    ends: Ints
    targets: Ints
    allowed: Allowed
    octave: int | None = None

    @property
    def distances(self) -> Ints:
        """How far every place lies from every note: shape (notes, places)."""
        apart: Ints = np.abs(self.ends - np.array(self.starts)[:, None])
        return apart

    @property
    def target_count(self) -> int:
        """Number of targets."""
        return int(self.targets.max()) + 1


def class_grid(starts: tuple[int, ...], targets: tuple[int, ...], *, octave: int = 12) -> Grid:
    """Lay out pitch classes: every voice goes the shorter way, and both ways where they are equal.

    >>> grid = class_grid((0, 4), (5, 6))
    >>> grid.ends.tolist(), grid.allowed.astype(int).tolist()
    ([-6, 5, 6], [[1, 1, 1], [0, 1, 1]])
    """
    places = np.array(sorted(pc + octave * turn for pc in targets for turn in (-1, 0, 1)))
    allowed = np.abs(places - np.array(starts)[:, None]) * 2 <= octave
    near = allowed.any(axis=0)
    return _grid(starts, places[near], allowed[:, near], targets, octave)


def open_grid(starts: tuple[int, ...], targets: tuple[int, ...], *, octave: int = 12, reach: int = 12) -> Grid:
    """Lay out pitches that move to pitch classes, each at most so far."""
    lowest, highest = starts[0] - reach, starts[-1] + reach
    places = np.array([p for p in range(lowest, highest + 1) if p % octave in targets])
    allowed = np.abs(places - np.array(starts)[:, None]) <= reach
    return _grid(starts, places, allowed, targets, octave, wraps=False)


def closed_grid(starts: tuple[int, ...], ends: tuple[int, ...]) -> Grid:
    """Lay out pitches that move to given pitches."""
    every = np.ones((len(starts), len(ends)), bool)
    return Grid(starts, np.array(ends), np.arange(len(ends)), every)


def _grid(
    starts: tuple[int, ...],
    places: Ints,
    allowed: Allowed,
    targets: tuple[int, ...],
    octave: int,
    *,
    wraps: bool = True,
) -> Grid:
    number = {pc: i for i, pc in enumerate(sorted(targets))}
    of_place = np.array([number[int(p) % octave] for p in places], np.int64)
    return Grid(starts, places, of_place, allowed, octave if wraps else None)


@dataclass(frozen=True)
class Task:
    """What is asked of a grid.

    Parameters
    ----------
    measure : str
    voices : tuple of int
        Numbers of voices that will do.
    crossings : bool
    thrifty : bool
        Whether each voice must have at one end a note to itself.
    clash : callable or None
        Whether two voices must not go together.
    """

    measure: Measure
    voices: tuple[int, ...]
    crossings: bool = False
    thrifty: bool = False
    clash: Clash | None = None


def ranked(grid: Grid, task: Task) -> Iterator[tuple[tuple[int, int], tuple[Voice, ...]]]:
    """Give voice leadings in order of size.

    Yields
    ------
    ((int, int), tuple of (int, int))
        A key by which leadings of different grids can be compared, and the voices, by start and end.
    """
    if task.measure == "largest":
        yield from _by_largest(grid, task)
        return
    d = grid.distances
    cost = d * _WEIGHT + d * d if task.measure == "sum" else d * d * _WEIGHT + d
    for size, voices in _listed(grid, task, np.where(grid.allowed, cost, FAR)):
        yield (size, 0), voices


def _by_largest(grid: Grid, task: Task) -> Iterator[tuple[tuple[int, int], tuple[Voice, ...]]]:
    """Raise the largest move allowed step by step; at each, list what is new by sum."""
    d = np.where(grid.allowed, grid.distances, FAR)
    for_targets = [d[:, grid.targets == t].min() for t in range(grid.target_count)]
    least = max(int(d.min(axis=1).max()), *map(int, for_targets))
    for largest in (size for size in np.unique(d[d < FAR]).tolist() if size >= least):
        cost = np.where(d <= largest, d * _WEIGHT + d * d, FAR)
        for size, voices in _listed(grid, task, cost):
            if max(abs(end - start) for start, end in voices) == largest:
                yield (largest, size), voices


# --- the programme ------------------------------------------------------------------------------------------------


class _Layer(NamedTuple):
    """What it costs to take a place and then to complete, with so many voices left after it."""

    first_row: int
    take: Ints  # shape (rows, sets of targets covered before, places)


def _layers(grid: Grid, cost: Ints, most: int, *, crossings: bool) -> list[_Layer]:
    notes, places = cost.shape
    every = 1 << grid.target_count
    after = np.arange(every)[:, None] | 1 << grid.targets  # covered once the place is taken
    columns = np.arange(places)
    first_row = notes - 1
    rest = np.full((1, every, places), FAR)
    rest[0, -1] = 0
    layers: list[_Layer] = []
    for left in range(most):
        rows = slice(first_row, first_row + len(rest))
        take = np.minimum(cost[rows, None] + rest[:, after, columns], FAR)
        layers.append(_Layer(first_row, take))
        above = np.minimum.accumulate(take[..., ::-1], axis=-1)[..., ::-1]
        onward = np.broadcast_to(take.min(axis=-1, keepdims=True), take.shape) if crossings else above
        low, high = max(0, notes - 2 - left), min(notes - 1, most - 2 - left)
        rest = np.full((max(0, high - low + 1), every, places), FAR)
        for row in range(low, high + 1):
            if first_row <= row + 1 < rows.stop:
                rest[row - low] = onward[row + 1 - first_row]
            if first_row <= row < rows.stop:  # one more voice from the same note
                rest[row - low] = np.minimum(rest[row - low], above[row - first_row])
        first_row = low
    return layers


class _Beginning(NamedTuple):
    left: int
    row: int
    place: int
    covered: int
    spent: int
    taken: tuple[tuple[int, int], ...]  # rows and places


def _listed(grid: Grid, task: Task, cost: Ints) -> Iterator[tuple[int, tuple[Voice, ...]]]:
    layers = _layers(grid, cost, max(task.voices), crossings=task.crossings)
    ends, targets, costs = grid.ends.tolist(), grid.targets.tolist(), cost.tolist()

    def next_to(begun: _Beginning, row: int, first: int) -> Iterator[tuple[float, _Beginning]]:
        layer = layers[begun.left - 1]
        if not 0 <= row - layer.first_row < len(layer.take):
            return
        for place, more in enumerate(layer.take[row - layer.first_row, begun.covered].tolist()):
            taken = (*begun.taken, (row, place))
            if place < first or more >= FAR or not _may(taken):
                continue
            covered = begun.covered | 1 << targets[place]
            spent = begun.spent + costs[row][place]
            yield begun.spent + more, _Beginning(begun.left - 1, row, place, covered, spent, taken)

    def _may(taken: tuple[tuple[int, int], ...]) -> bool:
        (_, first), (row, place) = taken[0], taken[-1]
        if grid.octave and not task.crossings and ends[place] > ends[first] + grid.octave:
            return False
        if task.thrifty and not _is_thrifty([(r, targets[p]) for r, p in taken]):
            return False
        clash, here = task.clash, (grid.starts[row], ends[place])
        return clash is None or not any(clash((grid.starts[r], ends[p]), here) for r, p in taken[:-1])

    def grow(begun: _Beginning) -> Iterator[tuple[float, _Beginning]]:
        if begun.left:
            yield from next_to(begun, begun.row, begun.place)
            yield from next_to(begun, begun.row + 1, 0 if task.crossings else begun.place)

    starts = (start for v in task.voices for start in next_to(_Beginning(v, -1, 0, 0, 0, ()), 0, 0))
    for size, done in best_first(starts, grow, lambda begun: begun.left == 0):
        yield int(size), tuple((grid.starts[row], ends[place]) for row, place in done.taken)


def _is_thrifty(voices: list[tuple[int, int]]) -> bool:
    """Whether no voice joins two notes that other voices have too."""
    left, reached = Counter(a for a, _ in voices), Counter(b for _, b in voices)
    return all(left[a] == 1 or reached[b] == 1 for a, b in voices)
