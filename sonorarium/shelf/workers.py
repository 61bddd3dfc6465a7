"""Work on many files in several processes, of which any may die.

* The tasks that were in the hands of the workers when one died are each taken apart, and every part is tried again in
  a process of its own, so that only the culprit is lost.
* Ctrl-C reaches this process alone: it drops what waits, lets the workers finish what they have in hand, and passes
  the interruption on.
* Should this process be ended from outside, the workers notice and end themselves.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Generator, Iterable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import connection
from queue import SimpleQueue
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")


def in_workers(
    work: Callable[[T], R], tasks: Iterable[T], jobs: int, apart: Callable[[T], Iterable[T]]
) -> Generator[tuple[T, R | None]]:
    """Do tasks in worker processes.

    Parameters
    ----------
    work : callable
        Importable, for it is called in other processes.
    tasks : iterable
        Taken in order, not long before they are needed.
    jobs : int
        Number of processes.
    apart : callable
        Takes a task apart into smaller ones.

    Yields
    ------
    (task, result)
        In no particular order; the result is None for a task on which a process of its own died.
    """
    waiting = iter(tasks)
    while True:
        suspects: list[T] = []
        yield from _until_a_death(work, waiting, jobs, suspects)
        if not suspects:
            return
        for part in (part for task in suspects for part in apart(task)):
            yield part, _alone(work, part)


def _until_a_death(
    work: Callable[[T], R], waiting: Iterable[T], jobs: int, suspects: list[T]
) -> Generator[tuple[T, R | None]]:
    """Do tasks until there are none left or a worker dies; then name the tasks in hand."""
    pool = _pool(jobs)
    in_hand: dict[Future[R], T] = {}
    done: SimpleQueue[Future[R]] = SimpleQueue()
    try:
        while not suspects:
            while len(in_hand) < 2 * jobs:  # one to work on and one in reserve for each worker
                task = next(iter(waiting), None)
                if task is None:
                    break
                in_hand[_submit(pool, work, task, done)] = task
            if not in_hand:
                return
            future = done.get()
            if isinstance(future.exception(), BrokenProcessPool):
                suspects += in_hand.values()
                break
            yield in_hand.pop(future), future.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _alone(work: Callable[[T], R], task: T) -> R | None:
    with _pool(1) as pool:
        try:
            return _submit(pool, work, task, SimpleQueue()).result()
        except BrokenProcessPool:
            return None


def _submit(pool: ProcessPoolExecutor, work: Callable[[T], R], task: T, done: SimpleQueue[Future[R]]) -> Future[R]:
    """Hand a task to a pool, which may start a worker for it; Ctrl-C is held back meanwhile, and in the worker.

    What is done comes through a queue, for waiting on the futures themselves takes their locks one by one, and a
    Ctrl-C between two of them would leave one locked for ever.
    """
    if not hasattr(signal, "pthread_sigmask"):
        return _handed(pool.submit(work, task), done)
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        return _handed(pool.submit(work, task), done)
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _handed(future: Future[R], done: SimpleQueue[Future[R]]) -> Future[R]:
    future.add_done_callback(done.put)
    return future


def _pool(jobs: int) -> ProcessPoolExecutor:
    # Fresh processes: forking one that has threads, as a server has, can lock up.
    context = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(jobs, mp_context=context, initializer=_begin)


def _begin() -> None:
    """Make a worker deaf to Ctrl-C, and mortal when the process that started it dies."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        connection.wait([parent.sentinel])
        os._exit(1)
