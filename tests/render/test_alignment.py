"""What collections share runs on as a column; what one has alone is ringed; all of it is said in words."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sonorarium.errors import InputError
from sonorarium.render.alignment import Row, draw_alignment

HEADS = ["C", "D♭", "D", "E♭", "E", "F", "G♭", "G", "A♭", "A", "B♭", "B"]
COLUMNS = st.sets(st.integers(0, 11), min_size=1).map(lambda columns: tuple(sorted(columns)))


@given(st.lists(COLUMNS, min_size=2, max_size=5))
def test_bars_rings_and_dots(columns: list[tuple[int, ...]]) -> None:
    rows = [Row(notes, None, "a", f"row {i}", f"row {i}") for i, notes in enumerate(columns)]
    root = etree.fromstring(draw_alignment(rows, HEADS).encode())
    bars = root.findall(".//{*}path[@stroke-width='3']")
    assert len(bars) == sum(len(set(a) & set(b)) for a, b in pairwise(columns))
    own = sum(
        all(k not in other for j, other in enumerate(columns) if j != i)
        for i, notes in enumerate(columns)
        for k in notes
    )
    assert len(root.findall(".//{*}rect[@fill='#0d6b5b']")) == own
    assert len(root.findall(".//{*}rect[@fill='currentColor']")) == sum(map(len, columns)) - own
    assert len(root.findall(".//{*}circle")) == len(set.intersection(*map(set, columns)))
    assert root.get("aria-label") == "; ".join(row.description for row in rows)


def test_a_single_strip_has_nothing_of_its_own() -> None:
    root = etree.fromstring(draw_alignment([Row((0, 4, 7), 0, "3-11B", "C")], HEADS).encode())
    assert len(root.findall(".//{*}rect[@fill='currentColor']")) == 3
    assert len(root.findall(".//{*}path[@transform]")) == 1


def test_what_cannot_be_aligned() -> None:
    with pytest.raises(InputError, match="twelve columns"):
        draw_alignment([], HEADS)
    with pytest.raises(InputError, match="twelve columns"):
        draw_alignment([Row((0,), 0, "", "")], HEADS[:7])
