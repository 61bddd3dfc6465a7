"""The catalogue against a general-purpose library's, and against itself."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21.chord import Chord
from music21.chord import tables as reference

from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass

TNI = [SetClass(label) for label in catalogue.tni_labels()]
TN = [SetClass(label) for label in catalogue.tn_labels()]

TWO_PRIME_FORMS = ("5-20", "6-Z29", "6-31", "7-Z18", "7-20", "8-26")
"""Where Forte (1973) and Rahn (1980) differ; CAT-023 in ``tests/facts``."""


def bare(label: str) -> str:
    return label.replace("Z", "")


def listed() -> list[tuple[str, tuple[int, ...], tuple[int, ...], str]]:
    """Every entry of the reference: label without letter, prime form, vector, label of the Z partner."""
    out = []
    for size, entries in enumerate(reference.FORTE):
        for number, entry in enumerate(entries or ()):
            if entry is not None:
                partner = f"{size}-{entry[3]}" if entry[3] else ""
                out.append((f"{size}-{number}", entry[0], entry[1], partner))
    return out


def test_there_are_224_and_352_classes() -> None:
    assert len(TNI) == len(set(TNI)) == 224
    assert len(TN) == len(set(TN)) == 352


def test_labels_prime_forms_vectors_and_partners_agree_with_the_reference() -> None:
    theirs = {row[0]: row for row in listed()}
    ours = {bare(c.label): c for c in TNI if c.cardinality}
    assert ours.keys() == theirs.keys()  # the reference has no empty set
    for label, found in ours.items():
        _, prime, vector, partner = theirs[label]
        assert found.prime_form_forte == prime
        assert found.interval_vector == vector
        assert (bare(found.partner.label) if found.partner else "") == partner


def test_all_tn_classes_agree_with_the_reference() -> None:
    for found in TN[1:]:
        theirs = Chord(list(found.representative.pcs))
        assert theirs.forteClass == bare(found.label)
        assert theirs.forteClassTnI == bare(found.tni.label)
        assert tuple(theirs.intervalVector) == found.interval_vector
        assert tuple(theirs.primeForm) == found.prime_form_forte


def test_the_letters_do_not_depend_on_the_rule() -> None:
    """Both rules take the prime form of a class from the same half, though six times another form of it."""
    assert not any(PcSet(c.prime_form_forte).label.endswith("B") for c in TNI)


def test_the_six_classes_with_two_prime_forms() -> None:
    assert tuple(c.label for c in TNI if c.prime_form != c.prime_form_forte) == TWO_PRIME_FORMS


def test_there_are_23_pairs_with_one_vector() -> None:
    pairs = {frozenset((c.label, c.partner.label)) for c in TNI if c.partner}
    assert len(pairs) == 23
    assert Counter(int(min(pair)[0]) for pair in pairs) == {4: 1, 5: 3, 6: 15, 7: 3, 8: 1}
    for one, other in map(sorted, pairs):
        assert SetClass(one).interval_vector == SetClass(other).interval_vector
    by_vector = Counter(c.interval_vector for c in TNI if c.cardinality > 1)
    assert set(by_vector.values()) == {1, 2}
    assert all("Z" in c.label for c in TNI if c.cardinality > 1 and by_vector[c.interval_vector] == 2)


def test_partners_of_partners_are_the_class_itself() -> None:
    assert all(c.partner.partner == c for c in TNI if c.partner)


def test_complements_carry_the_same_ordinal_except_z_hexachords() -> None:
    assert catalogue.complement()[catalogue.complement()].tolist() == list(range(224))
    for found in TNI:
        other = found.complement
        same = other.label == f"{12 - found.cardinality}-{found.label.split('-')[1]}"
        assert same or (found.cardinality == 6 and other == found.partner)


def test_multiplication_agrees_with_arithmetic() -> None:
    for k in (1, 5, 7, 11):
        for at, found in enumerate(TNI):
            image = PcSet(k * pc % 12 for pc in found.prime_form)
            assert TNI[catalogue.multiplied()[k, at]] == image.set_class


def test_the_lists_run_by_size_then_ordinal_then_letter() -> None:
    def key(label: str) -> tuple[int, int, str]:
        size, rest = label.replace("Z", "").split("-")
        return int(size), int(rest.rstrip("AB")), rest[len(rest.rstrip("AB")) :]

    for labels in (catalogue.tni_labels(), catalogue.tn_labels()):
        assert list(labels) == sorted(labels, key=key)


@given(st.integers(0, tables.FULL))
def test_embedded_classes_against_listing_subsets(mask: int) -> None:
    pcs = PcSet.of_mask(mask).pcs
    for size in (2, 3, 5):
        found = Counter(PcSet(chosen).label for chosen in combinations(pcs, size))
        for at, label in enumerate(catalogue.tn_labels()):
            if label.startswith(f"{size}-"):
                assert catalogue.tn_counts()[mask, at] == found[label]
    assert catalogue.tni_counts()[mask].sum() == 2 ** len(pcs)


@pytest.mark.parametrize("label", ["0-1", "1-1", "2-6", "4-19", "4-19B", "12-1"])
def test_labels_find_their_class(label: str) -> None:
    mask, both = catalogue.mask_of_label()[label]
    assert both is not label.endswith("B")
    assert PcSet.of_mask(mask).label.startswith(label.rstrip("AB"))
