"""Offers: inside what was asked, in place in the row, bounded; long work is a job."""

from __future__ import annotations

import time

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pitch.terms import Terms
from sonorarium.web.facts.sketching import row_of
from sonorarium.web.facts.sketchoffers import Offers, harmony_offers, offered_soon, path_offers, voicing_offers
from sonorarium.web.room import Room


def test_a_voicing_stands_in_place_of_the_chord() -> None:
    found = voicing_offers("Dm7; G7", 2, 48, 84, Terms(span=12))
    assert found.offers
    for offer in found.offers:
        (pitches,) = offer.pitches
        assert pitches[-1] - pitches[0] <= 12
        assert list(row_of(offer.line)[1].voicing.pitches) == pitches


def test_a_path_begins_and_ends_where_it_must() -> None:
    found = path_offers("C; E", 1, 4, 1, "3-11; 3-12", "")
    for offer in found.offers:
        assert {p % 12 for p in offer.pitches[0]} == {0, 4, 7}
        assert {p % 12 for p in offer.pitches[-1]} == {4, 8, 11}
        assert len(offer.pitches) == 5
    with pytest.raises(InputError):
        path_offers("C; E", 2, 4, 1, "", "")


def test_a_harmonisation_has_the_melody_on_top() -> None:
    found = harmony_offers("E5 F5 D5", "3-11", "C major", 4, 0.0, 1.0)
    for offer in found.offers:
        assert [pitches[-1] for pitches in offer.pitches] == [76, 77, 74]
        assert [list(chord.voicing.pitches) for chord in row_of(offer.line)] == offer.pitches
        assert offer.lengths == "1 1 1"
    for endless in ("C5 " * 49, "C5:99999999999999"):
        with pytest.raises(InputError):
            harmony_offers(endless, "3-11", "", 4, 0.0, 1.0)


def test_long_work_is_a_job_and_its_result_is_found_again(room: Room) -> None:
    def slow() -> Offers:
        time.sleep(0.5)
        return Offers("", "done", [])

    nothing, job = offered_soon(room, "Slow", "/slow", slow)
    assert job is not None and not job.is_over and nothing.offers == []
    time.sleep(0.6)
    assert offered_soon(room, "Slow", "/slow", slow) == (Offers("", "done", []), None)


def test_an_error_of_the_work_is_the_page_s(room: Room) -> None:
    def none() -> Offers:
        raise NothingFoundError("None.")

    with pytest.raises(NothingFoundError):
        offered_soon(room, "None", "/none", none)
