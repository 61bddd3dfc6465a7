"""Long work: run beside the requests, with progress, a way to stop it, and a place to look for what it gave.

A job belongs to the server, not to the page that began it: reload the page, or close it and come back, and it is
still there. The work itself is a plain function that is given a `Report`; it tells how far it is, and where somebody
has asked to stop, the telling raises `StoppedError`, so that the work ends where it can end cleanly.
"""

from __future__ import annotations

import secrets
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, Literal, get_args

from sonorarium.errors import InputError, NothingFoundError, SonorariumError

State = Literal["waiting", "running", "done", "failed", "stopped"]
AT_ONCE = 2
"""So many pieces of work of each lane run at the same time;"""
WAITING = 20
"""so many more may wait."""
Lane = Literal["long", "short"]
LANES: tuple[Lane, ...] = get_args(Lane)
KEPT = 40
"""So many jobs of each lane that have ended are remembered."""


class StoppedError(Exception):
    """Somebody has asked for the work to stop."""


@dataclass(frozen=True)
class JobState:
    """How a job stands.

    Parameters
    ----------
    key : str
        What its address ends in.
    title : str
        What is being done.
    state : str
        ``waiting``, ``running``, ``done``, ``failed`` or ``stopped``.
    done, total : int
        Steps; a total of 0 means that it is not known.
    words : str
        What it is at, what it gave, or why it failed.
    link : str
        Where its result is shown, or where it may be begun again; empty until it is over.
    seconds : float
        How long it ran.
    """

    key: str
    title: str
    state: State
    done: int
    total: int
    words: str
    link: str
    seconds: float

    @property
    def is_over(self) -> bool:
        """Whether nothing more will happen."""
        return self.state in ("done", "failed", "stopped")


class Report:
    """What the work tells, and where it learns that it shall stop."""

    def __init__(self, job: Job) -> None:
        self._job = job

    def say(self, done: int, total: int = 0, words: str = "") -> None:
        """Tell how far the work is; raises `StoppedError` where it shall go no further."""
        if self._job.stop.is_set():
            raise StoppedError
        self._job.told = (done, total, words or self._job.told[2])


@dataclass
class Job:
    """A piece of work and what has become of it."""

    key: str
    title: str
    link: str
    lane: Lane = "long"
    told: tuple[int, int, str] = (0, 0, "")
    state: State = "waiting"
    result: Any = None
    began: float = 0.0
    ended: float = 0.0
    stop: threading.Event = field(default_factory=threading.Event)

    def now(self) -> JobState:
        """How it stands at this moment."""
        done, total, words = self.told
        seconds = (self.ended or time.monotonic()) - self.began if self.began else 0.0
        link = self.link if self.state in ("done", "failed", "stopped") else ""
        return JobState(self.key, self.title, self.state, done, total, words, link, round(seconds, 1))


class Jobs:
    """All jobs of a run of the workbench."""

    def __init__(self) -> None:
        self._lanes = {lane: ThreadPoolExecutor(AT_ONCE, thread_name_prefix=lane) for lane in LANES}
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()

    def start(
        self,
        title: str,
        work: Callable[[Report], object],
        *,
        link: str = "",
        key: str = "",
        joins: bool = True,
        lane: Lane = "long",
    ) -> Job:
        """Begin a piece of work, or join the one that is under way.

        Parameters
        ----------
        title : str
            What is done, for people.
        work : callable
            Given a `Report`; what it returns is the job's result, and where that is a text, what is told at the end.
        link : str
            Address at which its result is shown.
        key : str
            Work of the same key is not begun twice while it runs; by default a new key each time.
        joins : bool
            Whether the work of this key that runs already is given instead. Where it is other work, it must not.
        lane : {"long", "short"}
            What it waits behind: other long work, or other questions that a page asks.

        Returns
        -------
        Job

        Raises
        ------
        InputError
            Where work of the key is under way and may not be joined, or too much waits; nothing was begun.
        """
        with self._lock:
            there = self._jobs.get(key)
            if there is not None and not there.now().is_over:
                if not joins:
                    raise InputError(
                        f"There is work under way: {there.title}.",
                        suggestion="Wait until that has ended, or stop it.",
                    )
                return there
            if sum(job.lane == lane and job.state == "waiting" for job in self._jobs.values()) >= WAITING:
                raise InputError("Too much work waits already.", suggestion="Wait a moment, or stop some of it.")
            job = Job(key or secrets.token_hex(6), title, link, lane)
            self._jobs[job.key] = job
            self._jobs.move_to_end(job.key)
            self._forget()
        self._lanes[lane].submit(self._run, job, work)
        return job

    def find(self, key: str) -> Job:
        """The job of a key; raises `NothingFoundError` where there is none."""
        with self._lock:
            job = self._jobs.get(key)
        if job is None:
            raise NothingFoundError("There is no such work; it may have ended long ago.", value=key)
        return job

    def all(self) -> tuple[JobState, ...]:
        """How every job stands, the latest first."""
        with self._lock:
            return tuple(job.now() for job in reversed(self._jobs.values()))

    def stop(self, key: str) -> Job:
        """Ask a job to stop; one that has not begun stops at once."""
        job = self.find(key)
        job.stop.set()
        return job

    def close(self) -> None:
        """Stop everything and wait for it."""
        with self._lock:
            jobs = tuple(self._jobs.values())
        for job in jobs:
            job.stop.set()
        for pool in self._lanes.values():
            pool.shutdown(wait=True, cancel_futures=True)

    def _forget(self) -> None:
        for lane in LANES:
            over = [key for key, job in self._jobs.items() if job.lane == lane and job.now().is_over]
            for key in over[:-KEPT]:
                del self._jobs[key]

    def _run(self, job: Job, work: Callable[[Report], object]) -> None:
        job.began = time.monotonic()
        try:
            if job.stop.is_set():
                raise StoppedError
            job.state = "running"
            job.result = work(Report(job))
            said = job.result if isinstance(job.result, str) else job.told[2]
            job.told, state = (*job.told[:2], said), "done"
        except StoppedError:
            job.told, state = (*job.told[:2], "Stopped."), "stopped"
        except SonorariumError as error:
            job.told, state = (*job.told[:2], str(error)), "failed"
        except Exception as error:  # the outermost edge of this thread: whoever waits must be told
            job.told, state = (*job.told[:2], f"It failed for a reason that was not foreseen: {error!r}."), "failed"
        job.ended = time.monotonic()
        job.state = state  # type: ignore[assignment]
