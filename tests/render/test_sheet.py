"""Sheets made from voicings, scorings and melodies."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.spelling import Spelled
from sonorarium.pitch.instruments import instrument
from sonorarium.pitch.scoring import score_out
from sonorarium.pitch.voicing import Voicing
from sonorarium.render.sheet import (
    Event,
    Heading,
    Sheet,
    all_names,
    key_alters,
    sheet_of_melody,
    sheet_of_scoring,
    sheet_of_voicings,
    signature,
)

NAMES = collection("D double harmonic").spelling


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_signatures_of_the_major_keys(fifths: int) -> None:
    tonic = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"][fifths + 7]
    names = collection(f"{tonic} major").spelling
    assert signature(names) == fifths
    assert {name.step: name.alter for name in names} == key_alters(fifths)


def test_no_signature_fits_other_scales() -> None:
    for name in ("D double harmonic", "A harmonic minor", "C whole tone", "C major pentatonic"):
        assert signature(collection(name).spelling) is None


def test_voicings_are_parted_between_the_hands() -> None:
    sheet = sheet_of_voicings([Voicing((38, 50, 66, 69, 73)), Voicing((24, 60, 96)), Voicing(())], NAMES, quarters=2)
    upper, lower = (staff.voices[0] for staff in sheet.parts[0].staves)
    assert [len(event.pitches) for event in upper] == [3, 2, 0]
    assert [len(event.pitches) for event in lower] == [2, 1, 0]
    assert upper[0].pitches == ((3, 1, 4), (5, 0, 4), (0, 1, 5))
    assert sheet.end == 6


def test_foreign_notes_are_named_near_the_scale() -> None:
    sheet = sheet_of_melody([60], 1, NAMES)
    assert sheet.parts[0].staves[0].voices[0][0].pitches == ((0, 0, 4),)


def test_clefs_follow_the_written_notes() -> None:
    scored = score_out([Voicing((36, 67, 72, 76))], "violin, viola, cello, double bass")
    sheet = sheet_of_scoring(scored, [Spelled(0), Spelled(2), Spelled(4)])
    assert [part.staves[0].clef for part in sheet.parts] == ["treble", "treble", "treble", "bass"]
    assert [part.player.name for part in sheet.parts] == ["violin", "viola", "cello", "double bass"]


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: Sheet(()), "There is nothing to write down"),
        (lambda: sheet_of_voicings([], NAMES), "There are 0 chords or notes and 0 lengths"),
        (lambda: sheet_of_melody([60], [1, 2], NAMES), "There are 1 chords or notes and 2 lengths"),
        (lambda: sheet_of_melody([60], 0, NAMES), "A note of 0 quarters does not last"),
        (lambda: sheet_of_melody([60], 1, NAMES, heading=Heading(metre=(4, 3))), "4/3 is no metre"),
        (
            lambda: sheet_of_melody([60], 1, NAMES, heading=Heading(labels=("a", "b"))),
            "There are 1 chords and 2 labels",
        ),
        (lambda: Event(Fraction(-1)), "A note of -1 quarters does not last"),
    ],
)
def test_refusals(make: Any, sentence: str) -> None:
    with pytest.raises(InputError) as refused:
        make()
    assert str(refused.value).startswith(sentence)


def test_a_key_signature_that_is_none_is_refused() -> None:
    part = sheet_of_melody([60], 1, NAMES, player=instrument("oboe")).parts
    with pytest.raises(InputError, match="There is no key signature of 9"):
        Sheet(part, fifths=9)


def test_each_chord_may_have_names_of_its_own() -> None:
    chords = [Voicing((48, 63)), Voicing((48, 63))]
    names = [(Spelled(0), Spelled(2, -1)), (Spelled(0), Spelled(1, 1))]
    written = sheet_of_voicings(chords, names)
    right = written.parts[0].staves[0].voices[0]
    assert [event.pitches[-1][:2] for event in right] == [(2, -1), (1, 1)]
    assert [name.text for name in all_names(names)] == ["C", "Eb"]
    with pytest.raises(InputError, match="names for 1"):
        sheet_of_voicings(chords, names[:1])
