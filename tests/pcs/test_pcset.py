"""The set type: its algebra, its immutability, and what it says of itself."""

from __future__ import annotations

import copy
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21.chord import Chord

from sonorarium.errors import InputError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.pcset import PcSet, step_pattern
from sonorarium.pcs.setclass import SetClass

SETS = st.integers(0, 4095).map(PcSet.of_mask)
FILLED = st.integers(1, 4095).map(PcSet.of_mask)
MAJOR = PcSet((0, 2, 4, 5, 7, 9, 11))


@given(SETS)
def test_repr_evaluates_back(notes: PcSet) -> None:
    assert eval(repr(notes)) == notes


@given(SETS)
def test_copies_are_equal(notes: PcSet) -> None:
    assert pickle.loads(pickle.dumps(notes)) == copy.deepcopy(notes) == notes
    assert hash(copy.copy(notes)) == hash(notes)


@given(SETS, SETS)
def test_algebra_agrees_with_the_language_s_own_sets(a: PcSet, b: PcSet) -> None:
    x, y = set(a), set(b)
    assert set(a | b) == x | y
    assert set(a & b) == x & y
    assert set(a ^ b) == x ^ y
    assert set(a - b) == x - y
    assert set(~a) == set(range(12)) - x
    assert (a <= b, a < b, a >= b, a > b) == (x <= y, x < y, x >= y, x > y)
    assert (len(a), bool(a)) == (len(x), bool(x))
    assert all((pc in a) == (pc in x) for pc in range(-2, 14))


def test_algebra_takes_collections_on_either_side() -> None:
    scale = collection("D dorian")
    assert scale & PcSet((0, 1, 2)) == PcSet((0, 2)) == PcSet((0, 1, 2)) & scale
    assert PcSet((0, 4, 7)) <= scale
    assert scale > PcSet((0, 4, 7))
    assert ~scale == PcSet((1, 3, 6, 8, 10))


@given(SETS, st.integers(-30, 30))
def test_facts_of_the_class_are_the_same_for_all_forms(notes: PcSet, n: int) -> None:
    for image in (notes.transposed(n), notes.inverted(n)):
        assert image.set_class == notes.set_class
        assert image.interval_vector == notes.interval_vector
        assert image.chromatic_trichords == notes.chromatic_trichords
        assert image.distinct_forms == notes.distinct_forms
        assert image.partner == notes.partner
    assert notes.transposed(n).label == notes.label
    assert notes.inverted(n).tn_class == notes.tn_class.inversion


@given(SETS)
def test_multiplications_undo_themselves(notes: PcSet) -> None:
    for k in (1, 5, 7, 11):
        assert notes.multiplied(k).multiplied(k) == notes
    assert notes.multiplied(5).interval_vector[0] == notes.interval_vector[4]
    assert notes.multiplied(11) == notes.inverted(0)


@given(FILLED)
def test_normal_order_agrees_with_the_reference(notes: PcSet) -> None:
    """The reference packs by Forte's rule; of a symmetrical set it may start on another note."""
    theirs = Chord(list(notes.pcs)).normalOrder
    ours = notes.normal_order_forte
    assert set(theirs) == set(ours)
    assert step_pattern(tuple(theirs)) == step_pattern(ours)
    if notes.distinct_transpositions == 12:
        assert tuple(theirs) == ours


@given(FILLED)
def test_steps_go_round_the_octave(notes: PcSet) -> None:
    assert sum(notes.steps) == 12
    assert len(notes.steps) == notes.cardinality


@given(SETS)
def test_forms_against_listing_them(notes: PcSet) -> None:
    transpositions = {notes.transposed(n) for n in range(12)}
    assert notes.distinct_transpositions == len(transpositions)
    assert notes.distinct_forms == len(transpositions | {notes.inverted(n) for n in range(12)})


@given(SETS)
def test_content_counts_common_tones(notes: PcSet) -> None:
    assert list(notes.interval_content) == [len(notes & notes.transposed(k)) for k in range(12)]


def test_the_diatonic_set() -> None:
    assert MAJOR.label == "7-35"
    assert MAJOR.normal_order == (11, 0, 2, 4, 5, 7, 9)
    assert MAJOR.prime_form == (0, 1, 3, 5, 6, 8, 10)
    assert MAJOR.interval_vector == (2, 5, 4, 3, 6, 1)
    assert MAJOR.inversional_symmetry == (4,)
    assert MAJOR.transpositional_symmetry == (0,)
    assert MAJOR.abstract_complement == SetClass("5-35")
    assert MAJOR.complement == PcSet((1, 3, 6, 8, 10))
    assert (MAJOR.distinct_transpositions, MAJOR.distinct_forms, MAJOR.chromatic_trichords) == (12, 12, 0)


def test_chromatic_trichords() -> None:
    assert PcSet((11, 0, 1, 2)).chromatic_trichords == 2
    assert collection("C double harmonic").chromatic_trichords == 1
    assert PcSet(range(12)).chromatic_trichords == 12


def test_a_set_does_not_change() -> None:
    with pytest.raises(AttributeError, match="does not change"):
        MAJOR._mask = 1


@pytest.mark.parametrize("wrong", [12, -1, 4.0, "4"])
def test_what_is_no_pitch_class_is_refused(wrong: object) -> None:
    with pytest.raises(InputError, match="is not a pitch class"):
        PcSet([wrong])  # type: ignore[list-item]


def test_numpy_integers_are_pitch_classes() -> None:
    assert PcSet(np.array([0, 4, 7])) == PcSet((0, 4, 7))


@pytest.mark.parametrize("wrong", [-1, 4096])
def test_what_is_no_mask_is_refused(wrong: int) -> None:
    with pytest.raises(InputError, match=f"{wrong} is not the number of a set"):
        PcSet.of_mask(wrong)


def test_the_empty_set() -> None:
    empty = PcSet()
    assert (empty.label, empty.normal_order, empty.prime_form, empty.steps) == ("0-1", (), (), ())
    assert empty.interval_vector == (0, 0, 0, 0, 0, 0)
    assert (empty.distinct_transpositions, empty.distinct_forms) == (1, 1)
