"""Stretches, weighed whole."""

from __future__ import annotations

import numpy as np
import pytest

from bench.composing import Section, compose
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Family
from sonorarium.score.analysis.emissions import log_chances
from sonorarium.score.analysis.markov import best_path
from sonorarium.score.analysis.segmentation import LEAST_SHARE, Segmentation, alone, segment, so_far, telling, totals
from sonorarium.score.analysis.tracemodel import Evidence, TraceOptions
from sonorarium.score.slices import slice_score
from tests.score.writing import attributes, measure, note, read

C, FS = collection("C major").pcset, collection("F# major").pcset


def evidence_of(*sections: Section, seed: int = 1, options: TraceOptions | None = None) -> Evidence:
    return Evidence(slice_score(compose(sections, seed=seed).score), default_family(), options or TraceOptions())


def reading_of(family: Family, mask: int) -> int:
    return int(np.flatnonzero(family.masks == mask)[0])


def test_equal_neighbours_are_joined() -> None:
    found = Segmentation(np.array([0, 2, 3, 7, 9]), np.array([5, 5, 1, 5])).joined()
    assert (found.cuts.tolist(), found.readings.tolist()) == ([0, 3, 7, 9], [5, 1, 5])


def test_a_rare_pitch_class_decides_nothing() -> None:
    weights = np.zeros((1, 12))
    weights[0, :3] = 100, 100 * LEAST_SHARE * 0.9, 100 * LEAST_SHARE * 1.1
    assert telling(weights)[0, :3].tolist() == [100, 0, weights[0, 2]]


def test_what_speaks_for_a_stretch_is_what_its_slices_say_less_its_claims() -> None:
    """One stretch of C, E and G, and the member C diatonic: four notes of it are claimed and not heard."""
    options = TraceOptions(claim=3.0)
    evidence = evidence_of(Section.of((0, 4, 7), 4), options=options)
    whole = Segmentation(np.array([0, len(evidence.slices)]), np.array([0]))
    reading = reading_of(evidence.family, C.mask)
    chances = log_chances(np.array([C.mask]), options.foreign, options.none_size)[:, 0]
    by_hand = options.evidence * float(evidence.weights.sum(axis=0) @ chances) - 4 * 3.0
    assert alone(whole, evidence)[0, reading] == pytest.approx(by_hand)


def test_totals_differ_by_the_changes_at_the_ends() -> None:
    evidence = evidence_of(Section.of(C, 8), Section.of(FS, 8))
    half = int(np.searchsorted(evidence.slices.onsets, 8 * 16))
    c, fs = reading_of(evidence.family, C.mask), reading_of(evidence.family, FS.mask)
    found = Segmentation(np.array([0, half, len(evidence.slices)]), np.array([c, fs]))
    change = evidence.change_logs[3, c, fs]
    assert totals(found, evidence)[0, c] - alone(found, evidence)[0, c] == pytest.approx(change)
    assert totals(found, evidence)[1, fs] - alone(found, evidence)[1, fs] == pytest.approx(change)
    earned, cost = so_far(found, evidence)
    assert earned[2] == pytest.approx(alone(found, evidence)[0, c] + alone(found, evidence)[1, fs])
    assert cost.tolist() == pytest.approx([0, -change])


@pytest.mark.parametrize("seed", range(5))
def test_thinking_over_never_lowers_the_sum(seed: int) -> None:
    evidence = evidence_of(Section.of(C, 6), Section.of((0, 4, 8), 2), Section.of(FS, 6), seed=seed)
    path = best_path(evidence.by_moment, evidence.transitions)
    before = Segmentation(np.append(evidence.moments.starts, len(evidence.slices)), path).joined()
    after = segment(path, evidence)
    (earned, cost), (earned_after, cost_after) = so_far(before, evidence), so_far(after, evidence)
    assert earned_after[-1] - cost_after[-1] >= earned[-1] - cost[-1] - 1e-6


def test_a_boundary_inside_a_beat_is_found() -> None:
    """Eighths in C, then in F sharp, from the second eighth of a beat on, where the moments do not divide."""
    first = ["C4", "D4", "E4", "F4", "G4", "A4", "B4", "D4"]
    second = ["F#4", "G#4", "A#4", "B4", "C#5", "D#5", "E#5", "G#4"]
    row = [*first * 3, "C4", *second * 3, "F#4"]
    bars = [row[i : i + 8] for i in range(0, len(row), 8)]
    score = read(
        "".join(
            measure((attributes(2) if i == 0 else "") + "".join(note(n, 1) for n in bar), str(i + 1))
            for i, bar in enumerate(bars)
        )
    )
    evidence = Evidence(slice_score(score), default_family(), TraceOptions())
    found = segment(best_path(evidence.by_moment, evidence.transitions), evidence)
    assert len(found) == 2
    assert evidence.slices.cuts[found.cuts[1]] == 25
    assert found.cuts[1] not in evidence.moments.starts
