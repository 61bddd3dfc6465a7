"""Bars: lengths, labels, pick-ups, split bars, metres."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.score.writing import attributes, backup, forward, measure, note, quarters, read, said, time

WHOLE_REST = '<note><rest measure="yes"/><duration>4</duration></note>'


def test_a_pick_up_has_its_beats_at_the_end_of_the_bar() -> None:
    score = read(
        measure(attributes() + note("G4", 1), "0", implicit=True)
        + measure(note("C5", 4))
        + measure(note("D5", 3), "2")
    )
    assert score.bars["label"].tolist() == ["0", "1", "2"]
    assert score.bars["onset"].tolist() == [0, 1, 5]
    assert score.bars["duration"].tolist() == [1, 4, 3]
    assert score.bars["lead"].tolist() == [3, 0, 0]
    assert [score.beat_at(tick) for tick in (0, 1, 2, 5)] == [4, 1, 2, 1]
    assert score.remarks == ()


def test_a_pick_up_may_be_called_1() -> None:
    score = read(measure(attributes(2) + note("G4", 3)) + measure(note("C5", 8), "2"))
    assert score.beat_at(0) == Fraction(7, 2)


def test_a_piece_of_one_short_bar_begins_on_its_first_beat() -> None:
    assert read(measure(attributes() + note("G4", 1))).bars["lead"].tolist() == [0]


def test_the_halves_of_a_split_bar() -> None:
    score = read(
        measure(attributes() + note("C4", 4))
        + measure(note("D4", 3), "2")
        + measure(note("E4", 1), "X1", implicit=True)
        + measure(note("F4", 4), "3")
    )
    assert score.bars["label"].tolist() == ["1", "2", "2", "3"]
    assert score.bars["lead"].tolist() == [0, 0, 3, 0]
    assert [score.beat_at(tick) for tick in (4, 7, 8)] == [1, 4, 1]
    assert "not counted in print" in said(score)
    assert "shorter" not in said(score)


def test_two_measures_of_one_number_make_one_bar() -> None:
    score = read(measure(attributes() + note("C4", 4)) + measure(note("D4", 1), "2") + measure(note("E4", 3), "2"))
    assert score.bars["label"].tolist() == ["1", "2", "2"]
    assert score.bars["lead"].tolist() == [0, 0, 1]


def test_a_bar_split_in_three() -> None:
    parts = measure(note("D4", 1), "2") + measure(note("E4", 1), "X1", implicit=True)
    score = read(measure(attributes() + note("C4", 4)) + parts + measure(note("F4", 2), "X2", implicit=True))
    assert score.bars["lead"].tolist() == [0, 0, 1, 2]
    assert score.bars["label"].tolist() == ["1", "2", "2", "2"]


def test_a_pick_up_to_a_later_section() -> None:
    score = read(
        measure(attributes() + note("C4", 4))
        + measure(note("D4", 1), "X1", implicit=True)
        + measure(note("E4", 4), "2")
    )
    assert score.bars["lead"].tolist() == [0, 3, 0]


@pytest.mark.parametrize("number", ["", "X3", "*"])
def test_makeshift_numbers_of_implicit_pick_ups_become_0(number: str) -> None:
    score = read(measure(attributes() + note("G4", 1), number, implicit=True) + measure(note("C5", 4)))
    assert score.bars["label"].tolist() == ["0", "1"]


def test_labels_may_be_any_text_and_are_counted_where_missing() -> None:
    score = read(
        measure(attributes() + note("C4", 4), "12a") + measure(note("C4", 4), "12b") + measure(note("C4", 4), None)
    )
    assert score.bars["label"].tolist() == ["12a", "12b", "3"]
    assert "The bar has no number: it was counted." in said(score)


def test_an_over_full_bar_keeps_its_notes_and_is_remarked() -> None:
    score = read(
        measure(attributes() + note("C4", 4) + note("D4", 1)) + measure(note("E4", 4), "2"),
        measure(attributes() + note("C3", 4)) + measure(note("E3", 4), "2"),
    )
    assert quarters(score) == [(0, 60, 4), (0, 48, 4), (4, 62, 1), (5, 64, 4), (5, 52, 4)]
    assert "The bar is longer than its metre." in said(score)
    assert "The part does not fill the bar" in said(score)


def test_an_under_full_bar_is_remarked() -> None:
    score = read(measure(attributes() + note("C4", 4)) + measure(note("D4", 3), "2") + measure(note("E4", 4), "3"))
    assert score.bars["duration"].tolist() == [4, 3, 4]
    assert [(remark.what, remark.bar) for remark in score.remarks] == [("The bar is shorter than its metre.", "2")]


def test_a_part_that_ends_early_waits_for_the_others() -> None:
    score = read(
        measure(attributes() + note("C4", 2)) + measure(note("D4", 4), "2"),
        measure(attributes() + note("C3", 4)) + measure(note("D3", 4), "2"),
    )
    assert quarters(score)[2:] == [(4, 62, 4), (4, 50, 4)]


def test_a_whole_bar_rest_takes_the_length_of_its_bar() -> None:
    """The other part has the pick-up; the file gives the resting one four quarters."""
    score = read(
        measure(attributes() + note("G4", 1), "0") + measure(note("C5", 4)),
        measure(attributes() + WHOLE_REST, "0") + measure(note("C3", 4)),
    )
    assert score.bars["duration"].tolist() == [1, 4]
    alone = measure(attributes() + note("R", 4), "0") + measure(note("C3", 4))
    assert read(measure(attributes() + note("G4", 1), "0") + measure(note("C5", 4)), alone).bars["lead"].tolist() == [
        3,
        0,
    ]


def test_a_whole_bar_rest_of_four_quarters_in_three_four() -> None:
    score = read(measure(attributes(1, time("3", 4)) + WHOLE_REST) + measure(note("C4", 3), "2"))
    assert score.bars["duration"].tolist() == [3, 3]


def test_rests_and_skips_do_not_make_a_bar_longer() -> None:
    score = read(measure(attributes() + note("C4", 4) + note("R", 4)) + measure(note("D4", 4) + forward(2), "2"))
    assert score.bars["duration"].tolist() == [4, 4]
    assert "Rests go on beyond the end of the metre" in said(score)


def test_a_bar_without_content_has_the_length_of_its_metre() -> None:
    score = read(measure(attributes(1, time("3", 2))) + measure("", "2") + measure(note("C4", 6), "3"))
    assert score.bars["duration"].tolist() == [6, 6, 6]


@pytest.mark.parametrize(
    ("stated", "beats", "beat_type", "length"),
    [
        (time("3+2", 8), 5, 8, 2.5),
        ("<time><beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type></time>", 7, 8, 3.5),
        (time("6", 8), 6, 8, 3.0),
        (time("2", 2), 2, 2, 4.0),
    ],
)
def test_metres(stated: str, beats: int, beat_type: int, length: float) -> None:
    score = read(measure(attributes(2, stated)) + measure("", "2"))
    bar = score.bars[1]
    assert (bar["beats"], bar["beat_type"]) == (beats, beat_type)
    assert bar["duration"] / score.ticks_per_quarter == length


def test_senza_misura_and_no_metre_at_all() -> None:
    free = "<time><senza-misura/></time>"
    score = read(measure(attributes(1, free) + note("C4", 11)) + measure(note("D4", 3), "2"))
    assert score.bars["beats"].tolist() == [0, 0]
    assert score.bars["duration"].tolist() == [11, 3]
    unstated = read(measure(attributes(1, "") + note("C4", 7)))
    assert unstated.bars["duration"].tolist() == [7]
    assert "No metre is stated at the beginning." in said(unstated)


@pytest.mark.parametrize("bad", [time("x", 4), time("0", 4), time("4", 0), "<time><beats>4</beats></time>"])
def test_a_metre_that_cannot_be_understood_is_left_out(bad: str) -> None:
    score = read(measure(attributes(1, bad) + note("C4", 4)))
    assert "A <time> that cannot be understood was left out." in said(score)


def test_a_metre_stated_at_the_end_of_a_bar_holds_from_the_next() -> None:
    change = f"<attributes>{time('3', 4)}</attributes>"
    score = read(measure(attributes() + note("C4", 4) + change) + measure(note("D4", 3), "2"))
    assert score.bars["beats"].tolist() == [4, 3]
    assert score.remarks == ()


def test_parts_in_different_metres_of_one_length() -> None:
    score = read(
        measure(attributes(2, time("6", 8)) + note("C5", 6)), measure(attributes(2, time("3", 4)) + note("C3", 6))
    )
    assert (score.bars[0]["beats"], score.bars[0]["beat_type"]) == (6, 8)
    assert score.remarks == ()


def test_of_metres_of_different_length_the_one_that_fits_counts() -> None:
    score = read(
        measure(attributes(2, time("2", 4)) + note("C5", 4) + backup(4) + note("C4", 4)),
        measure(attributes(2, time("6", 8)) + note("C3", 6)),
    )
    assert (score.bars[0]["beats"], score.bars[0]["beat_type"]) == (6, 8)
    assert "metres of different length" in said(score)


def test_a_label_too_long_for_the_table_is_cut_and_remarked() -> None:
    score = read(measure(attributes() + note("C4", 4), "12 (second time)"))
    assert score.bars["label"].tolist() == ["12 (second t"]
    assert [(remark.what, remark.bar) for remark in score.remarks] == [
        ("The number of the bar was cut to 12 signs.", "12 (second t")
    ]


def test_skips_do_not_lengthen_a_bar_without_a_number() -> None:
    """As in a Bach chorale of the corpus: a pick-up of one quarter, which a resting part fills up with skips."""
    score = read(
        measure(attributes() + note("C4", 4))
        + measure(note("D4", 1), "X1", implicit=True)
        + measure(note("E4", 4), "2"),
        measure(attributes() + note("C3", 4))
        + measure(note("R", 1) + forward(2), "X1", implicit=True)
        + measure(note("E3", 4), "2"),
    )
    assert score.bars["duration"].tolist() == [4, 1, 4]
    assert score.bars["lead"].tolist() == [0, 3, 0]
