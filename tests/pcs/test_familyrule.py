"""Rules of families, against listing every set."""

from __future__ import annotations

from itertools import combinations

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.familyrule import FamilyRule, is_limited, moved_masks, shapes, times_held
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass


def labels(rule: FamilyRule) -> list[str]:
    return [PcSet.of_mask(mask).label for mask in rule.masks()]


def spaced(pcs: set[int]) -> bool:
    return not any({n, (n + 1) % 12, (n + 2) % 12} <= pcs for n in range(12))


def test_maximal_sets_agree_with_listing_pitch_lists() -> None:
    every = [set(c) for size in range(13) for c in combinations(range(12), size)]
    fit = [pcs for pcs in every if spaced(pcs)]
    maximal = [pcs for pcs in fit if not any(pcs < other for other in fit)]
    assert len(maximal) == 57
    assert {PcSet(pcs).label for pcs in maximal} == set(labels(FamilyRule(without=("3-1",), maximal=True)))


def test_conditions_hold_at_once() -> None:
    assert labels(FamilyRule(notes=(7,), without=("3-1",), holding=("3-12",))) == ["7-32A", "7-32B", "7-34"]
    assert labels(FamilyRule(notes=(5,), without=("2-1",))) == ["5-33", "5-34", "5-35"]
    assert labels(FamilyRule(holding=("4-27B",), notes=(5,), without=("3-1", "2-1"))) == ["5-34"]


def test_symmetrical_sets_by_counting_necklaces() -> None:
    # Of the 352 necklaces of twelve beads in two colours (4096 - 64 - 16 + 4) / 12 = 335 have no period; 17 have,
    # and two of these are the empty set and the aggregate.
    assert len(labels(FamilyRule(limited=True))) == 15
    assert int(is_limited().sum()) == 4096 - 335 * 12 - 2


def test_kin_one_semitone_away() -> None:
    assert labels(FamilyRule(near="double harmonic")) == [
        "7-20A",
        "7-20B",
        "7-22",
        "7-30A",
        "7-30B",
        "7-32A",
        "7-32B",
    ]
    assert {PcSet.of_mask(m) for m in moved_masks(PcSet((0, 4, 7)).mask)} == {
        PcSet(pcs) for pcs in ((1, 4, 7), (4, 7, 11), (0, 3, 7), (0, 5, 7), (0, 4, 6), (0, 4, 8))
    }


def test_shapes_are_read_in_every_form() -> None:
    scale = PcSet((0, 1, 4, 5, 7, 8, 11))
    for text in ("double harmonic", "1-3-1-2-1-3-1", "0 1 4 5 7 8 11", "0,1,4,5,7,8,11"):
        assert shapes(text) == (scale,)
    assert [s.label for s in shapes("7-32")] == ["7-32A", "7-32B"]
    assert [s.label for s in shapes("7-32b")] == ["7-32B"]


def test_counts_of_a_half_class() -> None:
    diatonic = PcSet((0, 2, 4, 5, 7, 9, 11))
    held = [int(times_held(SetClass(label))[diatonic.mask]) for label in ("4-27", "4-27A", "4-27B")]
    assert held == [2, 1, 1]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1-3-1", "do not make an octave"),
        ("dorain", "no scale called"),
        ("7-99", "no set class"),
        ("0 12", "12 is not"),
    ],
)
def test_shapes_that_are_none(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        shapes(text)


def test_a_rule_says_something() -> None:
    with pytest.raises(InputError, match="needs a rule"):
        FamilyRule()
