"""Operations as a group, and symmetry against trying everything."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, symmetry
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.symmetry import Operation, operation

SETS = st.integers(0, 4095).map(PcSet.of_mask)
OPERATIONS = st.builds(Operation, st.integers(0, 11), st.sampled_from((1, 5, 7, 11)))
CANONICAL = [Operation(n, factor) for factor in (1, 11) for n in range(12)]
HEXACHORDS = [c for c in map(SetClass, catalogue.tni_labels()) if c.cardinality == 6]


@given(OPERATIONS, OPERATIONS, SETS)
def test_operations_compose(second: Operation, first: Operation, notes: PcSet) -> None:
    assert second.after(first)(notes) == second(first(notes))


@given(OPERATIONS, SETS)
def test_operations_are_undone(one: Operation, notes: PcSet) -> None:
    assert one.inverse(one(notes)) == notes
    assert one.inverse.after(one) == Operation(0)
    assert one(notes) == PcSet(one.of(pc) for pc in notes)


@given(OPERATIONS)
def test_names_are_read_back(one: Operation) -> None:
    assert operation(str(one)) == one
    assert eval(repr(one)) == one


@pytest.mark.parametrize("text", ["", "T12", "T", "T3M3", "R5", "T-1"])
def test_other_names_are_refused(text: str) -> None:
    with pytest.raises(InputError, match="is no operation"):
        operation(text)


@pytest.mark.parametrize(("n", "factor"), [(12, 1), (-1, 1), (0, 3)])
def test_there_are_no_other_operations(n: int, factor: int) -> None:
    with pytest.raises(InputError, match="There is no operation"):
        Operation(n, factor)


@given(SETS)
def test_symmetries_against_trying_all(notes: PcSet) -> None:
    found = symmetry.symmetries(notes)
    assert list(found) == [one for one in CANONICAL if one(notes) == notes]
    assert len(found) == symmetry.degree_of_symmetry()[notes.mask]
    assert len(found) * notes.distinct_forms == 24


@given(SETS, SETS)
def test_operations_between_against_trying_all(a: PcSet, b: PcSet) -> None:
    assert list(symmetry.operations_between(a, b)) == [one for one in CANONICAL if one(a) == b]


@given(SETS, st.sampled_from(CANONICAL))
def test_forms_of_a_class_are_reached(notes: PcSet, one: Operation) -> None:
    assert one in symmetry.operations_between(notes, one(notes))


@given(SETS)
def test_axes_are_mirrors(notes: PcSet) -> None:
    for low, high in symmetry.axes(notes):
        assert high - low == 6
        assert {(2 * low - pc) % 12 for pc in notes} == set(notes)
    assert bool(symmetry.axes(notes)) == notes.is_symmetrical


def test_the_axis_of_the_major_scale_passes_through_d() -> None:
    assert symmetry.axes(PcSet((0, 2, 4, 5, 7, 9, 11))) == ((Fraction(2), Fraction(8)),)
    assert operation("T3").axis is None


def test_modes_of_limited_transposition() -> None:
    """Messiaen, Technique de mon langage musical (1944), ch. XVI: number of transpositions of his seven modes."""
    modes = ["6-35", "8-28", "9-12", "8-9", "6-7", "8-25", "10-6"]
    counts = [SetClass(label).representative.distinct_transpositions for label in modes]
    assert counts == [2, 3, 4, 6, 6, 6, 6]
    assert {SetClass(label) for label in modes} < set(symmetry.limited_classes())


@given(SETS)
def test_combinatoriality_against_trying_all(notes: PcSet) -> None:
    found = symmetry.combinatoriality(notes)
    if notes.cardinality != 6:
        assert found is None
        return
    assert found is not None
    onto = [one for one in CANONICAL if one(notes) == ~notes]
    into = [one for one in CANONICAL if one(notes) == notes]
    assert list(found.prime + found.inversion) == onto
    assert list(found.retrograde + found.retrograde_inversion) == into


def test_combinatorial_hexachords_by_kind() -> None:
    """6-14 alone has P and nothing else (Straus, Introduction to Post-Tonal Theory, from memory). Nineteen classes
    have I and twenty have RI, as the published counts SYM-011 and CAT-016 say; the six with both have P too."""
    kinds: dict[tuple[str, ...], list[str]] = {}
    for found in HEXACHORDS:
        got = symmetry.combinatoriality(found.representative)
        assert got is not None
        kinds.setdefault(got.kinds, []).append(found.label)
    assert kinds[("P",)] == ["6-14"]
    assert {kind: len(labels) for kind, labels in kinds.items()} == {
        ("P", "I", "RI"): 6,
        ("P",): 1,
        ("I",): 13,
        ("RI",): 14,
        (): 16,
    }
