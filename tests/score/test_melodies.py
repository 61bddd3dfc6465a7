"""The melody of a part is its highest notes, with rests, in exact lengths."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pitch.melody import MelodyNote
from sonorarium.score.melodies import melody_of
from sonorarium.score.reading import read_score
from sonorarium.score.score import BAR, NOTE, Part, Score


def small() -> Score:
    """Two bars of 2/4: E5 over C5 held, then a rest, then F5."""
    notes = np.zeros(4, NOTE)
    notes["onset"], notes["duration"], notes["pitch"] = [0, 0, 2, 6], [2, 4, 1, 2], [76, 72, 74, 77]
    bars = np.array([(0, 4, "1", 2, 4, 0), (4, 4, "2", 2, 4, 0)], BAR)
    return Score(notes, bars, (Part("P1", "Flute", voices=("1",)), Part("P2", "Bass", voices=("1",))), 2)


def test_the_highest_notes_count_and_rests_are_kept() -> None:
    half = Fraction(1, 2)
    expected = (MelodyNote(76), MelodyNote(74, half), MelodyNote(72, half), MelodyNote(None), MelodyNote(77))
    assert melody_of(small()) == expected


def test_bars_cut_the_melody() -> None:
    assert melody_of(small(), bars=(1, 1)) == (MelodyNote(None), MelodyNote(77))


def test_refusals() -> None:
    with pytest.raises(InputError):
        melody_of(small(), part="Oboe")
    with pytest.raises(NothingFoundError, match="rests in these bars"):
        melody_of(small(), part="Bass")


def test_a_melody_of_the_demo_lasts_as_long_as_its_bars() -> None:
    score = read_score(Path(__file__).parents[2] / "demo" / "pieces" / "1-saffron-evening.musicxml")
    tune = melody_of(score, bars=(2, 5))
    assert sum(note.duration for note in tune) == 12
    assert tune[0].pitch is not None
