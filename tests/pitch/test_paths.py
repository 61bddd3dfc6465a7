"""Paths are exact, small in every step, and say by which chords they change home."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.distance import distance
from sonorarium.pcs.families import default_family
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pitch.palette import Palette, palette
from sonorarium.pitch.paths import Walking, loops, paths

ALL = 10**6
HOMES = tuple(map(collection, ("C major", "C harmonic minor", "C acoustic", "C double harmonic")))


def priced(chords: Sequence[PcSet], homes: Sequence[SetFacts], walking: Walking) -> Iterator[float]:
    """Price of a path for every way to give its steps homes."""
    steps = list(pairwise(chords))
    if any(a == b or distance(a, b, free=walking.free) > walking.step for a, b in steps):
        return
    movement = sum(distance(a, b, free=walking.free) for a, b in steps)
    for chosen in product(homes, repeat=len(steps)):
        if all(a <= home and b <= home for (a, b), home in zip(steps, chosen, strict=True)):
            yield movement + walking.change * sum(a.mask != b.mask for a, b in pairwise(chosen))


def every_price(
    start: PcSet, goal: PcSet, steps: int, chords: Sequence[PcSet], homes: Sequence[SetFacts], walking: Walking
) -> list[float]:
    between = [chord for chord in chords if chord not in (start, goal)]
    found = []
    for middle in permutations(between, steps - 1):
        found += [min(priced((start, *middle, goal), homes, walking), default=float("inf"))]
    return sorted(price for price in found if price < float("inf"))


def triads_of(homes: Sequence[SetFacts]) -> list[PcSet]:
    return list(palette("3-11", "3-10", inside=homes).chords)


@settings(max_examples=25, deadline=None)
@given(st.data(), st.integers(1, 3), st.integers(1, 4), st.sampled_from((0.0, 1.0, 2.5)), st.booleans())
def test_all_paths_are_listed_in_order_of_price(
    data: st.DataObject, steps: int, step: int, change: float, free: bool
) -> None:
    chords = data.draw(st.lists(st.sampled_from(triads_of(HOMES)), min_size=4, max_size=8, unique=True))
    start, goal = data.draw(st.sampled_from(chords)), data.draw(st.sampled_from(chords))
    walking = Walking(step=step, change=change, free=free)
    for homes in ((), HOMES):
        expected = every_price(start, goal, steps, chords, homes or [PcSet(range(12))], walking)
        if steps == 1 and start == goal:
            expected = []
        try:
            found = paths(start, goal, steps, Palette(tuple(chords), homes), limit=ALL, walking=walking)
        except NothingFoundError:
            assert not expected
            continue
        prices = [path.size + change * len(path.pivots) for path in found]
        assert prices == expected
        assert len({path.chords for path in found}) == len(found)


def test_each_step_keeps_its_limit_and_no_chord_comes_twice() -> None:
    found = paths("C7", "F#7", 5, palette("4-27", "4-28", "4-26", "4-20"), limit=40, walking=Walking(step=2))
    for path in found:
        assert path.chords[0] == PcSet((0, 4, 7, 10)) and path.chords[-1] == PcSet((6, 10, 1, 4))
        assert len(path.chords) == 6 and len(set(path.chords)) == 6
        assert path.sizes == tuple(distance(a, b) for a, b in pairwise(path.chords))
        assert max(path.sizes) <= 2
        assert [leading.size for leading in path.leadings] == list(path.sizes)
    assert [path.size for path in found] == sorted(path.size for path in found)


def test_with_doubling_free_the_voices_still_add_up() -> None:
    found = paths("C E G B", "E G# B D#", 1, palette("4-20"), walking=Walking(free=True))
    assert [path.sizes for path in found] == [(3,)]
    assert found[0].leadings[0].size == 3 and len(found[0].leadings[0].moves) == 5


def test_the_hexatonic_cycle_is_the_smoothest_loop_of_triads() -> None:
    """Six triads, each a semitone from the next (Cohn 1996, from memory); forward and backward."""
    found = loops("C", 6, palette("3-11"), limit=ALL, walking=Walking(step=1))
    assert [path.size for path in found] == [6, 6]
    assert found[0].chords == found[1].chords[::-1]
    union = PcSet(pc for chord in found[0].chords for pc in chord)
    assert union.label == "6-20"
    assert all(path.is_loop for path in found)


def test_crossing_from_home_to_home_pivots_lie_in_both() -> None:
    family = default_family()
    found = paths("C E G B", "F# A# C# E", 5, palette(inside=family, sizes=(4,)), walking=Walking(step=3, change=1))
    for path in found:
        assert len(path.homes) == 5
        for (before, after), home in zip(pairwise(path.chords), path.homes, strict=True):
            assert before <= home and after <= home
        assert path.pivots
        for pivot in path.pivots:
            assert pivot.chord == path.chords[pivot.place]
            assert pivot.chord <= pivot.shared and pivot.shared == pivot.before & pivot.after


def test_inside_one_collection_no_foreign_note_sounds() -> None:
    scale = collection("D double harmonic")
    found = paths("D F# A", "Eb G Bb", 4, palette(inside=scale, sizes=(3,)), limit=20)
    assert all(chord <= scale for path in found for chord in path.chords)
    assert all(path.homes == (scale,) * 4 and not path.pivots for path in found)


def test_paths_apart_differ_in_so_many_chords() -> None:
    chords = palette("4-27", "4-28", "4-26", "4-20")
    found = paths("C7", "F#7", 5, chords, walking=Walking(apart=3))
    assert len(found) == 5
    for i, one in enumerate(found):
        for other in found.found[:i]:
            assert sum(a != b for a, b in zip(one.chords, other.chords, strict=True)) >= 3
    assert found[0] == paths("C7", "F#7", 5, chords)[0]


def test_a_class_as_goal_is_any_of_its_forms() -> None:
    found = paths("C", "3-12", 1, palette("3-11"), limit=ALL, walking=Walking(step=12))
    augmented = [PcSet((n, n + 4, n + 8)) for n in range(4)]
    assert {path.chords[-1] for path in found} == set(augmented)
    assert [path.size for path in found] == sorted(distance(PcSet((0, 4, 7)), goal) for goal in augmented)


def test_what_cannot_be_sought_is_refused() -> None:
    chords = palette("3-11", inside="C major")
    with pytest.raises(InputError, match="stands in none of the collections"):
        paths("F#", "C", 3, chords)
    with pytest.raises(NothingFoundError, match="No path of 2 steps"):
        paths("C", "F#", 2, palette("3-11"), walking=Walking(step=1))
    with pytest.raises(InputError, match="paths of 0 steps"):
        paths("C", "F", 0, chords)
    with pytest.raises(InputError, match="cannot go by steps of 0"):
        Walking(step=0)
    with pytest.raises(InputError, match="No chords were named"):
        palette()
    with pytest.raises(NothingFoundError, match="No such chord stands"):
        palette("3-1", inside="C major")


def test_what_was_cut_is_said() -> None:
    chords = palette("3-11")
    assert paths("C", "E", 2, chords, limit=1).cut
    everything = paths("C", "E", 2, chords, limit=ALL)
    assert not everything.cut
    assert not paths("C", "E", 2, chords, limit=len(everything)).cut
