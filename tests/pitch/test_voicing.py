"""Voicings rise, and a close position is as close as it goes."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pitch.voicing import Voicing, close_position


def test_what_is_not_a_voicing_is_refused() -> None:
    with pytest.raises(InputError, match="does not rise"):
        Voicing((60, 60))
    with pytest.raises(InputError, match="beyond the MIDI range"):
        Voicing((60, 128))


@given(st.permutations(range(12)), st.integers(1, 7), st.integers(24, 48))
def test_close_position_keeps_the_order_and_leaves_no_room(order: list[int], size: int, lowest: int) -> None:
    rising = tuple(order[:size])
    pitches = close_position(rising, lowest=lowest).pitches
    assert tuple(p % 12 for p in pitches) == rising
    assert lowest <= pitches[0] < lowest + 12
    assert all(1 <= b - a <= 12 for a, b in pairwise(pitches))


def test_nothing_is_an_empty_voicing() -> None:
    assert close_position(()) == Voicing(())
