"""The note table and the bar table as the rest of the program sees them."""

from __future__ import annotations

from fractions import Fraction

from sonorarium.score.score import Part, Remark, Score
from tests.score.writing import attributes, measure, note, read, time


def song() -> Score:
    """A pick-up of one eighth in 6/8, two bars."""
    return read(
        measure(attributes(2, time("6", 8)) + note("G4", 1), "0", implicit=True)
        + measure(note("C5", 3) + note("D5", 3))
        + measure(note("E5", 5), "2")
    )


def test_bars_of_ticks() -> None:
    score = song()
    assert score.ticks_per_quarter == 2
    assert [score.bar_at(tick) for tick in (-5, 0, 1, 6, 7, 99)] == [0, 0, 1, 1, 2, 2]


def test_beats_count_in_the_lower_figure_of_the_metre() -> None:
    score = song()
    assert [score.beat_at(tick) for tick in (0, 1, 4, 7)] == [6, 1, 4, 1]
    assert read(measure(attributes(4) + note("C4", 3) + note("D4", 13))).beat_at(3) == Fraction(7, 4)


def test_the_end() -> None:
    assert song().end == 12


def test_parts_and_remarks_are_values() -> None:
    part = Part("P1", "Flute", 1, ("1",), 0)
    assert eval(repr(part)) == part
    remark = Remark("Something.", 0, "3")
    assert eval(repr(remark)) == remark
    assert len({part, Part("P1", "Flute", 1, ("1",), 0)}) == 1
