"""When each note of some bars is heard, so that a mark can follow the sound over the page."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from sonorarium.render.performance import times_played
from sonorarium.score.score import Score
from sonorarium.web.piece.scoring import Bars

TURNS_S = (10.0, 30.0, 90.0, 150.0)
"""So long are the first clips of a piece, and all later ones as long as the last of these."""


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


@dataclass(frozen=True)
class Turn:
    """Bars that are played as one clip: the indices of the first and the last, and the seconds that they take."""

    first: int
    last: int
    seconds: float


@dataclass(frozen=True)
class Turns:
    """The clips by which some bars are played one after the other."""

    piece: str
    tempo: float
    turns: list[Turn]


def turns_of(score: Score, key: str, bars: Bars, tempo_qpm: float) -> Turns:
    """Cut some bars into clips: the first short, so that it is heard at once, and each later one longer.

    A clip is made before it is heard, at about a hundred times the speed of its music; while one is heard, the next
    is made.
    """
    tick = 60 / tempo_qpm / score.ticks_per_quarter
    turns: list[Turn] = []
    first, length, is_heard = bars[0], 0.0, False
    for bar in range(bars[0], bars[1] + 1):
        length += int(score.bars["duration"][bar]) * tick
        is_heard = is_heard or _sounds(score, bar)
        if is_heard and (bar == bars[1] or length >= TURNS_S[min(len(turns), len(TURNS_S) - 1)]):
            turns.append(Turn(first, bar, _ms(length)))
            first, length, is_heard = bar + 1, 0.0, False
    if turns and first <= bars[1]:  # rests at the end belong to what was heard last
        before = turns.pop()
        turns.append(Turn(before.first, bars[1], _ms(before.seconds + length)))
    return Turns(key, tempo_qpm, turns)


def _sounds(score: Score, bar: int) -> bool:
    """Whether a note sounds in a bar; there is no clip of silence."""
    begin, end = int(score.bars["onset"][bar]), int(score.bars["onset"][bar] + score.bars["duration"][bar])
    notes = score.notes[score.sounding]
    return bool(((notes["onset"] < end) & (notes["onset"] + notes["duration"] > begin)).any())


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
