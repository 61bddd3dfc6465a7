"""The shelf: a library of scores, indexed so that every question about many scores is answered at once.

A shelf is a folder of tables (`sonorarium.shelf.tables`) with a list of what is live (`sonorarium.shelf.manifest`).
It holds no scores of its own: the files stay where they are, and are never touched.

Any number of processes may read a shelf, and one may write to it at the same time. Readers see the state that was
live when they began.

Where the shelf lies: the folder that is given, or else that of the environment variable ``SONORARIUM_SHELF``, or else
``shelf`` in the user's own folder for data of programs.
"""

from __future__ import annotations

import os
import threading
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.score import Score
from sonorarium.score.search.material import Material
from sonorarium.shelf.manifest import NAME, read_manifest
from sonorarium.shelf.snapshot import Snapshot

VARIABLE = "SONORARIUM_SHELF"
"""Environment variable that names the folder of the shelf."""

T = TypeVar("T")

_MATERIALS_KEPT = 64


class Shelf:
    """A folder of indexed scores.

    Parameters
    ----------
    folder : Path
        Need not exist yet: a shelf without anything on it is no folder at all.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder.absolute()
        self._latest: tuple[tuple[int, ...], Snapshot] | None = None
        self._keeping = threading.Lock()
        self._materials: OrderedDict[tuple[str, str], Material] = OrderedDict()

    def __repr__(self) -> str:
        return f"Shelf({self.folder!r})"

    @property
    def exists(self) -> bool:
        """Whether anything was ever put on it."""
        return (self.folder / NAME).exists()

    def snapshot(self) -> Snapshot:
        """The shelf as it is now; raises `DamagedError` where its list is damaged."""
        stamp = self._stamp()
        if self._latest is None or self._latest[0] != stamp:
            self._latest = (stamp, Snapshot(self.folder, read_manifest(self.folder)))
        return self._latest[1]

    def ask(self, question: Callable[[Snapshot], T]) -> T:
        """Answer a question from one snapshot; once more from a new one, where its tables were replaced meanwhile.

        Parameters
        ----------
        question : callable
            Given a snapshot.

        Returns
        -------
        object
            What the question gave.

        Raises
        ------
        DamagedError
            Where a table that is live cannot be read.
        """
        while True:
            stamp = self._stamp()
            try:
                return question(self.snapshot())
            except DamagedError:
                if self._stamp() == stamp:
                    raise

    def score(self, path: str | Path) -> Score:
        """Make the score of a file again, from the tables.

        Parameters
        ----------
        path : str or Path

        Returns
        -------
        Score
            As it was when it was indexed.

        Raises
        ------
        InputError
            Where the file is not on the shelf.
        DamagedError
            Where it was on the shelf but could not be read, or its tables cannot.
        """
        wanted = str(Path(path).absolute())
        return self.ask(lambda snapshot: _score(snapshot, wanted))

    def material(self, snapshot: Snapshot, number: int, path: str) -> Material:
        """The material of a score, for searching in it; the last few are kept."""
        row = snapshot.scores[number]
        key = (row.content, path)
        material = self._materials.get(key)
        if material is None:
            batch, _ = snapshot.contents[row.content]
            material = Material(batch.score(number, path))
        with self._keeping:
            self._materials[key] = material
            self._materials.move_to_end(key)
            while len(self._materials) > _MATERIALS_KEPT:
                self._materials.popitem(last=False)
        return material

    def _stamp(self) -> tuple[int, ...]:
        """What changes whenever the manifest is replaced."""
        try:
            found = (self.folder / NAME).stat()
        except OSError:
            return ()
        return found.st_ino, found.st_mtime_ns, found.st_size


def shelf_folder(given: str | Path | None = None) -> Path:
    """Say where the shelf lies.

    Parameters
    ----------
    given : str or Path, optional
        The folder, where somebody names it.

    Returns
    -------
    Path
    """
    named = given or os.environ.get(VARIABLE)
    if named:
        return Path(named).expanduser()
    import platformdirs

    return platformdirs.user_data_path("sonorarium", appauthor=False) / "shelf"


def open_shelf(given: str | Path | None = None) -> Shelf:
    """Open a shelf that has something on it.

    Parameters
    ----------
    given : str or Path, optional
        Its folder; see `shelf_folder`.

    Returns
    -------
    Shelf

    Raises
    ------
    InputError
        Where there is none.
    """
    shelf = Shelf(shelf_folder(given))
    if not shelf.exists:
        raise InputError(
            f"There is no shelf in {shelf.folder}.",
            value=str(shelf.folder),
            suggestion="Put a folder of scores on it: sonorarium shelf add FOLDER.",
        )
    return shelf


def _score(snapshot: Snapshot, path: str) -> Score:
    file = snapshot.files.get(path)
    if file is None:
        raise InputError(f"{path} is not on the shelf.", value=path, suggestion="Add it: sonorarium shelf add FILE.")
    if file.status == "damaged":
        raise DamagedError(file.reason, value=path)
    batch, row = snapshot.contents[file.content]
    return batch.score(row.score, path)
