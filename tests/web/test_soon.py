"""What may take a moment: at once, or as a job; remembered; its errors are those of the page."""

from __future__ import annotations

import threading
import time

import pytest

from sonorarium.errors import InputError
from sonorarium.web.jobs import JobState, Report
from sonorarium.web.room import Room
from sonorarium.web.soon import PATIENCE_S, soon


def test_what_is_quick_is_given_at_once_and_made_once(room: Room) -> None:
    made: list[int] = []

    def work(_: Report) -> int:
        made.append(1)
        return 42

    assert [soon(room, "Quick", "quick", "/q", work) for _ in range(3)] == [42, 42, 42]
    assert len(made) == 1


def test_what_is_slow_is_a_job_until_it_is_there(room: Room) -> None:
    go = threading.Event()
    began = time.monotonic()
    state = soon(room, "Slow", "slow", "/s", lambda _: go.wait(10))
    assert PATIENCE_S <= time.monotonic() - began < 5
    assert isinstance(state, JobState) and state.title == "Slow" and not state.is_over
    go.set()
    for _ in range(100):
        if soon(room, "Slow", "slow", "/s", lambda _: False) is True:
            return
    raise AssertionError("never there")


def test_an_error_is_the_page_s_own_every_time(room: Room) -> None:
    def wrong(_: Report) -> None:
        raise InputError("Not understood.")

    for _ in range(2):
        with pytest.raises(InputError, match="Not understood"):
            soon(room, "Wrong", "wrong", "/w", wrong)


def test_what_was_stopped_is_begun_again(room: Room) -> None:
    def endless(report: Report) -> None:
        while True:
            report.say(0)
            time.sleep(0.005)

    state = soon(room, "Endless", "endless", "/e", endless)
    assert isinstance(state, JobState)
    room.jobs.stop(state.key)
    while not room.jobs.find(state.key).now().is_over:
        time.sleep(0.01)
    assert soon(room, "Endless", "endless", "/e", lambda _: "anew") == "anew"
