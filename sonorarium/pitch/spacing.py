"""How a chord is spaced: close, open, dropped, spread, stacked, or one chord in each hand.

Kinds
-----
* **close**: no note of the chord could be put between two neighbours. (With doublings it may exceed the octave.)
* **open**: not close.
* **spread**: between every two neighbours a note of the chord is passed over; three notes or more. Other books call
  spread what spans two octaves, or has a tenth or more in it.
* **drop 2**, **drop 3**, **drop 2+4**: close within the octave, then the second voice from the top, or the third, or
  the second and the fourth, put an octave down. Three voices at least for drop 2, four for the others.
* **seconds**, **thirds**, **fourths**, **fifths**: all neighbours stand at that interval: minor or major seconds and
  thirds, perfect or augmented fourths, perfect or diminished fifths (as in `sonorarium.pcs.stacks`).
* **mixed**: all neighbours stand at a second to a perfect fifth, of more than one kind. A tritone counts as fourth or
  as fifth, whichever makes one kind of all.
* **two chords**: the voicing parts into two triads or seventh chords, one above the other, no hand reaching into the
  other; where the set was given as two chords, into these.

Common practice of keyboard harmony and arranging (for drops: Ted Pease and Ken Pullig, Modern Jazz Voicings, 2001,
ch. 2, from memory). Every kind is told for many voicings at once.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.chordquality import Quality
from sonorarium.pitch.candidates import Placements

Bools = NDArray[np.bool_]

STACKS = MappingProxyType({"seconds": (1, 2), "thirds": (3, 4), "fourths": (5, 6), "fifths": (6, 7)})
"""Semitones between neighbours in a stack of one kind."""

HAND_CHORDS = ("", "m", "aug", "dim", "7", "maj7", "m7", "m7b5", "mMaj7", "dim7")
"""Chords that a hand may hold: triads and seventh chords, as symbols of `sonorarium.pcs.chordquality`."""


def evenness(rows: Placements) -> NDArray[np.float64]:
    """How unequal the distances between neighbours are: their standard deviation in semitones, 0 where all are equal.

    Parameters
    ----------
    rows : ndarray of int, shape (voicings, notes)
        Rising MIDI numbers.

    Returns
    -------
    ndarray, shape (voicings,)
        0 for one note or two.

    Examples
    --------
    >>> evenness(np.array([[48, 53, 58, 63], [48, 52, 55, 64]])).round(2).tolist()
    [0.0, 2.62]
    """
    gaps = np.diff(rows, axis=1).astype(np.float64)
    if gaps.shape[1] < 2:
        return np.zeros(len(rows))
    return np.asarray(np.sqrt(np.maximum((gaps**2).mean(axis=1) - gaps.mean(axis=1) ** 2, 0)))


@cache
def _next_step() -> NDArray[np.int16]:
    """Semitones from a pitch class up to the next one of a set: shape (4096, 12)."""
    step = np.full((tables.SETS, 12), 12, np.int16)
    has = tables.members()
    for distance in range(11, 0, -1):
        step[np.roll(has, -distance, axis=1)] = distance
    return step


def _masks(rows: Placements) -> NDArray[np.int16]:
    return np.asarray(np.bitwise_or.reduce(np.left_shift(1, rows % 12, dtype=np.int16), axis=1))


def _passed_over(rows: Placements) -> tuple[Placements, NDArray[np.int16]]:
    """Distances of neighbours, and what they would be at the closest."""
    return np.diff(rows, axis=1), _next_step()[_masks(rows)[:, None], rows[:, :-1] % 12]


def is_close(rows: Placements) -> Bools:
    """Which voicings are close; see the module.

    >>> is_close(np.array([[60, 64, 67], [60, 67, 76]], np.int16)).tolist()
    [True, False]
    """
    gaps, closest = _passed_over(rows)
    return np.asarray((gaps == closest).all(axis=1))


def _is_open(rows: Placements) -> Bools:
    return ~is_close(rows)


def _is_spread(rows: Placements) -> Bools:
    gaps, closest = _passed_over(rows)
    return np.asarray((gaps > closest).all(axis=1) & (rows.shape[1] >= 3))


def _dropped(rows: Placements, *voices: int) -> Bools:
    """Whether the lowest notes, lifted by an octave, become these voices from the top of a close chord."""
    notes, count = rows.shape[1], len(voices)
    if notes < max(voices) + (count == 1 and max(voices) == 2):
        return np.zeros(len(rows), bool)
    lifted = np.concatenate([rows[:, count:], rows[:, :count] + 12], axis=1)
    places = [notes - voice for voice in sorted(voices, reverse=True)]
    close = np.sort(lifted, axis=1)
    within = (close[:, -1] - close[:, 0] < 12) & is_close(close)
    return np.asarray(within & (close[:, places] == lifted[:, notes - count :]).all(axis=1))


def _is_drop_2(rows: Placements) -> Bools:
    return _dropped(rows, 2)


def _is_drop_3(rows: Placements) -> Bools:
    return _dropped(rows, 3) if rows.shape[1] >= 4 else np.zeros(len(rows), bool)


def _is_drop_2_4(rows: Placements) -> Bools:
    return _dropped(rows, 2, 4)


def _stacked(kind: str) -> Callable[[Placements], Bools]:
    def is_stacked(rows: Placements) -> Bools:
        gaps = np.diff(rows, axis=1)
        return np.asarray(np.isin(gaps, STACKS[kind]).all(axis=1) & (gaps.shape[1] > 0))

    return is_stacked


def _is_mixed(rows: Placements) -> Bools:
    gaps = np.diff(rows, axis=1)
    one_kind = np.logical_or.reduce([_stacked(kind)(rows) for kind in STACKS])
    return np.asarray((gaps <= 7).all(axis=1) & ~one_kind & (gaps.shape[1] > 1))


@cache
def _hand_chords() -> Bools:
    """Which sets are a triad or seventh chord at some place: shape (4096,)."""
    is_chord = np.zeros(tables.SETS, bool)
    for symbol in HAND_CHORDS:
        is_chord[tables.transposed()[:, Quality(symbol).mask]] = True
    return is_chord


def in_two_chords(rows: Placements, chords: tuple[int, int] | None = None) -> NDArray[np.int8]:
    """Part voicings into two chords, one above the other.

    Parameters
    ----------
    rows : ndarray of int16, shape (voicings, notes)
    chords : tuple of (int, int), optional
        The lower and the upper chord as masks; any triads and seventh chords where not given.

    Returns
    -------
    ndarray of int8, shape (voicings,)
        How many notes the lower chord has; 0 where the voicing does not part so.

    Examples
    --------
    >>> in_two_chords(np.array([[48, 52, 55, 60, 63, 68], [48, 52, 55, 58, 61, 63]], np.int16)).tolist()
    [3, 0]
    """
    parted = np.zeros(len(rows), np.int8)
    for lower in range(rows.shape[1] - 1, 0, -1):
        below, above = _masks(rows[:, :lower]), _masks(rows[:, lower:])
        if chords is None:
            fits = _hand_chords()[below] & _hand_chords()[above]
        else:
            fits = (below == chords[0]) & (above == chords[1])
        parted[fits] = lower
    return parted


def _is_two_chords(rows: Placements) -> Bools:
    return in_two_chords(rows) > 0


KINDS = MappingProxyType(
    {
        "close": is_close,
        "open": _is_open,
        "spread": _is_spread,
        "drop 2": _is_drop_2,
        "drop 3": _is_drop_3,
        "drop 2+4": _is_drop_2_4,
        **{kind: _stacked(kind) for kind in STACKS},
        "mixed": _is_mixed,
        "two chords": _is_two_chords,
    }
)
"""Kinds of spacing by name, each telling which of many voicings are of the kind."""


def of_kind(rows: Placements, kind: str, *, chords: tuple[int, int] | None = None) -> Bools:
    """Say which voicings are spaced in some way.

    Parameters
    ----------
    rows : ndarray of int16, shape (voicings, notes)
    kind : str
        One of `KINDS`.
    chords : tuple of (int, int), optional
        For ``two chords``: these as masks, lower and upper.

    Returns
    -------
    ndarray of bool, shape (voicings,)

    Raises
    ------
    InputError
        Where there is no such kind.

    Examples
    --------
    >>> of_kind(np.array([[55, 60, 64, 71], [48, 53, 59, 64]], np.int16), "fourths").tolist()
    [False, True]
    """
    if kind not in KINDS:
        raise InputError(
            f"No spacing is called {kind!r}.", value=kind, suggestion=f"Choose among {', '.join(KINDS)}."
        )
    if kind == "two chords" and chords is not None:
        return in_two_chords(rows, chords) > 0
    return KINDS[kind](rows)


def kinds_of(pitches: tuple[int, ...], *, chords: tuple[int, int] | None = None) -> tuple[str, ...]:
    """Say in which ways one voicing is spaced.

    >>> kinds_of((55, 60, 64, 71)), kinds_of((48, 53, 58, 63))
    (('open', 'drop 2', 'mixed'), ('open', 'drop 2', 'fourths'))
    """
    row = np.array([pitches], np.int16)
    return tuple(kind for kind in KINDS if len(pitches) > 1 and of_kind(row, kind, chords=chords)[0])
