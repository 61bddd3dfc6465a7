"""No placement of voices is missed, and none is made that the compass forbids."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, placements
from tests.pitch.test_progression import rows_of


@settings(max_examples=60, deadline=None)
@given(
    st.frozensets(st.integers(0, 11), min_size=1, max_size=4).map(PcSet),
    st.integers(1, 4),
    st.tuples(st.integers(48, 58), st.integers(60, 72)),
    st.sampled_from((None, 5, 9)),
    st.integers(0, 2),
)
def test_no_placement_is_missed(
    notes: PcSet, voices: int, room: tuple[int, int], limit: int | None, omit: int
) -> None:
    for compass in (Compass(*room, gap=limit), Compass(*room, span=None if limit is None else limit * 2)):
        found = [tuple(row) for row in placements(notes, voices, compass, omit=omit).tolist()]
        assert sorted(found) == rows_of(notes, voices, compass, omit)
        assert len(set(found)) == len(found)


def test_top_and_bass_are_kept() -> None:
    compass = Compass(48, 72)
    every = rows_of(PcSet((0, 4, 7)), 4, compass)
    found = placements(PcSet((0, 4, 7)), 4, compass, top=72, bass=4).tolist()
    assert sorted(map(tuple, found)) == [row for row in every if row[-1] == 72 and row[0] % 12 == 4]
    foreign = placements(PcSet((0, 4, 7)), 4, compass, top=74).tolist()
    assert {row[-1] for row in foreign} == {74}
    assert sorted(tuple(row[:-1]) for row in foreign) == rows_of(PcSet((0, 4, 7)), 3, compass)


def test_what_cannot_be_placed_is_refused() -> None:
    with pytest.raises(InputError, match="no room for voices"):
        Compass(60, 40)
    with pytest.raises(InputError, match="13 voices"):
        placements(PcSet((0,)), 13)
