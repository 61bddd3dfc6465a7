"""The voices of a score, each as one succession of notes.

Conventions
-----------
* A voice is a voice of one part, as the file labels it; it may lie on several staves.
* Its notes follow one another by onset; notes struck together are taken low to high.
* A **rest** begins where no note of the voice sounds any more. One that is longer than a bar, by the metre of the
  bar in which it begins, ends a line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sonorarium.score.metre import Metre
from sonorarium.score.score import Notes, Score
from sonorarium.score.search.runs import BARRIER, Succession
from sonorarium.score.slices import Rows, Ticks, rows_of_parts


@dataclass(frozen=True, eq=False)
class Lines:
    """All voices of a score, one after the other, with a barrier wherever no line may cross.

    Parameters
    ----------
    succession : Succession
        One item for each note, and one for each barrier.
    rows : ndarray, shape (n,), int
        Row of the note table for each item; -1 for a barrier.
    """

    succession: Succession
    rows: Rows


def lines_of(score: Score, parts: tuple[str | int, ...] = ()) -> Lines:
    """String the notes of every voice together.

    Parameters
    ----------
    score : Score
    parts : tuple of str or int
        Parts to look at, by printed name or index; empty for all.

    Returns
    -------
    Lines

    Raises
    ------
    InputError
        Where the score has no such part.
    """
    rows = rows_of_parts(score, parts)
    notes = score.notes[rows]
    order = np.lexsort((notes["pitch"], notes["onset"], notes["voice"], notes["part"]))
    rows, notes = rows[order], notes[order]
    if not len(rows):
        nothing = np.zeros(0, np.int64)
        return Lines(Succession.of(nothing.astype(np.int16), nothing, nothing), rows)
    is_first = np.zeros(len(rows), bool)
    is_first[1:] = (np.diff(notes["part"]) != 0) | (np.diff(notes["voice"]) != 0)
    metre = Metre(score)
    # Voices are laid end to end on one axis, so far apart that no neighbourhood reaches from one into the next.
    apart = 4 * (score.end + int(metre.lengths_at(score.bars["onset"]).max()) + 1)
    shift = np.cumsum(is_first) * apart
    before = np.maximum.accumulate(notes["onset"] + notes["duration"] + shift)[:-1]
    rest = (notes["onset"] + shift)[1:] - before
    breaks = np.flatnonzero(is_first[1:] | (rest > metre.lengths_at(before - shift[:-1]))) + 1
    return Lines(_with_barriers(notes, shift, before, breaks), np.insert(rows, breaks, -1))


def _with_barriers(notes: Notes, shift: Ticks, before: Ticks, breaks: Rows) -> Succession:
    pc_bits = (1 << (notes["pitch"].astype(np.int64) % 12)).astype(np.int16)
    rest_begins = before[breaks - 1] - shift[breaks - 1]
    return Succession.of(
        masks=np.insert(pc_bits, breaks, BARRIER),
        onsets=np.insert(notes["onset"], breaks, rest_begins),
        ends=np.insert(notes["onset"] + notes["duration"], breaks, rest_begins),
        axis=np.insert(notes["onset"] + shift, breaks, before[breaks - 1]),
    )
