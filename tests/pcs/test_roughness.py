"""Roughness against the formulas written out pair by pair."""

from __future__ import annotations

from itertools import combinations, permutations
from math import exp, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import roughness
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.roughness import SETHARES, Timbre, fading, harmonic

SETS = st.integers(0, 4095).map(PcSet.of_mask)
CHORDS = st.sets(st.integers(21, 108), min_size=1, max_size=6).map(sorted)


def hz(midi: float) -> float:
    return float(440 * 2 ** ((midi - 69) / 12))


def partials(chord: list[int], timbre: Timbre) -> list[tuple[float, float]]:
    rows = zip(timbre.ratios, timbre.amplitudes, strict=True)
    return [(hz(pitch) * ratio, amplitude) for ratio, amplitude in rows for pitch in chord]


def written_out_sethares(chord: list[int], timbre: Timbre) -> float:
    total = 0.0
    for (f1, a1), (f2, a2) in combinations(sorted(partials(chord, timbre)), 2):
        apart = 0.24 * (f2 - f1) / (0.0207 * f1 + 18.96)
        total += a1 * a2 * (exp(-3.5 * apart) - exp(-5.75 * apart))
    return total


def written_out_hutchinson_knopoff(chord: list[int]) -> float:
    energies: dict[float, float] = {}
    for f, a in partials(chord, harmonic(11)):
        near = next((g for g in energies if abs(g / f - 1) < 1e-9), f)
        energies[near] = energies.get(near, 0.0) + a * a
    total = 0.0
    for (f1, e1), (f2, e2) in combinations(energies.items(), 2):
        share = abs(f2 - f1) / (1.72 * ((f1 + f2) / 2) ** 0.65)
        if share < 1.2:
            total += sqrt(e1 * e2) * (exp(1) * share / 0.25 * exp(-share / 0.25)) ** 2
    return total / sum(energies.values())


@given(CHORDS)
def test_sethares_against_the_formula_written_out(chord: list[int]) -> None:
    assert float(roughness.roughness(chord)) == pytest.approx(written_out_sethares(chord, SETHARES))
    assert float(roughness.roughness(chord, harmonic(5))) == pytest.approx(written_out_sethares(chord, harmonic(5)))


@given(CHORDS)
def test_hutchinson_knopoff_against_the_formula_written_out(chord: list[int]) -> None:
    assert float(roughness.hutchinson_knopoff(chord)) == pytest.approx(written_out_hutchinson_knopoff(chord))


@pytest.mark.parametrize("chord", [[48, 60], [36, 48, 60, 64], [60, 72, 84], [45, 52, 57, 69, 76]])
def test_octaves_join_their_partials(chord: list[int]) -> None:
    assert float(roughness.hutchinson_knopoff(chord)) == pytest.approx(written_out_hutchinson_knopoff(chord))


@given(st.lists(CHORDS, min_size=1, max_size=8))
def test_many_voicings_at_once_are_one_by_one(chords: list[list[int]]) -> None:
    widest = max(map(len, chords))
    array = np.array([chord + [roughness.ABSENT] * (widest - len(chord)) for chord in chords])
    assert roughness.roughness(array) == pytest.approx([float(roughness.roughness(chord)) for chord in chords])
    assert roughness.hutchinson_knopoff(array) == pytest.approx(
        [float(roughness.hutchinson_knopoff(chord)) for chord in chords]
    )


def test_arrays_keep_their_shape() -> None:
    pitches = np.array([[[60, 64], [60, 65]], [[60, 66], [60, 67]], [[60, 68], [60, 69]]])
    assert roughness.roughness(pitches).shape == (3, 2)
    assert roughness.roughness(np.zeros((4, 0), int)).tolist() == [0, 0, 0, 0]
    assert float(roughness.hutchinson_knopoff([])) == 0


@given(SETS)
def test_the_closest_voicing_of_a_set(notes: PcSet) -> None:
    pitches = roughness.closest_pitches(notes)
    assert PcSet(pitch % 12 for pitch in pitches) == notes
    assert len(pitches) == len(notes)
    assert list(pitches) == sorted(pitches)
    assert not pitches or 60 <= pitches[0] < 72
    assert roughness.set_roughness(notes) == pytest.approx(float(roughness.roughness(pitches)), abs=1e-12)


@pytest.mark.parametrize("pcs", [(0, 4, 7), (0, 1, 6, 7), (2, 5, 9, 11), (0, 3, 7, 10)])
def test_no_voicing_spans_less_than_the_closest(pcs: tuple[int, ...]) -> None:
    pitches = roughness.closest_pitches(PcSet(pcs))
    spans = []
    for order in permutations(pcs):
        climbed = [order[0]]
        for pc in order[1:]:
            climbed.append(climbed[-1] + (pc - climbed[-1]) % 12)
        spans.append(climbed[-1] - climbed[0])
    assert pitches[-1] - pitches[0] == min(spans)


def test_consonances_are_smoother_than_dissonances() -> None:
    """Of the dyads above middle C the semitone is the roughest and the octave the smoothest by either model (order
    found by Plomp and Levelt 1965 and by Hutchinson and Knopoff 1978, from memory)."""
    dyads = [[60, 60 + n] for n in range(1, 13)]
    for found in (roughness.roughness(dyads), roughness.hutchinson_knopoff(dyads)):
        assert int(found.argmax()) == 0
        assert int(found.argmin()) == 11
        assert found[6] < found[5]  # the fifth is smoother than the tritone
        assert found[3] < found[1]  # the major third is smoother than the whole tone


def test_low_chords_are_rougher() -> None:
    """Critical bandwidth is wider than a third in the bass (Plomp and Levelt 1965)."""
    found = roughness.hutchinson_knopoff([[p, p + 4, p + 7] for p in range(36, 85, 12)])
    assert bool((np.diff(found) < 0).all())


@given(st.floats(50, 4000), st.floats(50, 4000), st.floats(0.01, 1), st.floats(0.01, 1))
def test_pairs_take_either_tone_first(f1: float, f2: float, a1: float, a2: float) -> None:
    for pair in (roughness.sethares_pair, roughness.hutchinson_knopoff_pair, roughness.vassilakis_pair):
        assert float(pair(f1, a1, f2, a2)) == pytest.approx(float(pair(f2, a2, f1, a1)))
        assert float(pair(f1, a1, f1, a2)) == 0
        assert float(pair(f1, a1, f2, a2)) >= 0


def test_the_curve_is_the_sum_over_pairs() -> None:
    found = roughness.curve(SETHARES, hz(60), 2 ** (np.arange(1, 13) / 12))
    assert found == pytest.approx(roughness.roughness([[60, 60 + n] for n in range(1, 13)]))


def test_timbres() -> None:
    assert fading(4, 1.0, octave=2.1).ratios[3] == pytest.approx(2.1**2)
    assert harmonic(3).amplitudes == pytest.approx((1, 0.5, 1 / 3))
    with pytest.raises(InputError, match="2 partials have 1 amplitudes"):
        Timbre((1.0, 2.0), (1.0,))


@pytest.mark.parametrize("wrong", [[60, 128], [60, -2], [60.5, 64]])
def test_what_is_no_pitch_is_refused(wrong: list[float]) -> None:
    with pytest.raises(InputError, match="cannot be sounded"):
        roughness.roughness(wrong)
