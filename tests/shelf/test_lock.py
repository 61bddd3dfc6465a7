import os
import signal
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.shelf.lock import writing_lock
from tests.shelf.library import line, start

HOLD = """
    from sonorarium.shelf.lock import writing_lock
    with writing_lock(Path(sys.argv[1])):
        print("held", flush=True)
        time.sleep(60)
"""


def test_one_process_at_a_time(tmp_path: Path) -> None:
    shelf = tmp_path / "shelf"
    with start(HOLD, shelf) as other:
        assert line(other) == "held"
        message = rf"The shelf .*shelf is being written to by another process \(number {other.pid}\)\. Try again"
        with pytest.raises(InputError, match=message), writing_lock(shelf):
            pass
        other.send_signal(signal.SIGKILL)
        other.wait(60)
    with writing_lock(shelf):
        pass


def test_one_thread_at_a_time(tmp_path: Path) -> None:
    with (
        writing_lock(tmp_path),
        pytest.raises(InputError, match="is being written to"),
        writing_lock(tmp_path),
    ):
        pass
    with writing_lock(tmp_path):
        pass


def test_a_place_that_cannot_be_written_to_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match=r"cannot be written to: .*Choose another place with --shelf"):  # noqa: SIM117
        with writing_lock(tmp_path / "file" / "shelf"):
            pass
    assert os.listdir(tmp_path) == ["file"]  # noqa: PTH208
