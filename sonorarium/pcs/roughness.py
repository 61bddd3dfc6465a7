"""Roughness: how much the partials of sounding pitches beat against each other.

Two pure tones a little apart beat, are roughest at about a quarter of a critical bandwidth, and smooth beyond one
(Plomp and Levelt 1965). A chord of complex tones is rough by the sum over all pairs of its partials. The number
says nothing of context, register habits or style: it ranks sounds by one cause of dissonance among several.

Models
------
* `roughness` (Sethares 1993): partials at f1 < f2 with amplitudes a1, a2 give
  a1·a2·(exp(−3.5 s d) − exp(−5.75 s d)) with d = f2 − f1 in Hz and s = 0.24/(0.0207 f1 + 18.96), a fit to Plomp
  and Levelt's curves. Pairs within one tone count too. (His later programs weight by the smaller amplitude and use
  3.51; the product and 3.5 are those of 1993.) The default timbre is his: seven harmonics, each 0.88 times as strong
  as the one before it.
* `hutchinson_knopoff` (1978): the pairs give a1·a2·g(d/B), where B = 1.72 f^0.65 Hz is the critical bandwidth at
  the mean frequency, g(y) = (4ey·exp(−4y))² below y = 1.2 and 0 beyond; the sum is divided by the sum of the squared
  amplitudes. Eleven harmonics of amplitude 1/n; partials that coincide are joined, their energies added (as in
  Harrison and Pearce, Simultaneous consonance in music perception and composition, Psychological Review 127, 2020).
* `vassilakis_pair` (2001, 2005): one pair with the amplitude weighting (a1·a2)^0.1 · ½ · (2·min/(a1 + a2))^3.11.

The **closest voicing** of a set is its normal order (Rahn's rule) set upward without gaps, its first note in the
octave from middle C. No voicing of the set spans less.

Pitches are MIDI numbers, middle C = 60, A4 = 440 Hz.

Sources: R. Plomp and W. J. M. Levelt, Tonal consonance and critical bandwidth, JASA 38 (1965); William Sethares,
Local consonance and the relationship between timbre and scale, JASA 94 (1993); William Hutchinson and Leon Knopoff,
The acoustic component of Western consonance, Interface 7 (1978); Pantelis Vassilakis, Auditory roughness as a means
of musical expression, Selected Reports in Ethnomusicology 12 (2005); B. R. Glasberg and B. C. J. Moore, Derivation
of auditory filter shapes from notched-noise data, Hearing Research 47 (1990).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.tables import frozen
from sonorarium.pcs.tuning import frequency

Floats = NDArray[np.float64]
Pair = Callable[[Floats, Floats, Floats, Floats], Floats]

MIDDLE_C = 60
ABSENT = -1
_PITCHES = 128


@dataclass(frozen=True)
class Timbre:
    """The partials of a tone.

    Parameters
    ----------
    ratios : tuple of float
        Frequency of each partial over that of the first, above 0.
    amplitudes : tuple of float
        Amplitude of each, as many as there are ratios.

    Raises
    ------
    InputError
        Where there are not equally many of both, or none.
    """

    ratios: tuple[float, ...]
    amplitudes: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.ratios) != len(self.amplitudes) or not self.ratios:
            raise InputError(
                f"{len(self.ratios)} partials have {len(self.amplitudes)} amplitudes.",
                value=(self.ratios, self.amplitudes),
                suggestion="Give one amplitude for each partial, and at least one partial.",
            )


def fading(partials: int, rolloff: float, *, octave: float = 2.0) -> Timbre:
    """Make a timbre in which each partial is weaker than the one before it by the same factor.

    Parameters
    ----------
    partials : int
        How many, at least 1.
    rolloff : float
        Amplitude of each partial over that of the one before it.
    octave : float
        Frequency ratio of partials 2 and 1; other than 2.0 for stretched or narrowed tones.

    Examples
    --------
    >>> fading(3, 0.5).ratios, fading(3, 0.5).amplitudes
    ((1.0, 2.0, 3.0), (1.0, 0.5, 0.25))
    """
    number = np.arange(1, partials + 1)
    ratios = 2 ** (np.log2(number) * np.log2(octave))
    return Timbre(tuple(ratios.round(12).tolist()), tuple((rolloff ** (number - 1.0)).tolist()))


def harmonic(partials: int) -> Timbre:
    """Make a timbre of harmonics of which number n has the amplitude 1/n.

    >>> harmonic(2)
    Timbre(ratios=(1.0, 2.0), amplitudes=(1.0, 0.5))
    """
    number = np.arange(1, partials + 1)
    return Timbre(tuple(number.astype(float).tolist()), tuple((1 / number).tolist()))


SETHARES = fading(7, 0.88)
HUTCHINSON_KNOPOFF = harmonic(11)


def sethares_pair(f1: ArrayLike, a1: ArrayLike, f2: ArrayLike, a2: ArrayLike) -> Floats:
    """Roughness of two partials, Sethares (1993): frequencies in Hz, amplitudes; arrays broadcast.

    >>> round(float(sethares_pair(440, 1, 465.8, 1)), 4)
    0.1808
    """
    return np.multiply(a1, a2) * _plomp_levelt(np.asarray(f1, float), np.asarray(f2, float))


def _plomp_levelt(f1: Floats, f2: Floats) -> Floats:
    apart = 0.24 / (0.0207 * np.minimum(f1, f2) + 18.96) * np.abs(f2 - f1)
    return np.exp(-3.5 * apart) - np.exp(-5.75 * apart)


def vassilakis_pair(f1: ArrayLike, a1: ArrayLike, f2: ArrayLike, a2: ArrayLike) -> Floats:
    """Roughness of two partials, Vassilakis (2001): frequencies in Hz, amplitudes above 0; arrays broadcast.

    >>> round(float(vassilakis_pair(440, 1, 465.8, 0.5)), 4)
    0.0239
    """
    intensity = np.multiply(a1, a2) ** 0.1
    fluctuation = 2 * np.minimum(a1, a2) / np.add(a1, a2)
    return intensity * 0.5 * fluctuation**3.11 * _plomp_levelt(np.asarray(f1, float), np.asarray(f2, float))


def critical_bandwidth(mean_hz: ArrayLike) -> Floats:
    """Critical bandwidth in Hz at a mean frequency, as Hutchinson and Knopoff (1978) fit it.

    >>> round(float(critical_bandwidth(427)), 1)
    88.2
    """
    return 1.72 * np.asarray(mean_hz, float) ** 0.65


def rectangular_bandwidth(f_hz: ArrayLike) -> Floats:
    """Equivalent rectangular bandwidth of hearing in Hz (Glasberg and Moore 1990).

    >>> round(float(rectangular_bandwidth(1000)), 1)
    132.6
    """
    return 24.7 * (4.37 * np.asarray(f_hz, float) / 1000 + 1)


def bandwidth_share_roughness(share: ArrayLike) -> Floats:
    """Hutchinson and Knopoff's curve g: roughness at a distance given as a share of the critical bandwidth.

    >>> float(bandwidth_share_roughness(0.25)), float(bandwidth_share_roughness(1.2))
    (1.0, 0.0)
    """
    y = np.asarray(share, float)
    return np.where(y < 1.2, (4 * np.e * y * np.exp(-4 * y)) ** 2, 0.0)


def hutchinson_knopoff_pair(f1: ArrayLike, a1: ArrayLike, f2: ArrayLike, a2: ArrayLike) -> Floats:
    """Share of two partials in the sum of Hutchinson and Knopoff, before it is divided.

    >>> round(float(hutchinson_knopoff_pair(440, 1, 462, 1)), 3)
    0.999
    """
    low, high = np.asarray(f1, float), np.asarray(f2, float)
    share = np.abs(high - low) / critical_bandwidth((low + high) / 2)
    return np.multiply(a1, a2) * bandwidth_share_roughness(share)


def curve(timbre: Timbre, base_hz: float, ratios: ArrayLike) -> Floats:
    """Roughness of a tone sounded with its own transpositions, by Sethares (1993).

    Parameters
    ----------
    timbre : Timbre
    base_hz : float
        Frequency of the lower tone.
    ratios : array_like, shape (n,)
        Frequency of the other tone over that of the first.

    Returns
    -------
    ndarray, shape (n,)

    Examples
    --------
    >>> rough, smooth = curve(SETHARES, 500, [16 / 15, 3 / 2])
    >>> bool(rough > smooth)
    True
    """
    ratio = np.asarray(ratios, float)[:, None]
    partials = base_hz * np.array(timbre.ratios)
    f = np.concatenate([np.broadcast_to(partials, (len(ratio), len(partials))), partials * ratio], axis=1)
    a = np.tile(timbre.amplitudes, 2)
    i, j = np.triu_indices(f.shape[1], 1)
    return np.asarray(sethares_pair(f[:, i], a[i], f[:, j], a[j]).sum(axis=1))


@cache
def _dyads(timbre: Timbre, pair: Pair, low: int, high: int) -> Floats:
    """What each pair of tones adds, pitches low to high: a tone with itself means its own partials.

    The last row and column are zeros, so that the index -1 reads a tone that is absent.
    """
    f = frequency(np.arange(low, high + 1))[:, None] * np.array(timbre.ratios)
    a = np.array(timbre.amplitudes)
    count = len(f)
    i, j = np.triu_indices(count, 1)
    p, q = np.triu_indices(len(a), 1)
    out = np.zeros((count + 1, count + 1))
    out[i, j] = pair(f[i][:, :, None], a[:, None], f[j][:, None, :], a).sum(axis=(1, 2))
    out += out.T
    out[np.arange(count), np.arange(count)] = pair(f[:, p], a[p], f[:, q], a[q]).sum(axis=1)
    return frozen(out)


def _checked(pitches: ArrayLike) -> NDArray[np.intp]:
    given = np.asarray(pitches)
    if given.size == 0:
        return given.astype(np.intp)
    if not np.issubdtype(given.dtype, np.integer) or given.min() < ABSENT or given.max() >= _PITCHES:
        raise InputError(
            f"{given.tolist() if given.size < 20 else 'Some of the pitches'} cannot be sounded.",
            value=pitches,
            suggestion="Give MIDI numbers from 0 to 127 as integers, and -1 for a voice that is silent.",
        )
    return given.astype(np.intp)


def _pair_sums(pitches: NDArray[np.intp], dyads: Floats) -> Floats:
    total = np.zeros(pitches.shape[:-1])
    flat, width = dyads.ravel(), len(dyads)
    at = pitches % width  # -1 becomes the row of zeros
    for i in range(pitches.shape[-1]):
        for j in range(i, pitches.shape[-1]):
            total += flat[at[..., i] * width + at[..., j]]
    return total


def roughness(pitches: ArrayLike, timbre: Timbre = SETHARES) -> Floats:
    """Roughness of voicings by Sethares (1993); many voicings at once.

    Parameters
    ----------
    pitches : array_like of int, shape (..., n)
        MIDI numbers 0 to 127, no pitch twice in one voicing; -1 for an absent voice, so that voicings of different
        sizes fit in one array.
    timbre : Timbre
        Partials of every tone.

    Returns
    -------
    ndarray of float, shape (...)
        0 or above, without unit: to compare sounds of one timbre with each other.

    Raises
    ------
    InputError
        Where a number is no pitch.

    Examples
    --------
    >>> roughness([[60, 64, 67, -1], [60, 61, 62, -1], [48, 64, 67, 72]]).round(2).tolist()
    [0.81, 1.78, 1.2]
    """
    return _pair_sums(_checked(pitches), _dyads(timbre, sethares_pair, 0, _PITCHES - 1))


def hutchinson_knopoff(pitches: ArrayLike) -> Floats:
    """Roughness of voicings by Hutchinson and Knopoff (1978); many voicings at once.

    Parameters
    ----------
    pitches : array_like of int, shape (..., n)
        As for `roughness`.

    Returns
    -------
    ndarray of float, shape (...)
        0 or above; 0 for a voicing without notes.

    Raises
    ------
    InputError
        Where a number is no pitch.

    Examples
    --------
    >>> hutchinson_knopoff([[60, 64, 67], [60, 63, 67]]).round(7).tolist()
    [0.1202426, 0.130083]
    """
    given = _checked(pitches)
    timbre = HUTCHINSON_KNOPOFF
    power = float(np.square(timbre.amplitudes).sum()) * np.maximum((given >= 0).sum(axis=-1), 1)
    out = np.asarray(_pair_sums(given, _dyads(timbre, hutchinson_knopoff_pair, 0, _PITCHES - 1)) / power)
    doubled = _has_octaves(given)
    if doubled.any():  # only partials of notes octaves apart coincide
        out[doubled] = _joined(given[doubled])
    return out


def _has_octaves(pitches: NDArray[np.intp]) -> NDArray[np.bool_]:
    pcs = np.sort(np.where(pitches < 0, -1 - np.arange(pitches.shape[-1]), pitches % 12), axis=-1)
    return np.asarray((np.diff(pcs, axis=-1) == 0).any(axis=-1))


def _joined(pitches: NDArray[np.intp]) -> Floats:
    """Hutchinson and Knopoff's roughness with coinciding partials joined: pitches of shape (m, n)."""
    heights = 12 * np.log2(HUTCHINSON_KNOPOFF.ratios)
    height = (pitches[..., None] + heights).round(6).reshape(len(pitches), -1)
    energy = np.square(HUTCHINSON_KNOPOFF.amplitudes) * (pitches >= 0)[..., None]
    order = np.argsort(height, axis=1, kind="stable")
    height = np.take_along_axis(height, order, axis=1)
    energy = np.take_along_axis(energy.reshape(height.shape), order, axis=1)
    for at in range(height.shape[1] - 1, 0, -1):
        same = height[:, at] == height[:, at - 1]
        energy[same, at - 1] += energy[same, at]
        energy[same, at] = 0
    f, a = frequency(height), np.sqrt(energy)
    total = np.zeros(len(pitches))
    for gap in range(1, height.shape[1]):
        total += hutchinson_knopoff_pair(f[:, :-gap], a[:, :-gap], f[:, gap:], a[:, gap:]).sum(axis=1)
    return np.asarray(total / energy.sum(axis=1))


