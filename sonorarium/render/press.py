"""The press: one engraving process, kept warm, restarted when it dies or takes too long.

The engraver is native code and reads files from strangers; so it runs in a process of its own
(`sonorarium.render.verovio_worker`). One `Press` does one job at a time; threads wait for each other.

The engraver lays text out by a table of widths for another typeface. `write_resources` gives it a table made
from our own, so that syllables and chord symbols get the room that they really take.
"""

from __future__ import annotations

import atexit
import os
import subprocess
import sys
import threading
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sonorarium.errors import ToolError
from sonorarium.render.typeface import ONE_AT_A_TIME, Face, opened
from sonorarium.render.verovio_worker import read_message, write_message

TIME_LIMIT_S = 20.0
"""Seconds after which a job is given up and the process ended."""

START_LIMIT_S = 60.0
"""Seconds that a new process may take before it answers."""

WORKER = Path(__file__).with_name("verovio_worker.py")
TEXT_TABLES = {
    "Times.xml": Face(),
    "Times-bold.xml": Face(bold=True),
    "Times-italic.xml": Face(italic=True),
    "Times-bold-italic.xml": Face(bold=True, italic=True),
}
"""The files in which the engraver looks for the widths of text, and the face that we set there."""


@cache
def engraver_data() -> Path:
    """The data folder of the installed engraver.

    Raises
    ------
    ToolError
        When the engraver is not installed.
    """
    spec = find_spec("verovio")
    if spec is None or not spec.submodule_search_locations:
        raise ToolError("The engraver (package verovio) is not installed.", suggestion="Install it with pip.")
    return Path(next(iter(spec.submodule_search_locations))) / "data"


def text_table(face: Face) -> str:
    """A face's character boxes as the XML that the engraver reads."""
    font, names, _ = opened(face)
    glyphs, advances = font["glyf"], font["hmtx"].metrics
    rows = []
    for code, name in sorted(names.items()):
        with ONE_AT_A_TIME:
            box = glyphs[name]
        left, foot, right, top = (getattr(box, side, 0) for side in ("xMin", "yMin", "xMax", "yMax"))
        rows.append(
            f'<g c="{code:02X}" x="{left}.0" y="{foot}.0" w="{right - left}.0" h="{top - foot}.0" '
            f'h-a-x="{advances[name][0]}"/>'
        )
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<bounding-boxes font-family="Times" units-per-em="1000">'
    return "\n".join([head, *rows, "</bounding-boxes>"])


def write_resources(folder: Path) -> None:
    """Fill a folder with the engraver's data: its own, linked, and our table of text widths."""
    for item in engraver_data().iterdir():
        if item.name != "text":
            (folder / item.name).symlink_to(item, target_is_directory=item.is_dir())
    (folder / "text").mkdir()
    for name, face in TEXT_TABLES.items():
        (folder / "text" / name).write_text(text_table(face), encoding="utf-8")


class Press:
    """One engraving process and the folder of its data.

    Parameters
    ----------
    time_limit_s : float
        Seconds that a job may take.
    """

    def __init__(self, time_limit_s: float = TIME_LIMIT_S) -> None:
        self.time_limit_s = time_limit_s
        self._folder = TemporaryDirectory(prefix="sonorarium-press-")
        write_resources(Path(self._folder.name))
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None

    def engrave(self, data: str, options: dict[str, Any]) -> list[str]:
        """Return the pages of a piece of notation as SVG.

        Parameters
        ----------
        data : str
            MusicXML, MEI, Humdrum or ABC.
        options : dict
            Options of the engraver.

        Raises
        ------
        ToolError
            When the engraver refuses, dies, or takes longer than the time limit. The next job gets a new process.
        """
        with self._lock:
            if self._process is None or self._process.poll() is not None:
                self._end()
                self._start()
            reply = self._ask({"data": data, "options": options}, self.time_limit_s)
        if "refused" in reply:
            raise ToolError(f"Engraving failed: {reply['refused']}.")
        return list(reply["pages"])

    def close(self) -> None:
        """End the process and remove its folder."""
        with self._lock:
            self._end()
            self._folder.cleanup()

    def _start(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-P", str(WORKER), self._folder.name], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        self._ask(None, START_LIMIT_S)

    def _ask(self, job: dict[str, Any] | None, limit_s: float) -> dict[str, Any]:
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
            why = f"it took longer than {limit_s:g} seconds" if overdue.is_set() else "the engraving process died"
            raise ToolError(f"Engraving failed: {why}.", suggestion="Choose fewer bars, or check the file.")
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


@cache
def _press_of(process_id: int) -> Press:
    """The press of one process; a forked process must not share its parent's pipes."""
    press = Press()
    atexit.register(press.close)
    return press


_MAKING = threading.Lock()
"""Two threads that ask for the press at once must get the same."""


def shared_press() -> Press:
    """The press that this process keeps warm."""
    with _MAKING:
        return _press_of(os.getpid())
