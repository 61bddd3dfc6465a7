import numpy as np
import pytest
from hypothesis import given

from sonorarium.errors import InputError
from sonorarium.score.score import Score
from sonorarium.score.slices import part_name, rows_of_parts, slice_score
from tests.score.little_scores import TICKS, little_score
from tests.score.random_scores import scores


def test_a_cut_at_every_onset_and_every_release() -> None:
    slices = slice_score(little_score({"Flute": ["C4:1 r:1 D4:2"], "Viola": ["r:1/2 E3:1 r:5/2"]}))
    assert (slices.cuts / TICKS).tolist() == [0, 0.5, 1, 1.5, 2, 4]
    assert [slices.pitches(i) for i in range(len(slices))] == [(60,), (52, 60), (52,), (), (62,)]


def test_a_rest_in_all_parts_is_an_empty_slice() -> None:
    slices = slice_score(little_score({"Flute": ["r:1 C4:1 r:2"]}))
    assert slices.masks.tolist() == [0, 1, 0]


def test_doublings_count_once_and_a_repeated_note_cuts() -> None:
    slices = slice_score(little_score({"Flute": ["C5:1 C5:1"], "Viola": ["C3:2"]}))
    assert slices.masks.tolist() == [1, 1, 0]
    assert slices.durations.tolist() == [TICKS, TICKS, 2 * TICKS]


def test_marked_notes_neither_sound_nor_cut() -> None:
    score = little_score({"Flute": ["C4:4"], "Viola": ["r:1 E3:1 r:2"]})
    for mark in ("grace", "cue", "hidden"):
        notes = score.notes.copy()
        notes[mark][1] = True
        marked = Score(notes, score.bars, score.parts, score.ticks_per_quarter)
        assert slice_score(marked).masks.tolist() == [1]


def test_parts_are_chosen_by_printed_name_or_index() -> None:
    score = little_score({"Flute": ["C4:4"], "Viola": ["E3:4"], "flute": ["G4:4"], " ": ["B4:4"]})
    assert slice_score(score, ("viola",)).masks.tolist() == [1 << 4]
    assert slice_score(score, (0, 1)).masks.tolist() == [1 | 1 << 4]
    assert slice_score(score, ("Flute",)).masks.tolist() == [1 | 1 << 7]
    assert slice_score(score, ("part 4",)).masks.tolist() == [1 << 11]
    assert part_name(score, 3) == "part 4"


@pytest.mark.parametrize("part", ["Tuba", 2, -1])
def test_a_part_that_is_not_there_is_named(part: str | int) -> None:
    score = little_score({"Flute": ["C4:4"], "Viola": ["E3:4"]})
    with pytest.raises(InputError, match=r"A little score has no part .*Its parts are: Flute, Viola\."):
        rows_of_parts(score, (part,))


@given(scores())
def test_slices_partition_the_time_line_and_hold_what_sounds(score: Score) -> None:
    slices = slice_score(score)
    assert slices.cuts[0] == 0
    assert slices.cuts[-1] == score.end
    assert (slices.durations > 0).all()
    notes = score.notes[score.sounding]
    for a, b, mask in zip(slices.onsets, slices.ends, slices.masks.tolist(), strict=True):
        through = (notes["onset"] <= a) & (notes["onset"] + notes["duration"] >= b)
        touched = (notes["onset"] < b) & (notes["onset"] + notes["duration"] > a)
        assert (through == touched).all()
        assert sum(1 << pc for pc in {p % 12 for p in notes["pitch"][through].tolist()}) == mask


@given(scores())
def test_rows_between_and_their_count_agree(score: Score) -> None:
    slices = slice_score(score)
    spans = [(a, b) for a in slices.cuts.tolist() for b in slices.cuts.tolist() if a < b]
    onsets, ends = np.array(spans).reshape(-1, 2).T
    counts = slices.count_between(onsets, ends)
    assert counts.tolist() == [len(slices.rows_between(a, b)) for a, b in spans]


@given(scores())
def test_lowest_and_highest_are_the_ends_of_each_slice(score: Score) -> None:
    slices = slice_score(score)
    for index in range(len(slices)):
        pitches = slices.pitches(index)
        assert slices.lowest[index] == (pitches[0] if pitches else 32767)
        assert slices.highest[index] == (pitches[-1] if pitches else -1)
