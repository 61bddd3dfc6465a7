"""The catalogue of scales: consistent in itself, and every name in it can be typed."""

from __future__ import annotations

from collections import Counter

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.collection import Collection
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.scales import ScaleKind, find_kind, kind_of, known_kind, nearest_names, scale_kinds
from tests.pcs.test_spelling import ROOTS

KINDS = scale_kinds()


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.name)
def test_every_name_can_be_typed_on_every_root(kind: ScaleKind) -> None:
    for name in kind.names:
        for root in ROOTS:
            assert read_set(f"{root.text} {name}") == Collection(root, kind)
        assert read_set(f"{name} on Eb").mask == kind.pcset.transposed(3).mask


def test_names_are_claimed_once() -> None:
    for kind in KINDS:
        assert all(find_kind(name) is kind for name in kind.names)
    assert max(Counter(kind.name for kind in KINDS).values()) == 1


def test_no_two_kinds_have_the_same_notes() -> None:
    assert max(Counter(kind.pcs for kind in KINDS).values()) == 1
    assert all(kind_of(kind.pcset) is kind for kind in KINDS)


def test_a_kind_begins_on_its_root_and_rises() -> None:
    for kind in KINDS:
        assert kind.pcs[0] == 0
        assert list(kind.pcs) == sorted(set(kind.pcs))
        assert kind.source


def test_a_mode_is_a_rotation_of_its_parent() -> None:
    parents = {k.parent: k for k in KINDS if k.degree == 1}
    for kind in KINDS:
        parent = parents[kind.parent].pcset
        start = parents[kind.parent].pcs[kind.degree - 1]
        assert parent.transposed(-start) == kind.pcset


@pytest.mark.parametrize(
    "parent",
    [
        *("major", "melodic minor", "harmonic minor", "harmonic major", "double harmonic"),
        *("neapolitan major", "neapolitan minor"),
    ],
)
def test_all_seven_modes_of_the_usual_parents_have_names(parent: str) -> None:
    assert {k.degree for k in KINDS if k.parent == parent} == set(range(1, 8))


def test_the_symmetrical_scales_are_there_in_every_rotation() -> None:
    for name in ("octatonic", "hexatonic", "whole tone", "Messiaen mode 3", "major pentatonic"):
        kind = find_kind(name).pcset
        rotations = {kind.transposed(-pc) for pc in kind}
        assert all(kind_of(rotation) for rotation in rotations), name


def test_borrowed_names_carry_their_caution() -> None:
    """What comes from a tradition is never the printed name, save the numbers of the melakarta."""
    for kind in KINDS:
        assert bool(kind.caution) == bool(kind.borrowed)
    assert "only approximates" in find_kind("Hirajoshi").caution
    assert find_kind("Hirajoshi").name == "major pentatonic b3 b6"
    assert find_kind("major").name == "major"
    assert not find_kind("melodic minor b2").aliases[0].startswith("melakarta")


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("Double-Harmonic", "double harmonic"),
        ("DOUBLEHARMONIC", "double harmonic"),
        ("mixolydian ♭6", "mixolydian b6"),
        ("mixolydian flat 6", "mixolydian b6"),
        ("mixolydian b13", "mixolydian b6"),
        ("lydian sharp 2", "lydian #2"),
        ("locrian ♮2", "locrian #2"),
        ("locrian natural 6", "locrian #6"),
        ("dorian mode", "dorian"),
        ("blues scale", "blues"),
        ("altered scale", "altered"),
        ("diminished scale", "octatonic tone-semitone"),
        ("augmented scale", "hexatonic third-semitone"),
        ("lydian dominant", "acoustic"),
        ("bhairav thaat", "double harmonic"),
        ("Melakarta 15", "double harmonic"),
        ("phrygian 𝄫7 ♭4", "phrygian bb7 b4"),
    ],
)
def test_ways_to_write_a_name(typed: str, name: str) -> None:
    assert find_kind(typed).name == name


def test_unknown_names_get_the_nearest() -> None:
    with pytest.raises(InputError, match=r"There is no scale called 'mixolidian'.*mixolydian"):
        find_kind("mixolidian")
    assert nearest_names("doriann")[0] == "dorian"
    assert known_kind("dorain") is None
    assert kind_of(PcSet((0, 1, 2))) is None


def test_messiaen_modes_by_their_steps() -> None:
    """Messiaen, Technique de mon langage musical (1944), ch. XVI: modes 1 to 7 from C (from memory)."""
    steps = ["222222", "12121212", "211211211", "11311131", "141141", "22112211", "1112111121"]
    for number, pattern in enumerate(steps, 1):
        heights = [sum(map(int, pattern[:i])) for i in range(len(pattern))]
        assert sum(map(int, pattern)) == 12
        assert find_kind(f"Messiaen mode {number}").pcs == tuple(heights)
