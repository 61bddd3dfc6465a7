"""One writes at a time; the others wait, or are told; the dead hold nothing."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.study.locking import writing

HOLDER = """
import sys, time
from pathlib import Path
from sonorarium.study.locking import writing
with writing(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(float(sys.argv[2]))
"""


def holder(folder: Path, seconds: float) -> subprocess.Popen[str]:
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(folder), str(seconds)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "held\n"
    process.stdout.close()
    return process


def test_who_waits_too_long_is_told_who_holds_it(tmp_path: Path) -> None:
    process = holder(tmp_path, 60)
    told = rf"another program \(process {process.pid}\).*Nothing was written"
    with pytest.raises(InputError, match=told), writing(tmp_path, patience_s=0.1):
        pass
    process.kill()
    process.wait()
    with writing(tmp_path, patience_s=0.1):
        pass


def test_who_waits_long_enough_gets_it(tmp_path: Path) -> None:
    process = holder(tmp_path, 0.3)
    began = time.monotonic()
    with writing(tmp_path, patience_s=30):
        assert time.monotonic() - began < 30
    assert process.wait() == 0


def test_a_lock_is_let_go_of_when_writing_fails(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), writing(tmp_path):
        raise ZeroDivisionError
    with writing(tmp_path, patience_s=0):
        pass


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be written to"), writing(tmp_path / "nowhere"):
        pass
