"""Families, their members, and which members hold a set."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family, families
from sonorarium.pcs.family import FamilyKind, Member
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import read_note


def test_default_family_has_seven_kinds_and_57_members() -> None:
    # Tymoczko 2004, example 9: two whole-tone, three octatonic, four hexatonic, twelve of each of the others.
    counts = {kind.name: kind.transpositions for kind in default_family().kinds}
    assert counts == {
        "diatonic": 12,
        "acoustic": 12,
        "harmonic minor": 12,
        "harmonic major": 12,
        "octatonic": 3,
        "hexatonic": 4,
        "whole tone": 2,
    }
    assert len(default_family()) == len(set(default_family().masks.tolist())) == 57


@pytest.mark.parametrize("key", list(families()))
def test_every_name_of_a_member_can_be_typed_back(key: str) -> None:
    for member in families()[key]:
        found = read_set(member.name)
        assert not isinstance(found, SetClass)
        assert found.mask == member.mask
        assert member.spelling[0] == member.root
        assert PcSet(note.pc for note in member.spelling) == member.pcset


@given(st.integers(1, 4095))
def test_holdings_agree_with_set_inclusion(mask: int) -> None:
    notes, family = PcSet.of_mask(mask), default_family()
    holdings = family.holdings(notes)
    assert [h.kind for h in holdings] == list(family.kinds)
    assert [m for h in holdings for m in h.members] == [m for m in family if notes <= m]
    for holding in holdings:
        # Each member holds the class as often as there are ways to lay it in: members times embeddings agree.
        forms = len(notes.tn_class.forms)
        assert holding.times * forms == holding.embedded * holding.kind.transpositions
        assert holding.roots == tuple(m.root for m in holding.members)


def test_members_are_found_by_name_and_by_notes() -> None:
    family = default_family()
    member = family.member("Eb acoustic")
    assert member == Member(family.kind("acoustic"), read_note("Eb"))
    assert family.member_of(member.pcset) == member and member.pcset in family
    assert family.kind_of(PcSet((0, 2, 4, 6, 8, 10))) == family.kind("6-35")
    assert family.member_of(PcSet((0, 4, 7))) is None and family.kind_of(PcSet((0, 4, 7))) is None
    assert PcSet((0, 4, 7)) not in family


def test_a_member_is_a_collection_and_a_subject() -> None:
    member = default_family().member("C octatonic")
    assert member.collection is not None and member.collection.name == "C octatonic semitone-tone"
    assert member.subject.rising == member.rising == (0, 1, 3, 4, 6, 7, 9, 10)
    assert member.subject.title == str(member) == "C octatonic"
    augmented = families()["symmetrical"].kind("3-12").on(0)
    assert augmented.collection is None and augmented.name == "3-12 on C"


def test_kinds_without_a_name_go_by_their_label() -> None:
    kind = FamilyKind("5-33", (0, 2, 4, 6, 8))
    assert kind.on(1).name == "5-33 on Db" or kind.on(1).name == "5-33 on C#"
    assert kind.scale_kind.pcs == kind.pcs


def test_what_is_not_in_the_family_is_said() -> None:
    with pytest.raises(InputError, match="no kind 'dorian'"):
        default_family().kind("dorian")
    with pytest.raises(InputError, match="no member 'C dorian'"):
        default_family().member("C dorian")
