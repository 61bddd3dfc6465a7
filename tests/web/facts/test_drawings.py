"""Drawings of sets: the octave closes a scale, and the empty set has none."""

from __future__ import annotations

from sonorarium.pcs.subject import subject
from sonorarium.web.facts.drawings import chords, notes_of, strip_of


def test_a_scale_closes_with_its_octave_and_a_chord_does_not() -> None:
    scale, chord = notes_of(subject("D double harmonic")), notes_of(subject("Cmaj7"))
    assert scale and chord
    assert scale.description.split(", ") == ["D4", "E♭4", "F♯4", "G4", "A4", "B♭4", "C♯5", "D5"]
    assert chord.description.split(", ") == ["C4", "E4", "G4", "B4"]


def test_the_empty_set_is_not_drawn() -> None:
    assert notes_of(subject("mask 0")) is None
    assert strip_of(subject("mask 0")) == ""


def test_the_same_row_is_drawn_once() -> None:
    s = subject("C E G")
    assert chords(((60, 64, 67),), s.notes, ("C",)) is chords(((60, 64, 67),), s.notes, ("C",))


def test_only_a_root_is_marked_as_one() -> None:
    assert strip_of(subject("C E G")).count("<path") == 0
    assert strip_of(subject("4-19")).count("<path") == 0
    assert strip_of(subject("C major")).count("<path") == 1
