"""Spelling: laws for every scale and set, then scales as musicians write them."""

from __future__ import annotations

from collections import Counter
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.collection import Collection, collection
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import scale_kinds
from sonorarium.pcs.spelling import (
    NATURAL_PC,
    Spelled,
    above,
    interval_name,
    plain_names,
    read_note,
    readable,
    root_names,
    spell,
    spell_freely,
    spell_in,
)

SEVENTEEN = "C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B"
ROOTS = tuple(map(read_note, SEVENTEEN.split()))
NOTES = st.builds(Spelled, st.integers(0, 6), st.integers(-3, 3))
SETS = st.integers(1, 4095).map(PcSet.of_mask)


def _repeats(names: tuple[Spelled, ...]) -> int:
    return len(names) - len({name.step for name in names})


@given(NOTES)
def test_a_printed_note_reads_back(note: Spelled) -> None:
    assert read_note(note.text) == read_note(note.sign) == note


def test_accidentals_in_every_writing() -> None:
    assert [read_note(n).alter for n in ("F", "F♮", "F#", "F♯", "Fx", "F##", "F𝄪", "F♯♯", "F#x", "F♯𝄪")] == [
        *(0, 0, 1, 1, 2, 2, 2, 2, 3, 3)
    ]
    assert [read_note(n).alter for n in ("b", "bb", "B♭", "bbb", "B𝄫", "B♭♭", "Bbbb", "B♭𝄫")] == [
        *(0, -1, -1, -2, -2, -2, -3, -3)
    ]


@pytest.mark.parametrize("text", ["", "H", "C#b", "Cxx", "C4", "Do"])
def test_what_is_no_note(text: str) -> None:
    with pytest.raises(InputError, match="is not a note name"):
        read_note(text)


@given(NOTES)
def test_readable_keeps_the_sound_and_loses_the_double(note: Spelled) -> None:
    (plain,) = readable((note,))
    assert plain.pc == note.pc
    assert abs(plain.alter) < 2
    assert plain == note or abs(note.alter) > 1


@given(NOTES, st.integers(0, 6), st.integers(0, 11))
def test_above_counts_letters_and_semitones(root: Spelled, letters: int, semitones: int) -> None:
    note = above(root, letters, semitones)
    assert (note.step - root.step) % 7 == letters
    assert (note.pc - root.pc) % 12 == semitones


@pytest.mark.parametrize("root", ROOTS, ids=lambda r: r.text)
def test_every_kind_is_spelled_true(root: Spelled) -> None:
    for kind in scale_kinds():
        names = spell(Collection(root, kind).rising, root)
        assert tuple(n.pc for n in names) == Collection(root, kind).rising
        assert names[0] == root
        assert len(set(names)) == len(names)
        if len(names) == 7:
            assert [(n.step - root.step) % 7 for n in names] == list(range(7))


USUAL = {1: (1, 2), 2: (3, 4), 3: (5, 6), 4: (6, 7), 5: (8, 9), 6: (10, 11), 7: (12,)}


@given(SETS, st.data())
def test_no_letter_twice_where_avoidable(pcset: PcSet, data: st.DataObject) -> None:
    """Brute force: where plain names by usual steps on letters of their own exist, letters are not repeated."""
    root = data.draw(st.sampled_from([n for pc in pcset.pcs for n in plain_names(pc)]))
    rising = pcset.rising_from(root.pc)
    names = spell(rising, root)
    assert tuple(n.pc for n in names) == rising
    if len(rising) > 7:
        return
    for way in product(*(plain_names(pc) for pc in rising[1:])):
        places = [0, *((n.step - root.step) % 7 for n in way), 7]
        heights = [0, *((pc - root.pc) % 12 for pc in rising[1:]), 12]
        steps = [(b - a, y - x) for a, b, x, y in zip(places, places[1:], heights, heights[1:], strict=False)]
        plain = all(not n.alter or n.pc not in NATURAL_PC for n in way)
        near = max(abs(n.fifths - root.fifths - 1) for n in (root, *way)) <= 6
        if plain and near and all(a > 0 and b in USUAL[a] for a, b in steps):
            assert _repeats(names) == 0


