"""Abstract inclusion, K and Kh."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue
from sonorarium.pcs.complexes import (
    complex_relation,
    inclusion,
    k_complex,
    k_table,
    kh_complex,
    kh_table,
    tn_inclusion,
)
from sonorarium.pcs.setclass import SetClass


def test_inclusion_agrees_with_laying_every_form_over() -> None:
    rng = np.random.default_rng(3)
    labels = catalogue.tni_labels()
    for i, j in rng.integers(0, 224, (300, 2)).tolist():
        whole = SetClass(labels[j]).representative
        assert inclusion()[i, j] == sum(form <= whole for form in SetClass(labels[i]).forms)


def test_tn_inclusion_adds_up_to_the_other() -> None:
    at = catalogue.tni_index()[catalogue.tn_masks()]
    summed = np.zeros((224, 352), int)
    np.add.at(summed, at, tn_inclusion())
    assert np.array_equal(summed[:, np.searchsorted(at, np.arange(224))], inclusion())


def test_kh_of_the_whole_tone_hexachord() -> None:
    # 6-35 is its own complement, so Kh about it is its subsets of 3 to 5 notes and their complements; by hand.
    small = ["3-6", "3-8", "3-12", "4-21", "4-24", "4-25", "5-33"]
    large = ["7-33", "8-21", "8-24", "8-25", "9-6", "9-8", "9-12"]
    assert [str(c) for c in kh_complex(SetClass("6-35"))] == small + large
    assert kh_complex(SetClass("6-35")) == k_complex(SetClass("6-35"))


def test_kh_of_the_hexatonic_hexachord() -> None:
    # Its subsets: 0 1 4 5 8 9 without one, two or three notes; by hand.
    small = ["3-3", "3-4", "3-11", "3-12", "4-7", "4-17", "4-19", "4-20", "5-21"]
    assert [str(c) for c in kh_complex(SetClass("6-20"))][: len(small)] == small


def test_a_complex_is_asked_of_both_the_nexus_and_its_complement() -> None:
    for label in ("4-19", "5-22", "6-Z17", "3-5"):
        nexus = SetClass(label)
        assert k_complex(nexus) == k_complex(nexus.complement)
        assert kh_complex(nexus) == kh_complex(nexus.complement)
        assert set(kh_complex(nexus)) <= set(k_complex(nexus))
        assert {c.complement for c in k_complex(nexus)} == set(k_complex(nexus))


def test_both_relations_are_mutual_and_never_between_equal_sizes() -> None:
    for table in (k_table(), kh_table()):
        assert np.array_equal(table, table.T) and not np.diag(table).any()
    assert complex_relation(SetClass("4-19"), SetClass("4-20")) == ""
    assert complex_relation(SetClass("4-19"), SetClass("8-20")) == ""


def test_k_without_kh() -> None:
    # 4-19 lies in 7-22 but 7-22's complement 5-22 has to be compared too: 5-22 = 0 1 4 7 8 holds 0 1 4 8.
    assert complex_relation(SetClass("4-19"), SetClass("7-22")) == "Kh"
    # 5-35 lies in 7-35 and equals its complement's class: sizes 5 and 7 are complementary, so no relation is asked.
    assert complex_relation(SetClass("5-35"), SetClass("7-35")) == ""
    # 4-28 lies in 7-31, not in 5-35 nor in 7-35.
    assert complex_relation(SetClass("4-28"), SetClass("7-35")) == ""
    # 4-10 = 0 2 3 5 lies in the diatonic scale but not in the pentatonic, which has no semitone.
    assert complex_relation(SetClass("4-10"), SetClass("7-35")) == "K"


def test_a_nexus_has_three_to_nine_notes() -> None:
    with pytest.raises(InputError, match="2-3 has no set complex"):
        k_complex(SetClass("2-3"))
    with pytest.raises(InputError, match="10-1 has no set complex"):
        kh_complex(SetClass("10-1"))
