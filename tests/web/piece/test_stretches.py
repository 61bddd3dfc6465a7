"""What is in some bars, in plain values."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family
from sonorarium.pcs.subject import subject
from sonorarium.score.analysis.stretch import read_stretch
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.web.piece.stretches import MOST_VERTICALS, here_facts
from tests.web.conftest import DEMO


@pytest.fixture(scope="module")
def boat() -> Score:
    return read_score(DEMO / "pieces" / "4-boat-without-oars.musicxml")


def test_the_whole_is_spelled_as_on_the_page(boat: Score) -> None:
    told = here_facts(boat, "k", (3, 5), default_family())
    assert told.whole is not None
    assert told.whole.set == "C Db E F G A Bb"
    assert told.whole.label == "7-32B"
    assert sum(told.whole.shares.values()) == pytest.approx(1, abs=0.01)
    assert next(iter(told.whole.shares)) == "C"


def test_every_text_means_the_set_that_it_stands_for(boat: Score) -> None:
    found = read_stretch(boat, (0, 7), family=default_family())
    told = here_facts(boat, "k", (0, 7), default_family())
    assert told.whole is not None
    assert subject(told.whole.set).pcset == found.whole
    assert [subject(one.set).pcset for one in told.lines] == [line.pcset for line in found.lines]
    verticals = found.verticals[:MOST_VERTICALS]
    assert [subject(one.set).pcset for one in told.verticals] == [one.pcset for one in verticals]
    assert [subject(one.set).pcset.mask for one in told.collections] == [one.member.mask for one in found.collections]


def test_many_verticals_are_not_all_listed(boat: Score) -> None:
    told = here_facts(boat, "k", (0, len(boat.bars) - 1), default_family())
    assert len(told.verticals) == MOST_VERTICALS
    assert told.more == len(read_stretch(boat).verticals) - MOST_VERTICALS


def test_where_nothing_sounds_nothing_is_claimed(boat: Score) -> None:
    told = here_facts(replace(boat, notes=boat.notes[:0]), "k", (0, 1), default_family())
    assert (told.whole, told.scales, told.collections, told.verticals) == (None, [], [], [])


def test_other_bars_are_refused(boat: Score) -> None:
    with pytest.raises(InputError, match="no bars"):
        here_facts(boat, "k", (5, 99), default_family())
