from sonorarium.score.score import Score
from sonorarium.score.search.lines import lines_of
from sonorarium.score.search.runs import BARRIER
from tests.score.little_scores import TICKS, little_score


def test_voices_follow_one_another_with_barriers_between() -> None:
    lines = lines_of(little_score({"Flute": ["C4:1 D4:1", "E3:1"], "Viola": ["F3:1"]}))
    assert lines.succession.masks.tolist() == [1 << 0, 1 << 2, BARRIER, 1 << 4, BARRIER, 1 << 5]
    assert lines.rows.tolist() == [0, 3, -1, 1, -1, 2]
    assert lines.succession.weights.tolist() == [TICKS, TICKS, 0, TICKS, 0, TICKS]


def test_the_axis_never_falls_and_keeps_voices_apart() -> None:
    succession = lines_of(little_score({"Flute": ["C4:2 D4:2", "E3:1"], "Viola": ["F3:1"]})).succession
    steps = succession.axis[1:] - succession.axis[:-1]
    assert (steps >= 0).all()
    assert succession.axis[3] - succession.axis[1] > 4 * TICKS + 4 * TICKS


def test_a_long_rest_puts_a_barrier_where_it_begins() -> None:
    lines = lines_of(little_score({"Flute": ["C4:1 r:5 D4:1"]}))
    assert lines.succession.masks.tolist() == [1, BARRIER, 4]
    assert lines.succession.onsets.tolist() == [0, TICKS, 6 * TICKS]


def test_without_notes_there_are_no_lines() -> None:
    score = little_score({"Flute": ["C4:1"]})
    assert len(lines_of(Score(score.notes[:0], score.bars, score.parts, TICKS)).succession) == 0
