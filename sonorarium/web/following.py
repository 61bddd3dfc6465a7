"""When each note of some bars is heard, so that a mark can follow the sound over the page."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from sonorarium.render.performance import times_played
from sonorarium.score.score import Score
from sonorarium.web.scoring import Bars


@dataclass(frozen=True)
class NoteTime:
    """One sounding note: the ordinals of its heads in the file, several where it is tied, and its seconds."""

    heads: list[int]
    begin: float
    end: float


@dataclass(frozen=True)
class BarTime:
    """One bar: its index, and the second at which it begins."""

    bar: int
    begin: float


@dataclass(frozen=True)
class Times:
    """When everything in some bars is heard, in seconds of their sound.

    Parameters
    ----------
    piece : str
    first, last : int
        Indices of the bars.
    tempo : float
        Quarters a minute.
    notes : list of NoteTime
        In order of time.
    bars : list of BarTime
    """

    piece: str
    first: int
    last: int
    tempo: float
    notes: list[NoteTime]
    bars: list[BarTime]


def times_of(score: Score, key: str, bars: Bars, tempo_qpm: float) -> Times:
    """When the notes of some bars are heard in what `sonorarium.render.hearing.hear_bars` plays of them."""
    first, last = bars
    table = score.bars
    begin, end = int(table["onset"][first]), int(table["onset"][last] + table["duration"][last])
    lead, played = times_played(score, begin, end, tempo_qpm=tempo_qpm) if end > begin else (0.0, [])
    heads = _heads(score)
    tick = 60 / tempo_qpm / score.ticks_per_quarter
    notes = [NoteTime(heads[row], _ms(on), _ms(off)) for row, on, off in played]
    times = [BarTime(bar, _ms(lead + (int(table["onset"][bar]) - begin) * tick)) for bar in range(first, last + 1)]
    return Times(key, first, last, tempo_qpm, notes, times)


def _ms(seconds: float) -> float:
    return round(seconds, 3)


def _heads(score: Score) -> dict[int, list[int]]:
    """The ordinals of the heads of each row of the note table."""
    found: dict[int, list[int]] = defaultdict(list)
    for ordinal in np.flatnonzero(score.element_note >= 0).tolist():
        found[int(score.element_note[ordinal])].append(ordinal)
    return found
