"""Strips line up with the set's own; the mirror is told in words; the note that moved is marked."""

from __future__ import annotations

import pytest

from sonorarium.pcs.kin import kin
from sonorarium.pcs.subject import subject
from sonorarium.web.facts.sheetfigures import inside_strips, mirror_words, mode_strip, neighbour_strip


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("D double harmonic", "its own mirror around D and around A♭"),
        ("C E G", ""),
        ("C E G B", "its own mirror between F and F♯ and between B and C"),
        ("D whole tone", "its own mirror around 12 points"),
    ],
)
def test_the_mirror_in_words(what: str, words: str) -> None:
    assert mirror_words(subject(what)) == words


def test_the_note_that_moved_is_marked_and_named() -> None:
    s = subject("D double harmonic")
    (one,) = [near for near in kin(s).neighbours if near.sentence == "C♯ moves to C"]
    drawn = neighbour_strip(s, one)
    assert "C♯ moves to C" in drawn
    assert "dasharray" in drawn


def test_a_mode_begins_on_its_own_tonic() -> None:
    def cells(what: str, tonic: str) -> str:
        return mode_strip(subject(what), tonic).split(">", 1)[1]

    assert cells("C major", "D") == cells("D dorian", "D")
    assert cells("C major", "D") != cells("C major", "E")


def test_the_empty_set_has_no_insides() -> None:
    assert inside_strips(subject("mask 0"), []) == []
