"""Importing: Humdrum, and MEI of any version, turned into plain MEI by verovio, in a process of its own.

The importers are native code and read files from strangers: one may loop for ever or take its process down. So they
run in another process (`sonorarium.score.formats.import_worker`) that is kept warm, has a time limit, and is replaced
when it dies; the reading program is told, and lives. One `Importer` does one job at a time; threads wait for each
other.

verovio's importers are those of its field: that for Humdrum is by the maintainers of the Humdrum tools.
"""

from __future__ import annotations

import atexit
import os
import re
import subprocess
import sys
import threading
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any

from sonorarium.errors import DamagedError, ToolError
from sonorarium.score.formats.import_worker import read_message, write_message

TIME_LIMIT_S = 30.0
"""Seconds after which a file is given up and the process ended; a symphony movement takes one or two."""

START_LIMIT_S = 60.0
"""Seconds that a new process may take before it answers."""

DIED = "the importing process died over it"

MOST_SAID = 20_000
"""Bytes of what the importer prints that are read."""

MOST_REASONS = 3
"""Lines of what the importer printed that become a sentence."""

_MARK = re.compile(r"^(\[Error\]|Error:)\s*")
_NO_REASON = re.compile(r"\[Warning\]|\[Info\]|!!WARNING|terminate called|what\(\):|Previous line is|Line is")

WORKER = Path(__file__).with_name("import_worker.py")


class Importer:
    """One importing process.

    Parameters
    ----------
    time_limit_s : float
        Seconds that a file may take.
    """

    def __init__(self, time_limit_s: float = TIME_LIMIT_S) -> None:
        self.time_limit_s = time_limit_s
        self._is_new = True
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._printed = TemporaryFile()  # noqa: SIM115

    @property
    def process_id(self) -> int | None:
        """Identifier of the process, None where there is none at the moment."""
        return self._process.pid if self._process is not None else None

    def mei(self, text: str, source: str) -> tuple[str, str]:
        """Return a piece as MEI, and what the importer printed meanwhile.

        Where a process that has done work before dies, the text gets a second chance in a new one: what came before,
        or something outside, may have been to blame.

        Parameters
        ----------
        text : str
            The whole file.
        source : str
            ``humdrum`` or ``mei``; or another format by the name that verovio has for it.

        Raises
        ------
        DamagedError
            Where the importer refuses the text, dies over it, or takes longer than the time limit. The next job gets
            a new process.
        ToolError
            Where verovio is not installed, or cannot be started.
        """
        with self._lock:
            if self._process is None or self._process.poll() is not None:
                self._end()
                self._start()
            job = {"data": text, "format": source}
            reply = self._ask(job, self.time_limit_s)
            if reply.get("died") == DIED and not self._is_new:
                self._said()
                self._start()
                reply = self._ask(job, self.time_limit_s)
            self._is_new = False
            said = self._said()
        if reply.get("mei"):
            return str(reply["mei"]), said
        reason = "; ".join(complaints(said)[:MOST_REASONS]) or str(reply.get("died", ""))
        raise DamagedError(f"The file cannot be understood{f': {reason}' if reason else ''}.", value=said)

    def close(self) -> None:
        """End the process."""
        with self._lock:
            self._end()
            self._printed.close()

    def _said(self) -> str:
        """Take out what was printed so far; the process shares the place in the file."""
        self._printed.seek(0)
        text = self._printed.read(MOST_SAID).decode("utf-8", "replace")
        self._printed.seek(0)
        self._printed.truncate()
        return text

    def _start(self) -> None:
        spec = find_spec("verovio")
        if spec is None or not spec.submodule_search_locations:
            raise ToolError("Humdrum and MEI need the package verovio.", suggestion="Install it with pip.")
        resources = Path(next(iter(spec.submodule_search_locations))) / "data"
        self._process = subprocess.Popen(
            [sys.executable, "-P", str(WORKER), str(resources)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self._printed,
        )
        answer = self._ask(None, START_LIMIT_S)
        self._is_new = True
        self._said()
        if "died" in answer:
            raise ToolError("The importing process does not start.", suggestion="Install verovio anew.")

    def _ask(self, job: dict[str, str] | None, limit_s: float) -> dict[str, Any]:
        """Send a job, if there is one, and wait for the answer no longer than the limit."""
        process = self._process
        assert process is not None and process.stdin is not None and process.stdout is not None
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
        except OSError:
            reply = None
        finally:
            watch.cancel()
        if reply is None:
            self._end()
            return {"died": f"it took longer than {limit_s:g} seconds" if overdue.is_set() else DIED}
        return dict(reply)

    def _end(self) -> None:
        """End the process, if there is one."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        for stream in (process.stdin, process.stdout):
            if stream is not None:
                try:
                    stream.close()
                except OSError:
                    continue
        process.wait()


def complaints(said: str) -> list[str]:
    r"""Return the different errors that an importer printed: no warnings, and not how it died.

    >>> complaints("[Warning] A tempo is ignored.\nError on line 2:\n   Expected 1 field.\nterminate called ...\n")
    ['Error on line 2', 'Expected 1 field']
    """
    lines = (line.strip() for line in said.splitlines())
    kept = (_MARK.sub("", line).rstrip(".: ") for line in lines if not _NO_REASON.match(line))
    return list(dict.fromkeys(line for line in kept if line))


@cache
def _importer_of(process_id: int) -> Importer:
    """The importer of one process; a forked process must not share its parent's pipes."""
    importer = Importer()
    atexit.register(importer.close)
    return importer


def shared_importer() -> Importer:
    """The importer that this process keeps warm."""
    return _importer_of(os.getpid())
