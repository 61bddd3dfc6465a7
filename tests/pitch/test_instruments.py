"""Ranges and transpositions against a general reference library, and written pitch by arithmetic."""

from __future__ import annotations

from typing import Any

import music21
import pytest

from sonorarium.errors import InputError
from sonorarium.pitch.instruments import (
    CLEF_LINES,
    best_clef,
    instrument,
    instruments,
    ledger_lines,
    midi_of,
    written_pitch,
)

# music21 (a test-only library) has its own table of lowest notes, as written, and of transpositions; it leaves out
# that contrabassoon and guitar sound an octave lower than written.
ELSEWHERE: dict[str, Any] = {
    "piccolo": music21.instrument.Piccolo,
    "flute": music21.instrument.Flute,
    "oboe": music21.instrument.Oboe,
    "english horn": music21.instrument.EnglishHorn,
    "clarinet in Bb": music21.instrument.Clarinet,
    "bass clarinet": music21.instrument.BassClarinet,
    "bassoon": music21.instrument.Bassoon,
    "contrabassoon": music21.instrument.Contrabassoon,
    "soprano saxophone": music21.instrument.SopranoSaxophone,
    "alto saxophone": music21.instrument.AltoSaxophone,
    "tenor saxophone": music21.instrument.TenorSaxophone,
    "baritone saxophone": music21.instrument.BaritoneSaxophone,
    "horn in F": music21.instrument.Horn,
    "trombone": music21.instrument.Trombone,
    "violin": music21.instrument.Violin,
    "viola": music21.instrument.Viola,
    "cello": music21.instrument.Violoncello,
    "double bass": music21.instrument.Contrabass,
    "guitar": music21.instrument.AcousticGuitar,
}


@pytest.mark.parametrize("name", [name for name in ELSEWHERE if name not in ("contrabassoon", "guitar")])
def test_transpositions_agree_with_a_reference_library(name: str) -> None:
    theirs = ELSEWHERE[name]().transposition
    semitones, letters = (0, 0) if theirs is None else (theirs.semitones, theirs.generic.directed)
    steps = letters - 1 if letters > 0 else letters + 1 if letters < 0 else 0
    assert instrument(name).transposition == (semitones, steps)


# Horn: theirs counts the pedal notes; double bass: theirs is as sounding; baritone saxophone: theirs lacks low A.
DIFFERENT = ("horn in F", "double bass", "baritone saxophone")


@pytest.mark.parametrize("name", [name for name in ELSEWHERE if name not in DIFFERENT])
def test_lowest_written_notes_agree_with_a_reference_library(name: str) -> None:
    one = instrument(name)
    assert one.low - one.transposition[0] == ELSEWHERE[name]().lowestNote.midi + (12 if name == "guitar" else 0)


@pytest.mark.parametrize("name", ELSEWHERE)
def test_programs_agree_with_a_reference_library(name: str) -> None:
    assert instrument(name).program == ELSEWHERE[name]().midiProgram


@pytest.mark.parametrize(
    ("name", "lowest"),
    [("violin", "G3"), ("viola", "C3"), ("cello", "C2"), ("double bass", "E1"), ("guitar", "E2"), ("piano", "A0")],
)
def test_open_strings_and_keyboards_end_where_they_end(name: str, lowest: str) -> None:
    # Open strings and the 88 keys: common knowledge.
    assert instrument(name).low == music21.pitch.Pitch(lowest).midi


def test_every_row_is_in_order() -> None:
    for one in instruments():
        assert 0 <= one.low <= one.easy[0] <= one.easy[1] <= one.high <= 127
        assert set(one.clefs) <= set(CLEF_LINES)
        assert one.source in ("Adler", "Kostka")
        assert instrument(one.name.upper()) is one


def test_written_notes_sound_as_they_should() -> None:
    for one in instruments():
        for octave in (2, 4):
            for step in range(7):
                for alter in (-1, 0, 1):
                    page = written_pitch(one, (step, alter, octave))
                    assert midi_of(page) + one.transposition[0] == midi_of((step, alter, octave))
                    assert abs(page[1]) <= 1


def test_names_follow_the_interval() -> None:
    clarinet = instrument("clarinet")
    assert written_pitch(clarinet, (3, 1, 4)) == (4, 1, 4)  # F sharp: G sharp
    assert written_pitch(clarinet, (6, -1, 3)) == (0, 0, 4)  # B flat: C
    assert written_pitch(clarinet, (6, 1, 3)) == (1, 0, 4)  # B sharp: D, not C double sharp
    assert written_pitch(instrument("double bass"), (2, -1, 2)) == (2, -1, 3)


def test_registers() -> None:
    oboe = instrument("oboe")
    assert [oboe.register(pitch) for pitch in (57, 58, 62, 86, 87, 92)] == [
        "out of range", "low", "comfortable", "comfortable", "high", "out of range",
    ]  # fmt: skip


def test_clefs_are_chosen_by_ledger_lines() -> None:
    assert best_clef(instrument("bassoon"), ((2, 0, 2),)) == "bass"
    assert best_clef(instrument("bassoon"), ((3, 0, 4),)) == "tenor"
    assert ledger_lines((0, 0, 6), "treble") == 2
    assert best_clef(instrument("tenor"), ((0, 0, 3), (4, 0, 4))) == "treble-8"


def test_unknown_instruments_are_refused_with_the_nearest() -> None:
    with pytest.raises(InputError, match=r"no instrument 'basoon' in the table. The nearest are: bassoon"):
        instrument("basoon")
