"""Note values and beams."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.render.notevalues import TYPES, beamed, beat_quarters, note_values


@given(st.integers(0, 63), st.integers(1, 64))
def test_values_add_up_and_begin_where_they_may(start: int, length: int) -> None:
    values = note_values(Fraction(start, 16), Fraction(length, 16))
    assert sum(value.quarters for value in values) == Fraction(length, 16)
    at = Fraction(start, 16)
    for value in values:
        plain = value.quarters * Fraction(2, 3) if value.is_dotted else value.quarters
        assert TYPES[plain] == value.type
        assert at % (plain / 2) == 0
        at += value.quarters


@pytest.mark.parametrize("parts", [3, 5, 6, 7, 9, 12])
def test_tuplets_last_what_they_should(parts: int) -> None:
    (value,) = note_values(Fraction(0), Fraction(1, parts))
    assert value.tuplet is not None
    actual, normal = value.tuplet
    plain = next(quarters for quarters, name in TYPES.items() if name == value.type)
    assert plain * normal / actual == Fraction(1, parts)


@pytest.mark.parametrize(
    ("start", "length", "written"),
    [
        (Fraction(0), Fraction(3), [("half", True)]),
        (Fraction(1), Fraction(2), [("half", False)]),
        (Fraction(1, 2), Fraction(1), [("quarter", False)]),
        (Fraction(0), Fraction(5), [("whole", False), ("quarter", False)]),
    ],
)
def test_usual_cases(start: Fraction, length: Fraction, written: list[tuple[str, bool]]) -> None:
    got = [(value.type, value.is_dotted) for value in note_values(start, length)]
    assert got == written


@pytest.mark.parametrize("length", [Fraction(1, 64), Fraction(1, 17)])
def test_what_cannot_be_written_is_refused(length: Fraction) -> None:
    with pytest.raises(InputError):
        note_values(Fraction(0), length)


@given(st.integers(0, 47), st.integers(1, 48))
def test_compound_metres_show_their_dotted_beats(start: int, length: int) -> None:
    values = note_values(Fraction(start, 8), Fraction(length, 8), Fraction(3, 2))
    assert sum(value.quarters for value in values) == Fraction(length, 8)
    at = Fraction(start, 8)
    for value in values:
        crossed = (at + value.quarters) // Fraction(3, 2) > at // Fraction(3, 2)
        assert at % Fraction(3, 2) == 0 or not crossed or (at + value.quarters) % Fraction(3, 2) == 0
        at += value.quarters


def test_beats_and_beams() -> None:
    assert [beat_quarters(metre) for metre in ((3, 4), (12, 8), (5, 8), (2, 2))] == [1, Fraction(3, 2), 1, 1]
    eighths = [(Fraction(n, 2), 1) for n in range(6)]
    assert beamed(eighths, Fraction(3, 2)) == (("begin",), ("continue",), ("end",)) * 2
    assert beamed(eighths, Fraction(1)) == (("begin",), ("end",)) * 3
    dotted = [(Fraction(0), 1), (Fraction(3, 4), 2)]
    assert beamed(dotted, Fraction(1)) == (("begin",), ("end", "backward hook"))
    assert beamed([(Fraction(0), 2), (Fraction(1, 4), 1)], Fraction(1)) == (("begin", "forward hook"), ("end",))
    assert beamed([(Fraction(0), 1), (Fraction(1, 2), 0)], Fraction(1)) == ((), ())
