"""The class type: labels set right, halves, forms, kin."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass, canonical_label, form_masks

ALL = tuple(dict.fromkeys(catalogue.tni_labels() + catalogue.tn_labels()))
CLASSES = st.sampled_from(ALL).map(SetClass)
SETS = st.integers(0, 4095).map(PcSet.of_mask)


@given(CLASSES)
def test_repr_evaluates_back(found: SetClass) -> None:
    assert eval(repr(found)) == found


@given(CLASSES)
def test_labels_are_read_without_z_and_in_lower_case(found: SetClass) -> None:
    assert SetClass(f" {found.label.replace('Z', '').lower()} ") == found


@given(CLASSES)
def test_forms_are_the_sets_of_the_class(found: SetClass) -> None:
    forms = found.forms
    assert len(set(forms)) == len(forms) == found.distinct_forms
    assert all(form in found for form in forms)
    assert all((notes in found) == (notes in forms) for notes in map(PcSet.of_mask, range(0, 4096, 37)))


@given(SETS)
def test_each_set_belongs_to_its_classes(notes: PcSet) -> None:
    assert notes in notes.set_class
    assert notes in notes.tn_class
    assert notes.tn_class.tni == notes.set_class
    assert notes.tn_class in notes.set_class.tn_classes


@given(CLASSES)
def test_halves_make_up_the_whole(found: SetClass) -> None:
    parts = {form for half in found.tn_classes for form in half.forms}
    assert parts == set(found.forms)
    assert found.inversion.inversion == found
    assert found.complement.complement == found


@given(CLASSES, SETS)
def test_counts_against_trying_all_forms(found: SetClass, notes: PcSet) -> None:
    assert found.count_in(notes) == sum(form <= notes for form in found.forms)


def test_sorting_is_the_order_of_the_catalogue() -> None:
    shuffled = [SetClass(label) for label in catalogue.tn_labels()]
    random.Random(1).shuffle(shuffled)
    assert tuple(map(str, sorted(shuffled))) == catalogue.tn_labels()
    assert SetClass("4-19") <= SetClass("4-19A") < SetClass("4-19B") < SetClass("4-20") > SetClass("3-12")


def test_halves_and_kin() -> None:
    assert SetClass("4-19").tn_classes == (SetClass("4-19A"), SetClass("4-19B"))
    assert SetClass("5-22").tn_classes == (SetClass("5-22"),)
    assert SetClass("4-19B").inversion == SetClass("4-19A")
    assert SetClass("6-Z10").complement == SetClass("6-Z10").partner == SetClass("6-Z39")
    assert SetClass("3-11A").complement == SetClass("9-11B")
    assert SetClass("6-1").multiplied(7) == SetClass("6-32")


def test_a_class_is_not_multiplied_by_what_joins_notes() -> None:
    with pytest.raises(InputError, match="M3 does not keep pitch classes apart"):
        SetClass("3-11").multiplied(3)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("4-30", "There is no set class 4-30. Classes of 4 notes are numbered 1 to 29."),
        ("5-22A", "There is no class 5-22A: 5-22 is its own mirror and has no A and B. Write 5-22."),
        ("13-1", "There is no set class 13-1."),
        ("nonsense", "There is no set class nonsense. Labels look like 4-19 or 6-Z10B."),
    ],
)
def test_what_is_no_label_is_refused(text: str, sentence: str) -> None:
    with pytest.raises(InputError) as refused:
        canonical_label(text)
    assert str(refused.value).startswith(sentence)


def test_form_masks_ascend() -> None:
    masks = form_masks(SetClass("6-20")).tolist()
    assert masks == sorted(masks)
    assert len(masks) == 4
