"""The landscape of a piece in plain values."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family
from sonorarium.pcs.subject import subject
from sonorarium.score.analysis.landscape import landscape
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.web.piece.scapes import drawn, landscape_of, point_facts, reach_of, scape_facts
from tests.web.conftest import DEMO


@pytest.fixture(scope="module")
def well() -> Score:
    return read_score(DEMO / "pieces" / "3-the-well.musicxml")


def test_facts_agree_with_the_landscape(well: Score) -> None:
    told = scape_facts(well, "k", default_family(), "")
    scape = landscape(well)
    assert (told.slices, told.segments, told.merged) == (scape.slices, len(scape), 1)
    assert told.onsets == sorted(told.onsets)
    assert told.onsets[-1] == 1
    assert "scales without consecutive semitones" in told.shading
    assert "4-19" in scape_facts(well, "k", default_family(), "4-19").shading
    assert landscape_of(well) is landscape_of(well)


@pytest.mark.parametrize(("middle", "length"), [(0.0, 0.0), (0.3, 0.05), (0.5, 1.0), (1.0, 0.0), (0.9, 1.0)])
def test_a_point_is_the_segment_that_holds_it(well: Score, middle: float, length: float) -> None:
    scape = landscape(well)
    whole = int(scape.cuts[-1])
    told, segment = point_facts(well, "k", middle, length), scape.around(middle * whole, length * whole)
    assert told.sentence == segment.sentence
    assert (str(well.bars["label"][told.first]), str(well.bars["label"][told.last])) == segment.bars
    assert subject(told.set).pcset == segment.pcset


def test_images_differ_by_what_is_asked(well: Score) -> None:
    assert "The collections of" in drawn(well, default_family(), "")
    assert "Likeness to 4-19" in drawn(well, default_family(), "4-19")
    assert drawn(well, default_family(), "C E G") != drawn(well, default_family(), "C E G B")


def test_long_pieces_are_seen_from_nearer(well: Score) -> None:
    assert (reach_of(well), reach_of(well, 16)) == (1, 16)
    long = replace(well, bars=np.resize(well.bars, 300))
    assert (reach_of(long), reach_of(replace(well, bars=np.resize(well.bars, 200)))) == (16, 4)
    whole, near = drawn(well, default_family(), "", 1), drawn(well, default_family(), "", 4)
    assert 'viewBox="0 0 440 ' in whole
    assert 'viewBox="0 660 440 ' in near
    heights = [int(re.findall(r'height="(\d+)"', image)[0]) for image in (whole, near)]
    assert heights[0] == heights[1]


def test_a_piece_without_a_note_has_no_landscape(well: Score) -> None:
    silent = replace(well, notes=well.notes[:0], bars=well.bars[:0], element_note=np.empty(0, np.int32))
    with pytest.raises(InputError, match="no landscape"):
        scape_facts(silent, "k", default_family(), "")
    with pytest.raises(InputError, match="no landscape"):
        point_facts(silent, "k", 0.5, 0.5)
