"""Work for other processes."""

import os
import signal

from sonorarium.shelf.indexing import Batched, Task, index_task


def double_or_die(numbers: list[int]) -> list[int]:
    if 13 in numbers:
        os.kill(os.getpid(), signal.SIGKILL)
    return [2 * number for number in numbers]


def index_or_die(task: Task) -> Batched:
    if any("deadly" in file for file in task.files):
        os.kill(os.getpid(), signal.SIGKILL)
    return index_task(task)
