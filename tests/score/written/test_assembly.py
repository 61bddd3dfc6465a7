"""Heads to note table: the grid, the order, the ties."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.remarks import Findings
from sonorarium.score.written.assembly import Head, note_table, ticks_per_quarter


def head(onset: str, duration: str, pitch: int, element: int, starts: bool = False, stops: bool = False) -> Head:
    return Head(
        Fraction(onset),
        Fraction(duration),
        pitch,
        0,
        0,
        4,
        0,
        1,
        0,
        0,
        element,
        tie_starts=starts,
        tie_stops=stops,
    )


def test_the_coarsest_grid() -> None:
    assert ticks_per_quarter([Fraction(3, 4), Fraction(2, 5), Fraction(7)]) == 20
    assert ticks_per_quarter([]) == 1
    with pytest.raises(DamagedError, match="no common measure"):
        ticks_per_quarter([Fraction(1, 1009), Fraction(1, 1013), Fraction(1, 1019)])


def test_rows_are_sorted_and_elements_find_them() -> None:
    heads = [
        head("1", "1", 62, 0, stops=True),
        head("1/2", "1/2", 62, 1, starts=True),
        head("1/2", "1/2", 60, 3),
    ]
    notes, element_note = note_table(heads, 2, 5, Findings())
    assert notes[["onset", "duration", "pitch", "element"]].tolist() == [(1, 1, 60, 3), (1, 3, 62, 1)]
    assert element_note.tolist() == [1, 1, -1, 0, -1]


def test_open_ties_are_said() -> None:
    findings = Findings()
    note_table([head("0", "1", 60, 0, starts=True), head("2", "1", 62, 1, stops=True)], 1, 2, findings)
    assert [remark.what for remark in findings.remarks(["7"])] == [
        "A tie leads to no note: the note ends as written.",
        "A tie comes from no note: the note begins as written.",
    ]
