"""Landscapes against every segment, taken by itself."""

from __future__ import annotations

from functools import reduce

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.composing import Section, compose
from sonorarium.errors import InputError
from sonorarium.pcs.catalogue import tni_labels
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.score.analysis.landscape import Landscape, fitting_members, landscape, likeness, row_start
from sonorarium.score.slices import slice_score
from tests.score.writing import attributes, measure, note, read

C_MAJOR = collection("C major").pcset
MODEST = landscape(compose([Section.of(C_MAJOR, 4), Section.of(collection("D double harmonic"), 4)], seed=1).score)


def segment_mask(scape: Landscape, first: int, last: int) -> int:
    slices = slice_score(scape.score)
    found: int = reduce(lambda one, other: one | other, slices.masks[first : last + 1].tolist())
    return found


@given(st.integers(0, 10**6), st.integers(1, 3), st.integers(1, 3))
@settings(max_examples=15, deadline=None)
def test_every_segment_is_what_sounds_in_it(seed: int, voices: int, bars: int) -> None:
    scape = landscape(compose([Section(0xFFF, 4 * bars)], seed=seed, voices=voices).score)
    n = scape.slices
    assert len(scape) == n * (n + 1) // 2
    for first in range(n):
        for last in range(first, n):
            assert int(scape.masks[scape.place(first, last)]) == segment_mask(scape, first, last)


def test_rows_are_by_length() -> None:
    n = MODEST.slices
    assert MODEST.row(1).tolist() == slice_score(MODEST.score).masks.tolist()
    assert len(MODEST.row(n)) == 1
    assert row_start(n, np.array([n])) == len(MODEST)


def test_classes_are_those_of_the_catalogue() -> None:
    for mask, place in zip(MODEST.masks[::97].tolist(), MODEST.classes[::97].tolist(), strict=True):
        assert PcSet.of_mask(mask).label.rstrip("AB") == tni_labels()[place]
    assert MODEST.segment(0, 16 * 4).label == "7-35"


def test_what_is_this_segment() -> None:
    scape = landscape(read(measure(attributes(1) + "".join(note(n, 1) for n in ("C4", "E4", "G4", "B4")))))
    found = scape.segment(1, 3)
    assert (found.onset, found.end, found.pcset, found.label) == (1, 3, PcSet((4, 7)), "2-3")
    assert found.bars == ("1", "1")
    assert scape.segment(0, 4).sentence == "Bar 1: 4-20, the pitch classes 0 4 7 11."
    assert scape.around(2, 2) == found
    assert scape.segment(-5, 99).label == "4-20"
    with pytest.raises(InputError, match="there is no segment"):
        scape.segment(3, 3)
    with pytest.raises(InputError, match="no segment from slice 3 to slice 4"):
        scape.place(3, 4)


def test_the_vector_by_segments_counts_them() -> None:
    """Three slices, C, C E and E: of six segments two are single notes, four are thirds."""
    bar = note("C4", 1) + note("E4", 1, "<chord/>")
    scape = landscape(read(measure(attributes(1) + note("C4", 1) + bar + note("E4", 1))))
    vector = scape.class_vector()
    assert [vector[tni_labels().index(label)] for label in ("1-1", "2-4")] == pytest.approx([2 / 6, 4 / 6])
    assert vector.sum() == pytest.approx(1)


def test_the_vector_by_area_is_the_chance_of_two_moments() -> None:
    """C for one beat, then E for three: two moments lie in both with the chance 2 × 1/4 × 3/4."""
    scape = landscape(read(measure(attributes(1) + note("C4", 1) + note("E4", 3))))
    vector = scape.class_vector("area")
    assert sorted(vector[vector > 0].tolist()) == pytest.approx([6 / 16, 10 / 16])


def test_the_vector_by_coverage_is_the_time_covered() -> None:
    for label in ("7-35", "5-35", "3-11"):
        covered = np.zeros(MODEST.slices, bool)
        for length in range(1, MODEST.slices + 1):
            for first, mask in enumerate(MODEST.row(length).tolist()):
                if PcSet.of_mask(mask).label.rstrip("AB") == label:
                    covered[first : first + length] = True
        expected = float(np.diff(MODEST.cuts)[covered].sum() / MODEST.cuts[-1])
        assert MODEST.class_vector("coverage")[tni_labels().index(label)] == pytest.approx(expected)


def test_an_unknown_way_of_counting_is_refused() -> None:
    with pytest.raises(InputError, match="cannot be counted by 'weight'"):
        MODEST.class_vector("weight")  # type: ignore[arg-type]


def test_long_pieces_are_made_shorter_and_it_is_said() -> None:
    short = landscape(MODEST.score, most_slices=20)
    assert short.merged > 1
    assert short.slices <= 20
    assert short.cuts[-1] == MODEST.cuts[-1]
    assert short.segment(0, short.score.end).pcset == MODEST.segment(0, MODEST.score.end).pcset
    assert MODEST.merged == 1


def test_the_image_is_a_triangle_whose_apex_is_the_piece() -> None:
    grid = MODEST.grid(41, 21)
    assert (grid[-1] >= 0).sum() >= 39
    assert (grid[0] >= 0).sum() == 1
    apex = int(grid[0, 20])
    assert apex == int(MODEST.masks[-1])
    middle = MODEST.score.end * 20.5 / 41
    for row in range(21):
        length = MODEST.score.end * (21 - row - 0.5) / 21
        onset, end = middle - length / 2, middle + length / 2
        first = int(np.searchsorted(MODEST.cuts, onset, side="right")) - 1
        last = int(np.searchsorted(MODEST.cuts, end, side="left")) - 1
        assert int(grid[row, 20]) == segment_mask(MODEST, first, last)


def test_likeness_is_the_share_of_common_notes() -> None:
    table = likeness(C_MAJOR)
    for mask in (0, 1, 0b101010110101, 0xFFF, 0b101011010101):
        either = (mask | C_MAJOR.mask).bit_count()
        assert table[mask] == pytest.approx((mask & C_MAJOR.mask).bit_count() / either)


def test_likeness_to_a_class_is_the_greatest_to_any_form() -> None:
    table = likeness(SetClass("3-11"))
    assert table[PcSet((1, 5, 8)).mask] == 1
    assert table[PcSet((1, 4, 8)).mask] == 1
    assert likeness(SetClass("3-11B"))[PcSet((1, 4, 8)).mask] < 1


def test_members_go_to_themselves_and_what_is_unlike_all_to_none() -> None:
    family = default_family()
    fits = fitting_members(family)
    for i, member in enumerate(family):
        assert fits[member.mask] == i
    assert fits[PcSet((0, 4, 7)).mask] == -1
    assert fits[0xFFF] == -1


@given(st.integers(0, 4095))
def test_a_set_goes_to_the_one_member_that_it_nearly_fills(mask: int) -> None:
    family = default_family()
    like = [0 if mask & ~m.mask else mask.bit_count() / m.cardinality for m in family]
    best = [i for i, value in enumerate(like) if value == max(like)]
    assert fitting_members(family)[mask] == (best[0] if len(best) == 1 and max(like) >= 0.7 else -1)
