"""Where a moment lies in its bar, how long that bar is by its metre, and how strong the place is.

Conventions
-----------
* **Length of a bar** is what its metre says (3/8: three eighths), also for a pick-up or half of a split bar. A bar
  without a metre is as long as what is in it.
* **Beats that are felt**: three units of the metre make one beat where the upper figure is 6, 9, 12 or another larger
  multiple of 3 and the lower figure is 8 or more; otherwise one unit is one beat.
* **Strength of a place**, 0 to 1: 1 on the downbeat; 3/4 in the middle of a bar with an even number of felt beats;
  1/2 on another felt beat; 1/4 anywhere else. In a bar without a metre: 1 at its start, else 1/4. The order of the
  four is common practice (strong, half-strong, weak, off the beat); the numbers are our own.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.score.score import Score
from sonorarium.score.slices import Ticks


@dataclass(frozen=True)
class Place:
    """A moment of a piece, as it is cited.

    Parameters
    ----------
    tick : int
    bar_index : int
        Index into `Score.bars`.
    bar : str
        Number printed in the score.
    beat : Fraction
        1 for the first, in units of the metre's lower figure.
    """

    tick: int
    bar_index: int
    bar: str
    beat: Fraction

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON; the beat as text, ``5/2``."""
        return {"tick": self.tick, "bar_index": self.bar_index, "bar": self.bar, "beat": str(self.beat)}


class Metre:
    """The bars of a score, ready for many questions.

    Parameters
    ----------
    score : Score
        With at least one bar.
    """

    def __init__(self, score: Score) -> None:
        self._score = score
        self._bars = score.bars

    @cached_property
    def _labels(self) -> list[str]:
        return [str(label) for label in self._bars["label"]]

    @cached_property
    def _onsets(self) -> list[int]:
        return [int(onset) for onset in self._bars["onset"]]

    @cached_property
    def _lengths(self) -> Ticks:
        """Length of each bar by its metre, rounded up to a whole tick: shape (bars,)."""
        bars = self._bars
        by_metre = -(-bars["beats"].astype(np.int64) * 4 * self._score.ticks_per_quarter // bars["beat_type"])
        return np.asarray(np.maximum(1, np.where(bars["beats"] > 0, by_metre, bars["duration"])), np.int64)

    def bar_index(self, tick: int) -> int:
        """Index of the bar that holds a tick."""
        return max(0, bisect_right(self._onsets, tick) - 1)

    def bar_label(self, index: int) -> str:
        """Printed number of a bar."""
        return self._labels[index]

    def place(self, tick: int) -> Place:
        """Bar and beat of a tick."""
        index = self.bar_index(tick)
        return Place(tick, index, self._labels[index], self._score.beat_at(tick))

    def lengths_at(self, ticks: Ticks) -> Ticks:
        """Length by its metre of the bar that holds each tick, in ticks: shape like ``ticks``."""
        return self._lengths[self._indices(ticks)]

    def strengths_at(self, ticks: Ticks) -> NDArray[np.float64]:
        """Strength of the place of each tick in its bar, 0.25 to 1: shape like ``ticks``."""
        bars = self._bars[self._indices(ticks)]
        beats, beat_type = bars["beats"].astype(np.int64), bars["beat_type"].astype(np.int64)
        whole = 4 * self._score.ticks_per_quarter
        units, between = np.divmod((ticks - bars["onset"] + bars["lead"]) * beat_type, whole)
        group = np.where((beats > 3) & (beats % 3 == 0) & (beat_type >= 8), 3, 1)
        on_beat = (between == 0) & (units % group == 0) & (beats > 0)
        in_middle = on_beat & (beats // group % 2 == 0) & (2 * units == beats)
        on_downbeat = (between == 0) & (units == 0)
        return np.select([on_downbeat, in_middle, on_beat], [1.0, 0.75, 0.5], 0.25)

    def _indices(self, ticks: Ticks) -> NDArray[np.intp]:
        return np.maximum(0, np.searchsorted(self._bars["onset"], ticks, side="right") - 1)
