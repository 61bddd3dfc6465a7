"""Hands and low-interval limits against trying everything, and against a second table."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, placements
from sonorarium.pitch.limits import Hands, are_clear, blurred, left_hand, low_intervals


@pytest.mark.parametrize("hands", [Hands(), Hands(reach=12), Hands(reach=16, fingers=3)])
def test_two_hands_hold_what_some_parting_allows(hands: Hands) -> None:
    rows = placements(PcSet((0, 4, 8, 11)), 5, Compass(40, 84))[::7]
    for row, left in zip(rows.tolist(), left_hand(rows, hands).tolist(), strict=True):
        ways = [
            k
            for k in range(6)
            if all(len(h) <= hands.fingers and (not h or h[-1] - h[0] <= hands.reach) for h in (row[:k], row[k:]))
        ]
        assert (left in ways) if ways else left == -1
        if ways:
            assert abs(2 * left - 5) == min(abs(2 * k - 5) for k in ways)


def test_a_tenth_is_beyond_a_ninth() -> None:
    chord = np.array([[36, 52, 60, 76]], np.int16)
    assert left_hand(chord).tolist() == [-1]
    assert left_hand(chord, Hands(reach=16)).tolist() == [2]


def test_hands_that_hold_nothing_are_refused() -> None:
    with pytest.raises(InputError, match="A hand of 0 fingers that reaches 14 semitones holds nothing"):
        Hands(fingers=0)


def test_the_tables_of_low_intervals_agree_but_for_one_entry() -> None:
    # The glossary "Low Interval Limit" of the magazine inSync, read, beside the book recalled.
    compared = {row.interval: abs(row.lowest - row.elsewhere) for row in low_intervals() if row.elsewhere is not None}
    assert len(compared) == 11
    assert {name for name, off in compared.items() if off > 3} == {"tritone"}
    assert [row.semitones for row in low_intervals()] == list(range(1, 17))
    assert all(row.how_known == "from memory" for row in low_intervals())


def test_neighbours_below_their_limit_blur() -> None:
    rows = np.array([[52, 53, 60], [51, 52, 60], [34, 41, 60], [33, 40, 60], [24, 36, 60]], np.int16)
    assert are_clear(rows).tolist() == [True, False, True, False, True]
    for row, clear in zip(rows.tolist(), are_clear(rows).tolist(), strict=True):
        assert (blurred(tuple(row)) == ()) == clear