def closest_pitches(notes: SetFacts) -> tuple[int, ...]:
    """The closest voicing of a set as MIDI numbers: its normal order from the octave of middle C upward.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> closest_pitches(PcSet((0, 4, 8, 11)))
    (68, 71, 72, 76)
    """
    order = notes.normal_order
    return tuple(MIDDLE_C + order[0] + (pc - order[0]) % 12 for pc in order)


@cache
def closest_roughness() -> Floats:
    """Roughness of the closest voicing of every set by Sethares (1993): shape (4096,)."""
    dyads = _dyads(SETHARES, sethares_pair, MIDDLE_C, MIDDLE_C + 22)[:-1, :-1]
    first = tables.normal_start().astype(int)
    sounds = np.zeros((tables.SETS, 23), bool)
    for pc in range(12):
        has = tables.members()[:, pc]
        sounds[has, (pc + 12 * (pc < first))[has]] = True
    own = np.diagonal(dyads)
    cross = dyads - np.diag(own)
    return frozen(np.asarray(((sounds @ cross) * sounds).sum(axis=1) / 2 + sounds @ own))


def set_roughness(notes: SetFacts) -> float:
    """Roughness of the closest voicing of a set by Sethares (1993), in its place: lower sets are rougher.

    >>> from sonorarium.pcs.pcset import PcSet
    >>> round(set_roughness(PcSet((0, 4, 7))), 2), round(set_roughness(PcSet((0, 1, 2))), 2)
    (0.81, 1.78)
    """
    return float(closest_roughness()[notes.mask])
