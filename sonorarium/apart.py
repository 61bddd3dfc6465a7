"""Work in a process apart: jobs go to it, answers come back; it may loop or die, and whoever asked lives.

Native code that reads files from strangers runs this way. A message, either way, is four bytes of length
(big-endian) and that many bytes of JSON. The standard library alone is used, for programs at both ends import this as
they start.
"""

from __future__ import annotations

import contextlib
import json
import struct
import subprocess
import sys
import threading
from typing import IO, Any

START_LIMIT_S = 60.0
"""Seconds that a new process may take before it answers."""


class GoneError(Exception):
    """The process died over a job, or took longer than it may and was ended.

    Parameters
    ----------
    overdue_s : float
        The limit that was passed; 0 where the process died by itself.
    """

    def __init__(self, overdue_s: float = 0.0) -> None:
        self.overdue_s = overdue_s
        super().__init__(f"it took longer than {overdue_s:g} seconds" if overdue_s else "the process died")


def read_message(stream: IO[bytes]) -> Any:
    """Read one message; None at the end of the stream, also where a message is cut short."""
    head = stream.read(4)
    if len(head) < 4:
        return None
    (length,) = struct.unpack(">I", head)
    body = stream.read(length)
    return json.loads(body) if len(body) == length else None


def write_message(stream: IO[bytes], message: object) -> None:
    """Write one message and send it off."""
    body = json.dumps(message).encode()
    stream.write(struct.pack(">I", len(body)) + body)
    stream.flush()


class Apart:
    """A process that does one job at a time; the caller sees to it that no two ask at once.

    Parameters
    ----------
    module : str
        What it runs: a module of ours that says hello in one message, then answers each job by one.
    *words : str
        What that is told on its command line.
    stderr : file, optional
        Where its errors are printed; where ours are, by default.
    """

    def __init__(self, module: str, *words: str, stderr: IO[bytes] | None = None) -> None:
        self._command = (sys.executable, "-P", "-m", module, *words)
        self._stderr = stderr
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def process_id(self) -> int | None:
        """Identifier of the process, None where there is none at the moment."""
        return self._process.pid if self._process is not None else None

    @property
    def is_running(self) -> bool:
        """Whether there is a process that has not ended."""
        return self._process is not None and self._process.poll() is None

    def start(self) -> None:
        """Start a new process in place of the one that is there, if any; raises `GoneError` where none comes up."""
        self.end()
        try:
            self._process = subprocess.Popen(
                self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=self._stderr
            )
        except OSError as error:
            raise GoneError from error
        self._exchange(None, START_LIMIT_S)

    def ask(self, job: object, limit_s: float) -> Any:
        """Send a job and wait for the answer, no longer than the limit; `GoneError` where the process is gone."""
        return self._exchange(job, limit_s)

    def end(self) -> None:
        """End the process, if there is one."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        for stream in (process.stdin, process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()
        process.wait()

    def _exchange(self, job: object, limit_s: float) -> Any:
        process = self._process
        if process is None or process.stdin is None or process.stdout is None:
            raise GoneError
        overdue = threading.Event()

        def give_up() -> None:
            overdue.set()
            process.kill()

        watch = threading.Timer(limit_s, give_up)
        watch.start()
        try:
            if job is not None:
                write_message(process.stdin, job)
            reply = read_message(process.stdout)
        except (OSError, ValueError):
            reply = None
        finally:
            watch.cancel()
        if reply is None or overdue.is_set():
            self.end()
            raise GoneError(limit_s if overdue.is_set() else 0.0)
        return reply
