"""Class, prime form, vector, partner, complement, notes and symmetry."""

from __future__ import annotations

import pytest

from sonorarium.lesson.checks.claims import check_claim


@pytest.mark.parametrize(
    ("statement", "standing"),
    [
        ("the prime form of 6-31 is [014579] by Rahn's rule", "true"),
        ("the prime form of 6-31 is [013589] by Forte's rule", "true"),
        ("the prime form of 6-31 is [013589]", "false"),
        ("5-22 has the vector <2,0,2,3,2,1>", "true"),
        ("5-22 has the vector 202312", "false"),
        ("the vector of 7-22 is 42454", "not understood"),
        ("the complement of 5-20A is 7-20A", "false"),
        ("the complement of 5-20 is 7-20", "true"),
        ("the complement of C major is F# major pentatonic", "true"),
        ("6-30A is the mirror of 6-30B", "true"),
        ("6-30 is symmetrical", "not understood"),
        ("5-22 is symmetrical", "true"),
        ("4-19 is symmetrical", "false"),
        ("4-19 is asymmetrical", "true"),
        ("D double harmonic is its own mirror around G", "false"),
        ("double harmonic is its own mirror around D", "not understood"),
        ("4-19 has 12 forms", "false"),
        ("4-19A has twelve forms", "not understood"),
        ("7-22 has 12 transpositions", "true"),
        ("4-Z15 is Z-related to 4-Z29", "true"),
        ("4-Z15 has no partner", "false"),
    ],
)
def test_what_a_set_is(statement: str, standing: str) -> None:
    assert check_claim(statement).standing == standing
