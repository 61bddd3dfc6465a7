"""Divisions, transpositions, staves: what is stated, and what is left out."""

from __future__ import annotations

from fractions import Fraction

import pytest
from lxml import etree

from sonorarium.score.remarks import Findings
from sonorarium.score.written.attributes import read_statements, units_per_quarter
from sonorarium.score.written.events import read_events
from tests.score.writing import attributes, measure, note, page, quarters, read, said


def test_divisions_hold_to_the_end_of_their_part() -> None:
    first = measure(attributes(3) + note("C4", 3)) + measure(note("C4", 3), "2")
    root = etree.fromstring(page(first, measure(note("C4", 1)), measure(attributes(2) + note("C4", 2))))
    events = read_events(root, ["P1", "P2", "P3"])
    values, index = units_per_quarter(events, read_statements(events, Findings()))
    assert values == [1, 3, 2]
    assert [sorted({values[one] for one in index[events.part == part].tolist()}) for part in range(3)] == [
        [1, 3],
        [1],
        [1, 2],
    ]


def test_a_part_without_divisions_is_read_with_one() -> None:
    assert quarters(read(measure(note("C4", 2))))[0] == (0, 60, 2)


@pytest.mark.parametrize("divisions", ["0", "-4", "x", "", "1e9", "99999999"])
def test_divisions_that_are_none_are_left_out(divisions: str) -> None:
    score = read(measure(attributes(divisions) + note("C4", 4)))
    assert quarters(score) == [(0, 60, 4)]
    assert "A <divisions> that cannot be understood was left out." in said(score)


@pytest.mark.parametrize(
    "inside",
    [
        "<transpose><chromatic>x</chromatic></transpose>",
        "<transpose><chromatic>0</chromatic><octave-change>99</octave-change></transpose>",
        '<transpose number="x"><chromatic>1</chromatic></transpose>',
        "<staves>0</staves>",
        "<staves>many</staves>",
    ],
)
def test_statements_that_cannot_be_understood(inside: str) -> None:
    score = read(measure(attributes(1, inside) + note("C4", 4)))
    assert score.notes["pitch"].tolist() == [60]
    assert "that cannot be understood was left out" in said(score)


def test_transposition_finer_than_a_semitone_is_rounded() -> None:
    inside = "<transpose><chromatic>-1.5</chromatic></transpose>"
    assert read(measure(attributes(1, inside) + note("C4", 4))).notes["pitch"].tolist() == [
        60 + round(Fraction(-3, 2))
    ]
