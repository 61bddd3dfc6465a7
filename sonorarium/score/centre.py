"""The likely centre of a stretch: which of its notes the music turns on, and what speaks for it.

A collection does not tell its centre: the notes of C major are those of A minor and of D dorian. Four kinds of
evidence are weighed, each a share from 0 to 1 for each pitch class:

* **bass**: of the time in which anything sounds, how much it is the lowest note;
* **duration**: of the time of all sounding pitch classes, how much is its own;
* **metre**: of the downbeats on which anything sounds, on how many it is the lowest note;
* **cadence**: of the ends of phrases, at how many it is the lowest note. A phrase ends where all parts rest, where
  the stretch ends, and with a slice that is as long as its bar.

Their weighted sum is the score of a pitch class. Where the first does not lead the second by `LEAST_LEAD`, the
centre is undecided, and both are named.

That the bass, long notes, strong places and endings make a centre is common practice; see Temperley, The Cognition of
Basic Musical Structures (2001), ch. 7, and Tymoczko, A Geometry of Music (2011), sec. 1.3, both from memory. The
weights are our own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.pcs.spelling import Spelled
from sonorarium.score.metre import Metre
from sonorarium.score.slices import Rows, Slices

WEIGHTS = {"bass": 0.3, "duration": 0.2, "metre": 0.2, "cadence": 0.3}
"""What each kind of evidence counts."""

LEAST_LEAD = 0.05
"""By how much the best pitch class has to lead for a centre to be decided."""

Shares = NDArray[np.float64]


@dataclass(frozen=True)
class Candidate:
    """A pitch class as a centre, and what speaks for it.

    Parameters
    ----------
    note : Spelled
    bass, duration, metre, cadence : float
        Shares from 0 to 1.
    """

    note: Spelled
    bass: float
    duration: float
    metre: float
    cadence: float

    @property
    def score(self) -> float:
        """Weighted sum of the four, 0 to 1."""
        return round(sum(weight * float(getattr(self, name)) for name, weight in WEIGHTS.items()), 4)


@dataclass(frozen=True)
class Centre:
    """The likely centre of a stretch.

    Parameters
    ----------
    first : Candidate
    second : Candidate or None
        The next best; None where only one pitch class sounds.

    Examples
    --------
    >>> d, a = Candidate(Spelled(1), 0.6, 0.3, 0.5, 1.0), Candidate(Spelled(5), 0.2, 0.2, 0.3, 0.0)
    >>> centre = Centre(d, a)
    >>> centre.note.text, round(centre.lead, 2), centre.sentence
    ('D', 0.48, 'D: 60 % of the bass, 30 % of the sound, 50 % of the downbeats, 100 % of the endings.')
    """

    first: Candidate
    second: Candidate | None = None

    @property
    def lead(self) -> float:
        """By how much the first leads."""
        return self.first.score - (self.second.score if self.second else 0.0)

    @property
    def decided(self) -> bool:
        """Whether it leads clearly."""
        return self.lead >= LEAST_LEAD

    @property
    def note(self) -> Spelled | None:
        """The centre, or None where it is undecided."""
        return self.first.note if self.decided else None

    @property
    def sentence(self) -> str:
        """What speaks for it, or between which two it is undecided."""
        if not self.decided and self.second:
            return f"Undecided between {self.first.note.text} and {self.second.note.text}."
        first = self.first
        return (
            f"{first.note.text}: {first.bass:.0%} of the bass, {first.duration:.0%} of the sound, "
            f"{first.metre:.0%} of the downbeats, {first.cadence:.0%} of the endings."
        ).replace("%", " %")


def lowest(slices: Slices) -> NDArray[np.int64]:
    """Lowest pitch of each slice, a MIDI number: shape (slices,); -1 where nothing sounds."""
    notes = slices.score.notes[slices.rows]
    first = np.searchsorted(slices.cuts, notes["onset"])
    count = np.searchsorted(slices.cuts, notes["onset"] + notes["duration"]) - first
    every = np.repeat(first - np.cumsum(count) + count, count) + np.arange(count.sum())
    out = np.full(len(slices), 999, np.int64)
    np.minimum.at(out, every, np.repeat(notes["pitch"].astype(np.int64), count))
    return np.where(out == 999, -1, out)


def shares(slices: Slices, cuts: Rows) -> dict[str, Shares]:
    """The four kinds of evidence for each stretch and pitch class: each of shape (stretches, 12).

    Parameters
    ----------
    slices : Slices
    cuts : ndarray of int, shape (stretches + 1,)
        Stretch i holds the slices from ``cuts[i]`` up to, not including, ``cuts[i + 1]``.
    """
    stretch = np.repeat(np.arange(len(cuts) - 1), np.diff(cuts))
    low, long = lowest(slices), slices.durations.astype(float)
    sounds = low >= 0
    metre = Metre(slices.score)
    downbeat = sounds & (metre.strengths_at(slices.onsets) == 1)
    rest_follows = np.append(~sounds[1:], True)
    rest_follows[cuts[1:] - 1] = True
    long_enough = long >= metre.lengths_at(slices.onsets)
    ending = sounds & (rest_follows | long_enough)
    sounding = np.add.reduceat(tables.members()[slices.masks] * long[:, None], cuts[:-1], axis=0)
    lows = {"bass": (sounds, long), "metre": (downbeat, None), "cadence": (ending, None)}
    counted = {name: _by_pc(stretch, low, where, of, len(cuts) - 1) for name, (where, of) in lows.items()}
    return {name: _shared(table) for name, table in (counted | {"duration": sounding}).items()}


def _by_pc(
    stretch: Rows, low: NDArray[np.int64], where: NDArray[np.bool_], weights: Shares | None, stretches: int
) -> Shares:
    """How often, or how long, each pitch class is the lowest in each stretch."""
    cells = stretch[where] * 12 + low[where] % 12
    counted = np.bincount(cells, None if weights is None else weights[where], minlength=12 * stretches)
    return np.asarray(counted, np.float64).reshape(stretches, 12)


def _shared(table: Shares) -> Shares:
    """Each row divided by its sum; rows of nothing stay nothing."""
    return np.asarray(table / np.maximum(table.sum(axis=1, keepdims=True), 1e-12), np.float64)


def score_of(found: dict[str, Shares]) -> Shares:
    """Weighted sum of the four kinds of evidence: shape (stretches, 12)."""
    return np.asarray(sum(weight * found[name] for name, weight in WEIGHTS.items()), np.float64)


def centre_of(found: dict[str, Shares], stretch: int, names: tuple[Spelled, ...]) -> Centre | None:
    """The likely centre of one stretch, or None where nothing sounds.

    Parameters
    ----------
    found : dict of str to ndarray, shape (stretches, 12)
        From `shares`.
    stretch : int
    names : tuple of Spelled
        How the twelve pitch classes are called in it.
    """
    total = score_of({name: table[stretch : stretch + 1] for name, table in found.items()})[0]
    best = [int(pc) for pc in np.argsort(-total, kind="stable")[:2] if total[pc] > 0]
    made = [
        Candidate(names[pc], **{name: round(float(found[name][stretch, pc]), 4) for name in WEIGHTS}) for pc in best
    ]
    return Centre(made[0], made[1] if len(made) > 1 else None) if made else None
