"""Measures of likeness, against worked examples, direct formulas and laws."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.similarity import (
    angle_degrees,
    asim,
    fourier_distance,
    icvsim,
    likeness,
    most_alike,
    sim,
)


def at(*pcs: int) -> int:
    return int(catalogue.tni_index()[PcSet(pcs).mask])


def test_morris_examples() -> None:
    # Robert Morris, A similarity index for pitch-class sets, Perspectives of New Music 18 (1979-80), pp. 445-460;
    # read in a transcription of his examples, and worked again by hand from the vectors.
    assert sim()[at(0, 1, 3, 6), at(0, 2, 4, 7)] == 6
    assert asim()[at(0, 1, 3, 6), at(0, 2, 4, 7)] == pytest.approx(6 / 12)
    assert asim()[at(0, 1, 2, 4, 5, 8), at(0, 1, 3, 7)] == pytest.approx(9 / 21)
    assert asim()[at(0, 1, 2, 3, 4), at(0, 1, 4, 5, 7)] == pytest.approx(2 / 5)
    assert asim()[at(0, 1, 2, 3, 4), at(0, 2, 4, 6, 8)] == pytest.approx(3 / 5)
    assert asim()[at(0, 1, 4, 5, 7), at(0, 2, 4, 6, 8)] == pytest.approx(3 / 5)


def test_icvsim_by_hand() -> None:
    # Isaacson 1990: standard deviation of the interval-difference vector. 4-1 [321000] and 4-21 [030201]:
    # differences 3, -1, 1, -2, 0, -1; mean 0; squares 9 + 1 + 1 + 4 + 0 + 1 = 16.
    assert icvsim()[at(0, 1, 2, 3), at(0, 2, 4, 6)] == pytest.approx(math.sqrt(16 / 6))


def test_angle_by_hand() -> None:
    # Scott and Isaacson 1998: 3-1 [210000] and 3-6 [020100]: product 2, lengths both the root of 5.
    assert angle_degrees()[at(0, 1, 2), at(0, 2, 4)] == pytest.approx(math.degrees(math.acos(2 / 5)))


def test_fourier_distance_by_hand() -> None:
    # One note: all magnitudes 1. A tritone: 0, 2, 0, 2, 0, 2.
    assert fourier_distance()[at(0), at(0, 6)] == pytest.approx(math.sqrt(6))


@pytest.mark.parametrize("measure", [icvsim, sim, asim, angle_degrees, fourier_distance])
def test_measures_are_symmetrical_and_nought_on_the_diagonal(measure: object) -> None:
    table = np.asarray(measure()) if callable(measure) else np.empty(0)
    assert table.shape == (224, 224)
    assert np.allclose(table, table.T) and np.allclose(np.diag(table), 0)
    assert table.min() >= 0


def test_partners_are_alike_to_all_that_see_intervals_only() -> None:
    pairs = [(i, j) for i, j in enumerate(catalogue.partner().tolist()) if j >= 0]
    assert len(pairs) == 46
    for i, j in pairs:
        assert icvsim()[i, j] == asim()[i, j] == angle_degrees()[i, j] == fourier_distance()[i, j] == 0


def test_fourier_holds_complements_alike() -> None:
    masks = catalogue.tni_masks()
    complements = catalogue.tni_index()[tables.FULL ^ masks]
    assert np.allclose(fourier_distance()[np.arange(224), complements], 0)


def test_ranking_is_complete_and_in_order() -> None:
    ranked = most_alike("7-22")
    assert len({found.set_class for found in ranked}) == len(ranked) == 222
    places = [found.place for found in ranked]
    assert places == sorted(places)
    assert [f.set_class for f in most_alike("7-22", sizes=[5], limit=3)] == [
        f.set_class for f in ranked if f.set_class.cardinality == 5
    ][:3]


def test_reasons_are_true() -> None:
    found = {str(f.set_class): f for f in most_alike("C E G")}
    assert "holds it 6 times" in found["7-35"].reasons
    assert "inside it once" in found["2-5"].reasons
    assert "its complement" in found["9-11"].reasons
    assert "1 semitone away" in found["3-12"].reasons
    assert "the same interval vector" in likeness(SetClass("4-Z15"), SetClass("4-Z29")).reasons
    assert "exchanges semitones and fourths (M5)" in likeness(SetClass("7-1"), SetClass("7-35")).reasons
    assert likeness(SetClass("3-11"), SetClass("3-11B")).reasons[0] == "the same class"


def test_nothing_is_like_the_empty_set() -> None:
    with pytest.raises(InputError, match="empty set is like nothing"):
        most_alike(PcSet())
    with pytest.raises(InputError, match="empty set is like nothing"):
        likeness(SetClass("0-1"), SetClass("3-1"))
