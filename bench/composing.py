"""Pieces made by rule, whose collections are known: for measuring a tracing, and for testing it.

A piece is a row of sections. In each, a few voices walk about in one collection, mostly by step, in notes of one half
to two beats of a bar of 4/4; some notes are then moved to a foreign pitch class a semitone away. Everything follows
from a seed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sonorarium.pcs import tables
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.spelling import NATURAL_PC
from sonorarium.score.score import BAR, NOTE, Part, Score

TICKS = 4
"""Ticks per quarter."""

BAR_TICKS = 4 * TICKS

_LONGS = np.array([2, 4, 4, 8])  # an eighth, a quarter twice as often, a half
_STEPS = np.array([-2, -1, -1, 1, 1, 2])
_NAMES = {(NATURAL_PC[step] + alter) % 12: (step, alter) for alter in (-1, 1, 0) for step in range(7)}


@dataclass(frozen=True)
class Section:
    """Some bars in one collection.

    Parameters
    ----------
    mask : int
        The collection, as a 12-bit integer.
    beats : int
        How many quarters long.
    """

    mask: int
    beats: int

    @classmethod
    def of(cls, notes: SetFacts | Sequence[int], bars: int) -> Section:
        """A section of so many bars in a set, or in pitch classes."""
        return cls(notes.mask if isinstance(notes, SetFacts) else PcSet(notes).mask, 4 * bars)


@dataclass(frozen=True, eq=False)
class Piece:
    """A piece and its truth.

    Parameters
    ----------
    score : Score
    sections : tuple of Section
    foreign : int
        How many notes were moved to a foreign pitch class.
    """

    score: Score
    sections: tuple[Section, ...]
    foreign: int

    @property
    def truth(self) -> list[tuple[int, int, int]]:
        """Onset, end and mask of each section, in ticks."""
        ends = np.cumsum([section.beats for section in self.sections]) * TICKS
        return [(int(end) - s.beats * TICKS, int(end), s.mask) for end, s in zip(ends, self.sections, strict=True)]


def compose(
    sections: Sequence[Section], *, seed: int, voices: int = 3, noise: float = 0.0, misprints: int | None = None
) -> Piece:
    """Make a piece.

    Parameters
    ----------
    sections : sequence of Section
    seed : int
    voices : int
        1 to 6; each lies a sixth above the one below.
    noise : float
        Chance of each note to be moved a semitone to a pitch class outside the collection.
    misprints : int, optional
        Exactly so many notes are moved, wherever they fall; ``noise`` is then left out of account.

    Returns
    -------
    Piece
    """
    rng = np.random.default_rng(seed)
    rows = [row for voice in range(voices) for row in _voice(sections, 48 + 9 * voice, voice, rng)]
    moved = np.zeros(len(rows), bool)
    if misprints is None:
        moved[:] = rng.random(len(rows)) < noise
    else:
        moved[rng.choice(len(rows), misprints, replace=False)] = True
    notes = np.zeros(len(rows), NOTE)
    for i, (onset, long, pitch, voice, mask) in enumerate(rows):
        sounding = _foreign(pitch, mask, rng) if moved[i] else pitch
        step, alter = _NAMES[sounding % 12]
        octave = (sounding - NATURAL_PC[step] - alter) // 12 - 1
        notes[i] = (onset, long, sounding, step, alter, octave, voice, 1, 0, onset // BAR_TICKS, 0, 0, 0, i)
    return Piece(_score(np.sort(notes, order=["onset", "part"]), sections, voices), tuple(sections), int(moved.sum()))


def _score(notes: np.ndarray[tuple[int], np.dtype[np.void]], sections: Sequence[Section], voices: int) -> Score:
    bars = np.zeros(-(-sum(section.beats for section in sections) // 4), BAR)
    bars["onset"] = np.arange(len(bars)) * BAR_TICKS
    bars["duration"], bars["beats"], bars["beat_type"] = BAR_TICKS, 4, 4
    bars["label"] = [str(i + 1) for i in range(len(bars))]
    parts = tuple(Part(f"P{i + 1}", f"Voice {i + 1}", voices=("1",)) for i in range(voices))
    return Score(notes, bars, parts, TICKS, title="A piece made by rule")


def _voice(
    sections: Sequence[Section], start: int, voice: int, rng: np.random.Generator
) -> list[tuple[int, int, int, int, int]]:
    """Onset, length, pitch, voice and collection of each note of one voice."""
    rows, pitch, tick = [], start, 0
    for section in sections:
        end = tick + section.beats * TICKS
        ladder = [p for p in range(start - 10, start + 14) if section.mask >> p % 12 & 1]
        while tick < end:
            long = int(min(rng.choice(_LONGS), end - tick))
            at = int(np.argmin([abs(p - pitch) for p in ladder])) + int(rng.choice(_STEPS))
            pitch = ladder[min(max(at, 0), len(ladder) - 1)]
            rows.append((tick, long, pitch, voice, section.mask))
            tick += long
    return rows


def _foreign(pitch: int, mask: int, rng: np.random.Generator) -> int:
    """The pitch moved by the fewest semitones, up or down, to a pitch class outside a collection."""
    way = int(rng.choice((-1, 1)))
    return next(p for by in range(1, 12) for p in (pitch + by * way, pitch - by * way) if not mask >> p % 12 & 1)


def random_sections(masks: Sequence[int], rng: np.random.Generator, *, count: int) -> list[Section]:
    """Sections of 3 to 12 bars in collections drawn from some; of two neighbours neither lies within the other.

    Six of ten begin on a downbeat, three in the middle of a bar, one on another beat; the piece ends with a full bar.
    """
    out: list[Section] = []
    at = 0
    while len(out) < count:
        mask = int(rng.choice(np.asarray(masks)))
        if not out or _differ(out[-1].mask, mask):
            end = (at // 4 + int(rng.integers(3, 13))) * 4 + int(rng.choice((0, 2, 1, 3), p=(0.6, 0.3, 0.05, 0.05)))
            end = end if len(out) < count - 1 else -(-end // 4) * 4
            out.append(Section(mask, end - at))
            at = end
    return out


def _differ(one: int, other: int) -> bool:
    return bool(one & ~other and other & ~one and tables.size()[one ^ other] >= 2)
