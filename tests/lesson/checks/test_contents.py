"""Subsets, how often, and what only one scale has."""

from __future__ import annotations

import pytest

from sonorarium.lesson.checks.claims import check_claim


@pytest.mark.parametrize(
    ("statement", "standing"),
    [
        ("E/C lies in A harmonic minor", "true"),
        ("E/C lies in D double harmonic", "false"),
        ("5-22 lies at least once in 7-22", "true"),
        ("5-22 lies at most once in 7-22", "false"),
        ("5-16 and 5-21 lie in the harmonic minor and the harmonic major", "true"),
        ("5-16 and 5-35 lie in the harmonic minor", "false"),
        ("4-27A is inside 7-32 once", "not understood"),
        ("3-11A is inside 7-32", "true"),
        ("C E G is inside C major twice", "not understood"),
        ("C major holds three major triads", "true"),
        ("C major holds four major triads", "false"),
        ("C major has five minor sevenths", "not understood"),
        ("C major has three minor seventh chords", "true"),
        ("a minor seventh lies in the whole tone", "not understood"),
        ("5-33 is found only in the acoustic and the whole tone", "true"),
        ("5-33 is found only in the acoustic", "false"),
        ("2-6 lies in all of the modes of limited transposition", "true"),
        ("3-12 lies in all of the modes of limited transposition", "false"),
        ("5-31 lies in four of the scales without consecutive semitones", "false"),
        ("there are 352 set classes under transposition alone", "true"),
        ("there are 224 set classes", "true"),
        ("there are 352 set classes", "false"),
        ("7-22 holds no 5-22", "false"),
        ("5-22 is found in neither the octatonic nor the harmonic minor", "false"),
        ("D double harmonic has 35 subsets of four notes", "true"),
        ("D double harmonic has 30 subsets of four notes", "false"),
    ],
)
def test_what_lies_inside_what(statement: str, standing: str) -> None:
    assert check_claim(statement).standing == standing
