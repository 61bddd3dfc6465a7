"""Modes ordered from the brightest to the darkest.

Conventions
-----------
* A **mode** of a set is the set begun on one of its notes; its **heights** are the semitones of its notes above that
  tonic.
* **Brightness** is the sum of the heights: of two modes of one scale the one with the higher notes above its tonic
  is the brighter, as lydian is among the modes of the major scale and locrian is not (common practice; the sum is
  the simplest number that gives the order lydian, ionian, mixolydian, dorian, aeolian, phrygian, locrian).
* Modes of equal brightness form one **shade** and are named together: the sum does not rank them. In scales of 5, 7
  or 11 notes there are no ties, for brightness changes from tonic x to tonic y by 12 times the number of notes passed
  less n(y − x).
* A set of limited transposition has the same mode on several tonics; these are one mode.

The sum ranks any two modes of one set, but where one has some notes higher and some lower, it weighs them: such pairs
are `crossed`, and a musician may hear them otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from sonorarium.pcs.pcset import PcSet, SetFacts, step_pattern
from sonorarium.pcs.scales import ScaleKind, kind_of


@dataclass(frozen=True)
class RankedMode:
    """A mode of a set.

    Parameters
    ----------
    tonics : tuple of int
        Pitch classes on which the set shows this mode, ascending; more than one for limited transpositions.
    heights : tuple of int
        Semitones of its notes above the tonic, from 0 upward.
    """

    tonics: tuple[int, ...]
    heights: tuple[int, ...]

    @property
    def brightness(self) -> int:
        """Sum of the heights."""
        return sum(self.heights)

    @property
    def steps(self) -> tuple[int, ...]:
        """Semitones from each note to the next, the last up to the octave."""
        return step_pattern(self.heights)

    @property
    def kind(self) -> ScaleKind | None:
        """Its entry in the catalogue of scales, or None."""
        return kind_of(PcSet(self.heights))

    @property
    def name(self) -> str:
        """Its name in the catalogue of scales; where it has none, its steps: ``1-3-1-2-1-3-1``."""
        return self.kind.name if self.kind else "-".join(map(str, self.steps))


@dataclass(frozen=True)
class Shade:
    """All modes of a set that have one brightness.

    Parameters
    ----------
    brightness : int
    modes : tuple of RankedMode
        One, or several that are tied, by lowest tonic.
    """

    brightness: int
    modes: tuple[RankedMode, ...]

    @property
    def is_tied(self) -> bool:
        """Whether brightness leaves several modes unranked."""
        return len(self.modes) > 1


def ranked_modes(notes: SetFacts) -> tuple[RankedMode, ...]:
    """The different modes of a set, from the brightest to the darkest, ties by lowest tonic.

    >>> [mode.name for mode in ranked_modes(PcSet((0, 2, 4, 5, 7, 9, 11)))]
    ['lydian', 'major', 'mixolydian', 'dorian', 'minor', 'phrygian', 'locrian']
    """
    tonics: dict[tuple[int, ...], list[int]] = {}
    for tonic in notes.pcs:
        heights = tuple((pc - tonic) % 12 for pc in notes.pcset.rising_from(tonic))
        tonics.setdefault(heights, []).append(tonic)
    found = [RankedMode(tuple(on), heights) for heights, on in tonics.items()]
    return tuple(sorted(found, key=lambda mode: (-mode.brightness, mode.tonics)))


def shades(notes: SetFacts) -> tuple[Shade, ...]:
    """The modes of a set from the brightest to the darkest, those of equal brightness together.

    >>> for shade in shades(PcSet((0, 1, 4, 5, 7, 8, 11))):
    ...     print(shade.brightness, [mode.tonics[0] for mode in shade.modes])
    41 [1]
    40 [8]
    37 [5]
    36 [0]
    35 [7]
    32 [4]
    31 [11]
    """
    return tuple(
        Shade(brightness, tuple(modes))
        for brightness, modes in groupby(ranked_modes(notes), key=lambda mode: mode.brightness)
    )


def crossed(one: RankedMode, other: RankedMode) -> bool:
    """Whether each of two modes of a set has some degree higher than the other, so that the sum has to weigh them.

    >>> lydian, major, *_ = ranked_modes(PcSet((0, 2, 4, 5, 7, 9, 11)))
    >>> crossed(lydian, major)
    False
    """
    pairs = list(zip(one.heights, other.heights, strict=True))
    return any(a > b for a, b in pairs) and any(a < b for a, b in pairs)
