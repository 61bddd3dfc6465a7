"""Loudness and true peak against the standard's own examples and a second method."""

from __future__ import annotations

import math
from importlib import import_module

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.render.loudness import RATE_HZ, Audio, loudness_lufs, peak_dbtp


def tone(level_dbfs: float, seconds: float, *, hz: float = 1000.0, channels: int = 2) -> Audio:
    """A sine whose crests reach a level."""
    wave = 10 ** (level_dbfs / 20) * np.sin(2 * np.pi * hz * np.arange(round(seconds * RATE_HZ)) / RATE_HZ)
    return np.repeat(wave[:, None], channels, axis=1).astype(np.float32)


@pytest.mark.parametrize(
    ("segments", "expected"),
    [
        ([(-23, 20)], -23.0),
        ([(-33, 20)], -33.0),
        ([(-36, 10), (-23, 60), (-36, 10)], -23.0),
        ([(-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)], -23.0),
        ([(-26, 20), (-20, 20.1), (-26, 20)], -23.0),
    ],
)
def test_signals_of_the_broadcasting_union(segments: list[tuple[float, float]], expected: float) -> None:
    """EBU Tech 3341 (2023), minimum requirements, signals 1 to 5, within 0.1 LU; figures from memory."""
    signal = np.concatenate([tone(level, seconds) for level, seconds in segments])
    assert loudness_lufs(signal) == pytest.approx(expected, abs=0.1)


def test_definition_at_full_scale() -> None:
    """ITU-R BS.1770-5, annex 1: a 0 dBFS sine of 997 Hz in one front channel gives -3.01 LKFS."""
    assert loudness_lufs(tone(0, 5, hz=997, channels=1)) == pytest.approx(-3.01, abs=0.01)


def test_same_as_the_filter_run_sample_by_sample() -> None:
    """The second method: SciPy's recursive filter, and the gates written out."""
    lfilter = import_module("scipy.signal").lfilter
    random = np.random.default_rng(7)
    signal = random.normal(0, 0.1, (5 * RATE_HZ + 321, 2)) * np.geomspace(1, 1e-3, 5 * RATE_HZ + 321)[:, None]
    shelf = ((1.53512485958697, -2.69169618940638, 1.19839281085285), (1, -1.69065929318241, 0.73248077421585))
    high_pass = ((1, -2, 1), (1, -1.99004745483398, 0.99007225036621))
    heard = lfilter(*high_pass, lfilter(*shelf, signal, axis=0), axis=0)
    starts = range(0, len(heard) - 19200 + 1, 4800)
    power = np.array([np.square(heard[s : s + 19200]).mean(0).sum() for s in starts])
    level = -0.691 + 10 * np.log10(power)
    kept = power[level > -70]
    kept = power[(level > -70) & (level > -0.691 + 10 * np.log10(kept.mean()) - 10)]
    assert loudness_lufs(signal.astype(np.float32)) == pytest.approx(-0.691 + 10 * np.log10(kept.mean()), abs=1e-3)


@settings(max_examples=20)
@given(st.floats(-40, 0))
def test_gain_moves_loudness_and_peak_alike(gain_db: float) -> None:
    signal = tone(-6, 1)
    softer = signal * np.float32(10 ** (gain_db / 20))
    assert loudness_lufs(softer) - loudness_lufs(signal) == pytest.approx(gain_db, abs=1e-3)
    assert peak_dbtp(softer) - peak_dbtp(signal) == pytest.approx(gain_db, abs=1e-3)


def test_silence_has_no_loudness() -> None:
    silence = np.zeros((RATE_HZ, 2), np.float32)
    assert loudness_lufs(silence) == -math.inf
    assert peak_dbtp(silence) == -math.inf
    assert loudness_lufs(silence[:10]) == -math.inf


def test_silence_around_does_not_count() -> None:
    silence = np.zeros((RATE_HZ, 2), np.float32)
    signal = tone(-20, 8)
    assert loudness_lufs(np.concatenate([silence, signal, silence])) == pytest.approx(loudness_lufs(signal), abs=0.2)


@pytest.mark.parametrize("hz", [440.0, 5_000.0, 12_000.0, 15_000.0])
def test_peak_between_the_samples(hz: float) -> None:
    """Against SciPy's resampling by a long filter, 16 times finer."""
    resample_poly = import_module("scipy.signal").resample_poly
    swell = np.hanning(RATE_HZ // 4)
    phase = np.pi / 4 if hz == 12_000 else 0.3
    signal = (0.5 * swell * np.sin(2 * np.pi * hz * np.arange(len(swell)) / RATE_HZ + phase))[:, None]
    fine = np.abs(resample_poly(signal[:, 0], 16, 1, window=("kaiser", 12.0))).max()
    assert peak_dbtp(signal.astype(np.float32)) == pytest.approx(20 * np.log10(fine), abs=0.15)
    assert peak_dbtp(signal.astype(np.float32)) == pytest.approx(-6.02, abs=0.2)