@given(SETS)
def test_a_set_without_root_has_one_name_for_each_note(pcset: PcSet) -> None:
    names = spell_freely(pcset.pcs)
    assert tuple(n.pc for n in names) == pcset.pcs
    assert all(abs(n.alter) < 3 for n in names)


@given(st.sampled_from(scale_kinds()), st.sampled_from(ROOTS), SETS)
def test_chords_agree_with_their_scale(kind: object, root: Spelled, pcset: PcSet) -> None:
    scale = Collection(root, kind)  # type: ignore[arg-type]
    names = spell_in(scale.spelling, pcset.pcs)
    assert tuple(n.pc for n in names) == pcset.pcs
    for name in names:
        if name.pc in scale.rising:
            assert name in scale.spelling
        else:
            assert abs(name.alter) < 2


@pytest.mark.parametrize(
    ("name", "notes"),
    [
        ("D double harmonic", "D Eb F# G A Bb C#"),
        ("F# mixolydian b6", "F# G# A# B C# D E"),
        ("Gb phrygian bb7 b4", "Gb Abb Bbb Cbb Db Ebb Fbb"),
        ("A# lydian #2 #6", "A# B## C## D## E# F### G##"),
        ("D octatonic tone-semitone", "D E F G Ab Bb B C#"),
        ("C octatonic tone-semitone", "C D Eb F Gb Ab A B"),
        ("C octatonic semitone-tone", "C Db Eb E F# G A Bb"),
        ("C hexatonic third-semitone", "C D# E G Ab B"),
        ("C whole tone", "C D E F# G# Bb"),
        ("F# minor pentatonic", "F# A B C# E"),
        ("C blues", "C Eb F Gb G Bb"),
        ("F# blues", "F# A B C C# E"),
        ("C major blues", "C D Eb E G A"),
        ("C bebop dominant", "C D E F G A Bb B"),
        ("C hirajoshi", "C D Eb G Ab"),
        ("C acoustic no5", "C D E F# A Bb"),
        ("C melakarta 1", "C Db Ebb F G Ab Bbb"),
    ],
)
def test_as_musicians_write_it(name: str, notes: str) -> None:
    """Common practice, checked by eye."""
    assert " ".join(n.text for n in collection(name).spelling) == notes


def test_readable_scale() -> None:
    assert " ".join(n.text for n in collection("Gb phrygian bb7 b4").readable_spelling) == "Gb G A Bb Db D Eb"


def test_free_spelling_of_chords() -> None:
    """Common practice, checked by eye: plain chords have their own names."""
    for pcs, notes in [
        ((0, 4, 8, 11), "C E G# B"),
        ((8, 0, 3, 6), "Ab C Eb Gb"),
        ((1, 4, 7, 10), "C# E G Bb"),
        ((1, 5, 8), "Db F Ab"),
        ((2, 6, 9, 10), "D F# A Bb"),
    ]:
        assert " ".join(n.text for n in spell_freely(pcs)) == notes


def test_spelling_must_begin_with_the_root() -> None:
    with pytest.raises(InputError, match="A set spelled from C must begin with it"):
        spell((2, 4), read_note("C"))


@pytest.mark.parametrize(
    ("low", "high", "name"),
    [
        ("C", "C", "perfect unison"),
        ("C", "Eb", "minor third"),
        ("C", "E#", "augmented third"),
        ("F", "B", "augmented fourth"),
        ("B", "F", "diminished fifth"),
        ("C", "Bbb", "diminished seventh"),
        ("Cb", "F#", "doubly augmented fourth"),
    ],
)
def test_interval_names(low: str, high: str, name: str) -> None:
    assert interval_name(read_note(low), read_note(high)) == name


def test_names_of_a_pitch_class() -> None:
    for pc in range(12):
        assert {n.pc for n in plain_names(pc)} == {pc}
        assert set(root_names(pc)) <= set(plain_names(pc))
    assert Counter(len(root_names(pc)) for pc in range(12)) == {1: 7, 2: 5}
