"""Kinds of figures against building each chord."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import variety
from sonorarium.pcs.pcset import PcSet

MAJOR = PcSet((0, 2, 4, 5, 7, 9, 11))
SETS = st.integers(1, 4095).map(PcSet.of_mask)


@given(SETS, st.data())
def test_kinds_against_climbing_by_steps(notes: PcSet, data: st.DataObject) -> None:
    rest = data.draw(st.sets(st.integers(1, max(len(notes) - 1, 1)), max_size=3)) if len(notes) > 1 else set()
    figure = (0, *sorted(rest))
    found: Counter[tuple[int, ...]] = Counter()
    for i in range(len(notes)):
        turned = notes.steps[i:] + notes.steps[:i]
        found[tuple(sum(turned[:step]) for step in figure)] += 1
    assert variety.kinds(notes, figure) == found
    assert sum(variety.multiplicities(notes, figure)) == len(notes)


def test_multiplicities_follow_the_gaps_on_the_circle_of_fifths() -> None:
    """Structure implies multiplicity (Clough and Myerson 1985): place the figure's degrees on the circle of diatonic
    fifths; the gaps between them are the multiplicities."""
    for figure in ((0, 1), (0, 2), (0, 2, 4), (0, 1, 2), (0, 3, 6), (0, 2, 4, 6), (0, 1, 4), (0, 1, 2, 3, 4, 5, 6)):
        places = sorted(step * 2 % 7 for step in figure)  # a fifth is four steps, and 2 undoes 4 modulo 7
        gaps = [(b - a) % 7 or 7 for a, b in zip(places, places[1:] + places[:1], strict=True)]
        assert sorted(gaps) == list(variety.multiplicities(MAJOR, figure))


@pytest.mark.parametrize("figure", [(), (1, 2), (0, 2, 2), (0, 4, 2), (0, 7)])
def test_other_figures_are_refused(figure: tuple[int, ...]) -> None:
    with pytest.raises(InputError, match="is no figure of degrees of a scale of 7 notes"):
        variety.kinds(MAJOR, figure)


def test_a_single_note_has_no_variety() -> None:
    assert not variety.cardinality_equals_variety(PcSet((3,)))
