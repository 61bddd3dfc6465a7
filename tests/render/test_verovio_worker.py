"""The engraving program by itself."""

from __future__ import annotations

import io
import subprocess
import sys

from sonorarium.apart import read_message
from sonorarium.render.press import WORKER, engraver_data


def test_the_process_ends_when_its_input_ends() -> None:
    done = subprocess.run(
        [sys.executable, "-P", "-m", WORKER, str(engraver_data())],
        input=b"",
        capture_output=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 0
    assert done.stderr == b""
    assert "version" in read_message(io.BytesIO(done.stdout))
