"""How loud a sound is, and how high it peaks: the measures of broadcasting.

A chord of ten notes and a single soft note should come out of the loudspeaker about equally loud, and neither may
overload it. Two measures see to that, both from Recommendation ITU-R BS.1770-5 (2023), *Algorithms to measure audio
programme loudness and true-peak audio level*:

* **Integrated loudness** in LUFS (annex 1): the signal passes a filter that stands for the head and the ear ("K
  weighting", tables 1 and 2), its mean square is taken over blocks of 400 ms that overlap by three quarters, and
  blocks below -70 LUFS, or more than 10 LU below the rest, do not count. Silence before and after is thus left out.
* **True peak** in dBTP (annex 2): the peak of the wave between the samples, found at four times the sampling rate.
  The annex gives a short filter for this; here the wave is resampled through the Fourier transform, which is the
  ideal that the filter stands for.

Audio is an array of shape (samples, channels) at 48 kHz, full scale 1.0; both channels count alike (left and right).
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

RATE_HZ = 48_000
"""The one sampling rate in use; the filter of the Recommendation is given for it."""

Audio = NDArray[np.float32]
"""Samples, shape (samples, channels), full scale 1.0."""

_SHELF = ((1.53512485958697, -2.69169618940638, 1.19839281085285), (1.0, -1.69065929318241, 0.73248077421585))
_HIGH_PASS = ((1.0, -2.0, 1.0), (1.0, -1.99004745483398, 0.99007225036621))
_BLOCK = 65_536  # samples transformed at a time
_HISTORY = 8_192  # samples heard before each block: the filter's memory is down by more than 300 dB after that
_HOP = RATE_HZ // 10  # a quarter of a 400 ms block
_PEAK_BLOCK, _PEAK_MARGIN = 4_096, 1_024
_OVERSAMPLING = 4


def loudness_lufs(audio: Audio) -> float:
    """Integrated loudness.

    Parameters
    ----------
    audio : ndarray, shape (samples, channels), float32
        At 48 kHz, full scale 1.0. Less than 400 ms is filled up with silence.

    Returns
    -------
    float
        LUFS; minus infinity where no block exceeds -70 LUFS.

    Examples
    --------
    A full-scale sine of 997 Hz in one channel has -3.01 LUFS by definition.

    >>> import numpy as np
    >>> sine = np.sin(2 * np.pi * 997 * np.arange(2 * RATE_HZ) / RATE_HZ)
    >>> round(loudness_lufs(np.stack([sine, 0 * sine], axis=1).astype("f4")), 2)
    -3.01
    """
    hops = max(4, len(audio) // _HOP)
    heard = np.zeros((hops * _HOP, audio.shape[1]), np.float32)
    heard[: min(len(audio), len(heard))] = audio[: len(heard)]
    power = np.square(_weighted(heard)).reshape(hops, -1).sum(1, dtype=np.float64) / _HOP
    blocks = np.lib.stride_tricks.sliding_window_view(power, 4).mean(1)
    blocks = blocks[blocks > _power(-70.0)]
    if not len(blocks):
        return -math.inf
    return _lufs(float(blocks[blocks > _power(_lufs(float(blocks.mean())) - 10.0)].mean()))


def peak_dbtp(audio: Audio) -> float:
    """True peak.

    Only stretches whose samples reach half the highest sample are resampled: between its samples, a wave does not
    rise by 6 dB unless it lives near the top of the frequency range.

    Parameters
    ----------
    audio : ndarray, shape (samples, channels), float32
        At 48 kHz, full scale 1.0.

    Returns
    -------
    float
        dB relative to full scale; minus infinity for silence.

    Examples
    --------
    A sine at a quarter of the sampling rate, sampled off its crests, peaks 3 dB above its samples.

    >>> import numpy as np
    >>> sine = np.hanning(RATE_HZ) * np.sin(np.pi / 2 * np.arange(RATE_HZ) + np.pi / 4)
    >>> round(20 * np.log10(abs(sine).max())), abs(round(peak_dbtp(sine[:, None].astype("f4")), 1))
    (-3, 0.0)
    """
    highest = float(np.abs(audio).max(initial=0.0))
    if highest == 0.0:
        return -math.inf
    rows = np.concatenate([_framed(audio[:, k], _PEAK_BLOCK, _PEAK_MARGIN) for k in range(audio.shape[1])])
    rows = rows[np.abs(rows[:, _PEAK_MARGIN:-_PEAK_MARGIN]).max(1) >= highest / 2]
    spectrum = np.fft.rfft(rows * _taper())
    fine = np.fft.irfft(spectrum, rows.shape[1] * _OVERSAMPLING)[:, _OVERSAMPLING * _PEAK_MARGIN :] * _OVERSAMPLING
    between = float(np.abs(fine[:, : _OVERSAMPLING * _PEAK_BLOCK]).max())
    return 20 * math.log10(max(highest, between))


def _power(lufs: float) -> float:
    return float(10 ** ((lufs + 0.691) / 10))


def _lufs(power: float) -> float:
    return -0.691 + 10 * math.log10(power)


def _framed(wave: NDArray[np.float32], block: int, margin: int) -> NDArray[np.float32]:
    """Cut a wave into rows of a block with its neighbourhood on both sides, silence beyond the ends."""
    count = -(-len(wave) // block)
    padded = np.zeros(count * block + 2 * margin, np.float32)
    padded[margin : margin + len(wave)] = wave
    return np.lib.stride_tricks.sliding_window_view(padded, block + 2 * margin)[::block]


@lru_cache(maxsize=1)
def _taper() -> NDArray[np.float32]:
    """One over a block, falling smoothly to zero across the outer half of its margins."""
    slope = np.sin(np.linspace(0, np.pi / 2, _PEAK_MARGIN // 2)) ** 2
    taper = np.ones(_PEAK_BLOCK + 2 * _PEAK_MARGIN, np.float32)
    taper[: len(slope)], taper[-len(slope) :] = slope, slope[::-1]
    return taper


@lru_cache(maxsize=1)
def _k_weighting() -> NDArray[np.complex64]:
    """Frequency response of the two filter stages at the frequencies of a transformed block."""
    z = np.exp(-2j * np.pi * np.fft.rfftfreq(_BLOCK))
    response = np.ones(len(z), complex)
    for above, below in (_SHELF, _HIGH_PASS):
        response *= np.polyval(above[::-1], z) / np.polyval(below[::-1], z)
    return response.astype(np.complex64)


def _weighted(audio: Audio) -> Audio:
    """Pass audio through the K weighting, block by block (overlap-save)."""
    step = _BLOCK - _HISTORY
    out = np.empty_like(audio)
    for channel in range(audio.shape[1]):
        padded = np.zeros(-(-len(audio) // step) * step + _HISTORY, np.float32)
        padded[_HISTORY : _HISTORY + len(audio)] = audio[:, channel]
        rows = np.lib.stride_tricks.sliding_window_view(padded, _BLOCK)[::step]
        filtered = np.fft.irfft(np.fft.rfft(rows) * _k_weighting(), _BLOCK)[:, _HISTORY:]
        out[:, channel] = filtered.reshape(-1)[: len(audio)]
    return out
