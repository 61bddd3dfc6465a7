"""Subsets and supersets, against counting by hand and by exhaustive listing."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.insides import insides, outsides, settle
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass

masks = st.integers(1, 4095)


@given(masks, st.booleans())
def test_subsets_agree_with_listing_them(mask: int, tn: bool) -> None:
    whole = PcSet.of_mask(mask)
    listed = Counter(
        str(PcSet(chosen).tn_class if tn else PcSet(chosen).set_class)
        for size in (2, 3)
        for chosen in combinations(whole.pcs, size)
    )
    found = insides(whole, sizes=(2, 3), tn=tn)
    assert {str(row.set_class): row.times for row in found} == listed
    assert all(place.pcset <= whole and place.pcset in row.set_class for row in found for place in row.places)


@given(masks)
def test_times_of_each_size_add_up(mask: int) -> None:
    whole = PcSet.of_mask(mask)
    total = Counter[int]()
    for row in insides(whole):
        total[row.set_class.cardinality] += row.times
    assert total == {size: comb(len(whole), size) for size in range(1, len(whole) + 1)}


@given(masks)
def test_supersets_agree_with_listing_them(mask: int) -> None:
    whole = PcSet.of_mask(mask)
    found = outsides(whole, sizes=[len(whole) + 1] if len(whole) < 12 else [12])
    listed = Counter(str((whole | PcSet((pc,))).set_class) for pc in ~whole)
    assert {str(row.set_class): row.times for row in found} == listed
    for row in found:
        assert row.embedded == whole.set_class.count_in(row.set_class.representative)


def test_places_stand_on_the_degrees_of_the_scale() -> None:
    # D Eb F# G A Bb C#; by hand: 6-Z44 is what is left without F# or without Bb.
    rows = {str(row.set_class): row for row in insides("D double harmonic")}
    left_out = [set(range(1, 8)) - set(place.degrees) for place in rows["6-Z44"].places]
    assert sorted(map(tuple, left_out)) == [(4,), (5,)]
    major = {tuple(n.text for n in place.notes) for place in rows["3-11"].places}
    assert ("D", "F#", "A") in major and ("Eb", "G", "Bb") in major
    assert rows["3-11"].degrees == tuple(place.degree for place in rows["3-11"].places)


def test_a_triad_on_each_degree_of_the_major_scale() -> None:
    # Major triads on 1, 4 and 5, minor on 2, 3 and 6 (common practice).
    rows = {str(row.set_class): row for row in insides("C major", sizes=[3], tn=True)}
    assert rows["3-11B"].degrees == (1, 4, 5)
    assert rows["3-11A"].degrees == (2, 3, 6)


def test_a_symmetrical_subset_begins_on_the_lowest_degree_it_can() -> None:
    row = next(row for row in insides("F# harmonic minor", sizes=[3]) if str(row.set_class) == "3-12")
    assert [place.degrees for place in row.places] == [(3, 5, 7)]
    assert [note.text for note in row.places[0].notes] == ["A", "C#", "E#"]


def test_a_set_inside_itself() -> None:
    row = insides("4-19", sizes=[4])[0]
    assert row.set_class == SetClass("4-19") and row.places[0].degrees == (1, 2, 3, 4)


def test_nothing_is_inside_nothing() -> None:
    assert insides(PcSet()) == ()
    assert outsides(PcSet((*range(12),))) == ()
    assert sum(row.times for row in outsides(PcSet())) == 4095


def test_sizes_that_are_none() -> None:
    with pytest.raises(InputError, match="13 is no number of notes"):
        insides("C major", sizes=[13])
    with pytest.raises(InputError, match="0 is no number of notes"):
        outsides("C major", sizes=[0])


def test_a_settled_subject_is_taken_as_it_is() -> None:
    scale = settle("Eb lydian")
    assert settle(scale) is scale
    assert insides(scale) == insides("Eb lydian")
