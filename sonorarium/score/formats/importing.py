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
import threading
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryFile

from sonorarium.apart import Apart, GoneError
from sonorarium.errors import DamagedError, ToolError

TIME_LIMIT_S = 30.0
"""Seconds after which a file is given up and the process ended; a symphony movement takes one or two."""

DIED = "the importing process died over it"

MOST_SAID = 20_000
"""Bytes of what the importer prints that are read."""

MOST_REASONS = 3
"""Lines of what the importer printed that become a sentence."""

_MARK = re.compile(r"^(\[Error\]|Error:)\s*")
_NO_REASON = re.compile(r"\[Warning\]|\[Info\]|!!WARNING|terminate called|what\(\):|Previous line is|Line is")

WORKER = "sonorarium.score.formats.import_worker"


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
        self._printed = TemporaryFile()  # noqa: SIM115
        self._process: Apart | None = None

    @property
    def process_id(self) -> int | None:
        """Identifier of the process, None where there is none at the moment."""
        return self._process.process_id if self._process is not None else None

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
        job = {"data": text, "format": source}
        with self._lock:
            found, died = self._reply(job)
            if died == DIED and not self._is_new:
                self._said()
                self._start()
                found, died = self._reply(job)
            self._is_new = False
            said = self._said()
        if found:
            return found, said
        reason = "; ".join(complaints(said)[:MOST_REASONS]) or died
        raise DamagedError(f"The file cannot be understood{f': {reason}' if reason else ''}.", value=said)

    def close(self) -> None:
        """End the process."""
        with self._lock:
            if self._process is not None:
                self._process.end()
            self._printed.close()

    def _said(self) -> str:
        """Take out what was printed so far; the process shares the place in the file."""
        self._printed.seek(0)
        text = self._printed.read(MOST_SAID).decode("utf-8", "replace")
        self._printed.seek(0)
        self._printed.truncate()
        return text

    def _reply(self, job: dict[str, str]) -> tuple[str, str]:
        """The piece as MEI, empty where it was refused, and why the process is gone, empty where it is not."""
        if self._process is None or not self._process.is_running:
            self._start()
        assert self._process is not None
        try:
            return self._process.ask(job, self.time_limit_s)["mei"] or "", ""
        except GoneError as gone:
            return "", str(gone) if gone.overdue_s else DIED

    def _start(self) -> None:
        spec = find_spec("verovio")
        if spec is None or not spec.submodule_search_locations:
            raise ToolError("Humdrum and MEI need the package verovio.", suggestion="Install it with pip.")
        resources = Path(next(iter(spec.submodule_search_locations))) / "data"
        self._process = self._process or Apart(WORKER, str(resources), stderr=self._printed)
        try:
            self._process.start()
        except GoneError as gone:
            raise ToolError("The importing process does not start.", suggestion="Install verovio anew.") from gone
        self._is_new = True
        self._said()


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


_MAKING = threading.Lock()
"""Two threads that ask for the importer at once must get the same."""


def shared_importer() -> Importer:
    """The importer that this process keeps warm."""
    with _MAKING:
        return _importer_of(os.getpid())
