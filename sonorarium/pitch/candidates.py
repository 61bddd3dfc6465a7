"""Every way to set the notes of a set as so many voices within a compass.

Each note of the set sounds at least once, unless some may be left out; where voices remain, notes are doubled. No two
voices share a pitch. Neighbouring voices may be kept within a distance of each other; the lowest two are excepted
where there are three or more, since the bass may stand apart (common practice).

The answers are rows of an array, each ascending, in order from the lowest. They are grown voice by voice, all at
once, and what can no longer be completed is dropped at each voice.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.pcset import SetFacts

Ints = NDArray[np.int64]
Placements = NDArray[np.int16]
"""Pitches as MIDI numbers: shape (candidates, voices), ascending along each row."""


@dataclass(frozen=True)
class Compass:
    """The room in which voices lie.

    Parameters
    ----------
    low, high : int
        The lowest and the highest pitch, MIDI numbers.
    gap : int, optional
        The most semitones between neighbouring voices, the lowest two excepted where there are three or more.
    span : int, optional
        The most semitones between the lowest voice and the highest.

    Raises
    ------
    InputError
        Where the numbers leave no room.

    Examples
    --------
    >>> Compass(high=72, gap=12)
    Compass(low=40, high=72, gap=12, span=None)
    """

    low: int = 40
    high: int = 81
    gap: int | None = None
    span: int | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.high <= 127:
            raise InputError(
                f"From {self.low} to {self.high} there is no room for voices.",
                value=(self.low, self.high),
                suggestion="Give MIDI numbers 0 to 127, the lower one first.",
            )


def available(notes: SetFacts, compass: Compass) -> Ints:
    """Pitches of a set in the compass, ascending: shape (n,).

    >>> from sonorarium.pcs.pcset import PcSet
    >>> available(PcSet((0, 7)), Compass(48, 72)).tolist()
    [48, 55, 60, 67, 72]
    """
    every = np.arange(compass.low, compass.high + 1)
    return np.asarray(every[tables.members()[notes.mask][every % 12]])


def placements(
    notes: SetFacts,
    voices: int,
    compass: Compass | None = None,
    *,
    omit: int = 0,
    bass: int | None = None,
    top: int | None = None,
) -> Placements:
    """Set the notes of a set as so many voices in every way.

    Parameters
    ----------
    notes : SetFacts
    voices : int
        1 to 12.
    compass : Compass, optional
        The room; from E2 to A5 where nothing is said.
    omit : int
        At most so many notes of the set may be missing.
    bass : int, optional
        Pitch class of the lowest voice.
    top : int, optional
        MIDI number of the highest voice, which then may lie outside the compass and be foreign to the set.

    Returns
    -------
    ndarray of int16, shape (candidates, voices)

    Raises
    ------
    InputError
        Where the number of voices is not from 1 to 12.

    Examples
    --------
    >>> from sonorarium.pcs.pcset import PcSet
    >>> placements(PcSet((0, 4, 7)), 3, Compass(60, 72)).tolist()
    [[60, 64, 67], [64, 67, 72]]
    >>> placements(PcSet((0, 4, 7)), 3, Compass(48, 67), bass=0, top=67, omit=1).tolist()
    [[48, 52, 67], [48, 55, 67], [48, 60, 67], [48, 64, 67], [60, 64, 67]]
    """
    if not 1 <= voices <= 12:
        raise InputError(f"{voices} voices cannot be set.", value=voices, suggestion="Use 1 to 12.")
    compass = compass or Compass()
    pitches = available(notes, compass)
    grown = _Growth(pitches, voices, compass, notes.mask, omit)
    if top is not None:
        grown = _Growth(np.append(pitches[pitches < top], top), voices, compass, notes.mask, omit, fixed_top=True)
    return grown.rows(bass)


class _Beginnings(NamedTuple):
    """The voices set so far, many at once: the latest and the lowest as indices, and the pitch classes heard."""

    latest: Ints
    lowest: Ints
    heard: Ints

    def at(self, rows: Ints | NDArray[np.bool_]) -> _Beginnings:
        return _Beginnings(self.latest[rows], self.lowest[rows], self.heard[rows])


@dataclass(frozen=True, eq=False)
class _Growth:
    pitches: Ints
    voices: int
    compass: Compass
    mask: int
    omit: int
    fixed_top: bool = False

    def rows(self, bass: int | None) -> Placements:
        at = np.arange(len(self.pitches))
        if bass is not None:
            at = at[self.pitches % 12 == bass]
        begun = _Beginnings(at, at, self._bits[at])
        begun = begun.at(self._hopeful(begun, self.voices - 1))
        columns = [begun.latest]
        for voice in range(1, self.voices):
            from_row, begun = self._raised(begun, voice)
            hopeful = self._hopeful(begun, self.voices - 1 - voice)
            from_row, begun = from_row[hopeful], begun.at(hopeful)
            columns = [*(column[from_row] for column in columns), begun.latest]
        rows = self.pitches.astype(np.int16)[np.stack(columns, axis=1)]
        return rows[columns[-1] == len(self.pitches) - 1] if self.fixed_top else rows

    @cached_property
    def _bits(self) -> Ints:
        return np.asarray(1 << self.pitches % 12)

    @cached_property
    def _supply(self) -> Ints:
        """Pitch classes of the notes from one index up to, and without, another: shape (n, n + 1)."""
        at = np.arange(len(self.pitches))
        own = np.where(at[None, :] >= at[:, None], self._bits[None, :], 0)
        return np.pad(np.bitwise_or.accumulate(own, axis=1), ((0, 1), (1, 0)))

    def _raised(self, begun: _Beginnings, voice: int) -> tuple[Ints, _Beginnings]:
        """Add the next voice above in every way that the compass allows; say which row each goes on from."""
        stop = np.minimum(self._stop(begun.lowest), len(self.pitches) - (self.voices - 1 - voice))
        apart = self.compass.gap if voice > 1 or self.voices < 3 else None
        if apart is not None:
            stop = np.minimum(stop, self._past(self.pitches[begun.latest] + apart))
        choices = np.maximum(stop - begun.latest - 1, 0)
        repeated = np.repeat(np.arange(len(choices)), choices)
        offset = np.arange(len(repeated)) - np.repeat(np.cumsum(choices) - choices, choices)
        latest = begun.latest[repeated] + 1 + offset
        return repeated, _Beginnings(latest, begun.lowest[repeated], begun.heard[repeated] | self._bits[latest])

    def _stop(self, lowest: Ints) -> Ints:
        """The index that no voice above this lowest one may reach."""
        if self.compass.span is None:
            return np.full(len(lowest), len(self.pitches))
        return self._past(self.pitches[lowest] + self.compass.span)

    def _past(self, limit: Ints) -> Ints:
        return np.asarray(np.searchsorted(self.pitches, limit, side="right"))

    def _hopeful(self, begun: _Beginnings, left: int) -> NDArray[np.bool_]:
        """What leaves no more missing than the voices left and the omissions, and the notes above, make good."""
        missing = self.mask & ~begun.heard
        size = tables.size()
        hopeful = size[missing] <= left + self.omit
        if left:
            above = self._supply[begun.latest + 1, self._stop(begun.lowest)]
            hopeful &= size[missing & ~above] <= self.omit
        return np.asarray(hopeful)
