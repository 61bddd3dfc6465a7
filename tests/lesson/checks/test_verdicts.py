"""Readings that disagree make a statement not understood; senseless ones are left aside."""

from __future__ import annotations

from sonorarium.lesson.checks.verdicts import NOT_UNDERSTOOD, Outcome, judge


def test_readings_that_agree_and_that_do_not() -> None:
    yes, no = Outcome(True, "it is"), Outcome(False, "it is not")
    assert judge("k", "u", [yes, yes]).standing == "true"
    assert judge("k", "u", [no]).truth == "it is not"
    assert judge("k", "u", [yes, no]).standing == "not understood"
    assert judge("k", "u", []) == NOT_UNDERSTOOD


def test_senseless_readings_count_only_where_there_is_no_other() -> None:
    yes, odd = Outcome(True, "it is"), Outcome(False, "odd", sense=False)
    assert judge("k", "u", [odd, yes]).standing == "true"
    assert judge("k", "u", [odd]).standing == "false"


def test_the_measure_is_shown() -> None:
    assert judge("k", "<5-22> is even", [Outcome(True, "so", "by chords")]).understood == "<5-22> is even (by chords)"
