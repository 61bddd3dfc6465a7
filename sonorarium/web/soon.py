"""What may take a moment: given at once where it is there in time, else as a job that is at it.

The job is its own memory: who asks the same again while the run remembers it is given what it found.
"""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable
from typing import Any, TypeVar

from sonorarium.errors import NothingFoundError, SonorariumError
from sonorarium.web.jobs import Job, JobState, Report
from sonorarium.web.room import Room

PATIENCE_S = 0.2
"""So long a page waits before it shows the work under way instead."""

T = TypeVar("T")


def soon(room: Room, title: str, asked: object, link: str, work: Callable[[Report], T]) -> T | JobState:
    """What the work gives, or how it stands where that takes longer.

    Parameters
    ----------
    room : Room
    title : str
        What is done, for people.
    asked : object
        All that the result depends on; its ``repr`` tells one question from another.
    link : str
        Where the result is shown.
    work : callable
        Given a `Report`.

    Raises
    ------
    SonorariumError
        What the work raised.
    """
    key = hashlib.sha256(repr(asked).encode()).hexdigest()[:16]
    try:
        job = room.jobs.find(key)
    except NothingFoundError:
        job = None
    if job is None or job.now().state in ("stopped", "failed"):
        job = room.jobs.start(title, lambda report: _tried(work, report), link=link, key=key, lane="short")
    found: T | JobState = _waited_for(job)
    return found


def _waited_for(job: Job) -> Any:
    until = time.monotonic() + PATIENCE_S
    while not (state := job.now()).is_over and time.monotonic() < until:
        time.sleep(0.004)
    if state.state != "done":
        return state
    if isinstance(job.result, SonorariumError):
        raise job.result
    return job.result


def _tried(work: Callable[[Report], T], report: Report) -> T | SonorariumError:
    """What the work gives, or its error, which is for the page that asked."""
    try:
        return work(report)
    except SonorariumError as error:
        return error
