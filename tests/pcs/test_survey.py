"""The survey gathers what the modules know, under stable keys, for every set."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.survey import names, survey

CHAPTERS = ["character", "family", "identity", "insides", "kin", "modes", "names", "outsides"]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 4095))
def test_every_set_can_be_surveyed_and_written_as_json(mask: int) -> None:
    found: dict[str, Any] = survey(PcSet.of_mask(mask))
    assert sorted(found) == CHAPTERS
    assert json.loads(json.dumps(found)) == found
    identity = found["identity"]
    assert PcSet(identity["pcs"]).mask == mask
    assert sum(row["times"] for row in found["insides"]["rows"]) == max(
        0, 2 ** len(PcSet.of_mask(mask)) - 2 - len(identity["pcs"])
    )


def test_the_double_harmonic_scale() -> None:
    found: dict[str, Any] = survey("D double harmonic", sizes=[5])
    assert found["identity"]["notes"] == ["D", "Eb", "F#", "G", "A", "Bb", "C#"]
    assert found["identity"]["interval_vector"] == [4, 2, 4, 5, 4, 2]
    assert found["identity"]["axes"] == [[2.0, 8.0]]
    assert [m["name"] for m in found["modes"]][3] == "double harmonic"
    only_here = [row["class"] for row in found["insides"]["rows"] if row["only_here"]]
    assert only_here == ["5-6", "5-15", "5-Z37", "5-Z38"]
    moves = {n["what"]: n["label"] for n in found["kin"]["neighbours"] if n["kind"] == "move"}
    assert moves["C♯ moves to C"] == "7-32A"
    assert found["family"]["holding"] == []


@pytest.mark.parametrize(("pcs", "symbol"), [((0, 4, 7), "C"), ((0, 4, 8, 11), "Cmaj7#5"), ((0, 3, 6, 10), "Cm7b5")])
def test_names(pcs: tuple[int, ...], symbol: str) -> None:
    found: dict[str, Any] = names(PcSet(pcs), bass=0)
    assert found["readings"][0]["symbol"] == symbol


def test_sets_too_small_or_large_for_chord_names_say_so() -> None:
    assert names(PcSet((0, 1)))["why"] == "Chords are named for 3 to 8 notes."
