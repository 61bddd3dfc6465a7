"""The time line cut at every onset and release: what sounds, from moment to moment.

Conventions
-----------
* The time line runs from tick 0 to the end of the piece. It is cut wherever a note of the chosen parts begins or
  ends; between two cuts lies a *slice*, the set of pitches that sound through all of it. Where all chosen parts
  rest, the slice is empty.
* Notes that analysis leaves out (grace, cue, hidden, unpitched; see `sonorarium.score.score.Score.sounding`) neither
  sound nor cut.
* A repeated note cuts the line even where no pitch changes, so neighbouring slices may hold the same pitches.
* The pitch classes of a slice are a mask: bit k is set where pitch class k (C = 0) sounds. Doublings count once.

Literature calls a slice a verticality or salami slice; the definition is common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.score.score import Score

Ticks = NDArray[np.int64]
"""Moments or durations in ticks."""

Masks = NDArray[np.int16]
"""Sets of pitch classes as 12-bit integers."""

Rows = NDArray[np.intp]
"""Rows of a note table."""


@dataclass(frozen=True, eq=False)
class Slices:
    """All slices of a score, or of some of its parts.

    Parameters
    ----------
    cuts : ndarray, shape (n + 1,), int64
        Ticks; slice i runs from ``cuts[i]`` to ``cuts[i + 1]``.
    masks : ndarray, shape (n,), int16
        Pitch classes of each slice; 0 where nothing sounds.
    rows : ndarray, shape (m,), int
        Rows of the note table that were sliced, in its order.
    score : Score
        The score that was sliced.

    """

    cuts: Ticks
    masks: Masks
    rows: Rows
    score: Score

    def __len__(self) -> int:
        return len(self.masks)

    @property
    def onsets(self) -> Ticks:
        """Where each slice begins, in ticks: shape (n,)."""
        return self.cuts[:-1]

    @property
    def ends(self) -> Ticks:
        """Where each slice ends, in ticks: shape (n,)."""
        return self.cuts[1:]

    @property
    def durations(self) -> Ticks:
        """Length of each slice in ticks: shape (n,)."""
        return np.diff(self.cuts)

    def rows_between(self, onset: int, end: int) -> Rows:
        """Rows of the notes that sound at some time between two ticks.

        Parameters
        ----------
        onset, end : int
            Ticks; a note that ends at ``onset`` or begins at ``end`` is not among them.

        Returns
        -------
        ndarray of int
            In the order of the note table.
        """
        stop = int(np.searchsorted(self._begins, end))
        return np.asarray(self.rows[:stop][self._stops[:stop] > onset], np.intp)

    def count_between(self, onsets: Ticks, ends: Ticks) -> NDArray[np.intp]:
        """How many notes sound at some time between each two ticks: shape like ``onsets``."""
        begun = np.searchsorted(self._begins, ends)
        stopped = np.searchsorted(np.sort(self._stops), onsets, side="right")
        return np.asarray(begun - stopped, np.intp)

    @cached_property
    def lowest(self) -> NDArray[np.int16]:
        """Lowest pitch of each slice: shape (n,); 32767 where nothing sounds."""
        return self._extreme(np.minimum, np.iinfo(np.int16).max)

    @cached_property
    def highest(self) -> NDArray[np.int16]:
        """Highest pitch of each slice: shape (n,); -1 where nothing sounds."""
        return self._extreme(np.maximum, -1)

    def _extreme(self, least_or_most: np.ufunc, nothing: int) -> NDArray[np.int16]:
        out = np.full(len(self), nothing, np.int16)
        first, stop = np.searchsorted(self.cuts, self._begins), np.searchsorted(self.cuts, self._stops)
        lengths = stop - first
        slices = np.arange(lengths.sum()) + np.repeat(first - (np.cumsum(lengths) - lengths), lengths)
        least_or_most.at(out, slices, np.repeat(self.score.notes["pitch"][self.rows], lengths))
        return out

    @cached_property
    def _begins(self) -> Ticks:
        """Where each note begins: shape (m,), ascending."""
        return np.ascontiguousarray(self.score.notes["onset"][self.rows])

    @cached_property
    def _stops(self) -> Ticks:
        """Where each note ends: shape (m,)."""
        return np.asarray(self._begins + self.score.notes["duration"][self.rows], np.int64)

    def pitches(self, index: int) -> tuple[int, ...]:
        """Pitches of one slice, ascending, each once: MIDI numbers."""
        rows = self.rows_between(int(self.cuts[index]), int(self.cuts[index + 1]))
        return tuple(np.unique(self.score.notes["pitch"][rows]).tolist())


def slice_score(score: Score, parts: tuple[str | int, ...] = ()) -> Slices:
    """Cut a score into slices.

    Parameters
    ----------
    score : Score
    parts : tuple of str or int
        Parts to look at, by printed name or index; empty for all.

    Returns
    -------
    Slices

    Raises
    ------
    InputError
        Where the score has no such part.

    Examples
    --------
    C for two quarters, and G above its second half:

    >>> from sonorarium.score.score import BAR, NOTE
    >>> notes, bars = np.zeros(2, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["pitch"] = (0, 1), (2, 1), (60, 67)
    >>> slices = slice_score(Score(notes, bars, (), ticks_per_quarter=1))
    >>> slices.cuts.tolist(), slices.masks.tolist(), slices.pitches(1)
    ([0, 1, 2, 4], [1, 129, 0], (60, 67))
    """
    rows = rows_of_parts(score, parts)
    notes = score.notes[rows]
    begins, ends = notes["onset"], notes["onset"] + notes["duration"]
    cuts = np.unique(np.concatenate([[0, score.end], begins, ends]).astype(np.int64))
    at_begin, at_end = np.searchsorted(cuts, begins), np.searchsorted(cuts, ends)
    row_of_pc = (notes["pitch"].astype(np.int64) % 12) * len(cuts)
    change = np.bincount(row_of_pc + at_begin, minlength=12 * len(cuts)) - np.bincount(
        row_of_pc + at_end, minlength=12 * len(cuts)
    )
    sounding = change.reshape(12, len(cuts)).cumsum(axis=1)[:, :-1] > 0
    masks = ((1 << np.arange(12)) @ sounding).astype(np.int16)
    return Slices(cuts, masks, rows, score)


def rows_of_parts(score: Score, parts: tuple[str | int, ...] = ()) -> Rows:
    """Rows of the sounding notes of some parts, in the order of the note table.

    Parameters
    ----------
    score : Score
    parts : tuple of str or int
        Printed names (letter case does not matter; of several parts of one name all are meant) or indices from 0;
        empty for all parts.

    Returns
    -------
    ndarray of int

    Raises
    ------
    InputError
        Where the score has no such part.
    """
    if not parts:
        return score.sounding
    wanted = np.zeros(len(score.parts), bool)
    for part in parts:
        wanted[_indices(score, part)] = True
    return np.asarray(score.sounding[wanted[score.notes["part"][score.sounding]]], np.intp)


def part_name(score: Score, index: int) -> str:
    """Name of a part as it is cited: the printed one, or ``part 2`` where none is printed."""
    return score.parts[index].name.strip() or f"part {index + 1}"


def _indices(score: Score, part: str | int) -> list[int]:
    names = [part_name(score, index) for index in range(len(score.parts))]
    if isinstance(part, str):
        found = [i for i, name in enumerate(names) if name.casefold() == part.strip().casefold()]
    else:
        found = [part] if 0 <= part < len(names) else []
    if not found:
        which = f"part named {part!r}" if isinstance(part, str) else f"part with the index {part}"
        suggestion = f"Its parts are: {', '.join(names)}." if names else "It has no parts."
        raise InputError(f"{score.title or 'The score'} has no {which}.", value=part, suggestion=suggestion)
    return found
