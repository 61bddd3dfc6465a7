"""Ways through a trellis, against trying every way."""

from __future__ import annotations

from itertools import pairwise, product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.pitch.trellis import walks


@settings(max_examples=40, deadline=None)
@given(st.data(), st.integers(1, 4))
def test_ways_through_a_trellis_are_listed_in_order(data: st.DataObject, length: int) -> None:
    numbers = st.integers(0, 9).map(float) | st.just(float("inf"))
    sizes = data.draw(st.lists(st.integers(1, 3), min_size=length, max_size=length))
    own = [np.array(data.draw(st.lists(numbers, min_size=n, max_size=n))) for n in sizes]
    between = [
        np.array(data.draw(st.lists(numbers, min_size=m * n, max_size=m * n))).reshape(m, n)
        for m, n in pairwise(sizes)
    ]
    expected = []
    for walk in product(*map(range, sizes)):
        total = sum(own[i][at] for i, at in enumerate(walk))
        total += sum(between[i][a, b] for i, (a, b) in enumerate(pairwise(walk)))
        if total < float("inf"):
            expected.append((float(total), walk))
    found = list(walks(own, between))
    assert sorted(found) == sorted(expected)
    assert [total for total, _ in found] == sorted(total for total, _ in expected)
