"""The times by which the mark follows the sound agree with what is played."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from sonorarium.render.hearing import hear_bars
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.web.piece.following import TURNS_S, times_of, turns_of
from tests.web.conftest import DEMO

PIECES = sorted((DEMO / "pieces").glob("*.musicxml"))


@pytest.fixture(scope="module")
def boat() -> Score:
    return read_score(DEMO / "pieces" / "4-boat-without-oars.musicxml")


@pytest.mark.parametrize("path", PIECES, ids=lambda path: path.stem)
def test_every_tone_of_the_performance_has_its_time(path: Path) -> None:
    score = read_score(path)
    for first, last in ((0, len(score.bars) - 1), (4, 7), (20, 24)):
        played = hear_bars(score, first, last, tempo_qpm=90)
        second = 60 / 90 / played.ticks_per_quarter
        told = times_of(score, "k", (first, last), 90)
        rows = [int(score.element_note[note.heads[0]]) for note in told.notes]
        pitches = score.notes["pitch"][rows].tolist()
        wanted = Counter(
            (round(t.onset_ticks * second, 3), round(t.end_ticks * second, 3), t.pitch) for t in played.tones
        )
        assert Counter((n.begin, n.end, p) for n, p in zip(told.notes, pitches, strict=True)) == wanted


def test_grace_notes_before_the_first_beat_move_the_beginning(boat: Score) -> None:
    graces = boat.notes[boat.notes["grace"]]
    bar = boat.bar_at(int(graces["onset"][0]))
    assert int(graces["onset"][0]) > int(boat.bars["onset"][bar])
    notes = boat.notes.copy()
    moved = notes["grace"] & (notes["onset"] == graces["onset"][0])
    notes["onset"][moved] = boat.bars["onset"][bar]
    told = times_of(replace(boat, notes=notes), "k", (bar, bar + 1), 60)
    assert told.bars[0].begin == 0.125 == told.notes[0].end
    assert told.bars[1].begin > told.bars[0].begin
    assert times_of(boat, "k", (bar, bar + 1), 60).bars[0].begin == 0


def test_the_heads_of_a_tied_note_are_marked_together(boat: Score) -> None:
    told = times_of(boat, "k", (0, len(boat.bars) - 1), 84)
    every = sorted(head for note in told.notes for head in note.heads)
    assert every == sorted(set(every))
    tied = next(note for note in told.notes if len(note.heads) > 1)
    assert len({int(boat.element_note[head]) for head in tied.heads}) == 1


def test_clips_tile_the_bars_and_grow(boat: Score) -> None:
    turns = turns_of(boat, "k", (2, 32), 84).turns
    assert turns[0].first == 2
    assert turns[-1].last == 32
    assert all(one.last + 1 == two.first for one, two in pairwise(turns))
    assert all(turn.seconds >= least for turn, least in zip(turns[:-1], TURNS_S, strict=False))
    assert turns[0].seconds < TURNS_S[0] + 3
    ticks = int(boat.bars["duration"][2:33].sum())
    assert sum(turn.seconds for turn in turns) == pytest.approx(ticks / boat.ticks_per_quarter * 60 / 84, abs=0.01)


def test_no_clip_is_silent(boat: Score) -> None:
    half = int(boat.bars["onset"][16])
    notes = boat.notes["onset"] + boat.notes["duration"]
    early = np.flatnonzero(notes <= half)
    rest = replace(boat, notes=boat.notes[early], element_note=np.full(len(boat.element_note), -1, np.int32))
    assert turns_of(rest, "k", (0, 32), 300).turns[-1].last == 32
    assert turns_of(rest, "k", (20, 32), 300).turns == []
    assert len(turns_of(rest, "k", (8, 32), 300).turns) < len(turns_of(boat, "k", (8, 32), 300).turns)
