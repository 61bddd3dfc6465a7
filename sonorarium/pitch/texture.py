"""Textures carried on: more chords in the manner of those heard.

What makes the manner is the number of voices, where they lie, how far they stand apart, and how far they move from
chord to chord. New chords come from a palette; of all ways to go on, those are taken that are nearest to the averages
of what was heard, by prices that can be set. The weights are this program's own; no published model is followed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, Placements, placements
from sonorarium.pitch.motion import movement
from sonorarium.pitch.palette import Palette
from sonorarium.pitch.realising import (
    Choices,
    Prices,
    Realisation,
    Realisations,
    Taste,
    choices,
    realised,
    step_prices,
)
from sonorarium.pitch.voicing import Voicing


def carry_on(
    heard: Sequence[Voicing],
    chords: Palette,
    steps: int,
    *,
    likeness: float = 0.5,
    taste: Taste | None = None,
    limit: int = 3,
) -> Realisations:
    """Continue a texture: more voicings in the manner of those heard.

    The number of voices stays; the compass is that of what was heard and a whole tone more on either side; voices are
    spaced about as they were; and each step moves about as far as the steps before it did, on average.

    Parameters
    ----------
    heard : sequence of Voicing
        One or more, of one size; the new ones follow the last.
    chords : Palette
    steps : int
        How many chords to add, 1 or more.
    likeness : float
        Price of each semitone by which a distance between neighbouring voices differs from its average before.
    taste : Taste, optional
        What is weighed besides; by default parallels at 6 and two chords of one class in a row at 2. Smoothness
        here is the price of each semitone by which a step is longer or shorter than the average.
    limit : int
        At most so many.

    Returns
    -------
    Realisations
        The new voicings alone.

    Raises
    ------
    InputError
        Where nothing was heard, the sizes differ, or no steps are asked for.
    NothingFoundError
        Where no chord of the palette finds room.

    Examples
    --------
    >>> from sonorarium.pitch.palette import palette
    >>> heard = (Voicing((48, 55, 64)), Voicing((50, 57, 65)))
    >>> found = carry_on(heard, palette("3-11", inside="C major"), 2, limit=1)
    >>> [len(voicing.pitches) for voicing in found[0].voicings]
    [3, 3]
    """
    taste = taste or Taste(variety=2.0)
    sizes = {len(voicing.pitches) for voicing in heard}
    if len(sizes) != 1 or sizes == {0} or steps < 1 or not likeness >= 0:
        raise InputError(
            "A texture is continued from one voicing or more, all of one size, by one chord or more.",
            value=(heard, steps, likeness),
        )
    rows = np.array([voicing.pitches for voicing in heard], np.int16)
    texture = _Texture(rows, chords, likeness, taste)
    last = choices([(heard[-1].pcset.mask, rows[-1:])])
    found = realised([last, *[texture.choices()] * steps], texture.steps, taste, limit=limit)
    return replace(found, found=tuple(map(_without_first, found.found)))


def _without_first(whole: Realisation) -> Realisation:
    return replace(whole, chords=whole.chords[1:], voicings=whole.voicings[1:])


@dataclass(frozen=True, eq=False)
class _Texture:
    rows: Placements
    palette: Palette
    likeness: float
    taste: Taste

    @property
    def known(self) -> Palette:
        """The palette, and the chord from which to go on."""
        return self.palette.with_chords([PcSet(int(pitch) % 12 for pitch in self.rows[-1])])

    def choices(self) -> Choices:
        low, high = int(self.rows.min()), int(self.rows.max())
        compass = Compass(max(0, low - 2), min(127, high + 2))
        voices = self.rows.shape[1]
        fitting = [chord for chord in self.palette.chords if len(chord) <= voices]
        found = choices([(c.mask, placements(c, voices, compass)) for c in fitting])
        if not len(found):
            raise NothingFoundError("No chord of the palette finds room in the texture.", value=compass)
        gaps = np.diff(self.rows, axis=1).mean(axis=0)
        unlike = np.abs(np.diff(found.rows, axis=1) - gaps).sum(axis=1)
        return Choices(found.rows, found.masks, self.likeness * unlike)

    def steps(self, one: Choices, other: Choices) -> Prices:
        """Prices of steps, with movement counted from the average before."""
        usual = np.abs(np.diff(self.rows, axis=0)).sum(axis=1).mean() if len(self.rows) > 1 else 0.0
        moved = movement(one.rows, other.rows).astype(np.float64)
        prices = step_prices(one, other, self.taste, self.known) - self.taste.smooth * moved
        return prices + self.taste.smooth * np.abs(moved - usual)
