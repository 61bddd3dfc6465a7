"""How like one voicing is to another: "voice this like that chord".

Two things make voicings alike. **Movement**: little has to move from one to the other, with as many voices as the
larger has notes, and no crossing; notes of the smaller part or join (the least voice leading in semitones, as in
`sonorarium.pitch.leading`: Dmitri Tymoczko, The geometry of musical chords, Science 313, 2006). **Profile**: their
notes stand apart by the same distances, wherever they lie; where one of them has more notes, those are passed by that
make the rest most alike. A transposition has the same profile, however far it moves.

Both are told for many voicings against one model at once, by dynamic programming over the notes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pitch.candidates import Placements

Ints = NDArray[np.int64]
_FAR = 1 << 20


def movement(rows: Placements, model: tuple[int, ...]) -> Ints:
    """Semitones of the least voice leading from a model to each of many voicings.

    Parameters
    ----------
    rows : ndarray of int, shape (voicings, notes)
        Rising MIDI numbers.
    model : tuple of int
        Rising MIDI numbers, at least one.

    Returns
    -------
    ndarray of int, shape (voicings,)

    Raises
    ------
    InputError
        Where the model has no notes.

    Examples
    --------
    >>> movement(np.array([[48, 55, 65, 69], [48, 55, 64, 72]]), (48, 55, 64, 71)).tolist()
    [3, 1]
    >>> movement(np.array([[60, 64, 67, 72]]), (60, 64, 67)).tolist()
    [5]
    """
    _check(model)
    more, fewer = _by_size(rows, model)
    before = np.full((len(rows), fewer.shape[1] + 1), _FAR, np.int64)
    before[:, 0] = 0
    for note in range(more.shape[1]):
        far = np.abs(more[:, note, None] - fewer)
        before[:, 1:] = far + np.minimum(before[:, 1:], before[:, :-1])
        before[:, 0] = _FAR
    return before[:, -1]


def profile_difference(rows: Placements, model: tuple[int, ...]) -> Ints:
    """Semitones by which the distances between neighbours differ from those of a model, in all.

    Parameters
    ----------
    rows : ndarray of int, shape (voicings, notes)
        Rising MIDI numbers.
    model : tuple of int
        Rising MIDI numbers, at least one.

    Returns
    -------
    ndarray of int, shape (voicings,)

    Raises
    ------
    InputError
        Where the model has no notes.

    Examples
    --------
    >>> profile_difference(np.array([[50, 57, 66, 73], [50, 57, 65, 72]]), (48, 55, 64, 71)).tolist()
    [0, 1]
    """
    _check(model)
    more, fewer = _by_size(rows, model)
    reached = [np.zeros(len(rows), np.int64)] * more.shape[1]
    for note in range(1, fewer.shape[1]):
        wanted = fewer[:, note] - fewer[:, note - 1]
        reached = [_nearest(reached, more, place, wanted) for place in range(more.shape[1])]
    return np.asarray(np.minimum.reduce(reached))


def _by_size(rows: Placements, model: tuple[int, ...]) -> tuple[Ints, Ints]:
    """Voicings and model, those with more notes first."""
    wide = rows.astype(np.int64)
    goal = np.broadcast_to(np.asarray(model, np.int64), (len(rows), len(model)))
    return (wide, goal) if wide.shape[1] >= len(model) else (goal, wide)


def _nearest(reached: list[Ints], more: Ints, place: int, wanted: Ints) -> Ints:
    """Least difference so far where the next note is at a place: over all places of the note before it."""
    options = [reached[i] + np.abs(more[:, place] - more[:, i] - wanted) for i in range(place)]
    return np.asarray(np.minimum.reduce(options)) if options else np.full(len(more), _FAR)


def _check(model: tuple[int, ...]) -> None:
    if not model:
        raise InputError("There is no voicing to be like.", value=model, suggestion="Give at least one pitch.")
