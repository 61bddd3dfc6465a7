"""Realisations are counted as many as a listing by hand would find."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, available, placements
from sonorarium.pitch.counting import counts

SETS = st.integers(1, 4095).filter(lambda mask: mask.bit_count() <= 5)


@given(mask=SETS, voices=st.integers(1, 5), low=st.integers(36, 60), width=st.integers(0, 22), omit=st.integers(0, 2))
@settings(max_examples=60, deadline=None)
def test_counts_agree_with_a_listing_of_all_combinations(
    mask: int, voices: int, low: int, width: int, omit: int
) -> None:
    notes, compass = PcSet.of_mask(mask), Compass(low, low + width)
    pitches = available(notes, compass).tolist()
    listed = [row for row in combinations(pitches, voices) if len(set(notes) - {pitch % 12 for pitch in row}) <= omit]
    by_ends = counts(notes, voices, compass, omit=omit)
    assert by_ends.sum() == len(listed)
    for first, low_pitch in enumerate(pitches):
        for last, high_pitch in enumerate(pitches):
            assert by_ends[first, last] == sum((row[0], row[-1]) == (low_pitch, high_pitch) for row in listed)
    assert placements(notes, voices, compass, omit=omit).tolist() == [list(row) for row in listed]


def test_a_whole_keyboard_of_twelve_notes_is_counted_without_listing() -> None:
    each_once = counts(PcSet(range(12)), 12, Compass(21, 108)).sum()
    assert each_once == 7**8 * 8**4  # 88 keys: A, B flat, B and C come eight times


def test_numbers_of_voices_are_limited() -> None:
    with pytest.raises(InputError, match=r"13 voices cannot be set. Use 1 to 12"):
        counts(PcSet((0,)), 13, Compass())
