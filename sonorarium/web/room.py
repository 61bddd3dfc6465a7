"""What a run of the workbench works with: a study, a shelf, folders that may be looked into, and what is under way.

Pieces are named in addresses by their *key*, the first sixteen signs of their content's digest, never by a path: a
link stays good when a file is moved, and nothing outside the study, the shelf and the named folders can be reached.
"""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.families import find_family
from sonorarium.pcs.family import Family
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.settings import Settings
from sonorarium.shelf.shelf import Shelf
from sonorarium.study.folder import Study
from sonorarium.web.clips import Clips
from sonorarium.web.drafts import Drafts
from sonorarium.web.guard import Gate
from sonorarium.web.jobs import Jobs

KEY_LENGTH = 16
SCORES_KEPT = 24
LOOKED_KEPT = 12


class Scores:
    """Scores that were read lately, and the keys of files, each read again only when its file changes."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._read: OrderedDict[tuple[Path, int, int], Score] = OrderedDict()
        self._keys: dict[tuple[Path, int, int], str] = {}

    def read(self, path: Path) -> Score:
        """The score of a file; errors as of `sonorarium.score.reading.read_score`."""
        stamp = _stamp(path)
        with self._lock:
            if stamp in self._read:
                self._read.move_to_end(stamp)
                return self._read[stamp]
        score = read_score(path)
        with self._lock:
            self._read[stamp] = score
            while len(self._read) > SCORES_KEPT:
                self._read.popitem(last=False)
        return score

    def key(self, path: Path) -> str:
        """The key of a file."""
        stamp = _stamp(path)
        if stamp not in self._keys:
            self._keys[stamp] = hashlib.sha256(path.read_bytes()).hexdigest()[:KEY_LENGTH]
        return self._keys[stamp]


def _stamp(path: Path) -> tuple[Path, int, int]:
    try:
        found = path.stat()
    except OSError as error:
        raise InputError(f"{path.name} could not be read: {error.strerror}.", value=path.name) from error
    return path, found.st_mtime_ns, found.st_size


class Looked:
    """Sets whose sheets were opened in this run, as they were typed, the latest first; nothing of it is stored."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._texts: OrderedDict[str, None] = OrderedDict()

    def add(self, text: str) -> None:
        """Remember that a sheet was opened."""
        with self._lock:
            self._texts[" ".join(text.split())] = None
            self._texts.move_to_end(" ".join(text.split()))
            while len(self._texts) > LOOKED_KEPT:
                self._texts.popitem(last=False)

    def latest(self) -> list[str]:
        """The texts, the latest first."""
        with self._lock:
            return list(reversed(self._texts))


@dataclass(frozen=True)
class Room:
    """What the pages of one run share.

    Parameters
    ----------
    study : Study
    shelf : Shelf
        Need not hold anything yet.
    gate : Gate
        The names and the token of this run.
    settings : Settings
    folders : tuple of Path
        Folders of scores that the user named; nothing outside them and the study is offered.
    """

    study: Study
    shelf: Shelf
    gate: Gate
    settings: Settings = field(default_factory=Settings)
    folders: tuple[Path, ...] = ()
    jobs: Jobs = field(default_factory=Jobs)
    clips: Clips = field(default_factory=Clips)
    scores: Scores = field(default_factory=Scores)
    drafts: Drafts = field(default_factory=Drafts)
    looked: Looked = field(default_factory=Looked)

    @property
    def places(self) -> tuple[Path, ...]:
        """Every folder whose scores may be put on the shelf."""
        return (self.study.folder / self.study.pieces_name, *self.folders)

    def family(self, name: str = "") -> Family:
        """The family of a name, or the one that the settings choose."""
        return find_family(name or self.settings.family)

    def paths(self) -> dict[str, Path]:
        """The file of every piece that can be opened, by its key: the study's own first, then the shelf's."""
        found = {self.scores.key(path): path for path in self.study.pieces()}
        if self.shelf.exists:
            for path, row in self.shelf.snapshot().files.items():
                if row.status == "indexed":
                    found.setdefault(row.digest[:KEY_LENGTH], Path(path))
        return found

    def score(self, key: str) -> Score:
        """The piece of a key; raises `NothingFoundError` where there is none."""
        return self.scores.read(self.path(key))

    def path(self, key: str) -> Path:
        """The file of a piece; raises `NothingFoundError` where there is none."""
        path = self.paths().get(key)
        if path is None:
            raise NothingFoundError(
                "There is no such piece in the study or on the shelf; its file may have been changed.",
                value=key,
                suggestion="Look for it on the shelf.",
            )
        return path

    def close(self) -> None:
        """End what is under way and remove what was made for this run."""
        self.jobs.close()
        self.clips.close()
