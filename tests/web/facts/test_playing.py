"""A chord that was played is named as the namer names it, and its text leads back to it."""

from __future__ import annotations

import time

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.naming import name_set
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.pitches import Pitches
from sonorarium.pcs.reading import read_set
from sonorarium.settings import Settings
from sonorarium.web.facts.playing import pitches_in, played, strip_from_bass

USUAL = Settings()


@pytest.mark.parametrize("pitch", range(128))
def test_the_text_of_one_note_is_that_note(pitch: int) -> None:
    facts, _ = played((pitch,), USUAL)
    read = read_set(facts.text)
    assert isinstance(read, Pitches)
    assert read.midi == (pitch,)


@pytest.mark.parametrize("pitches", [(48, 59, 64), (47, 58, 63, 68), (60, 61), (0, 127), tuple(range(40, 72))])
def test_the_text_of_a_chord_is_that_chord(pitches: tuple[int, ...]) -> None:
    facts, _ = played(pitches, USUAL)
    read = read_set(facts.text)
    assert isinstance(read, Pitches)
    assert read.midi == pitches


def test_names_with_costs_and_the_bass() -> None:
    facts, names = played((52, 55, 60), USUAL)
    best = name_set(PcSet((0, 4, 7)), bass=4).readings[0]
    assert facts.title == best.chord.sign() == "C/E"
    assert facts.names[0].cost == best.cost.total == sum(facts.names[0].parts.values())
    assert facts.names[0].members == {"E": "3", "G": "5", "C": "1"} or set(facts.names[0].members) == {"C", "E", "G"}
    assert (facts.bass, facts.standing, facts.label) == ("E", "with its 3 in the bass", "3-11B")
    assert facts.intervals == [0, 0, 1, 1, 1, 0]
    assert {name.sign for name in names} == {"C", "E", "G"}
    assert facts.scales


def test_root_position_and_foreign_bass() -> None:
    assert played((48, 52, 55), USUAL)[0].standing == "in root position"
    assert played((50, 53, 57, 60), USUAL)[0].standing in ("in root position", "with its 6 in the bass")


def test_house_style_and_pinned_names_count() -> None:
    facts, _ = played((48, 52, 56, 59), Settings(pinned=("E/C",)))
    assert facts.title == "E/C"
    assert "over a foreign bass" in facts.standing or "bass" in facts.standing
    assert played((48, 52, 55, 59), Settings(chord_style="M7"))[0].title == "CM7"


@pytest.mark.parametrize(
    ("pitches", "why"),
    [
        ((60,), "One note."),
        ((48, 60), "One note in octaves."),
        ((60, 67), "Two notes: perfect fifth."),
        ((67, 72), "Two notes: perfect fourth."),
        (tuple(range(60, 69)), "Chords are named for 3 to 8 notes."),
    ],
)
def test_what_is_no_chord_is_said_to_be_none(pitches: tuple[int, ...], why: str) -> None:
    facts, _ = played(pitches, USUAL)
    assert (facts.names, facts.why) == ([], why)


def test_the_strip_stands_on_the_bass_and_marks_the_root() -> None:
    facts, names = played((52, 55, 60), USUAL)
    strip = strip_from_bass(facts, names)
    assert "semitones 0, 3, 8 above E" in strip
    assert f"M{8 * 22 + 9 - 5}" in strip
    assert "<path" not in strip_from_bass(*played((60, 67), USUAL))


def test_pitches_are_bounded() -> None:
    assert pitches_in("64 48 48") == (48, 64)
    with pytest.raises(InputError, match="127"):
        pitches_in("48 128")


def test_it_is_quick() -> None:
    played((48, 58, 64, 68), USUAL)
    began = time.perf_counter()
    for top in range(70, 80):
        played((48, 58, 64, 68, top), USUAL)
    assert (time.perf_counter() - began) / 10 < 0.05
