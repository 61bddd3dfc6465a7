"""Voice leadings are exact, come in order, and keep their rules."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations_with_replacement, product
from math import isclose, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.distance import class_distance, distance
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pitch.leading import VoiceLeading, lead, straight
from sonorarium.pitch.movement import MEASURES, Measure, Rules
from sonorarium.pitch.voicing import Voicing

Edges = tuple[tuple[int, int], ...]
ALL = 10**6


def sets(low: int, high: int) -> st.SearchStrategy[PcSet]:
    return st.frozensets(st.integers(0, 11), min_size=low, max_size=high).map(PcSet)


def voicings(low: int, high: int) -> st.SearchStrategy[Voicing]:
    pitches = st.frozensets(st.integers(40, 84), min_size=low, max_size=high)
    return pitches.map(lambda found: Voicing(tuple(sorted(found))))


def measured(moves: list[int], measure: str) -> float:
    if measure == "euclid":
        return sqrt(sum(move * move for move in moves))
    return max(moves) if measure == "largest" else sum(moves)


def ways(one: PcSet, other: PcSet, voices: int) -> Iterator[Edges]:
    """Every choice of so many voices between pitch classes that covers both sets: start and end, unrolled."""
    every = [(a, a + d) for a in one.pcs for d in range(-6, 7) if (a + d) % 12 in other]
    for edges in combinations_with_replacement(every, voices):
        if {a for a, _ in edges} == set(one) and {b % 12 for _, b in edges} == set(other):
            yield edges


def has_no_crossing(edges: Edges) -> bool:
    ends = [end for _, end in sorted(edges)]
    return ends == sorted(ends) and ends[-1] <= ends[0] + 12


def sizes_of(edges: Edges) -> list[int]:
    return [abs(end - start) for start, end in edges]


def edges_of(leading: VoiceLeading) -> Edges:
    return tuple((move.start, move.start + move.by) for move in leading.moves)


# --- exactness ----------------------------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 7).flatmap(lambda n: st.tuples(sets(n, n), sets(n, n))))
def test_between_equal_sizes_the_assignment_solver_agrees(pair: tuple[PcSet, PcSet]) -> None:
    one, other = pair
    apart = np.array([[min((a - b) % 12, (b - a) % 12) for b in other] for a in one])
    for measure, cost in (("sum", apart), ("euclid", apart**2)):
        least = cost[linear_sum_assignment(cost)].sum()
        for crossings in (False, True):
            found = lead(one, other, measure=measure, limit=1, rules=Rules(crossings=crossings))[0]
            assert isclose(found.size, sqrt(least) if measure == "euclid" else least)


@settings(max_examples=40, deadline=None)
@given(sets(1, 4), sets(1, 3), st.sampled_from(MEASURES), st.booleans())
def test_all_voice_leadings_are_listed_in_order(one: PcSet, other: PcSet, measure: Measure, crossings: bool) -> None:
    every = [edges for edges in ways(one, other, max(len(one), len(other))) if crossings or has_no_crossing(edges)]
    found = lead(one, other, measure=measure, limit=ALL, rules=Rules(crossings=crossings))
    assert Counter(map(edges_of, found)) == Counter(tuple(sorted(edges)) for edges in every)
    assert [leading.size for leading in found] == sorted(measured(sizes_of(edges), measure) for edges in every)
    assert not found.cut


@settings(max_examples=15, deadline=None)
@given(sets(1, 3), sets(2, 3))
def test_with_more_voices_than_needed_both_sides_are_doubled(one: PcSet, other: PcSet) -> None:
    every = [edges for edges in ways(one, other, 4) if has_no_crossing(edges)]
    found = lead(one, other, limit=ALL, rules=Rules(voices=4))
    assert Counter(map(edges_of, found)) == Counter(tuple(sorted(edges)) for edges in every)
    assert [leading.size for leading in found] == sorted(sum(sizes_of(edges)) for edges in every)


@settings(max_examples=25, deadline=None)
@given(sets(1, 3), sets(1, 3))
def test_free_doubling_lists_every_leading_without_a_needless_voice(one: PcSet, other: PcSet) -> None:
    def is_thrifty(edges: Edges) -> bool:
        left, reached = Counter(a for a, _ in edges), Counter(b % 12 for _, b in edges)
        return all(left[a] == 1 or reached[b % 12] == 1 for a, b in edges)

    numbers = range(max(len(one), len(other)), len(one) + len(other))
    every = [e for n in numbers for e in ways(one, other, n) if is_thrifty(e) and has_no_crossing(e)]
    found = lead(one, other, limit=ALL, rules=Rules(voices="free"))
    assert Counter(map(edges_of, found)) == Counter(tuple(sorted(edges)) for edges in every)
    assert [leading.size for leading in found] == sorted(sum(sizes_of(edges)) for edges in every)


@settings(max_examples=80, deadline=None)
@given(sets(1, 8), sets(1, 8))
def test_the_least_is_the_distance_that_the_table_of_walks_gives(one: PcSet, other: PcSet) -> None:
    assert lead(one, other, limit=1)[0].size == distance(one, other)
    assert lead(one, other, limit=1, rules=Rules(crossings=True))[0].size == distance(one, other)
    assert lead(one, other, limit=1, rules=Rules(voices="free"))[0].size == distance(one, other, free=True)


@pytest.mark.parametrize(("one", "other"), [("3-11", "3-12"), ("4-27", "4-28"), ("4-19", "3-8"), ("7-35", "7-34")])
def test_to_a_class_the_nearest_form_is_taken(one: str, other: str) -> None:
    assert lead(SetClass(one), SetClass(other), limit=1)[0].size == class_distance(SetClass(one), SetClass(other))


@settings(max_examples=25, deadline=None)
@given(voicings(1, 3), sets(1, 3), st.sampled_from(MEASURES), st.booleans())
def test_from_a_voicing_every_leading_within_an_octave_is_listed(
    start: Voicing, goal: PcSet, measure: Measure, crossings: bool
) -> None:
    every = [(a, a + d) for a in start.pitches for d in range(-12, 13) if (a + d) % 12 in goal]
    listed = []
    for edges in combinations_with_replacement(every, max(len(start.pitches), len(goal))):
        covers = {a for a, _ in edges} == set(start.pitches) and {b % 12 for _, b in edges} == set(goal)
        ends = [end for _, end in sorted(edges)]
        if covers and (crossings or ends == sorted(ends)):
            listed.append(tuple(sorted(edges)))
    found = lead(start, goal, measure=measure, limit=ALL, rules=Rules(crossings=crossings))
    assert Counter(map(edges_of, found)) == Counter(listed)
    assert [leading.size for leading in found] == sorted(measured(sizes_of(edges), measure) for edges in listed)


@settings(max_examples=30, deadline=None)
@given(voicings(1, 4), voicings(1, 4))
def test_between_voicings_every_pitch_is_reached(start: Voicing, end: Voicing) -> None:
    every = list(product(start.pitches, end.pitches))
    totals = [
        sum(sizes_of(edges))
        for edges in combinations_with_replacement(every, max(len(start.pitches), len(end.pitches)))
        if {a for a, _ in edges} == set(start.pitches) and {b for _, b in edges} == set(end.pitches)
    ]
    found = lead(start, end, limit=ALL, rules=Rules(crossings=True))
    assert [leading.size for leading in found] == sorted(totals)
    assert all(leading.end == end.pitches for leading in found)


# --- laws ---------------------------------------------------------------------------------------------------------


@settings(max_examples=40, deadline=None)
@given(sets(1, 6), sets(1, 6), st.integers(0, 11), st.sampled_from(MEASURES))
def test_size_does_not_change_when_both_are_moved_or_turned_round(
    one: PcSet, other: PcSet, n: int, measure: Measure
) -> None:
    size = lead(one, other, measure=measure, limit=1)[0].size
    assert lead(one.transposed(n), other.transposed(n), measure=measure, limit=1)[0].size == size
    assert lead(one.inverted(n), other.inverted(n), measure=measure, limit=1)[0].size == size
    assert lead(other, one, measure=measure, limit=1)[0].size == size


@given(sets(1, 5), sets(1, 5))
def test_the_way_back_is_as_long(one: PcSet, other: PcSet) -> None:
    leading = lead(one, other, limit=1)[0]
    assert leading.reversed.size == leading.size
    assert (leading.reversed.start, leading.reversed.end) == (leading.end, leading.start)
    assert leading.reversed.reversed == leading


@settings(deadline=None)
@given(voicings(2, 4), sets(2, 4))
def test_to_a_voicing_is_from_it_turned_round(end: Voicing, start: PcSet) -> None:
    there, back = lead(start, end, limit=3), lead(end, start, limit=3)
    assert [leading.size for leading in there] == [leading.size for leading in back]
    assert all(leading.end == end.pitches for leading in there)


# --- rules --------------------------------------------------------------------------------------------------------


def test_common_tones_and_movements_are_named() -> None:
    best = lead("C E G", "C E A")[0]
    assert best.common_tones == (0, 4)
    assert [move.text for move in best.moves] == ["common tone C", "common tone E", "G up a whole tone to A"]
    assert lead("E4", "F4")[0].text == "E4 up a semitone to F4"
    assert lead("Gb3", "F4")[0].text == "G♭3 up a major seventh to F4"
    assert lead("B#3", Voicing((77,)))[0].text == "B♯3 up 17 semitones to F5"


def test_names_come_from_what_was_typed() -> None:
    assert lead("Ebm", "Abm")[0].text == "E♭ common tone".replace("E♭ common tone", "common tone E♭") + (
        "; G♭ up a whole tone to A♭; B♭ up a semitone to C♭"
    )


@settings(max_examples=40, deadline=None)
@given(voicings(2, 4), sets(2, 4))
def test_without_parallels_no_pair_of_voices_has_them(start: Voicing, goal: PcSet) -> None:
    def has_parallels(leading: VoiceLeading) -> bool:
        pairs = [(p, q) for i, p in enumerate(leading.moves) for q in leading.moves[i + 1 :]]
        return any(
            p.by * q.by > 0 and (q.start - p.start) % 12 in (0, 7) and (q.end - p.end - q.start + p.start) % 12 == 0
            for p, q in pairs
        )

    kept = [leading for leading in lead(start, goal, limit=ALL) if not has_parallels(leading)]
    if kept:
        strict = lead(start, goal, limit=ALL, rules=Rules(parallels=False))
        assert Counter(map(edges_of, strict)) == Counter(map(edges_of, kept))
        assert [leading.size for leading in strict] == [leading.size for leading in kept]


def test_triads_a_step_apart_in_parallel_are_refused_where_parallels_are() -> None:
    assert lead("C3 G3 E4", "Dm")[0].text.count("whole tone") == 2
    strict = lead("C3 G3 E4", "Dm", rules=Rules(parallels=False))[0]
    assert (strict.moves[0].by, strict.moves[1].by) != (2, 2)


def test_a_leap_is_the_most_that_a_voice_moves() -> None:
    for leading in lead("C3 E3 G3 B3", "F#m7b5", limit=50, rules=Rules(leap=4, crossings=True)):
        assert max(abs(move.by) for move in leading.moves) <= 4
    with pytest.raises(NothingFoundError, match="No voice leading keeps these rules"):
        lead("C E G", "F# A# C#", rules=Rules(leap=1))


def test_settled_voices_go_where_they_are_told() -> None:
    for leading in lead("C4 E4 G4", "F A C", limit=9, rules=Rules(fixed=((60, 60), (67, 69)))):
        assert {(60, 60), (67, 69)} <= set(edges_of(leading))
    assert all(edges[0] == (0, 4) for edges in map(edges_of, lead("C E G", "E G B", rules=Rules(fixed=((0, 4),)))))
    to_voicing = lead("C E G", "F3 A3 C4", rules=Rules(fixed=((0, 60),)))
    assert all(any(move.end == 60 and move.start % 12 == 0 for move in leading.moves) for leading in to_voicing)
    with pytest.raises(InputError, match="No voice can be settled from 1 to 4"):
        lead("C E G", "E G B", rules=Rules(fixed=((1, 4),)))


def test_inside_a_scale_voices_move_by_its_steps() -> None:
    scale = collection("D double harmonic")
    best = lead("D F# A", "Eb G Bb", rules=Rules(within=scale))[0]
    assert best.size == 3
    assert [move.text for move in best.moves] == ["D up a step to E♭", "F♯ up a step to G", "A up a step to B♭"]
    assert [move.by for move in best.moves] == [1, 1, 1]
    wide = lead("Eb3", "F#3", rules=Rules(within=scale))[0]
    assert (wide.moves[0].by, wide.moves[0].steps, wide.text) == (3, 1, "E♭3 up a step to F♯3")
    with pytest.raises(InputError, match="Pitch class 4 is foreign"):
        lead("D F# A", "E G B", rules=Rules(within=scale))


@settings(max_examples=25, deadline=None)
@given(st.tuples(*[st.frozensets(st.integers(0, 6), min_size=3, max_size=3)] * 2))
def test_steps_of_a_scale_agree_with_the_assignment_solver(pair: tuple[frozenset[int], frozenset[int]]) -> None:
    scale = collection("D double harmonic").pcset
    one, other = (sorted(degrees) for degrees in pair)
    apart = np.array([[min((a - b) % 7, (b - a) % 7) for b in other] for a in one])
    chords = [PcSet(scale.pcs[degree] for degree in degrees) for degrees in (one, other)]
    found = lead(chords[0], chords[1], limit=1, rules=Rules(within=scale))[0]
    assert found.size == apart[linear_sum_assignment(apart)].sum()


def test_what_cannot_be_led_is_refused() -> None:
    with pytest.raises(InputError, match="without notes"):
        lead(PcSet(), PcSet((0,)))
    with pytest.raises(InputError, match="no measure of voice leading"):
        lead("C", "F", measure="taxicab")
    with pytest.raises(InputError, match="3 voices do not fill chords of 3 and 4 notes"):
        lead("C", "F7", rules=Rules(voices=3))
    with pytest.raises(InputError, match="no number of voices"):
        Rules(voices="many")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="0 voices"):
        Rules(voices=0)
    with pytest.raises(InputError, match="no distance"):
        Rules(leap=-1)
    with pytest.raises(InputError, match="0 voice leadings"):
        lead("C", "F", limit=0)


def test_what_was_cut_is_said() -> None:
    assert lead("C", "F", limit=2).cut
    assert not lead("C", "F", limit=3).cut
    assert len(lead("C", "F", limit=3)) == 3


# --- voice by voice -----------------------------------------------------------------------------------------------


def test_voices_led_straight_keep_their_place() -> None:
    leading = straight(Voicing((48, 55, 64)), Voicing((47, 55, 62)))
    assert leading.text == "C3 down a semitone to B2; common tone G3; E4 down a whole tone to D4"
    with pytest.raises(InputError, match="same number of voices"):
        straight(Voicing((48, 55)), Voicing((47, 55, 62)))


def test_a_leading_is_written_as_it_is_made() -> None:
    from sonorarium.pcs.spelling import Spelled
    from sonorarium.pitch.movement import Move

    leading = lead("C E G", "B E G")[0]
    assert eval(repr(leading), {"VoiceLeading": VoiceLeading, "Move": Move, "Spelled": Spelled}) == leading
    assert hash(leading) == hash(lead("C E G", "B E G")[0])
