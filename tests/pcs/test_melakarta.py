"""The melakarta: the scheme by its rule, and the names by the tradition's own check."""

from __future__ import annotations

import re

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.melakarta import CAUTION, Melakarta, melakarta_pcs, melakartas
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import find_kind

# Katapayadi: each consonant stands for a digit (as given by J. K. Mohana Rao, 1996, and in every textbook). The Latin
# spelling of the names does not tell t from ṭ, d from ḍ, n from ṇ, nor the three s, and often drops the h of ṭh
# (Natabhairavi), so that some letters have several digits.
DIGITS = {
    **{
        "kh": "2",
        "gh": "4",
        "ch": "6",
        "jh": "9",
        "th": "27",
        "dh": "49",
        "ph": "2",
        "bh": "4",
        "sh": "56",
        "sw": "745",
    },
    **{"k": "1", "g": "3", "j": "8", "t": "126", "d": "38", "n": "05", "p": "1", "b": "3", "m": "5", "y": "1"},
    **{"r": "2", "l": "3", "v": "4", "w": "4", "s": "7", "h": "8"},
}
CONSONANT = "|".join(sorted(DIGITS, key=len, reverse=True))


@pytest.mark.parametrize("mela", melakartas(), ids=lambda m: m.name)
def test_the_name_spells_the_number(mela: Melakarta) -> None:
    """The first two syllables give the units and the tens; of a cluster either consonant may count."""
    clusters = re.findall(rf"(?:{CONSONANT})+", mela.name.lower())[:2]
    units, tens = ("".join(DIGITS[c] for c in re.findall(CONSONANT, cluster)) for cluster in clusters)
    number = f"{mela.number:02d}"
    assert number[1] in units, mela.name
    assert number[0] in tens, mela.name


def test_the_scheme_by_counting() -> None:
    """Second method: enumerate in the order of the scheme, fourth, then lower pair, then upper pair."""
    pairs = [(a, b) for a in (1, 2, 3) for b in (2, 3, 4) if a < b]
    assert pairs == [(1, 2), (1, 3), (1, 4), (2, 3), (2, 4), (3, 4)]
    every = [(0, *low, fourth, 7, high[0] + 7, high[1] + 7) for fourth in (5, 6) for low in pairs for high in pairs]
    assert [m.pcs for m in melakartas()] == every
    assert len(set(every)) == 72


def test_there_are_72_names_and_all_are_read() -> None:
    assert [m.number for m in melakartas()] == list(range(1, 73))
    for mela in melakartas():
        for name in (mela.name, *mela.aliases, f"melakarta {mela.number}"):
            assert find_kind(name).pcs == mela.pcs
        assert find_kind(mela.name).caution == CAUTION


def test_neutral_names_go_first() -> None:
    assert find_kind("Mayamalavagowla").name == "double harmonic"
    assert find_kind("Kanakangi").name == "melakarta 1"


def test_degrees_in_the_tradition() -> None:
    assert melakartas()[14].degrees == "S R1 G3 M1 P D1 N3"
    assert melakartas()[0].degrees == "S R1 G1 M1 P D1 N1"
    assert melakartas()[71].degrees == "S R3 G3 M2 P D3 N3"


def test_mechakalyani_is_lydian() -> None:
    assert PcSet(melakarta_pcs(65)) == find_kind("lydian").pcset


@pytest.mark.parametrize("number", [0, 73, -1])
def test_numbers_out_of_range(number: int) -> None:
    with pytest.raises(InputError, match=f"There is no melakarta {number}"):
        melakarta_pcs(number)
