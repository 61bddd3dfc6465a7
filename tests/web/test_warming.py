"""Warming up makes every beginning, leaves no trace in the study, and survives what fails."""

from __future__ import annotations

from dataclasses import replace

from sonorarium.settings import Settings
from sonorarium.web.clips import Clips
from sonorarium.web.facts.drawings import _rising
from sonorarium.web.room import Room
from sonorarium.web.warming import warm, warm_beside


def test_every_beginning_is_made(room: Room) -> None:
    cards = sorted(room.study.folder.rglob("*"))
    assert warm(room) == 5
    drawn = _rising.cache_info().misses
    assert warm(room) == 5
    assert _rising.cache_info().misses == drawn, "what was drawn is kept"
    assert sorted(room.study.folder.rglob("*")) == cards


def test_what_fails_is_left_to_its_page(room: Room) -> None:
    deaf = replace(room, settings=Settings(soundfont="/nowhere.sf2", family="no such family"))
    assert warm(deaf) == 3


def test_it_works_beside_the_requests(room: Room) -> None:
    made = replace(room, clips=Clips())
    thread = warm_beside(made)
    thread.join(20)
    assert not thread.is_alive()
    assert made.clips.count == 1, "a clip was made"
    made.clips.close()
