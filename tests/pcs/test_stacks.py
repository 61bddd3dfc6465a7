"""Two chords stacked, and piles of one interval, against brute force."""

from __future__ import annotations

from itertools import pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.chordsymbol import chord
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.stacks import (
    KINDS,
    IntervalStack,
    Stacked,
    interval_stack,
    interval_stacks,
    stacked,
    stacked_readings,
)

SETS = st.integers(1, 4095).map(PcSet.of_mask).filter(lambda s: 3 <= len(s) <= 8)
TRIADS = {"": (0, 4, 7), "m": (0, 3, 7), "aug": (0, 4, 8), "dim": (0, 3, 6)}
SEVENTHS = {
    **{"7": (0, 4, 7, 10), "maj7": (0, 4, 7, 11), "m7": (0, 3, 7, 10)},
    **{"m7b5": (0, 3, 6, 10), "mMaj7": (0, 3, 7, 11), "dim7": (0, 3, 6, 9)},
}


@settings(max_examples=100)
@given(SETS)
def test_all_pairs_by_brute_force(pcset: PcSet) -> None:
    chords = {PcSet(h).transposed(n) for h in (TRIADS | SEVENTHS).values() for n in range(12)}
    inside = [c for c in chords if c < pcset]
    pairs = {(u, v) for u in inside for v in inside if u | v == pcset and not u <= v and not v <= u}
    found = stacked_readings(pcset, limit=10_000)
    assert {(s.upper.pcset, s.lower.pcset) for s in found} == pairs
    assert len(found) == len(pairs)


@settings(max_examples=100)
@given(SETS, st.data())
def test_two_chords_read_back_with_one_name_a_note(pcset: PcSet, data: st.DataObject) -> None:
    bass = data.draw(st.none() | st.sampled_from(pcset.pcs))
    for found in stacked_readings(pcset, bass=bass, limit=20):
        assert found.mask == pcset.mask
        assert stacked(found.name) == found
        assert eval(repr(found), {"stacked": stacked}) == found
        assert {n.pc for n in found.spelling} == set(pcset.pcs)
        assert len(found.spelling) == len(pcset)
        assert 0 <= found.distance < 12
        assert found.interval
        if bass is not None:
            assert found.lower.mask >> bass & 1


def test_distance_between_roots() -> None:
    assert (stacked("Ab over C7").distance, stacked("Ab over C7").interval) == (8, "minor sixth")
    assert (stacked("D|C").distance, stacked("D | C").interval) == (2, "major second")


def test_the_plainest_pair_is_first() -> None:
    assert stacked_readings(PcSet((0, 4, 7, 2, 6, 9)), bass=0, limit=1)[0].name == "D over C"
    assert stacked_readings(PcSet((0, 4, 7))) == ()


def test_one_name_for_a_shared_note() -> None:
    both = Stacked(chord("Ab"), chord("E7"))
    assert [n.text for n in both.spelling] == ["E", "G#", "B", "D", "C", "Eb"]


@settings(max_examples=60)
@given(st.sampled_from(list(KINDS)), st.integers(1, 4095).map(PcSet.of_mask).filter(lambda s: 3 <= len(s) <= 6))
def test_stacks_by_brute_force(kind: str, pcset: PcSet) -> None:
    plain = KINDS[kind][1]
    sizes = {plain, plain + 1 if kind == "fourths" else plain - 1}
    ways = [p for p in permutations(pcset.pcs) if all((b - a) % 12 in sizes for a, b in pairwise(p))]
    found = [s for s in interval_stacks(pcset) if s.kind == kind]
    assert bool(found) == bool(ways)
    for stack in found:
        assert stack.rising in ways
        mixed = sum(size != plain for size in stack.sizes)
        assert mixed == min(sum((b - a) % 12 != plain for a, b in pairwise(way)) for way in ways)


@settings(max_examples=100)
@given(SETS, st.data())
def test_stacks_read_back(pcset: PcSet, data: st.DataObject) -> None:
    bass = data.draw(st.none() | st.sampled_from(pcset.pcs))
    for found in interval_stacks(pcset, bass=bass):
        assert found.mask == pcset.mask
        assert interval_stack(found.name) == found
        assert eval(repr(found), {"interval_stack": interval_stack}) == found
        assert tuple(n.pc for n in found.spelling) == found.rising
        assert len(set(found.spelling)) == len(pcset)
        assert bass in (None, found.root.pc)


@pytest.mark.parametrize(
    ("text", "notes"),
    [
        ("fourths 4-#4-4 on C", "C F B E"),
        ("C fourths 4-♯4-4", "C F B E"),
        ("fourths 4-4-4-4 on E", "E A D G C"),
        ("thirds 3-b3-3 on C", "C E G B"),
        ("seconds b2-2-2 on E", "E F G A"),
        ("fifths 5-b5 on F", "F C Gb"),
        ("Fourths 4-b4 on F#", "F# B Eb"),
        ("seconds b2-b2-b2-b2 on C", "C Db D Eb E"),
    ],
)
def test_stacks_as_typed(text: str, notes: str) -> None:
    assert " ".join(n.text for n in interval_stack(text).spelling) == notes


@pytest.mark.parametrize("text", ["fourths 4-4", "C fourths 4-4 on D", "fourths on C", "sixths 6-6 on C"])
def test_what_is_no_stack(text: str) -> None:
    with pytest.raises(InputError, match="is no stack of intervals"):
        interval_stack(text)


def test_mixed_kinds_are_refused() -> None:
    with pytest.raises(InputError, match="4-5 are not all fourths"):
        interval_stack("fourths 4-5 on C")


def test_what_is_not_two_chords() -> None:
    with pytest.raises(InputError, match="is not two chords"):
        stacked("C over D over E")


def test_too_few_or_too_many_notes() -> None:
    assert interval_stacks(PcSet((0, 5))) == ()
    assert interval_stacks(PcSet(range(9))) == ()
    assert IntervalStack(stacked("C|D").upper.root, "fourths", (5, 6)).pattern == "4-#4"
