"""Sections of a piece: its bars in notes, or a sentence where there are none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.web.piece.sections import section
from tests.web.conftest import DEMO


@pytest.fixture(scope="module")
def boat() -> Score:
    return read_score(DEMO / "pieces" / "4-boat-without-oars.musicxml")


def test_a_section_shows_its_bars_and_those_selected(boat: Score) -> None:
    facts, drawn = section(boat, "k", (8, 15), (9, 9), default_family())
    assert [bar for first, last in facts.systems for bar in range(first, last + 1)] == list(range(8, 16))
    assert "".join(drawn).count('class="bar-field chosen"') == 1
    assert facts.spans == [1, 2]
    assert facts.marked == 0
    assert drawn[0].count("<defs") == 1
    assert "<defs" not in "".join(drawn[1:])


def test_notes_of_passages_are_marked_where_they_stand(boat: Score) -> None:
    facts, drawn = section(boat, "k", (8, 15), None, default_family(), "4-19")
    assert facts.marked > 0
    assert "".join(drawn).count('class="note marked"') >= facts.marked
    none, _ = section(boat, "k", (8, 15), None, default_family(), "9-1")
    assert none.marked == 0


def test_what_cannot_be_engraved_says_so_and_keeps_its_spans(boat: Score) -> None:
    facts, drawn = section(replace(boat, format="MIDI"), "k", (8, 15), None, default_family())
    assert "MIDI" in facts.why
    assert (drawn, facts.systems, facts.spans) == ([], [], [1, 2])


def test_too_many_bars_are_refused(boat: Score) -> None:
    with pytest.raises(InputError, match="at most"):
        section(boat, "k", (0, 16), None, default_family())
    with pytest.raises(InputError):
        section(boat, "k", (0, 7), None, default_family(), "no such set at all")
