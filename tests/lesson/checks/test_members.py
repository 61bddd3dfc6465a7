"""Which notes a set has, what they are called, degrees and steps."""

from __future__ import annotations

import pytest

from sonorarium.lesson.checks.claims import check_claim


@pytest.mark.parametrize(
    ("statement", "standing"),
    [
        ("C E G# B is called Cmaj7#5", "true"),
        ("C E G# B is called Amix", "not understood"),
        ("E/C has the same notes as Cmaj7#5", "true"),
        ("Bb is the sixth degree of D double harmonic", "true"),
        ("B is the sixth degree of D double harmonic", "false"),
        ("the third degree of C blues is F", "not understood"),
        ("F# mixolydian b6 is spelled Gb Ab Bb B Db D E", "false"),
        ("the steps of C major are 2-2-1-2-2-2", "true"),
        ("D double harmonic has the notes Eb and C#", "true"),
        ("D double harmonic has no F#", "false"),
        ("7-22 has seven notes", "true"),
        ("7-22 has eight notes", "false"),
        ("the notes of Cmaj7#5 are C, E, G# and B", "true"),
        ("the notes of Cmaj7#5 are C, E, G and B", "false"),
    ],
)
def test_the_notes_of_a_set(statement: str, standing: str) -> None:
    assert check_claim(statement).standing == standing
