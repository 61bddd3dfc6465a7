"""The discrete Fourier transform of a set: six magnitudes and six phases.

Conventions
-----------
* Coefficient k of a set S is the sum over its pitch classes x of exp(−2πi kx/12), not divided by anything (Lewin
  1959; Quinn 2006-7; Amiot 2016). Coefficient 0 is the size; 7 to 11 mirror 5 to 1, so 1 to 6 say everything.
* The **magnitude** |Fk| tells how near a set comes to a division of the octave into k equal parts. It is the same
  for all forms of a class, for its complement, and for classes with the same interval vector.
* The **phase** is the angle of Fk: in degrees from 0 up to 360, or on a circle of twelve on which Tn adds −kn, so
  that a fifth upward adds 1 to the phase of F5, 30 degrees (Yust 2015; Amiot 2013). It tells which of the
  transpositions of that division the set lies nearest to. Where the magnitude is 0 there is no phase: None.
* `QUALITIES` names what each component measures, after Quinn's prototypes and Amiot (2016), ch. 4.

Sources
-------
David Lewin, Re: Intervallic relations between two collections of notes, Journal of Music Theory 3 (1959); Ian Quinn,
General equal-tempered harmony, Perspectives of New Music 44/2 and 45/1 (2006-7); Emmanuel Amiot, The torii of
phases (2013) and Music through Fourier Space (2016); Jason Yust, Schubert's harmonic language and Fourier phase
space, Journal of Music Theory 59 (2015).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs import tables
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.tables import frozen

COMPONENTS = (1, 2, 3, 4, 5, 6)
QUALITIES = ("chromatic", "quartal", "hexatonic", "octatonic", "diatonic", "whole-tone")
NOTHING = 1e-9


@dataclass(frozen=True)
class Component:
    """One component of the Fourier transform of a set.

    Parameters
    ----------
    k : int
        1 to 6.
    magnitude : float
        0 to the size of the set.
    phase_degrees : float or None
        0 up to 360; None where the magnitude is 0.
    """

    k: int
    magnitude: float
    phase_degrees: float | None

    @property
    def phase_twelfths(self) -> float | None:
        """The phase on a circle of twelve, 0 up to 12."""
        return None if self.phase_degrees is None else self.phase_degrees / 30

    @property
    def quality(self) -> str:
        """What the component measures."""
        return QUALITIES[self.k - 1]


@cache
def coefficients() -> NDArray[np.complex128]:
    """F0 to F6 of every set: shape (4096, 7)."""
    waves = np.exp(-2j * np.pi / 12 * (np.arange(12)[:, None] * np.arange(7) % 12))
    return frozen(tables.members() @ waves)


@cache
def magnitudes() -> NDArray[np.float64]:
    """|F1| to |F6| of every set: shape (4096, 6); what is nought but for rounding is 0."""
    found = np.abs(coefficients()[:, 1:])
    return frozen(np.where(found < NOTHING, 0.0, found))


@cache
def phases() -> NDArray[np.float64]:
    """Phases of F1 to F6 in degrees, 0 up to 360: shape (4096, 6); not a number where the magnitude is 0."""
    turned = np.degrees(np.angle(coefficients()[:, 1:])) % 360
    turned[360 - turned < 1e-7] = 0.0  # a hair below a whole turn is rounding
    return frozen(np.where(magnitudes() > 0, turned, np.nan))


def components(notes: SetFacts) -> tuple[Component, ...]:
    """The six components of a set.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> fifth = components(PcSet((0, 2, 4, 5, 7, 9, 11)))[4]
    >>> fifth.quality, round(fifth.magnitude, 3), round(fifth.phase_degrees, 1), round(fifth.phase_twelfths, 1)
    ('diatonic', 3.732, 60.0, 2.0)
    """
    pairs = zip(COMPONENTS, magnitudes()[notes.mask].tolist(), phases()[notes.mask].tolist(), strict=True)
    return tuple(Component(k, size, angle if size else None) for k, size, angle in pairs)


def fourier_magnitudes(notes: SetFacts) -> tuple[float, ...]:
    """|F1| to |F6| of a set.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> [round(size, 3) for size in fourier_magnitudes(PcSet((0, 3, 6, 9)))]
    [0.0, 0.0, 0.0, 4.0, 0.0, 0.0]
    """
    return tuple(magnitudes()[notes.mask].tolist())


def content_from_magnitudes(size: int, found: tuple[float, ...]) -> tuple[float, ...]:
    """Recover the interval content of a set from its size and its six magnitudes.

    The squared magnitudes are the transform of the content (Lewin 1959; the Wiener-Khinchin theorem), so that
    magnitudes and interval vector determine each other.

    Parameters
    ----------
    size : int
        Number of pitch classes.
    found : tuple of float
        |F1| to |F6|.

    Returns
    -------
    tuple of float
        Entry k: ordered pairs of notes k semitones apart, k from 0 to 11.

    Examples
    --------
    >>> [round(n) for n in content_from_magnitudes(3, (0, 0, 3, 0, 0, 3))]
    [3, 0, 0, 0, 3, 0, 0, 0, 3, 0, 0, 0]
    """
    power = np.array([size, *found], float) ** 2
    return tuple(np.fft.irfft(power, 12).tolist())
