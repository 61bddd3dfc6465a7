"""Palettes hold just the chords that were named and that stand in a home."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pitch.palette import palette

SCALE = collection("D double harmonic")


def test_classes_stand_for_their_forms_and_sets_for_themselves() -> None:
    assert set(palette("3-11").chords) == set(SetClass("3-11").forms)
    assert set(palette("3-11A", "C7").chords) == {*SetClass("3-11A").forms, PcSet((0, 4, 7, 10))}
    assert palette(PcSet((0, 1))).chords == (PcSet((0, 1)),)


def test_inside_a_collection_there_are_only_its_subsets() -> None:
    found = palette(inside=SCALE, sizes=(3, 4))
    assert len(found) == 35 + 35
    assert all(chord <= SCALE for chord in found.chords)
    assert palette("3-11", inside="D double harmonic") == palette("3-11", inside=SCALE)


def test_inside_a_family_each_chord_has_a_member() -> None:
    family = default_family()
    found = palette(inside=family, sizes=(4,))
    assert [bool(family.members_holding(chord)) for chord in found.chords] == [True] * len(found)
    for i in range(0, len(found), 40):
        held = {home.mask for home, holds in zip(found.homes, found.stands_in[i], strict=True) if holds}
        assert held == {member.mask for member in family.members_holding(found.chords[i])}


def test_chords_share_a_home_where_one_holds_both() -> None:
    found = palette("3-11", inside=("C major", "Db major"))
    for i, one in enumerate(found.chords):
        for j, other in enumerate(found.chords):
            assert found.share_a_home[i, j] == any(one | other <= home for home in found.homes)


def test_without_homes_all_chords_go_together() -> None:
    assert palette("3-12").share_a_home.all()


def test_what_cannot_be_chosen_is_refused() -> None:
    with pytest.raises(InputError, match="No chords were named"):
        palette(inside=SCALE)
    with pytest.raises(NothingFoundError, match="No such chord stands"):
        palette("3-1", inside="C major")
