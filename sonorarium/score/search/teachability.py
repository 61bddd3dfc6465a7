"""Teachability: how easily a passage is shown to a class, from 0 to 1, with the plain facts behind it.

A good example fits on part of a page, is a whole thought rather than a cutting, and can be played at the keyboard by
whoever teaches (common practice). Let d be the length of the passage in bars (over the length, by its metre, of the
bar in which it begins), n the number of bars that it touches, and m the number of its notes. Then::

    length      min(1, d / 2) × min(1, 8 / n)      best from two bars to eight
    staves      min(1, 2 / s)                      s: staves on which its notes are written
    texture     min(1, 4 / v)                      v: most notes that sound at once
    density     min(1, 16 / (m / max(1, d)))       up to sixteen notes in a bar
    beginning   (b + r) / 2                        b: 1 where it begins on a downbeat; r: 1 where its parts were
                                                   silent just before, or the piece begins
    wholeness   1 − h / m                          h: notes that began before it and are held into it

    total       0.30 length + 0.15 staves + 0.15 texture + 0.15 density + 0.15 beginning + 0.10 wholeness

The numbers are our own and a judgement. How a passage sounds, and how well the piece is known, no formula says.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from sonorarium.score.metre import Metre
from sonorarium.score.score import Notes
from sonorarium.score.slices import Ticks

WEIGHTS = (30, 15, 15, 15, 15, 10)
"""Weights of length, staves, texture, density, beginning and wholeness, in hundredths."""


@dataclass(frozen=True)
class Teachability:
    """The facts of a passage that tell how easily it is shown.

    Parameters
    ----------
    length_bars : Fraction
        How many bars long it is.
    bars : int
        How many bars it touches.
    staves : int
        On how many staves its notes are written.
    notes : int
        How many notes it has.
    at_once : int
        The most of them that sound at once.
    begins_bar : bool
        Whether it begins on a downbeat.
    after_rest : bool
        Whether its parts were silent just before it, or the piece begins with it.
    held_in : int
        How many of its notes began before it.

    Examples
    --------
    >>> Teachability(Fraction(4), 4, 2, 40, 4, True, True, 0).total
    1.0
    >>> Teachability(Fraction(1, 2), 1, 4, 8, 8, True, False, 2).parts
    (0.25, 0.5, 0.5, 1.0, 0.5, 0.75)
    """

    length_bars: Fraction
    bars: int
    staves: int
    notes: int
    at_once: int
    begins_bar: bool
    after_rest: bool
    held_in: int

    @property
    def notes_per_bar(self) -> Fraction:
        """How dense it is; a passage shorter than a bar counts as one."""
        return self.notes / max(Fraction(1), self.length_bars)

    @property
    def parts(self) -> tuple[float, ...]:
        """Length, staves, texture, density, beginning and wholeness, each from 0 to 1, to four places."""
        length = min(Fraction(1), self.length_bars / 2) * min(Fraction(1), Fraction(8, self.bars))
        exact = (
            length,
            min(Fraction(1), Fraction(2, self.staves)),
            min(Fraction(1), Fraction(4, self.at_once)),
            min(Fraction(1), 16 / self.notes_per_bar),
            Fraction(self.begins_bar + self.after_rest, 2),
            1 - Fraction(self.held_in, self.notes),
        )
        return tuple(round(float(part), 4) for part in exact)

    @property
    def total(self) -> float:
        """Weighted mean of the parts, to four places."""
        return round(sum(w * round(p * 10_000) for w, p in zip(WEIGHTS, self.parts, strict=True)) / 1_000_000, 4)

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON: the total, then the facts."""
        return {
            "total": self.total,
            "length_bars": round(float(self.length_bars), 4),
            "bars": self.bars,
            "staves": self.staves,
            "notes": self.notes,
            "at_once": self.at_once,
            "notes_per_bar": round(float(self.notes_per_bar), 4),
            "begins_bar": self.begins_bar,
            "after_rest": self.after_rest,
            "held_in": self.held_in,
        }


def teachability(notes: Notes, extent: tuple[int, int], metre: Metre, searched: Notes) -> Teachability:
    """Gather the facts of a passage.

    Parameters
    ----------
    notes : ndarray, dtype `sonorarium.score.score.NOTE`
        Its notes.
    extent : (int, int)
        Where it begins and ends, in ticks.
    metre : Metre
    searched : ndarray, dtype `sonorarium.score.score.NOTE`
        All notes of the parts that were searched, in the order of the note table.

    Returns
    -------
    Teachability
    """
    onset, end = extent
    bar_length = int(metre.lengths_at(np.array([onset]))[0])
    before = searched[: int(np.searchsorted(searched["onset"], onset))]
    sounding = before["part"][before["onset"] + before["duration"] >= onset]
    return Teachability(
        Fraction(end - onset, bar_length),
        metre.bar_index(end - 1) - metre.bar_index(onset) + 1,
        len(np.unique(notes["part"].astype(np.int64) * 256 + notes["staff"])),
        len(notes),
        _at_once(np.maximum(notes["onset"], onset), np.minimum(notes["onset"] + notes["duration"], end)),
        metre.place(onset).beat == 1,
        not np.isin(sounding, notes["part"]).any(),
        int((notes["onset"] < onset).sum()),
    )


def _at_once(onsets: Ticks, ends: Ticks) -> int:
    begun = np.searchsorted(np.sort(onsets), onsets, side="right")
    ended = np.searchsorted(np.sort(ends), onsets, side="right")
    return int((begun - ended).max())
