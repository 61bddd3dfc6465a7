"""The likely centre, and what speaks for it."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.pcs.spelling import Spelled
from sonorarium.score.analysis.centre import LEAST_LEAD, WEIGHTS, Candidate, Centre, centre_of, lowest, shares
from sonorarium.score.slices import Slices, slice_score
from tests.score.writing import attributes, measure, note, read

NAMES = tuple(Spelled(step, 0) for step in (0, 0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6))


def two_parts() -> Slices:
    """Four bars: a tune over D, G, A and again D."""
    tune = ["D5 F5 A5 F5", "D5 B4 D5 G5", "E5 A5 E5 C#5", "D5 E5 F5 D5"]
    upper = "".join(
        measure((attributes(1) if i == 0 else "") + "".join(note(n, 1) for n in bar.split()), str(i + 1))
        for i, bar in enumerate(tune)
    )
    lower = "".join(
        measure((attributes(1) if i == 0 else "") + note(n, 4), str(i + 1))
        for i, n in enumerate(["D3", "G2", "A2", "D3"])
    )
    return slice_score(read(upper, lower))


def test_the_lowest_pitch_of_each_slice() -> None:
    slices = two_parts()
    assert lowest(slices).tolist() == [50] * 4 + [43] * 4 + [45] * 4 + [50] * 4
    assert lowest(slice_score(read(measure(attributes(1) + note("C4", 2) + note("R", 2))))).tolist() == [60, -1]


def test_evidence_is_in_shares() -> None:
    slices = two_parts()
    found = shares(slices, np.array([0, len(slices)]))
    assert sorted(found) == sorted(WEIGHTS)
    for name, table in found.items():
        assert table.sum() == pytest.approx(1), name
    assert found["bass"][0, [2, 9, 7]].tolist() == [0.5, 0.25, 0.25]
    assert found["metre"][0, [2, 9, 7]].tolist() == [0.5, 0.25, 0.25]
    assert found["ending"][0, 2] == 1  # the only end is the last slice
    assert found["fall"][0, [7, 2]].tolist() == [0.5, 0.5]  # D down to G, A up to D
    assert found["fifth"][0, [2, 9, 7]].tolist() == pytest.approx([0.2, 0.4, 0.4])
    assert found["leading"][0, [2, 5]].tolist() == [0.5, 0.5]  # C sharp gives way to D, E to F


def test_the_centre_of_a_plain_phrase() -> None:
    slices = two_parts()
    centre = centre_of(shares(slices, np.array([0, len(slices)])), 0, NAMES)
    assert centre is not None
    assert centre.decided
    assert centre.note == Spelled(1, 0)
    assert centre.sentence.startswith("D: 50 % of the bass, 37 % of the sound, 50 % of the downbeats")


def test_each_stretch_has_its_own() -> None:
    slices = two_parts()
    found = shares(slices, np.array([0, 4, 8, len(slices)]))
    notes = [centre.note for i in range(3) if (centre := centre_of(found, i, NAMES)) is not None]
    assert [n.text if n else None for n in notes] == ["D", "G", "D"]


def test_two_as_good_as_each_other_are_undecided() -> None:
    one, other = (
        Candidate(Spelled(0), 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5),
        Candidate(Spelled(5), 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.4),
    )
    assert one.score - other.score < LEAST_LEAD
    assert Centre(one, other).note is None
    assert Centre(one, other).sentence == "Undecided between C and A."


def test_weights_add_up_to_one() -> None:
    assert sum(WEIGHTS.values()) == pytest.approx(1)


def test_where_nothing_sounds_there_is_no_centre() -> None:
    slices = slice_score(read(measure(attributes(1) + note("R", 4))))
    assert centre_of(shares(slices, np.array([0, 1])), 0, NAMES) is None
