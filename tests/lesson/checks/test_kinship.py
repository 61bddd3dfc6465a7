"""Modes, evenness and distance."""

from __future__ import annotations

import pytest

from sonorarium.lesson.checks.claims import check_claim


@pytest.mark.parametrize(
    ("statement", "standing"),
    [
        ("7-35 is the most even of the sevens", "true"),
        ("7-35 is the most even of the classes of six notes", "false"),
        ("7-22 is the last most even of the sevens", "not understood"),
        ("7-22 is the least even of the sevens by division", "true"),
        ("7-22 is the least even of the sevens", "false"),
        ("7-35 and 7-32 are two semitones apart", "false"),
        ("C is one semitone from C#", "not understood"),
        ("D double harmonic and D harmonic major differ in two notes", "false"),
        ("moving C# to C turns D double harmonic into D harmonic major", "false"),
        ("the brightest mode of D double harmonic is the one from Eb", "true"),
        ("the brightest mode of the octatonic is octatonic semitone-tone", "false"),
        ("the second brightest mode of the diatonic is ionian", "true"),
        ("dorian is brighter than lydian", "false"),
        ("G harmonic minor #4 is the mode of D double harmonic from G", "true"),
        ("the fourth mode of D double harmonic is A harmonic minor #4", "false"),
        ("the mode on the fifth degree of the harmonic minor is phrygian dominant", "true"),
        ("C lydian is a mode of G major", "true"),
        ("C lydian is a mode of C major", "false"),
        ("7-22 has eight modes", "false"),
    ],
)
def test_kinship_statements(statement: str, standing: str) -> None:
    assert check_claim(statement).standing == standing
