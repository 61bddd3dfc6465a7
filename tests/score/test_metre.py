from fractions import Fraction

import numpy as np
import pytest

from sonorarium.score.metre import Metre, Place
from sonorarium.score.score import Score
from tests.score.little_scores import TICKS, little_score


def strengths(metre: tuple[int, int], unit: int, count: int) -> list[float]:
    """Strengths in a first bar, one for each ``unit`` of a whole note."""
    ticks = np.arange(count) * 4 * TICKS // unit
    return [float(x) for x in Metre(little_score({"Flute": ["C4:8"]}, metre=metre)).strengths_at(ticks)]


@pytest.mark.parametrize(
    ("metre", "unit", "expected"),
    [
        ((4, 4), 8, [1, 0.25, 0.5, 0.25, 0.75, 0.25, 0.5, 0.25]),
        ((3, 4), 4, [1, 0.5, 0.5]),
        ((3, 8), 8, [1, 0.5, 0.5]),
        ((6, 8), 8, [1, 0.25, 0.25, 0.75, 0.25, 0.25]),
        ((9, 8), 8, [1, 0.25, 0.25, 0.5, 0.25, 0.25, 0.5, 0.25, 0.25]),
        ((6, 4), 4, [1, 0.5, 0.5, 0.75, 0.5, 0.5]),
        ((2, 2), 4, [1, 0.25, 0.75, 0.25]),
    ],
)
def test_strength_of_each_place_in_a_bar(metre: tuple[int, int], unit: int, expected: list[float]) -> None:
    assert strengths(metre, unit, len(expected)) == expected


def test_a_pickup_is_not_a_downbeat() -> None:
    metre = Metre(little_score({"Flute": ["C4:1 D4:4"]}, pickup=1))
    assert metre.strengths_at(np.array([0, TICKS])).tolist() == [0.5, 1]
    assert metre.lengths_at(np.array([0])).tolist() == [4 * TICKS]
    assert metre.place(0) == Place(0, 0, "0", Fraction(4))


def test_a_bar_without_metre_is_as_long_as_it_is() -> None:
    score = little_score({"Flute": ["C4:4"]})
    bars = score.bars.copy()
    bars["beats"], bars["duration"] = 0, 7 * TICKS
    metre = Metre(Score(score.notes, bars, score.parts, TICKS))
    assert metre.lengths_at(np.array([5])).tolist() == [7 * TICKS]
    assert metre.strengths_at(np.array([0, TICKS])).tolist() == [1, 0.25]


def test_a_place_in_plain_values() -> None:
    place = Metre(little_score({"Flute": ["C4:8"]})).place(4 * TICKS + TICKS // 2)
    assert place.as_dict() == {"tick": 54, "bar_index": 1, "bar": "2", "beat": "3/2"}
    assert eval(repr(place)) == place
