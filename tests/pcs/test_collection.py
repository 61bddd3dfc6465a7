"""Collections, their modes and degrees, and which of them hold a set."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.collection import (
    Collection,
    Degrees,
    collection,
    degrees,
    degrees_in,
    distinct_transpositions,
    interval_degree,
    limited_transposition,
    scales_containing,
    simplest_tonic,
    transposition_number,
)
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.scales import scale_kinds
from sonorarium.pcs.spelling import read_note
from tests.pcs.test_spelling import ROOTS

SCALES = st.builds(Collection, st.sampled_from(ROOTS), st.sampled_from(scale_kinds()))
CHORDS = st.integers(1, 4095).map(PcSet.of_mask)


@given(SCALES)
def test_a_collection_reads_back(scale: Collection) -> None:
    assert read_set(scale.name) == scale
    assert eval(repr(scale), {"collection": collection}) == scale


@given(SCALES)
def test_every_mode_has_the_same_notes_and_reads_back(scale: Collection) -> None:
    for mode in scale.modes:
        assert PcSet(mode.rising) == scale.pcset
        assert mode.root in scale.spelling
        meant = read_set(mode.name)
        assert meant.mask == scale.mask
        if mode.collection:
            assert mode.collection.rising == mode.rising
            assert mode.collection == meant


@given(SCALES)
def test_modes_turn_the_steps(scale: Collection) -> None:
    for mode in scale.modes:
        assert sorted(mode.steps) == sorted(scale.steps)
        assert sum(mode.steps) == 12
        assert mode.brightness == sum(mode.heights)


def test_diatonic_modes_from_brightest_to_darkest() -> None:
    """Common practice: Lydian, Ionian, Mixolydian, Dorian, Aeolian, Phrygian, Locrian."""
    modes = sorted(collection("C major").modes, key=lambda m: -m.brightness)
    assert [str(m.collection) for m in modes] == [
        *("F lydian", "C major", "G mixolydian", "D dorian", "A minor", "E phrygian", "B locrian")
    ]


@given(SCALES, CHORDS)
def test_degrees_say_exactly_the_notes(scale: Collection, chord: PcSet) -> None:
    inside = chord & scale
    found = degrees_in(scale, inside)
    assert found is not None
    assert found.pcset == inside
    assert {n.pc for n in found.spelling} == set(inside.pcs)
    if inside:
        assert read_set(found.name) == found
        assert eval(repr(found), {"degrees": degrees}) == found
    assert (degrees_in(scale, chord) is None) == (not chord <= scale.pcset)


def test_what_are_no_degrees() -> None:
    with pytest.raises(InputError, match="C major has no degree 9"):
        Degrees(collection("C major"), (1, 9))
    with pytest.raises(InputError, match="are no degrees of a scale"):
        degrees("one of C major")


def test_degree_of_a_note() -> None:
    scale = collection("Eb lydian")
    assert [scale.degree_of(pc) for pc in (3, 9, 8)] == [1, 4, None]
    assert [n.text for n in scale.spell((9, 8))] == ["A", "Ab"]


@pytest.mark.parametrize(
    ("root", "note", "degree"),
    [
        ("C", "E", "3"),
        ("C", "Eb", "b3"),
        ("C", "Bbb", "bb7"),
        ("D", "G#", "#4"),
        ("Ab", "Fb", "b6"),
        ("C", "Cb", "b1"),
    ],
)
def test_degrees_against_the_major_scale(root: str, note: str, degree: str) -> None:
    assert interval_degree(read_note(root), read_note(note)) == degree


def test_messiaen_transpositions() -> None:
    """Messiaen (1944), ch. XVI: 2, 3, 4, 6, 6, 6 and 6 transpositions, the first of each on C (from memory)."""
    for mode, count in enumerate((2, 3, 4, 6, 6, 6, 6), 1):
        kind = limited_transposition(mode).kind
        assert distinct_transpositions(kind.pcset) == count
        for number in range(1, count + 1):
            scale = limited_transposition(mode, number)
            assert scale.root.pc == number - 1
            assert transposition_number(scale) == (mode, number)
            assert read_set(f"Messiaen mode {mode}, transposition {number}") == scale
        with pytest.raises(InputError, match=f"Mode {mode} has no transposition {count + 1}"):
            limited_transposition(mode, count + 1)
    with pytest.raises(InputError, match="There is no mode of limited transposition 8"):
        limited_transposition(8)
    assert transposition_number(collection("C dorian")) is None


@settings(max_examples=60)
@given(CHORDS)
def test_scales_that_hold_a_set_by_brute_force(chord: PcSet) -> None:
    found = scales_containing(chord, limit=10_000)
    assert all(d.pcset == chord for d in found)
    masks = {d.collection.mask for d in found}
    assert len(masks) == len(found)
    every = {
        k.pcset.transposed(n).mask
        for k in scale_kinds()
        if k == next(first for first in scale_kinds() if first.parent == k.parent)
        for n in range(12)
        if chord <= k.pcset.transposed(n)
    }
    assert masks == every
    sizes = [d.collection.cardinality for d in found]
    assert sizes == sorted(sizes)


def test_scales_on_a_root() -> None:
    """Modes count one by one where a root is given."""
    found = scales_containing(PcSet((0, 4, 7, 10)), root=0, limit=1000)
    assert {d.collection.root.pc for d in found} == {0}
    names = {d.collection.kind.name for d in found}
    assert {"mixolydian", "acoustic", "mixolydian b6", "phrygian dominant", "octatonic semitone-tone"} <= names
    only = scales_containing(PcSet((0, 4, 7)), kinds=scale_kinds()[:1], limit=99)
    assert {d.collection.name for d in only} == {"C major", "F major", "G major"}


def test_a_tonic_with_few_accidentals() -> None:
    for kind in scale_kinds():
        for pc in range(12):
            tonic = simplest_tonic(kind, pc)
            assert tonic.pc == pc
            assert abs(tonic.alter) < 2
