"""Movement and parallels of whole arrays, against one pair at a time."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.pitch.motion import farthest, movement, parallels
from sonorarium.pitch.realising import Taste
from tests.pitch.test_progression import price


@settings(max_examples=30, deadline=None)
@given(st.data(), st.integers(1, 4))
def test_movement_and_parallels_are_counted_pair_by_pair(data: st.DataObject, voices: int) -> None:
    row = st.frozensets(st.integers(40, 80), min_size=voices, max_size=voices).map(sorted)
    one, other = (np.array(data.draw(st.lists(row, min_size=1, max_size=5)), np.int16) for _ in range(2))
    for (i, a), (j, b) in product(enumerate(one.tolist()), enumerate(other.tolist())):
        assert movement(one, other)[i, j] == price(a, b, Taste(parallels=0))
        assert parallels(one, other)[i, j] == price(a, b, Taste(smooth=0, parallels=1))
        assert farthest(one, other)[i, j] == max(abs(q - p) for p, q in zip(a, b, strict=True))
