"""Printed bar numbers lead to the right bars."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.score.barnames import bar_range, bars_in_words
from sonorarium.score.score import BAR, NOTE, Part, Score


@pytest.fixture
def score() -> Score:
    """A pick-up 0, bars 1 to 3, a split bar 3, an ending 4 twice."""
    bars = np.zeros(7, BAR)
    bars["label"] = ["0", "1", "2", "3", "3", "4", "4"]
    return Score(np.zeros(0, NOTE), bars, (Part("P1", ""),), 4, title="Ends")


@pytest.mark.parametrize(
    ("text", "places"),
    [("", (0, 6)), ("0", (0, 0)), ("2", (2, 2)), ("3", (3, 4)), ("1-3", (1, 4)), ("2 – 4", (2, 6))],
)
def test_ranges(score: Score, text: str, places: tuple[int, int]) -> None:
    assert bar_range(score, text) == places


def test_what_is_not_there_is_said(score: Score) -> None:
    with pytest.raises(InputError, match=r"Ends has no bar 9\. Its bars are printed 0 to 4\."):
        bar_range(score, "9")
    with pytest.raises(InputError, match="run backward"):
        bar_range(score, "3-1")


def test_citations(score: Score) -> None:
    assert bars_in_words(score, 2, 2) == "bar 2"
    assert bars_in_words(score, 1, 5) == "bars 1–4"
