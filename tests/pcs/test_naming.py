"""Naming: the law over all sets, and chords that everyone knows come first."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.chordsymbol import chord
from sonorarium.pcs.collection import Degrees, collection
from sonorarium.pcs.naming import Naming, name_set
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.spelling import read_note
from sonorarium.pcs.stacks import IntervalStack, Stacked

NAMEABLE = [m for m in range(4096) if 3 <= m.bit_count() <= 8]
SETS = st.sampled_from(NAMEABLE).map(PcSet.of_mask)


def _check_readings(naming: Naming) -> None:
    for reading in naming.readings:
        back = read_set(reading.symbol)
        assert back == reading.chord
        assert back.mask == naming.notes.mask
        if naming.bass is not None:
            assert (reading.chord.bass or reading.root).pc == naming.bass
        assert {note.pc for note, _ in reading.members} == set(naming.notes.pcs)
        assert not set(reading.omitted) & {degree for _, degree in reading.members}


def test_law_over_all_sets() -> None:
    """Each of the 4,096 sets of 3 to 8 notes: every symbol offered reads back as exactly the set."""
    for mask in NAMEABLE:
        naming = name_set(PcSet.of_mask(mask), limit=99)
        assert naming.readings, "a set without any reading"
        assert naming.label == PcSet.of_mask(mask).label
        _check_readings(naming)
        costs = [r.cost.total for r in naming.readings]
        assert costs == sorted(costs)


@settings(max_examples=300)
@given(SETS, st.data())
def test_law_with_a_bass(pcset: PcSet, data: st.DataObject) -> None:
    naming = name_set(pcset, bass=data.draw(st.sampled_from(pcset.pcs)), limit=99)
    assert naming.readings
    _check_readings(naming)


@settings(max_examples=100)
@given(SETS, st.data())
def test_every_other_printed_name_reads_back(pcset: PcSet, data: st.DataObject) -> None:
    naming = name_set(pcset, bass=data.draw(st.none() | st.sampled_from(pcset.pcs)))
    others: tuple[Stacked | IntervalStack | Degrees, ...] = (*naming.stacked, *naming.stacks, *naming.scales)
    for named in others:
        assert read_set(named.name) == named
        assert named.mask == pcset.mask


@settings(max_examples=100)
@given(SETS, st.integers(0, 11))
def test_names_move_with_the_set(pcset: PcSet, n: int) -> None:
    """Transposed sets have the same readings at the same cost; only the order among equals may differ."""
    here, there = (
        sorted((r.cost, r.chord.quality.text()) for r in name_set(s, limit=99).readings)
        for s in (pcset, pcset.transposed(n))
    )
    assert here == there


@pytest.mark.parametrize(
    ("notes", "bass", "first"),
    [
        ("C E G", None, "C"),
        ("C Eb G", None, "Cm"),
        ("G B D F", None, "G7"),
        ("B D F A", None, "Bm7b5"),
        ("A C E G", None, "Am7"),
        ("A C E G", "C", "C6"),
        ("D F A B", "D", "Dm6"),
        ("C E G# B", None, "Cmaj7#5"),
        ("C F G", None, "Csus4"),
        ("C E G Bb D#", None, "C7#9"),
        ("C E G Bb D A", None, "C13no11"),
        ("C E G Bb Db F#", "C", "C7b9#11"),
        ("C E Gb G# Bb Db D#", "C", "C7alt"),
        ("C E G D", None, "Cadd9"),
        ("C E G A D", "C", "C6/9"),
        ("F A C G", "G", "F/G"),
        ("C Eb Gb A", "A", "Adim7"),
        ("C E Bb", None, "C7no5"),
        ("E A D G B", "E", "Em7add11"),
        ("C Eb G Bb D F A", "C", "Cm13"),
    ],
)
def test_chords_that_everyone_knows(notes: str, bass: str | None, first: str) -> None:
    """Common practice."""
    naming = name_set(PcSet(read_note(n).pc for n in notes.split()), bass=read_note(bass).pc if bass else None)
    assert naming.readings[0].symbol == first


def test_what_each_note_is() -> None:
    reading = name_set(PcSet((0, 4, 8, 11)), bass=0).readings[0]
    assert [(n.text, d) for n, d in reading.members] == [("C", "1"), ("E", "3"), ("G#", "#5"), ("B", "7")]
    over = next(r for r in name_set(PcSet((0, 4, 8, 11)), bass=0).readings if r.symbol == "E/C")
    assert [(n.text, d) for n, d in over.members] == [("C", "bass"), ("E", "1"), ("G#", "3"), ("B", "5")]
    assert over.cost.bass == 3


def test_why_the_first_is_first() -> None:
    assert name_set(PcSet((0, 3, 4, 7, 10))).why.startswith("C7#9 comes first because it costs 1 (alterations 1); ")
    tie = name_set(PcSet((0, 3, 6, 9))).why
    assert tie.startswith("Cdim7 and Adim7 cost the same")
    assert "nothing else tells them apart" in tie
    assert "it has a perfect fifth above its root" in name_set(PcSet((5, 9, 0, 7)), bass=7).why
    assert name_set(PcSet((0, 4, 7)), limit=1).why.startswith("C is the only reading")
    assert "CΔ7#5" in name_set(PcSet((0, 4, 8, 11)), style="Δ").why


def test_notes_are_named_as_in_the_scale() -> None:
    scale = collection("Gb phrygian")
    reading = name_set(PcSet((6, 9, 1)), within=scale).readings[0]
    assert [n.text for n, _ in reading.members] == ["Gb", "Bbb", "Db"]
    plain = name_set(PcSet((6, 9, 1))).readings[0]
    assert [n.text for n, _ in plain.members] == ["F#", "A", "C#"]


def test_a_pinned_name_goes_first_on_every_root() -> None:
    naming = name_set(PcSet((0, 4, 7, 9)), pinned=("C6",))
    assert (naming.readings[0].symbol, naming.readings[0].pinned) == ("C6", True)
    assert naming.why == "C6 comes first because it is pinned."
    moved = name_set(PcSet((2, 6, 9, 11)), pinned=("C6",))
    assert moved.readings[0].symbol == "D6"
    slash = name_set(PcSet((0, 4, 8, 11)), bass=0, pinned=("E/C",))
    assert slash.readings[0].symbol == "E/C"
    assert not name_set(PcSet((0, 3, 7)), pinned=("C6",)).readings[0].pinned
    with pytest.raises(InputError):
        name_set(PcSet((0, 3, 7)), pinned=("nonsense",))


def test_a_pinned_name_beyond_the_usual_readings() -> None:
    """A symbol that no template offers is offered once a person pins it."""
    pinned = name_set(PcSet((4, 7, 10, 2)), pinned=("C9no1",)).readings[0]
    assert pinned.symbol == "C9no1"
    assert chord(pinned.symbol).pcset == PcSet((4, 7, 10, 2))


def test_two_chords_stacks_and_scales() -> None:
    naming = name_set(PcSet((0, 1, 4, 6, 7, 10)))
    assert {"C over F#", "F# over C"} <= {s.name for s in naming.stacked}
    assert name_set(PcSet((0, 5, 11, 4))).stacks[0].name == "fourths 4-#4-4 on C"
    assert all(d.pcset == naming.notes for d in naming.scales)
    assert "tritone scale" in {d.collection.kind.name for d in naming.scales}


def test_limits() -> None:
    with pytest.raises(InputError, match="A set of 2 has no chord names"):
        name_set(PcSet((0, 4)))
    with pytest.raises(InputError, match="A set of 9 has no chord names"):
        name_set(PcSet(range(9)))
    with pytest.raises(InputError, match="D is not in the set"):
        name_set(PcSet((0, 4, 7)), bass=2)
    assert len(name_set(PcSet((0, 2, 4, 7, 9)), limit=2).readings) == 2


def test_names_that_were_typed_are_kept() -> None:
    typed = tuple(read_note(name) for name in ("Db", "F", "G", "B"))
    found = name_set(PcSet(note.pc for note in typed), within=typed)
    assert {reading.root.text for reading in found.readings} <= {"Db", "F", "G", "B"}
