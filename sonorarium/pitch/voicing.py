"""Voicings: pitch classes as real pitches, from low to high.

Pitches are MIDI numbers, middle C = 60, in ascending order; a pitch may occur once.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import Spelled
from sonorarium.pcs.subject import Subject


@dataclass(frozen=True, order=True)
class Voicing:
    """Pitches sounding together.

    Parameters
    ----------
    pitches : tuple of int
        MIDI numbers 0 to 127, ascending, without repeats.

    Raises
    ------
    InputError
        Where a pitch is out of range or out of order.

    Examples
    --------
    >>> Voicing((48, 55, 64)).pcset
    PcSet((0, 4, 7))
    """

    pitches: tuple[int, ...]

    def __post_init__(self) -> None:
        if any(not 0 <= p <= 127 for p in self.pitches):
            raise InputError(
                f"{self.pitches} goes beyond the MIDI range.", value=self.pitches, suggestion="Use 0 to 127."
            )
        if any(a >= b for a, b in zip(self.pitches, self.pitches[1:], strict=False)):
            raise InputError(f"{self.pitches} does not rise.", value=self.pitches, suggestion="Sort it, low to high.")

    @property
    def pcset(self) -> PcSet:
        """The pitch classes that sound."""
        return PcSet(p % 12 for p in self.pitches)


def close_position(rising: tuple[int, ...], *, lowest: int = 60) -> Voicing:
    """Set pitch classes in rising order as closely as they go.

    Parameters
    ----------
    rising : tuple of int
        Pitch classes in the order in which they shall rise; the first is the bass.
    lowest : int
        The bass is the first of its pitch class at or above this MIDI number.

    Returns
    -------
    Voicing

    Examples
    --------
    >>> close_position((2, 3, 6, 7, 9, 10, 1)).pitches
    (62, 63, 66, 67, 69, 70, 73)
    """
    if not rising:
        return Voicing(())
    pitches = [lowest + (rising[0] - lowest) % 12]
    for pc in rising[1:]:
        pitches.append(pitches[-1] + ((pc - pitches[-1]) % 12 or 12))
    return Voicing(tuple(pitches))


def usual_voicing(shown: Subject) -> Voicing:
    """The voicing in which a set is shown and heard: as its notes were typed with octaves, else in close position.

    >>> from sonorarium.pcs.subject import subject
    >>> usual_voicing(subject("C3 G3 E4")).pitches, usual_voicing(subject("E/C")).pitches
    ((48, 55, 64), (60, 64, 68, 71))
    """
    if shown.pitches:
        return Voicing(shown.pitches)
    return close_position(shown.pcset.rising_from(shown.bass.pc) if shown.bass else shown.rising)


def written(pitches: tuple[int, ...], names: Iterable[Spelled]) -> tuple[tuple[int, int, int], ...]:
    """Write pitches with given names.

    Parameters
    ----------
    pitches : tuple of int
        MIDI numbers.
    names : iterable of Spelled
        A name for each pitch class that occurs; more do no harm.

    Returns
    -------
    tuple of (int, int, int)
        Letter (0 C to 6 B), alteration in semitones, octave (4 begins with middle C) of each pitch.

    Raises
    ------
    InputError
        Where a pitch has no name among those given.

    Examples
    --------
    >>> written((59, 60), (Spelled(0, -1), Spelled(6, 1)))
    ((0, -1, 4), (6, 1, 3))
    """
    by_pc = {name.pc: name for name in names}
    missing = [p for p in pitches if p % 12 not in by_pc]
    if missing:
        raise InputError(f"There is no name given for pitch {missing[0]}.", value=missing[0])
    found = ((p, by_pc[p % 12]) for p in pitches)
    return tuple((name.step, name.alter, (p - name.alter) // 12 - 1) for p, name in found)
