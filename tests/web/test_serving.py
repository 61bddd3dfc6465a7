"""The workbench listens on the loopback address alone, and ends when it is told to."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.web.serving import listen
from tests.web.conftest import demo_study


def test_it_listens_on_loopback_alone() -> None:
    with listen(0) as listening:
        host, port = listening.getsockname()
        assert host == "127.0.0.1"
        with pytest.raises(InputError, match=f"Port {port} cannot be used"):
            listen(port)


def test_the_command_serves_until_it_is_interrupted(tmp_path: Path) -> None:
    folder = tmp_path / "study"
    folder.mkdir()
    program = str(Path(sys.executable).parent / "sonorarium")
    study, shelf = str(demo_study(folder).folder), str(tmp_path / "shelf")
    command = [program, "open", study, "--shelf", shelf, "--port", "0", "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        url = running.stdout.readline().strip()
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/", url)
        with urllib.request.urlopen(url, timeout=30) as answered:
            assert answered.status == 200
        running.send_signal(signal.SIGINT)
        running.communicate(timeout=20)
        assert running.returncode in (0, 130, -signal.SIGINT)
    with pytest.raises(OSError), socket.create_connection(("127.0.0.1", int(url.split(":")[2].strip("/"))), 1):
        pass
