"""A melody or a bass out of a score: the highest or lowest notes of one part, as a row of notes and rests.

Where several notes sound at once in the part, the highest counts; a note is cut where a higher one begins. Grace,
cue, hidden and unpitched notes are left out, as everywhere in analysis.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np

from sonorarium.errors import NothingFoundError
from sonorarium.pitch.melody import MelodyNote
from sonorarium.score.score import Score
from sonorarium.score.slices import slice_score


def melody_of(
    score: Score, *, part: str | int = 0, bars: tuple[int, int] | None = None, lowest: bool = False
) -> tuple[MelodyNote, ...]:
    """Take the melody of a part, or its bass.

    Parameters
    ----------
    score : Score
    part : str or int
        Printed name of the part, or its index.
    bars : (int, int), optional
        First and last bar, as indices into ``score.bars``; the whole piece by default.
    lowest : bool
        Whether the lowest notes count instead of the highest.

    Returns
    -------
    tuple of MelodyNote

    Raises
    ------
    InputError
        Where the score has no such part.
    NothingFoundError
        Where the part rests in all these bars.
    """
    slices = slice_score(score, (part,))
    first, last = bars or (0, len(score.bars) - 1)
    start = int(score.bars["onset"][first])
    end = int(score.bars["onset"][last] + score.bars["duration"][last])
    notes = score.notes[slices.rows]
    cuts = np.unique(np.concatenate([[start, end], notes["onset"], notes["onset"] + notes["duration"]]))
    cuts = cuts[(cuts >= start) & (cuts <= end)].tolist()
    row: list[tuple[int | None, int, int]] = []  # pitch, onset of its note, length
    for cut, after in pairwise(cuts):
        heard = notes[(notes["onset"] <= cut) & (notes["onset"] + notes["duration"] > cut)]
        best = int(heard["pitch"].argmin() if lowest else heard["pitch"].argmax()) if len(heard) else None
        pitch, onset = (None, -1) if best is None else (int(heard["pitch"][best]), int(heard["onset"][best]))
        if row and row[-1][0] == pitch and row[-1][1] == onset:
            row[-1] = (pitch, onset, row[-1][2] + after - cut)
        else:
            row.append((pitch, onset, after - cut))
    if all(pitch is None for pitch, _, _ in row):
        raise NothingFoundError(
            "The part rests in these bars.", value=part, suggestion="Choose another part or bars."
        )
    return tuple(MelodyNote(pitch, Fraction(length, score.ticks_per_quarter)) for pitch, _, length in row)
