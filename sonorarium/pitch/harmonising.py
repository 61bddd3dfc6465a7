"""Harmonising: chords of a palette under a melody.

A melody is divided into spans, one chord each (`sonorarium.pitch.melody`). A chord may stand over a span if it holds
the melody's first note there, and, of the melody's sounding time, all but a share that may be foreign: passing notes
and neighbours. The melody's note is the **top** voice, an **inner** voice, or **any**; where it is the top, the other
voices stay below the lowest note that the melody reaches in the span, and where a bass line is given, above the
highest that the bass reaches.

What is weighed is `Taste`: smoothness, parallels, roughness, variety of classes, and staying in a home where the
palette has homes. The whole melody is harmonised at once, and the answers come in order; those listed differ in at
least so many chords as asked. Where there are too many voicings to weigh them all, the answer says how many were
left out (`sonorarium.pitch.realising`).

Common practice, and this program's own weights; no published model is followed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache, partial
from typing import Literal

import numpy as np

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.family import Family
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, Placements, placements
from sonorarium.pitch.melody import Melody, Span, length_of, propose_spans, read_melody, span_between, spans
from sonorarium.pitch.palette import Palette, palette
from sonorarium.pitch.realising import (
    Choices,
    Realisation,
    Realisations,
    Taste,
    choices,
    realised,
    step_prices,
)

Place = Literal["top", "inner", "any"]
ROOM = Compass(43, 79, gap=12)
"""Where voices lie unless something is said: G2 to G5, neighbours an octave apart at most."""
USUAL = Taste(variety=2.0, home=2.0)
"""What is weighed unless something is said."""


@dataclass(frozen=True)
class Setting:
    """How a melody is set.

    Parameters
    ----------
    voices : int
        The melody's note included.
    compass : Compass
        Where the voices lie; a melody on top may go beyond it, and so may a bass that is given.
    place : str
        Whether the melody's note is the ``top`` voice, an ``inner`` one, or ``any``.
    pace : Fraction
        About how many quarter notes a chord lasts where the chord rhythm is to be proposed.
    foreign : Fraction
        Which share of the melody's sounding time in a span may be foreign to its chord, 0 to 1. The first note never.
    sizes : tuple of int
        How many notes chords have where they are taken from a family.
    apart : int
        In how many chords each answer differs from every one before it.
    taste : Taste
        What is weighed.

    Raises
    ------
    InputError
        Where a number is out of range.

    Examples
    --------
    >>> Setting(voices=5, place="inner").place
    'inner'
    """

    voices: int = 4
    compass: Compass = ROOM
    place: Place = "top"
    pace: Fraction = Fraction(1)
    foreign: Fraction = Fraction(0)
    sizes: tuple[int, ...] = (3, 4)
    apart: int = 1
    taste: Taste = USUAL

    def __post_init__(self) -> None:
        if self.place not in ("top", "inner", "any"):
            raise InputError(
                f"{self.place!r} is no place for a melody.", value=self.place, suggestion="Use top, inner or any."
            )
        if not 2 <= self.voices <= 12 or not 0 <= self.foreign <= 1:
            raise InputError(
                f"A melody cannot be set for {self.voices} voices with a share of {self.foreign} foreign.",
                value=(self.voices, self.foreign),
                suggestion="Use 2 to 12 voices and a share from 0 to 1.",
            )


@dataclass(frozen=True)
class Harmonisations:
    """A melody harmonised, in several ways.

    Parameters
    ----------
    spans : tuple of Span
        The time of each chord.
    realisations : Realisations
        The cheapest first.
    """

    spans: tuple[Span, ...]
    realisations: Realisations

    def __len__(self) -> int:
        return len(self.realisations)

    def __getitem__(self, place: int) -> Realisation:
        return self.realisations[place]


def harmonise(
    melody: str | Melody,
    chords: Palette | Family,
    *,
    rhythm: Sequence[Fraction | int] | None = None,
    bass: str | Melody = (),
    setting: Setting | None = None,
    limit: int = 3,
) -> Harmonisations:
    """Harmonise a melody with chords of a palette, or with the subsets of a family's members.

    Parameters
    ----------
    melody : str or tuple of MelodyNote
    chords : Palette or Family
    rhythm : sequence of Fraction, optional
        How long each chord lasts, in quarter notes; proposed where it is not given.
    bass : str or tuple of MelodyNote
        A bass line that is kept: its first note in each span is the lowest voice.
    setting : Setting, optional
        How it is set, and what is weighed.
    limit : int
        At most so many.

    Returns
    -------
    Harmonisations

    Raises
    ------
    InputError
        Where a melody is not understood, or the rhythm is not as long as it.
    NothingFoundError
        Where no chord of the palette holds the melody somewhere, or none finds room.

    Examples
    --------
    >>> scale = palette("3-11", inside="C major")
    >>> found = harmonise("E5 F5 D5 E5:2", scale, rhythm=(1, 1, 1, 2))
    >>> [voicing.pitches[-1] for voicing in found[0].voicings]
    [76, 77, 74, 76]
    >>> len(found), all(chord.set_class.label == "3-11" for chord in found[0].chords)
    (3, True)
    """
    setting = setting or Setting()
    if isinstance(chords, Family):
        chords = palette(inside=chords, sizes=setting.sizes)
    task = _Task(_melody(melody), _melody(bass), chords, setting)
    laid = (
        spans(task.melody, rhythm) if rhythm is not None else propose_spans(task.melody, task.setting.pace, task.fits)
    )
    places = [task.choices(span) for span in laid]
    step = partial(step_prices, taste=setting.taste, chords=chords)
    return Harmonisations(laid, realised(places, step, setting.taste, limit=limit, apart=setting.apart))


def reharmonise(
    melody: str | Melody,
    bass: str | Melody,
    family: Family,
    *,
    rhythm: Sequence[Fraction | int] | None = None,
    setting: Setting | None = None,
    limit: int = 3,
) -> Harmonisations:
    """Harmonise a passage anew by sets of a family, keeping its melody and, where given, its bass.

    Parameters
    ----------
    melody, bass : str or tuple of MelodyNote
        The passage; an empty bass leaves the bass free.
    family : Family
        Chords are subsets of its members; to go where no member holds both chords has a price (`Taste.home`).
    rhythm, setting, limit
        As for `harmonise`.

    Returns
    -------
    Harmonisations

    Raises
    ------
    InputError, NothingFoundError
        As for `harmonise`.

    Examples
    --------
    >>> from sonorarium.pcs.families import default_family
    >>> found = reharmonise("E5 F5 D5 E5", "C3 A2 B2 C3", default_family(), rhythm=(1, 1, 1, 1), limit=1)
    >>> [voicing.pitches[0] for voicing in found[0].voicings]
    [48, 45, 47, 48]
    """
    return harmonise(melody, family, rhythm=rhythm, bass=bass, setting=setting, limit=limit)


def _melody(melody: str | Melody) -> Melody:
    return read_melody(melody) if isinstance(melody, str) else tuple(melody)


@dataclass(frozen=True, eq=False)
class _Task:
    melody: Melody
    bass: Melody
    palette: Palette
    setting: Setting

    def __post_init__(self) -> None:
        long, bass_long = length_of(self.melody), length_of(self.bass)
        if not self.melody or (self.bass and long != bass_long):
            raise InputError(
                f"A melody of {long} quarters over a bass of {bass_long} makes no passage.",
                value=(self.melody, self.bass),
                suggestion="Give a melody, and a bass of the same length or none.",
            )

    def fits(self, span: Span) -> bool:
        """Whether some chord of the palette may stand there."""
        return any(self.holds(chord.mask, span) for chord in self.palette.chords)

    def holds(self, mask: int, span: Span) -> bool:
        below = self.bass_in(span).first
        if below is not None and not mask >> below % 12 & 1:
            return False
        if mask.bit_count() > self.setting.voices:
            return False
        return span.first is None or (
            bool(mask >> span.first % 12 & 1) and span.foreign_to(mask) <= self.setting.foreign
        )

    def bass_in(self, span: Span) -> Span:
        return span_between(self.bass, span.onset, span.end)

    def choices(self, span: Span) -> Choices:
        below = self.bass_in(span)
        by_set = [(c.mask, self._rows(c, span, below)) for c in self.palette.chords if self.holds(c.mask, span)]
        found = choices(by_set)
        if not len(found):
            raise NothingFoundError(
                f"No chord of the palette can stand from quarter {span.onset} to {span.end}.",
                value=span,
                suggestion="Allow more chords, more room, or foreign notes in the melody.",
            )
        return found

    def _rows(self, chord: PcSet, span: Span, below: Span) -> Placements:
        """Voicings of a chord that have the melody, and the bass, where these belong."""
        on_top = self.setting.place == "top"
        rows = self._placed(chord, span.first if on_top else None, below)
        if span.first is None or span.lowest is None:
            return rows
        fitting = rows[:, -2] < span.lowest if on_top else (self._inside(rows) == span.first).any(axis=1)
        return np.asarray(rows[fitting])

    def _inside(self, rows: Placements) -> Placements:
        return rows[:, 1:-1] if self.setting.place == "inner" else rows

    def _placed(self, chord: PcSet, top: int | None, below: Span) -> Placements:
        """Place the voices, those over a given bass by themselves: the bass may lie outside the compass."""
        voices, compass = self.setting.voices, self.setting.compass
        if below.first is None or below.highest is None:
            return _placements(chord, voices, compass, 0, top)
        upper = _placements(chord, voices - 1, compass, 1, top)
        upper = upper[upper[:, 0] > below.highest]
        if compass.gap is not None and voices > 2:
            upper = upper[np.diff(upper, axis=1).max(axis=1) <= compass.gap]
        rows = np.column_stack([np.full(len(upper), below.first, np.int16), upper])
        heard = np.bitwise_or.reduce(1 << (rows.astype(np.int64) % 12), axis=1)
        return np.asarray(rows[chord.mask & ~heard == 0])


@lru_cache(maxsize=4096)
def _placements(chord: PcSet, voices: int, compass: Compass, omit: int, top: int | None) -> Placements:
    return placements(chord, voices, compass, omit=omit, top=top)
