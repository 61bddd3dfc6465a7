"""The likely centre of a stretch: which of its notes the music turns on, and what speaks for it.

A collection does not tell its centre: the notes of C major are those of A minor and of D dorian. Seven kinds of
evidence are weighed, each a share from 0 to 1 for each pitch class:

* **bass**: of the time in which anything sounds, how much it is the lowest note;
* **duration**: of the time of all sounding pitch classes, how much is its own;
* **metre**: of the downbeats on which anything sounds, on how many it is the lowest note;
* **fifth**: of the time in which perfect fifths sound, how much it is the root of one;
* and three that make a cadence: **ending**: of the ends of phrases, at how many it is the lowest note (a phrase ends
  where all parts rest, where the stretch ends, and with a slice that is as long as its bar); **fall**: of the steps
  of the bass down a fifth, or up a fourth, how many lead to it; **leading**: of the entries of a pitch class that the
  one a semitone below has just given way to, how many are its own.

Their weighted sum is the score of a pitch class. Where the first does not lead the second by `LEAST_LEAD`, the centre
is undecided, and both are named.

That the bass, long notes, strong places and cadences make a centre is common practice; see Temperley, The Cognition
of Basic Musical Structures (2001), ch. 7, and Tymoczko, A Geometry of Music (2011), sec. 1.3, both from memory. The
weights are our own, chosen on chorales of even number and madrigals of the fourth book (`bench/analyses.py`); the
benchmark of tracing reports on others.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.pcs.spelling import Spelled
from sonorarium.score.metre import Metre
from sonorarium.score.slices import Rows, Slices

WEIGHTS = {
    "bass": 0.1,
    "duration": 0.1,
    "metre": 0.15,
    "fifth": 0.15,
    "ending": 0.1,
    "fall": 0.15,
    "leading": 0.25,
}
"""What each kind of evidence counts."""

_WORDS = {
    "bass": "bass",
    "duration": "sound",
    "metre": "downbeats",
    "fifth": "fifths",
    "ending": "endings",
    "fall": "falls of a fifth",
    "leading": "leading steps",
}

LEAST_LEAD = 0.05
"""By how much the best pitch class has to lead for a centre to be decided."""

Shares = NDArray[np.float64]


@dataclass(frozen=True)
class Candidate:
    """A pitch class as a centre, and what speaks for it.

    Parameters
    ----------
    note : Spelled
    bass, duration, metre, fifth, ending, fall, leading : float
        Shares from 0 to 1.
    """

    note: Spelled
    bass: float
    duration: float
    metre: float
    fifth: float
    ending: float
    fall: float
    leading: float

    @property
    def score(self) -> float:
        """Weighted sum of all, 0 to 1."""
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
    >>> d = Candidate(Spelled(1), 0.6, 0.3, 0.5, 0.5, 1.0, 0.75, 0.5)
    >>> a = Candidate(Spelled(5), 0.2, 0.2, 0.3, 0.5, 0.0, 0.25, 0.1)
    >>> centre = Centre(d, a)
    >>> centre.note.text, round(centre.lead, 2)
    ('D', 0.35)
    >>> centre.sentence
    'D: 60 % of the bass, 30 % of the sound, 50 % of the downbeats, 50 % of the fifths, 100 % of the endings, \
75 % of the falls of a fifth, 50 % of the leading steps.'
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
        told = (f"{100 * getattr(self.first, name):.0f} % of the {words}" for name, words in _WORDS.items())
        return f"{self.first.note.text}: {', '.join(told)}."


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
    """All kinds of evidence for each stretch and pitch class: each of shape (stretches, 12).

    Parameters
    ----------
    slices : Slices
    cuts : ndarray of int, shape (stretches + 1,)
        Stretch i holds the slices from ``cuts[i]`` up to, not including, ``cuts[i + 1]``.
    """
    low, long = lowest(slices), slices.durations.astype(float)[:, None]
    metre, sounds = Metre(slices.score), low >= 0
    at_rest = np.append(~sounds[1:], True)
    at_rest[cuts[1:] - 1] = True
    ending = sounds & (at_rest | (long[:, 0] >= metre.lengths_at(slices.onsets)))
    bass = sounds[:, None] & (np.arange(12) == (low % 12)[:, None])
    sounding = tables.members()[slices.masks]
    before = np.vstack([np.zeros((1, 12), bool), sounding[:-1]])
    falls = sounds & np.append(False, (np.diff(low) % 12 == 5) & sounds[:-1])
    told = {
        "bass": bass * long,
        "duration": sounding * long,
        "metre": bass & (metre.strengths_at(slices.onsets) == 1)[:, None],
        "fifth": (sounding & np.roll(sounding, -7, axis=1)) * long,
        "ending": bass & ending[:, None],
        "fall": bass & falls[:, None],
        "leading": sounding & ~before & np.roll(before & ~sounding, 1, axis=1),
    }
    return {name: _shared(table, cuts) for name, table in told.items()}


def _shared(by_slice: NDArray[Any], cuts: Rows) -> Shares:
    """Sums over the slices of each stretch, divided by what they add up to; nothing stays nothing."""
    table = np.add.reduceat(by_slice.astype(float), cuts[:-1], axis=0)
    return np.asarray(table / np.maximum(table.sum(axis=1, keepdims=True), 1e-12), np.float64)


def score_of(found: dict[str, Shares]) -> Shares:
    """Weighted sum of all kinds of evidence: shape (stretches, 12)."""
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
