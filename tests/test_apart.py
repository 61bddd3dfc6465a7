"""A process apart: messages come whole or not at all; it may hang or die, and is replaced."""

from __future__ import annotations

import io
import os
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.apart import Apart, GoneError, read_message, write_message

PROGRAM = """
import sys, time
from sonorarium.apart import read_message, write_message

write_message(sys.stdout.buffer, "hello")
while (job := read_message(sys.stdin.buffer)) is not None:
    if job == "die":
        sys.exit(3)
    if job == "hang":
        time.sleep(60)
    write_message(sys.stdout.buffer, [job, sys.argv[1]])
"""

values = st.recursive(st.none() | st.integers() | st.text(), st.lists, max_leaves=8)


@given(st.lists(st.dictionaries(st.text(), values), min_size=1, max_size=4))
def test_messages_come_back_as_they_were_sent(messages: list[dict[str, object]]) -> None:
    stream = io.BytesIO()
    for message in messages:
        write_message(stream, message)
    stream.seek(0)
    assert [read_message(stream) for _ in messages] == messages
    assert read_message(stream) is None


@pytest.mark.parametrize("cut", [1, 3, 7])
def test_a_message_cut_short_is_the_end(cut: int) -> None:
    stream = io.BytesIO()
    write_message(stream, {"pages": ["x" * 20]})
    assert read_message(io.BytesIO(stream.getvalue()[:cut])) is None


@pytest.fixture
def apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Apart]:
    """A process that says everything again."""
    (tmp_path / "echoing.py").write_text(PROGRAM, encoding="utf-8")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    made = Apart("echoing", "word")
    yield made
    made.end()


def test_jobs_are_answered_one_after_the_other(apart: Apart) -> None:
    assert (apart.is_running, apart.process_id) == (False, None)
    apart.start()
    assert apart.is_running
    assert [apart.ask(job, 10) for job in ("a", {"b": [1, "♭"]})] == [["a", "word"], [{"b": [1, "♭"]}, "word"]]


def test_a_death_is_told_and_another_takes_its_place(apart: Apart) -> None:
    apart.start()
    first = apart.process_id
    with pytest.raises(GoneError, match="the process died"):
        apart.ask("die", 10)
    with pytest.raises(GoneError):
        apart.ask("a", 10)
    apart.start()
    assert apart.process_id != first
    assert apart.ask("a", 10) == ["a", "word"]


def test_a_process_that_was_killed_is_not_running(apart: Apart) -> None:
    apart.start()
    assert apart.process_id is not None
    os.kill(apart.process_id, signal.SIGKILL)
    with pytest.raises(GoneError):
        apart.ask("a", 10)
    assert not apart.is_running


def test_what_takes_too_long_is_ended(apart: Apart) -> None:
    apart.start()
    with pytest.raises(GoneError, match=r"longer than 0\.2 seconds") as gone:
        apart.ask("hang", 0.2)
    assert gone.value.overdue_s == 0.2
    assert not apart.is_running


def test_a_program_that_is_not_there_is_told() -> None:
    with pytest.raises(GoneError), open(os.devnull, "wb") as nowhere:  # noqa: PTH123
        Apart("no_such_program", stderr=nowhere).start()
