"""Long work: told, stopped, joined, remembered."""

from __future__ import annotations

import threading
import time

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.web.jobs import AT_ONCE, KEPT, WAITING, Job, Jobs, Report


def over(job: Job) -> None:
    for _ in range(400):
        if job.now().is_over:
            return
        time.sleep(0.01)
    raise AssertionError("never over")


@pytest.fixture
def jobs() -> Jobs:
    return Jobs()


def test_work_tells_how_far_it_is_and_what_it_gave(jobs: Jobs) -> None:
    def work(report: Report) -> str:
        report.say(1, 2, "half")
        report.say(2, 2)
        return "all of it"

    job = jobs.start("Counting", work, link="/there")
    over(job)
    now = job.now()
    assert (now.state, now.done, now.total, now.words, now.link) == ("done", 2, 2, "all of it", "/there")
    jobs.close()


def test_work_that_is_asked_to_stop_stops_where_it_tells(jobs: Jobs) -> None:
    begun = threading.Event()

    def work(report: Report) -> None:
        begun.set()
        while True:
            report.say(0)
            time.sleep(0.005)

    job = jobs.start("Endless", work)
    begun.wait(5)
    assert jobs.start("Endless", work, key=job.key) is job
    jobs.stop(job.key)
    over(job)
    assert job.now().state == "stopped"
    jobs.close()


def test_what_goes_wrong_is_told(jobs: Jobs) -> None:
    def refused(report: Report) -> None:
        raise InputError("No.", suggestion="Try yes.")

    def broken(report: Report) -> None:
        raise ZeroDivisionError

    first, second = jobs.start("A", refused), jobs.start("B", broken)
    over(first)
    over(second)
    assert (first.now().state, first.now().words) == ("failed", "No. Try yes.")
    assert "not foreseen" in second.now().words
    jobs.close()


def test_only_so_many_are_remembered(jobs: Jobs) -> None:
    for number in range(KEPT + 5):
        over(jobs.start(str(number), lambda report: None))
    jobs.start("last", lambda report: None)
    assert len(jobs.all()) <= KEPT + 2
    with pytest.raises(NothingFoundError, match="no such work"):
        jobs.find("none")
    jobs.close()


def test_other_work_of_the_same_key_is_refused_and_not_dropped_in_silence(jobs: Jobs) -> None:
    go = threading.Event()
    first = jobs.start("Reading", lambda report: go.wait(5), key="shelf")
    with pytest.raises(InputError, match="Reading"):
        jobs.start("Reading other files", lambda report: None, key="shelf", joins=False)
    assert jobs.start("Reading", lambda report: None, key="shelf") is first
    go.set()
    over(first)
    jobs.close()


def test_a_question_does_not_wait_behind_long_work_and_not_too_many_wait(jobs: Jobs) -> None:
    go = threading.Event()
    for _ in range(AT_ONCE):
        jobs.start("Long", lambda report: go.wait(10))
    while sum(state.state == "running" for state in jobs.all()) < AT_ONCE:
        time.sleep(0.005)
    for _ in range(WAITING):
        jobs.start("Longer", lambda report: go.wait(10))
    with pytest.raises(InputError, match="Too much"):
        jobs.start("Too many", lambda report: None)
    quick = jobs.start("Question", lambda report: "answer", lane="short")
    over(quick)
    assert quick.result == "answer"
    go.set()
    jobs.close()
