"""Messages between the press and its process, and the process by itself."""

from __future__ import annotations

import io
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.render.press import WORKER, engraver_data
from sonorarium.render.verovio_worker import read_message, write_message

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


def test_the_process_ends_when_its_input_ends() -> None:
    done = subprocess.run(
        [sys.executable, "-P", str(WORKER), str(engraver_data())],
        input=b"",
        capture_output=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 0
    assert done.stderr == b""
    assert "version" in read_message(io.BytesIO(done.stdout))
