"""Moves in words, and rules that make sense."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import read_note
from sonorarium.pitch.movement import Move, Rules, checked_measure


def move(start: int, end: int, names: str, *, steps: int | None = None) -> Move:
    one, other = map(read_note, names.split())
    return Move(start, end, end - start, (one, other), pitched=True, steps=steps)


@pytest.mark.parametrize(
    ("made", "text"),
    [
        (move(64, 65, "E F"), "E4 up a semitone to F4"),
        (move(64, 65, "E E#"), "E4 up a semitone to E♯4"),
        (move(60, 48, "C C"), "C4 down an octave to C3"),
        (move(60, 59, "C Cb"), "C4 down a semitone to C♭4"),
        (move(67, 67, "G G"), "common tone G4"),
        (move(60, 74, "C D"), "C4 up 14 semitones to D5"),
        (move(62, 66, "D F#", steps=2), "D4 up two steps to F♯4"),
        (move(62, 61, "D C#", steps=-1), "D4 down a step to C♯4"),
        (Move(10, 4, -6, (read_note("Bb"), read_note("E"))), "B♭ down a tritone to E"),
    ],
)
def test_a_move_is_said_in_words(made: Move, text: str) -> None:
    assert made.text == text
    assert made.reversed.reversed == made
    assert made.reversed.size == made.size


def test_steps_count_where_they_are_given() -> None:
    assert move(62, 66, "D F#", steps=2).size == 2
    assert move(62, 66, "D F#").size == 4


def test_what_makes_no_rule_is_refused() -> None:
    with pytest.raises(InputError, match="25 voices cannot be led"):
        Rules(voices=25)
    with pytest.raises(InputError, match="no measure of voice leading"):
        checked_measure("average")
