"""A score, or some of its parts, made ready to be searched again and again.

Cutting a score into slices and stringing its voices together takes about as long as one search. Who asks several
questions of one piece makes its `Material` once and searches that.

Two things change what is looked at:

* **Some bars**: notes are clipped to them, and what does not sound in them is left out.
* **Struck notes**: a note counts from where it is struck until the next note of the chosen parts is struck, but no
  longer than the longest of those struck with it; so a slice holds what is struck together, and nothing held from
  before. Notes that were struck before the chosen bars do not count. The voices stay as they are, for a line is made
  of notes as they are struck anyway.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from sonorarium.score.barnames import bar_range
from sonorarium.score.metre import Metre
from sonorarium.score.score import Notes, Score
from sonorarium.score.search.lines import Lines, lines_of
from sonorarium.score.search.runs import Succession
from sonorarium.score.slices import Slices, rows_of_parts, slice_score


@dataclass(frozen=True, eq=False)
class Material:
    """Slices, voices and bars of a score, each made when first asked for.

    Parameters
    ----------
    score : Score
    parts : tuple of str or int
        Parts to look at, by printed name or index from 0; empty for all.
    struck : bool
        Whether notes count only where they are struck.
    bars : str
        Printed bars to look at; empty for the whole piece.
    """

    score: Score
    parts: tuple[str | int, ...] = ()
    struck: bool = False
    bars: str = ""

    @cached_property
    def clipped(self) -> Score:
        """The score with nothing in it but the chosen bars; raises `InputError` where it has no such bars."""
        if not self.bars:
            return self.score
        return _clipped(self.score, *self._ticks)

    @cached_property
    def slices(self) -> Slices:
        """The time line, cut at every onset and release; raises `InputError` where the score has no such part."""
        if not self.struck:
            return slice_score(self.clipped, self.parts)
        score = only_struck(self.score, self.parts)
        if self.bars:
            score = _without_earlier(_clipped(score, *self._ticks), self.score, self._ticks[0])
        return slice_score(score, self.parts)

    @cached_property
    def sliced(self) -> Succession:
        """The slices as a succession."""
        return Succession.of(self.slices.masks, self.slices.onsets, self.slices.ends)

    @cached_property
    def lines(self) -> Lines:
        """The notes of every voice; raises `InputError` where the score has no such part."""
        return lines_of(self.clipped, self.parts)

    @cached_property
    def metre(self) -> Metre:
        """The bars."""
        return Metre(self.score)

    @cached_property
    def searched(self) -> Notes:
        """The notes that are looked at, as they stand in the chosen bars; raises `InputError` as `lines` does."""
        return self.clipped.notes[rows_of_parts(self.clipped, self.parts)]

    @cached_property
    def bar_count(self) -> int:
        """How many bars are looked at."""
        if not self.bars:
            return len(self.score.bars)
        first, last = bar_range(self.score, self.bars)
        return last - first + 1

    @cached_property
    def _ticks(self) -> tuple[int, int]:
        """Where the chosen bars begin and end."""
        first, last = bar_range(self.score, self.bars)
        bars = self.score.bars
        return int(bars["onset"][first]), int(bars["onset"][last] + bars["duration"][last])


def _clipped(score: Score, onset: int, end: int) -> Score:
    """Keep of every note what sounds between two ticks; one that does not is of no length."""
    notes = score.notes.copy()
    stops = np.minimum(notes["onset"] + notes["duration"], end)
    inside = np.maximum(notes["onset"], onset)
    notes["duration"] = np.maximum(stops - inside, 0)
    notes["onset"] = np.where(notes["duration"] > 0, inside, notes["onset"])
    return replace(score, notes=notes)


def _without_earlier(score: Score, original: Score, onset: int) -> Score:
    """Leave out what was struck before a tick."""
    notes = score.notes.copy()
    notes["duration"][original.notes["onset"] < onset] = 0
    return replace(score, notes=notes)


def only_struck(score: Score, parts: tuple[str | int, ...] = ()) -> Score:
    """Let every note of some parts sound until the next is struck, or the longest struck with it ends.

    Parameters
    ----------
    score : Score
    parts : tuple of str or int
        Empty for all.

    Returns
    -------
    Score
        With the same rows in its note table, of other durations.

    Raises
    ------
    InputError
        Where the score has no such part.
    """
    rows = rows_of_parts(score, parts)
    if not len(rows):
        return score
    notes = score.notes.copy()
    onsets = notes["onset"][rows]
    ends = onsets + notes["duration"][rows]
    firsts = np.flatnonzero(np.diff(onsets, prepend=onsets[0] - 1))
    longest = np.maximum.reduceat(ends, firsts)
    struck = onsets[firsts]
    stops = np.minimum(longest, np.append(struck[1:], longest[-1]))
    notes["duration"][rows] = np.repeat(stops, np.diff(np.append(firsts, len(rows)))) - onsets
    return replace(score, notes=notes)
