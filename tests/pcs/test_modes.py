"""Modes from bright to dark."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs.collection import collection
from sonorarium.pcs.modes import crossed, ranked_modes, shades
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass

SETS = st.integers(1, 4095).map(PcSet.of_mask)


@given(SETS)
def test_modes_are_the_rotations_of_the_steps(notes: PcSet) -> None:
    rotations = {notes.steps[i:] + notes.steps[:i] for i in range(len(notes))}
    found = ranked_modes(notes)
    assert {mode.steps for mode in found} == rotations
    assert len(found) == len(rotations)
    assert sorted(tonic for mode in found for tonic in mode.tonics) == list(notes.pcs)
    for mode in found:
        for tonic in mode.tonics:
            assert PcSet((tonic + height) % 12 for height in mode.heights) == notes


@given(SETS)
def test_shades_darken_strictly_and_hold_every_mode_once(notes: PcSet) -> None:
    found = shades(notes)
    levels = [shade.brightness for shade in found]
    assert levels == sorted(set(levels), reverse=True)
    assert tuple(mode for shade in found for mode in shade.modes) == ranked_modes(notes)
    for shade in found:
        assert {sum(mode.heights) for mode in shade.modes} == {shade.brightness}
        assert shade.is_tied == (len(shade.modes) > 1)


@given(SETS)
def test_inversion_turns_the_order_round(notes: PcSet) -> None:
    """The mirror of a mode has the heights 12 - h: what was high is low."""
    n = len(notes)
    mirrored = sorted(12 * (n - 1) - shade.brightness for shade in shades(notes.inverted(0)))
    assert mirrored == sorted(shade.brightness for shade in shades(notes))


def test_the_church_modes_from_bright_to_dark() -> None:
    """The order by fifths (common practice): each mode differs from the next by one lowered note."""
    found = ranked_modes(collection("C major"))
    assert [mode.tonics for mode in found] == [(5,), (0,), (7,), (2,), (9,), (4,), (11,)]
    assert [mode.brightness for mode in found] == [39, 38, 37, 36, 35, 34, 33]
    assert not any(crossed(one, other) for one in found for other in found)


def test_modes_of_limited_transpositions_are_listed_once() -> None:
    found = ranked_modes(PcSet((0, 1, 3, 4, 6, 7, 9, 10)))
    assert [mode.tonics for mode in found] == [(1, 4, 7, 10), (0, 3, 6, 9)]
    assert len(ranked_modes(PcSet((0, 2, 4, 6, 8, 10)))) == 1


@pytest.mark.parametrize(("label", "tied"), [("6-9", [(3,), (5,), (7,)]), ("6-14", [(4,), (8,)])])
def test_ties_are_said(label: str, tied: list[tuple[int, ...]]) -> None:
    found = [shade for shade in shades(SetClass(label).representative) if shade.is_tied]
    assert [mode.tonics for mode in found[0].modes] == tied


@given(SETS)
def test_scales_of_five_seven_and_eleven_notes_have_no_ties(notes: PcSet) -> None:
    """From tonic x to tonic y brightness changes by 12 times the notes passed less n(y - x): only a common divisor of
    n and 12 lets that be nothing."""
    if len(notes) in (5, 7, 11):
        assert not any(shade.is_tied for shade in shades(notes))


def test_modes_that_the_sum_has_to_weigh() -> None:
    """Of the modes of the harmonic minor the first has the lower third, the fifth the lower second."""
    by_tonic = {mode.tonics[0]: mode for mode in ranked_modes(collection("C harmonic minor"))}
    assert crossed(by_tonic[0], by_tonic[7])


def test_names() -> None:
    found = ranked_modes(collection("C double harmonic"))
    assert [mode.name for mode in found if mode.tonics == (0,)] == ["double harmonic"]
    assert ranked_modes(PcSet((0, 1, 2, 3)))[0].name == "9-1-1-1"
