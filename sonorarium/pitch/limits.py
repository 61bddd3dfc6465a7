"""What hands can hold, and what ears can tell apart in the low register.

**Hands.** Two hands hold a chord where it parts into a lower and an upper group, each of at most so many notes as the
hand has fingers and spanning at most its reach. A ninth (14 semitones) is what most adult players reach; an octave is
safe for all, a tenth is rare (common practice). One hand may hold everything. Of several ways to part a chord, the
one that shares the notes most evenly is taken, and of these the one that parts nearest to middle C.

**Low-interval limits.** Small intervals in the bass blur. Arrangers keep a table of the lowest place of each
interval, ``low_intervals.csv``; it says where it comes from and how its values are known. Here it is applied to
neighbouring notes. The limits warn; they forbid nothing, and depend on instrument and loudness.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pitch.candidates import Placements

MIDDLE_C = 60
NINTH = 14
"""Semitones that a hand reaches where nothing else is said."""


@dataclass(frozen=True)
class Hands:
    """What each of two hands can hold.

    Parameters
    ----------
    reach : int
        Most semitones between the outer notes of a hand.
    fingers : int
        Most notes in a hand.

    Raises
    ------
    InputError
        Where a number is below 0 or 1.

    Examples
    --------
    >>> Hands(reach=12)
    Hands(reach=12, fingers=5)
    """

    reach: int = NINTH
    fingers: int = 5

    def __post_init__(self) -> None:
        if self.reach < 0 or self.fingers < 1:
            raise InputError(
                f"A hand of {self.fingers} fingers that reaches {self.reach} semitones holds nothing.",
                value=self,
                suggestion="A ninth is 14 semitones.",
            )


TWO_HANDS = Hands()


def left_hand(rows: Placements, hands: Hands = TWO_HANDS) -> NDArray[np.int8]:
    """Part voicings between two hands.

    Parameters
    ----------
    rows : ndarray of int, shape (voicings, notes)
        Rising MIDI numbers.
    hands : Hands

    Returns
    -------
    ndarray of int8, shape (voicings,)
        How many of the lowest notes the left hand takes; -1 where two hands cannot hold the voicing.

    Examples
    --------
    >>> left_hand(np.array([[48, 55, 64, 71], [60, 64, 67, 71], [36, 55, 64, 84]])).tolist()
    [2, 2, -1]
    """
    notes = rows.shape[1]
    best = np.full(len(rows), -1, np.int8)
    least = np.full(len(rows), np.inf)
    for left in range(max(0, notes - hands.fingers), min(notes, hands.fingers) + 1):
        held = _spans(rows[:, :left], hands.reach) & _spans(rows[:, left:], hands.reach)
        cost = 1000.0 * abs(2 * left - notes) + np.abs(_parting(rows, left) - MIDDLE_C)
        better = held & (cost < least)
        best[better], least[better] = left, cost[better]
    return best


def _spans(held: Placements, reach: int) -> NDArray[np.bool_]:
    if held.shape[1] < 2:
        return np.ones(len(held), bool)
    return np.asarray(held[:, -1] - held[:, 0] <= reach)


def _parting(rows: Placements, left: int) -> NDArray[np.float64]:
    """Where the hands part: half-way between the inner notes."""
    if left in (0, rows.shape[1]):
        return np.asarray(rows.mean(axis=1))
    return (rows[:, left - 1].astype(float) + rows[:, left]) / 2


@dataclass(frozen=True)
class LowInterval:
    """The lowest place of an interval.

    Parameters
    ----------
    semitones : int
    interval : str
        Its name.
    lowest : int
        MIDI number of its lower note at the lowest; 0 where there is no limit.
    elsewhere : int or None
        The same by a second source.
    how_known : str
        ``from memory`` where the value was recalled and not looked up.
    """

    semitones: int
    interval: str
    lowest: int
    elsewhere: int | None
    how_known: str


@cache
def low_intervals() -> tuple[LowInterval, ...]:
    """The table of low-interval limits, by size.

    >>> low_intervals()[0]
    LowInterval(semitones=1, interval='minor second', lowest=52, elsewhere=52, how_known='from memory')
    """
    text = files("sonorarium.pitch").joinpath("low_intervals.csv").read_text(encoding="utf-8")
    rows = [line.split("|") for line in text.splitlines() if not line.startswith("#")][1:]
    return tuple(LowInterval(int(s), name, int(low), int(e) if e else None, how) for s, name, low, e, how in rows)


@cache
def _lowest() -> NDArray[np.int16]:
    """Lowest lower note by semitones, 0 to 127; no limit beyond the table."""
    lowest = np.zeros(128, np.int16)
    for row in low_intervals():
        lowest[row.semitones] = row.lowest
    return lowest


def are_clear(rows: Placements) -> NDArray[np.bool_]:
    """Which voicings keep the low-interval limits between all neighbours.

    >>> are_clear(np.array([[36, 40, 43], [48, 52, 55], [36, 43, 52]], np.int16)).tolist()
    [False, True, True]
    """
    return np.asarray((rows[:, :-1] >= _lowest()[np.diff(rows, axis=1)]).all(axis=1))


def blurred(pitches: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Neighbours of one voicing that stand below the limit of their interval.

    >>> blurred((36, 40, 48, 52))
    ((36, 40), (40, 48))
    """
    return tuple((low, high) for low, high in pairwise(pitches) if low < int(_lowest()[high - low]))
