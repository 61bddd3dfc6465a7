"""A nursery of processes that write to a study and are killed; prints what was found afterwards as JSON.

Run as a program: ``mortal.py random FOLDER ROUNDS`` kills a writer at some instant, ``mortal.py stepwise FOLDER``
at each line of code in turn that a write runs through. A line that the writer has announced as written must be there
afterwards; every card must be whole.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from pathlib import Path
from types import FrameType
from typing import Any

from sonorarium.study.folder import Study, new_study
from sonorarium.study.remarks import keep_set, kept_sets

WATCHED = ("files.py", "drawer.py", "locking.py", "remarks.py", "card.py")
PARAGRAPH = "It glitters and leans on both sides. " * 200


def write_for_ever(study: Study, announce: int, mark: str) -> None:
    for number in range(1_000_000):
        keep_set(study, "5-15", words=f"{mark}-{number} {PARAGRAPH if number % 3 == 0 else ''}")
        os.write(announce, f"{mark}-{number}\n".encode())


def check(study: Study, announced: list[str]) -> list[str]:
    """What is wrong with the study after a death."""
    kept = kept_sets(study)
    faults = [one.reason for one in kept.unread]
    mine = [one for one in kept.sets if one.what == "5-15"]
    words = mine[0].words.split("\n\n") if mine else []
    there = [paragraph.split(" ")[0] for paragraph in words]
    whole = all(len(p.split(" ", 1)[-1].strip()) in (len(p.strip()), 0, len(PARAGRAPH.strip())) for p in words)
    if not whole:
        faults.append("a paragraph is not whole")
    if not set(announced) <= set(there):
        faults.append(f"announced and lost: {sorted(set(announced) - set(there))}")
    return faults


def killed_at_random(study: Study, rounds: int) -> dict[str, Any]:
    chance, faults, lines = random.Random(1), [], 0
    keep_set(study, "4-19", words="what has to be loaded is loaded before the first death")
    for number in range(rounds):
        hear, tell = os.pipe()
        child = os.fork()
        if child == 0:
            write_for_ever(study, tell, f"r{number}")
        os.close(tell)
        time.sleep(chance.uniform(0.002, 0.05))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        with os.fdopen(hear) as heard:
            announced = heard.read().splitlines()
        lines += len(announced)
        faults += check(study, announced)
        if number % 10 == 9:
            (study.folder / "sets" / "5-15.md").unlink()  # so that it stays quick to write
    keep_set(study, "5-15", words="after all")
    return {"faults": faults, "rounds": rounds, "announced": lines, "left": left_behind(study)}


def killed_at_each_line(study: Study) -> dict[str, Any]:
    keep_set(study, "5-15", words="before")
    step, faults = 0, []
    while True:
        step += 1
        child = os.fork()
        if child == 0:
            sys.settrace(_death_after(step))
            keep_set(study, "5-15", words=f"s{step} {PARAGRAPH}")
            os._exit(0)
        _, status = os.waitpid(child, 0)
        faults += check(study, ["before"])
        if os.WIFEXITED(status):
            break
    return {"faults": faults, "rounds": step, "left": left_behind(study)}


def _death_after(step: int) -> Any:
    seen = 0

    def trace(frame: FrameType, event: str, _: object) -> Any:
        nonlocal seen
        if Path(frame.f_code.co_filename).name not in WATCHED:
            return None
        if event == "line":
            seen += 1
            if seen >= step:
                os.kill(os.getpid(), signal.SIGKILL)
        return trace

    return trace


def left_behind(study: Study) -> list[str]:
    return [path.name for path in (study.folder / "sets").iterdir() if path.name.startswith(".")]


def main() -> None:
    study = new_study(Path(sys.argv[2]), "Mortal")
    if sys.argv[1] == "random":
        print(json.dumps(killed_at_random(study, int(sys.argv[3]))))
    else:
        print(json.dumps(killed_at_each_line(study)))


if __name__ == "__main__":
    main()
