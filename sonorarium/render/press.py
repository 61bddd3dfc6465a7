"""The press: one engraving process, kept warm, restarted when it dies or takes too long.

The engraver is native code and reads files from strangers; so it runs in a process of its own
(`sonorarium.render.verovio_worker`). One `Press` does one job at a time; threads wait for each other.

The engraver lays text out by a table of widths for another typeface. `write_resources` gives it a table made
from our own, so that syllables and chord symbols get the room that they really take.
"""

from __future__ import annotations

import atexit
import os
import threading
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sonorarium.apart import Apart, GoneError
from sonorarium.errors import ToolError
from sonorarium.render.typeface import ONE_AT_A_TIME, Face, opened

TIME_LIMIT_S = 20.0
"""Seconds after which a job is given up and the process ended."""

WORKER = "sonorarium.render.verovio_worker"
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
        self._process = Apart(WORKER, self._folder.name)

    @property
    def process_id(self) -> int | None:
        """Identifier of the process, None where there is none at the moment."""
        return self._process.process_id

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
            reply = self._reply({"data": data, "options": options})
        if "refused" in reply:
            raise ToolError(f"Engraving failed: {reply['refused']}.")
        return list(reply["pages"])

    def _reply(self, job: dict[str, Any]) -> dict[str, Any]:
        try:
            if not self._process.is_running:
                self._process.start()
            return dict(self._process.ask(job, self.time_limit_s))
        except GoneError as gone:
            raise ToolError(
                f"Engraving failed: {gone}.", suggestion="Choose fewer bars, or check the file."
            ) from gone

    def close(self) -> None:
        """End the process and remove its folder."""
        with self._lock:
            self._process.end()
            self._folder.cleanup()


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
