"""The facts of a piece's page."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.reading import read_score
from sonorarium.score.score import Remark, Score
from sonorarium.shelf.shelf import Shelf
from sonorarium.web.guard import Gate
from sonorarium.web.piece.scoring import (
    bars_asked,
    chosen,
    no_notation,
    openable,
    piece_facts,
    sections_of,
    span_facts,
    spans_of,
    words_of,
)
from sonorarium.web.room import Room
from tests.web.conftest import DEMO, demo_study


@pytest.fixture(scope="module")
def moth() -> Score:
    return read_score(DEMO / "pieces" / "5-clockwork-moth.musicxml")


def test_the_study_comes_first_and_knows_what_the_shelf_knows(room: Room, tmp_path: Path) -> None:
    rows = openable(room)
    assert {row.of for row in rows} == {"study"}
    assert [row.bars for row in rows] == [len(room.score(row.key).bars) for row in rows]
    without = openable(replace(room, shelf=Shelf(tmp_path / "none")))
    assert [row.key for row in without] == [row.key for row in rows]
    assert [row.title for row in without] == [row.title for row in rows]


def test_a_file_that_cannot_be_read_is_listed_by_its_name(tmp_path: Path) -> None:
    study = demo_study(tmp_path)
    (tmp_path / "pieces" / "0-torn.musicxml").write_text("<score-partwise><part>")
    made = Room(study, Shelf(tmp_path / "none"), Gate(8000, "t"))
    torn = openable(made)[0]
    made.close()
    assert (torn.title, torn.bars) == ("0-torn", 0)


def test_words_are_looked_for_in_title_composer_and_file(room: Room) -> None:
    assert [row.title for row in openable(room, "moth demo")] == ["Clockwork Moth"]
    assert openable(room, "moth boat") == []


def test_bars_that_are_asked_for_must_be_there(moth: Score) -> None:
    assert chosen(moth, None, None) is None
    assert chosen(moth, 3, None) == (3, 3) == chosen(moth, None, 3)
    assert bars_asked(moth, 0, 38) == (0, 38)
    for first, last in ((0, 39), (4, 3), (-1, 2)):
        with pytest.raises(InputError, match="it has 39"):
            chosen(moth, first, last)
    assert words_of(moth, (0, 0)) == "bar 1"
    assert words_of(moth, (0, 3)) == "bars 1–4"


def test_sections_tile_the_piece() -> None:
    assert sections_of(0) == []
    assert sections_of(17) == [(0, 7), (8, 15), (16, 16)]


def test_spans_are_those_of_the_tracing(moth: Score) -> None:
    spans = trace(moth, default_family())
    told = span_facts(spans_of(moth, default_family()))
    assert [one.sentence for one in told] == [span.sentence for span in spans]
    assert [one.number for one in told] == [1, 2, 3]
    assert told[1].set == told[1].name == "Bb acoustic"
    assert spans_of(moth, default_family()) is spans_of(moth, default_family())


def test_foreign_notes_and_the_centre_are_named() -> None:
    boat = read_score(DEMO / "pieces" / "4-boat-without-oars.musicxml")
    told, spans = span_facts(spans_of(boat, default_family())), spans_of(boat, default_family())
    assert told[0].foreign == ["G♭"]
    assert [len(one.foreign) for one in told] == [len(span.foreign.pcs) for span in spans]
    moth = read_score(DEMO / "pieces" / "5-clockwork-moth.musicxml")
    for score in (boat, moth):
        spans = spans_of(score, default_family())
        centres = [span.centre.note.sign if span.centre and span.centre.note else "" for span in spans]
        assert [one.centre for one in span_facts(spans)] == centres


def test_remarks_of_the_reader_are_told(moth: Score) -> None:
    remarks = (Remark("A rest was guessed.", 0, "7"), Remark("It has no metre."))
    told = piece_facts(replace(moth, remarks=remarks), "k", default_family(), None)
    assert told.remarks == ["Bar 7: A rest was guessed.", "It has no metre."]


def test_an_undecided_span_is_named_by_what_is_heard() -> None:
    score = read_score(DEMO / "pieces" / "1-saffron-evening.musicxml")
    (told,) = span_facts(spans_of(score, default_family()))
    assert told.verdict == "none of these"
    assert told.name == "7-22, none of these"
    assert len(told.set.split()) == 7


def test_a_piece_says_why_it_has_no_notes(moth: Score) -> None:
    assert no_notation(moth) == ""
    assert "MIDI" in no_notation(replace(moth, format="MIDI"))
    silent = replace(moth, notes=moth.notes[:0])
    assert piece_facts(silent, "k", default_family(), None).spans == []
    assert piece_facts(replace(moth, title=""), "k", default_family(), (1, 2)).title == "5-clockwork-moth"
