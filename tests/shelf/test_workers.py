import multiprocessing
from contextlib import closing

from sonorarium.shelf.workers import in_workers
from tests.shelf.working import double_or_die

TASKS = [[n, n + 1] for n in range(0, 40, 2)]


def apart(numbers: list[int]) -> list[list[int]]:
    return [[number] for number in numbers]


def test_every_task_is_done_once() -> None:
    tasks = [task for task in TASKS if 13 not in task]
    found = list(in_workers(double_or_die, tasks, 2, apart))
    assert sorted(task for task, _ in found) == tasks
    assert all(result == [2 * number for number in task] for task, result in found)


def test_a_death_loses_the_culprit_alone() -> None:
    found = {tuple(task): result for task, result in in_workers(double_or_die, TASKS, 2, apart)}
    assert found.pop((13,)) is None
    assert sorted(number for task in found for number in task) == [n for n in range(40) if n != 13]
    assert all(result == [2 * number for number in task] for task, result in found.items())


def test_whoever_stops_early_leaves_no_process() -> None:
    with closing(in_workers(double_or_die, [[n] for n in range(20, 200)], 2, apart)) as results:
        next(results)
    assert multiprocessing.active_children() == []
