"""The kin of a set: every small move, its notes by name, its distance."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.distance import distance
from sonorarium.pcs.kin import kin, neighbours
from sonorarium.pcs.network import network
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.scales import scale_kinds
from sonorarium.pcs.setclass import SetClass

masks = st.integers(1, 4095)


@given(masks)
def test_every_neighbour_is_as_far_as_it_says(mask: int) -> None:
    notes = PcSet.of_mask(mask)
    for found in neighbours(notes):
        assert distance(notes, found.pcset) == found.semitones
        assert {n.pc for n in found.after} <= set(found.pcset) and {n.pc for n in found.before} <= set(notes)
        grows = {"move": 0, "split": 1, "merge": -1, "spread": 1, "fuse": -1}[found.kind]
        assert len(found.pcset) == len(notes) + grows == len(found.notes)


@given(masks)
def test_moves_are_all_sets_of_the_size_one_semitone_away(mask: int) -> None:
    notes = PcSet.of_mask(mask)
    moved = {found.pcset for found in neighbours(notes, kinds=("move",))}
    every = {PcSet.of_mask(m) for m in range(4096) if m.bit_count() == len(notes)} - {notes}
    assert moved == {other for other in every if distance(notes, other) == 1}


@given(masks)
def test_a_spread_is_a_fuse_seen_from_the_other_end(mask: int) -> None:
    notes = PcSet.of_mask(mask)
    for found in neighbours(notes, kinds=("spread", "fuse")):
        back = {"spread": "fuse", "fuse": "spread"}[found.kind]
        assert notes in {n.pcset for n in neighbours(found.pcset, kinds=(back,))}
        assert len(network([notes, found.pcset], splits=True).edges) == 1


def test_the_double_harmonic_and_its_six_moves() -> None:
    # By hand: each of the six notes that can move, its name kept; D is held between C# and Eb.
    found = [(n.sentence, n.label, n.scale) for n in neighbours("D double harmonic", kinds=("move",))]
    assert found == [
        ("E♭ moves to E", "7-32B", "D harmonic major"),
        ("F♯ moves to F", "7-30A", "D neapolitan minor"),
        ("G moves to G♯", "7-20B", "D lydian b2 b6"),
        ("A moves to A♭", "7-20A", "D double harmonic b5"),
        ("B♭ moves to B", "7-30B", "D major b2"),
        ("C♯ moves to C", "7-32A", "D phrygian dominant"),
    ]
    assert all(len({n.step for n in one.notes}) == 7 for one in neighbours("D double harmonic", kinds=("move",)))


def test_every_scale_named_can_be_typed_back() -> None:
    for kind in scale_kinds()[:60:3]:
        for found in neighbours(kind.pcset):
            if found.scale:
                read = read_set(found.scale)
                assert not isinstance(read, SetClass) and read.mask == found.pcset.mask


def test_words_of_every_kind() -> None:
    said = [found.sentence for found in neighbours("C E G")]
    assert "E moves to F" in said and "E splits into E and F" in said and "E spreads to E♭ and F" in said
    assert "F♯ and G merge into G" in [n.sentence for n in neighbours("D double harmonic", kinds=("merge",))]
    assert [n.sentence for n in neighbours("D double harmonic", kinds=("fuse",))] == ["G and A fuse into G♯"]


def test_kin_at_large() -> None:
    found = kin("6-Z10A")
    assert found.partner == SetClass("6-Z39") and found.mirror == SetClass("6-Z10B")
    assert found.complement_class.tni == SetClass("6-Z39")
    assert kin("C major").complement == PcSet((1, 3, 6, 8, 10))


def test_extremes_have_few_kin() -> None:
    assert neighbours(PcSet()) == ()
    assert {n.kind for n in neighbours(PcSet(range(12)))} == {"merge"}


def test_an_unknown_move_is_refused() -> None:
    with pytest.raises(InputError, match="no move 'jump'"):
        neighbours("C E G", kinds=("jump",))
