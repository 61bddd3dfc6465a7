"""From written heads to the note table, for readers that gather heads one by one.

The reader of MusicXML works on whole columns and has its own way; those of MEI and MIDI meet one head after another,
with exact times in quarters, and hand them over here.

Conventions
-----------
* Ticks per quarter: the least common multiple of all denominators that occur, so every time is exact.
* The rows are sorted as `sonorarium.score.score.NOTE` says.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import DamagedError
from sonorarium.score.remarks import Findings
from sonorarium.score.score import NOTE
from sonorarium.score.written.ties import join_ties, joined

MOST_TICKS_PER_QUARTER = 10**9
"""A file that needs a finer grid than this is no score; its times would not fit the tables."""


@dataclass(slots=True)
class Head:
    """One written notehead.

    Parameters
    ----------
    onset, duration : Fraction
        In quarters, from the start of the piece; 0 for grace notes.
    pitch : int
        Sounding MIDI number, -1 where unpitched.
    step, alter, octave : int
        As written; see `sonorarium.score.score.NOTE`.
    part, staff, voice, bar, element : int
        See `sonorarium.score.score.NOTE`.
    grace, cue, hidden : bool
    tie_starts, tie_stops : bool
        Whether a tie starts or stops here.
    """

    onset: Fraction
    duration: Fraction
    pitch: int
    step: int
    alter: int
    octave: int
    part: int
    staff: int
    voice: int
    bar: int
    element: int
    grace: bool = False
    cue: bool = False
    hidden: bool = False
    tie_starts: bool = False
    tie_stops: bool = False


def ticks_per_quarter(times: Iterable[Fraction]) -> int:
    """Return the coarsest grid that holds all times, in ticks per quarter.

    Raises
    ------
    DamagedError
        If it is finer than any music needs.

    Examples
    --------
    >>> ticks_per_quarter([Fraction(1, 2), Fraction(1, 3), Fraction(5)])
    6
    """
    ticks = math.lcm(*{time.denominator for time in times})
    if ticks > MOST_TICKS_PER_QUARTER:
        raise DamagedError("The lengths of the notes have no common measure that music could have.", value=ticks)
    return ticks


def note_table(
    heads: Sequence[Head], ticks: int, elements: int, findings: Findings
) -> tuple[NDArray[np.void], NDArray[np.int32]]:
    """Return the note table of some heads, ties joined, and the row of each element.

    Parameters
    ----------
    heads : sequence of Head
    ticks : int
        Ticks per quarter; all times are whole numbers of them.
    elements : int
        How many elements there are; every ``Head.element`` is below it.
    findings : Findings
        Takes up ties that were guessed or left open.

    Returns
    -------
    notes : ndarray, dtype `NOTE`
    element_note : ndarray, shape (elements,), int32
    """
    table = np.zeros(len(heads), NOTE)
    for name in ("onset", "duration"):
        table[name] = [int(getattr(head, name) * ticks) for head in heads]
    for name in NOTE.names[2:] if NOTE.names else ():
        table[name] = [getattr(head, name) for head in heads]
    starts = np.array([head.tie_starts for head in heads], np.bool_)
    stops = np.array([head.tie_stops for head in heads], np.bool_)
    joining = join_ties(table, starts, stops)
    for what, faulty in joining.faults.items():
        for part in sorted({heads[head].part for head in faulty}):
            findings.add(what, part=part, bars=[heads[head].bar for head in faulty if heads[head].part == part])
    notes, row_of_head = joined(table, joining)
    order = np.lexsort([notes[name] for name in ("element", "pitch", "voice", "staff", "part", "onset")])
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order))
    element_note = np.full(elements, -1, np.int32)
    element_note[table["element"]] = rank[row_of_head]
    return notes[order], element_note
