"""The ground of voice leadings: what may be reached, and the key by which leadings are compared."""

from __future__ import annotations

from itertools import islice, product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.pitch.leadgrid import Task, class_grid, closed_grid, open_grid, ranked

NOTES = st.frozensets(st.integers(0, 11), min_size=1, max_size=5).map(lambda found: tuple(sorted(found)))


@given(NOTES, NOTES, st.sampled_from([7, 8, 12]))
def test_every_class_is_reached_the_shorter_way(starts: tuple[int, ...], ends: tuple[int, ...], octave: int) -> None:
    starts, ends = (tuple(sorted({note % octave for note in notes})) for notes in (starts, ends))
    grid = class_grid(starts, ends, octave=octave)
    for (row, start), (target, end) in product(enumerate(starts), enumerate(ends)):
        ways = grid.ends[grid.allowed[row] & (grid.targets == target)]
        apart = min((end - start) % octave, (start - end) % octave)
        assert set(np.abs(ways - start).tolist()) == {apart}
        assert len(ways) == (2 if apart * 2 == octave else 1)
        assert {int(way) % octave for way in ways} == {end}


@given(NOTES, NOTES, st.integers(0, 14))
def test_open_ground_reaches_as_far_as_it_may(starts: tuple[int, ...], ends: tuple[int, ...], reach: int) -> None:
    pitches = tuple(note + 60 for note in starts)
    grid = open_grid(pitches, ends, reach=reach)
    for row, pitch in enumerate(pitches):
        near = {p for p in range(pitch - reach, pitch + reach + 1) if p % 12 in ends}
        assert set(grid.ends[grid.allowed[row]].tolist()) == near


@settings(max_examples=30, deadline=None)
@given(NOTES, NOTES, st.sampled_from(["sum", "euclid"]))
def test_of_equals_the_more_even_movement_comes_first(
    starts: tuple[int, ...], ends: tuple[int, ...], measure: str
) -> None:
    voices = (max(len(starts), len(ends)),)
    powers = (1, 2) if measure == "sum" else (2, 1)
    task = Task("sum" if measure == "sum" else "euclid", voices, crossings=True)
    found = [pairs for _, pairs in islice(ranked(class_grid(starts, ends), task), 40)]
    keys = [tuple(sum(abs(b - a) ** power for a, b in pairs) for power in powers) for pairs in found]
    assert keys == sorted(keys)


def test_between_given_pitches_all_are_targets() -> None:
    grid = closed_grid((60, 64), (59, 65, 72))
    assert grid.target_count == 3 and grid.allowed.all()
    best = next(iter(ranked(grid, Task("sum", (3,)))))
    assert best[1] == ((60, 59), (64, 65), (64, 72))
