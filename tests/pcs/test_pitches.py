"""Note names with octaves."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.pitches import Pitches, midi_number, read_pitches
from sonorarium.pcs.spelling import Spelled, read_note

NOTES = st.tuples(st.builds(Spelled, st.integers(0, 6), st.integers(-2, 2)), st.integers(0, 8))


@given(st.lists(NOTES, min_size=1, max_size=6))
def test_what_is_printed_reads_back(notes: list[tuple[Spelled, int]]) -> None:
    pitches = Pitches(tuple(notes))
    assert read_pitches(pitches.name) == pitches
    assert eval(repr(pitches), {"read_pitches": read_pitches}) == pitches
    assert {m % 12 for m in pitches.midi} == set(pitches.pcs) == {n.pc for n in pitches.spelling}
    assert list(pitches.midi) == sorted(set(pitches.midi))
    assert pitches.bass.pc == pitches.midi[0] % 12


@pytest.mark.parametrize(
    ("text", "number"), [("C4", 60), ("A4", 69), ("C-1", 0), ("G9", 127), ("B#3", 60), ("Cb4", 59), ("B##3", 61)]
)
def test_midi_numbers(text: str, number: int) -> None:
    """Middle C is C4 and MIDI 60; A4 is 69 (common practice)."""
    assert read_pitches(text).midi == (number,)


def test_octaves_may_be_left_out_after_the_first() -> None:
    assert read_pitches("C3 E G C").name == "C3 E3 G3 C4"
    assert read_pitches("B3 C Cb").name == "B3 C4 Cb5"
    assert midi_number(read_note("E"), 3) == 52


def test_what_are_no_pitches() -> None:
    with pytest.raises(InputError, match="has no note with an octave"):
        read_pitches("C E G")
    with pytest.raises(InputError, match="'J4' in 'C4 J4'"):
        read_pitches("C4 J4")
    with pytest.raises(InputError, match="A9 lies outside what can sound"):
        read_pitches("A9")
