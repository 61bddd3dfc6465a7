"""Ties: which heads are one sounding note."""

from __future__ import annotations

import pytest

from sonorarium.score.written.ties import OPEN_START, OPEN_STOP, OVER_A_GAP, UNMARKED_END
from tests.score.writing import (
    TIE,
    TIED,
    attributes,
    backup,
    chord,
    grace,
    measure,
    note,
    quarters,
    read,
    said,
    voice,
)


def test_a_tie_over_the_bar_line() -> None:
    score = read(
        measure(attributes() + note("C4", 4, after=TIE)) + measure(note("C4", 1, after=TIED) + note("C4", 3), "2")
    )
    assert quarters(score) == [(0, 60, 5), (5, 60, 3)]
    assert score.remarks == ()


def test_a_tie_through_three_bars() -> None:
    middle = measure(note("C4", 4, after=TIED + TIE), "2")
    score = read(measure(attributes() + note("C4", 4, after=TIE)) + middle + measure(note("C4", 4, after=TIED), "3"))
    assert quarters(score) == [(0, 60, 12)]
    assert score.element_note.tolist() == [0, 0, 0]


def test_only_the_tied_notes_of_a_chord_are_joined() -> None:
    first = note("C4", 4, after=TIE) + chord("E4", 4) + chord("G4", 4, after=TIE)
    second = note("C4", 4, after=TIED) + chord("E4", 4) + chord("G4", 4, after=TIED)
    score = read(measure(attributes() + first) + measure(second, "2"))
    assert quarters(score) == [(0, 60, 8), (0, 64, 4), (0, 67, 8), (4, 64, 4)]


def test_a_tie_may_change_voice_and_staff() -> None:
    score = read(
        measure(attributes() + note("C4", 4, after=TIE + voice("1", 1)))
        + measure(note("C4", 4, after=TIED + voice("5", 2)), "2")
    )
    assert quarters(score) == [(0, 60, 8)]
    assert score.notes["staff"].tolist() == [1]


def test_of_two_open_ties_that_of_the_same_voice_is_taken() -> None:
    """Unisons in two voices: the one of voice 2 goes on for two quarters more, that of voice 1 for four."""
    bar = note("C4", 4, after=TIE + voice("1")) + backup(4) + note("C4", 4, after=TIE + voice("2"))
    after = note("C4", 2, after=TIED + voice("2")) + backup(2) + note("C4", 4, after=TIED + voice("1"))
    score = read(measure(attributes() + bar) + measure(after, "2"))
    rows = zip(score.notes["voice"].tolist(), score.notes["duration"].tolist(), strict=True)
    assert dict(rows) == {0: 8 * score.ticks_per_quarter, 1: 6 * score.ticks_per_quarter}


def test_enharmonic_ties_are_joined() -> None:
    score = read(measure(attributes() + note("C#4", 4, after=TIE)) + measure(note("Db4", 4, after=TIED), "2"))
    assert quarters(score) == [(0, 61, 8)]
    assert score.notes["alter"].tolist() == [1]


def test_a_tie_does_not_leave_its_part() -> None:
    score = read(
        measure(attributes() + note("C4", 4, after=TIE)) + measure(note("D4", 4), "2"),
        measure(attributes() + note("D4", 4)) + measure(note("C4", 4, after=TIED), "2"),
    )
    assert len(score.notes) == 4
    assert {(remark.what, remark.part, remark.bar) for remark in score.remarks} == {
        (OPEN_START, 0, "1"),
        (OPEN_STOP, 1, "2"),
    }


def test_a_grace_note_tied_to_its_main_note_is_the_main_note() -> None:
    score = read(measure(attributes() + grace("C4", after=TIE) + note("C4", 4, after=TIED)))
    assert quarters(score) == [(0, 60, 4)]
    assert score.notes["grace"].tolist() == [False]
    assert score.element_note.tolist() == [0, 0]


def test_a_start_without_a_stop_leads_to_the_next_head_of_its_voice() -> None:
    score = read(measure(attributes() + note("C4", 4, after=TIE)) + measure(note("C4", 4), "2"))
    assert quarters(score) == [(0, 60, 8)]
    assert said(score) == UNMARKED_END


@pytest.mark.parametrize("following", [note("D4", 4), note("R", 1) + note("C4", 3), note("C4", 4, after=voice("2"))])
def test_a_start_that_leads_nowhere_ends_as_written(following: str) -> None:
    score = read(measure(attributes() + note("C4", 4, after=TIE)) + measure(following, "2"))
    assert quarters(score)[0] == (0, 60, 4)
    assert said(score) == OPEN_START


def test_a_stop_that_comes_from_nowhere_begins_as_written() -> None:
    score = read(measure(attributes() + note("D4", 4)) + measure(note("C4", 4, after=TIED), "2"))
    assert quarters(score) == [(0, 62, 4), (4, 60, 4)]
    assert said(score) == OPEN_STOP


def test_a_broken_chord_gathered_by_ties_sounds_through() -> None:
    broken = note("C4", 1, after=TIE) + note("E4", 1, after=TIE) + note("G4", 1, after=TIE)
    held = note("C4", 1, after=TIED) + chord("E4", 1, after=TIED) + chord("G4", 1, after=TIED)
    score = read(measure(attributes() + broken + held))
    assert quarters(score) == [(0, 60, 4), (1, 64, 3), (2, 67, 2)]
    assert f"{OVER_A_GAP} (2 places: bar 1)" in said(score)


def test_a_tie_over_other_notes_of_its_voice_is_no_broken_chord() -> None:
    score = read(measure(attributes() + note("C4", 1, after=TIE) + note("D4", 2) + note("C4", 1, after=TIED)))
    assert quarters(score) == [(0, 60, 1), (1, 62, 2), (3, 60, 1)]
    assert said(score) == f"{OPEN_START} | {OPEN_STOP}"


def test_a_tie_in_a_first_and_a_second_ending() -> None:
    """The second ending takes up what was tied before the first: on the page it comes from nowhere."""
    score = read(
        measure(attributes() + note("C4", 4, after=TIE))
        + measure(note("C4", 4, after=TIED), "2")
        + measure(note("D4", 4), "3")
        + measure(note("C4", 4, after=TIED), "4")
    )
    assert quarters(score) == [(0, 60, 8), (8, 62, 4), (12, 60, 4)]
    assert said(score) == OPEN_STOP


def test_drawn_ties_count_where_the_file_marks_none_for_sound() -> None:
    def drawn(kind: str) -> str:
        return f'<notations><tied type="{kind}"/></notations>'

    score = read(
        measure(attributes() + note("C4", 4, after=drawn("start"))) + measure(note("C4", 4, after=drawn("stop")), "2")
    )
    assert quarters(score) == [(0, 60, 8)]
    assert "joined as drawn" in said(score)


def test_transposition_does_not_disturb_ties() -> None:
    score = read(
        measure(attributes(1, "<transpose><chromatic>-2</chromatic></transpose>") + note("D4", 4, after=TIE))
        + measure(note("D4", 4, after=TIED), "2")
    )
    assert quarters(score) == [(0, 60, 8)]
